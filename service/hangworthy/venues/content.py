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
    said = {name: getattr(venue, name) for name in ("name", "title", "packs", "limits", "guard", "frames", "rates", "retention_days")}
    made: dict[str, Any] = _plain({name: value for name, value in said.items() if value not in (None, "", {})})
    if venue.walls:
        made["walls"] = [{"name": name, **_plain(wall)} for name, wall in venue.walls.items()]
    if venue.conditions is not None:
        made["conditions"] = _plain(venue.conditions)
    if "frames" in made:
        made["frames"] = [_plain(frame) for frame in made["frames"]]
    return made


def _plain(value: Any) -> dict[str, Any]:
    """Return a value as JSON gives it back, without what is not known."""
    given: dict[str, Any] = msgspec.json.decode(msgspec.json.encode(value, order="sorted"))
    return {name: one for name, one in given.items() if one is not None}


def read_content(content: Mapping[str, Any], schema: Schema, version: int) -> tuple[Venue, list[tuple[Key, str]]]:
    """Return the venue that a JSON object describes, and every fault in it; it is only good when there is none."""
    reader = VenueReader(schema, JSON_FORM)
    venue = reader.read({name: value for name, value in content.items() if name != VERSION})
    if VERSION in content:
        reader.fault((VERSION,), _COUNTED)
    return stamped(msgspec.structs.replace(venue, version=version)), reader.faults
