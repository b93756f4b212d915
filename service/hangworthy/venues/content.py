"""A venue as JSON: the same keys as its TOML file, without the version, which whoever keeps it counts itself."""

from collections.abc import Mapping
from typing import Any

import msgspec

from hangworthy.engine.ruleset import Venue
from hangworthy.engine.schema import Schema
from hangworthy.venues import stamped
from hangworthy.venues.keys import JSON_FORM, Key
from hangworthy.venues.reader import VenueReader

VERSION = "version"
_COUNTED = "the service counts the versions itself; leave it out."


def content_of(venue: Venue) -> dict[str, Any]:
    """Return what a venue says, as plain JSON values that :func:`read_content` takes back."""
    plain: dict[str, Any] = {name: getattr(venue, name) for name in ("name", "title", "packs", "frames", "rates", "retention_days")}
    plain["limits"] = dict(venue.limits)
    plain["guard"] = venue.guard
    plain["conditions"] = venue.conditions
    made: dict[str, Any] = msgspec.to_builtins({name: value for name, value in plain.items() if value not in (None, "", {})})
    walls = [{"name": name, **_known(wall)} for name, wall in venue.walls.items()]
    made |= {"walls": walls} if walls else {}
    if venue.conditions is not None:
        made["conditions"] = _known(venue.conditions)
    for frame in made.get("frames", ()):
        for name in [name for name, value in frame.items() if value is None]:
            del frame[name]
    return made


def _known(wall: Any) -> dict[str, Any]:
    return {name: value for name, value in msgspec.to_builtins(wall).items() if value is not None}


def canonical(content: Mapping[str, Any]) -> bytes:
    """Return a venue's content as bytes that depend on nothing but what it says."""
    return msgspec.json.encode(content, order="sorted")


def read_content(content: Mapping[str, Any], schema: Schema, version: int) -> tuple[Venue, list[tuple[Key, str]]]:
    """Return the venue that a JSON object describes, and every fault in it; it is only good when there is none."""
    reader = VenueReader(schema, JSON_FORM)
    venue = reader.read({name: value for name, value in content.items() if name != VERSION})
    if VERSION in content:
        reader.fault((VERSION,), _COUNTED)
    return stamped(msgspec.structs.replace(venue, version=version)), reader.faults
