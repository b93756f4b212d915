"""Venues from TOML: packs, limits with the reason for each, walls, conditions, frame stock and exchange rates.

A venue file is written by hand, so every fault in it is named at once: the file, the key, what is wrong and what would be right.
Whether its packs and limits exist is said too where the installed packs are known (``load_venues``).
"""

import tomllib
from collections.abc import Iterable
from pathlib import Path

import msgspec

from hangworthy.engine.catalogue import Catalogue
from hangworthy.engine.fault import VenueError
from hangworthy.engine.ruleset import Venue, fingerprint, unfit
from hangworthy.engine.schema import Schema
from hangworthy.venues.keys import Key, toml_key
from hangworthy.venues.reader import VenueReader

MOST_BYTES = 1_000_000


def load_venues(paths: Iterable[Path], catalogue: Catalogue) -> list[Venue]:
    """Return the venues that TOML files describe, fit for the installed packs. Raises VenueError with every fault in all of them."""
    venues, faults = list[Venue](), list[str]()
    for path in paths:
        try:
            venue, found = _read(_bytes(path), catalogue.schema, str(path))
        except VenueError as error:
            faults.append(str(error))
            continue
        venues.append(stamped(venue))
        faults += (f"{path}: {toml_key(key)}: {sentence}" for key, sentence in (*found, *unfit(catalogue, venue)))
    if faults:
        raise VenueError("\n".join(faults))
    return venues


def load_venue(path: Path, schema: Schema) -> Venue:
    """Return the venue that a TOML file describes. Raises VenueError with every fault in it, one to a line."""
    return venue_from(_bytes(path), schema, str(path))


def _bytes(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except OSError as error:
        raise VenueError(f"{path}: this venue file cannot be read: {(error.strerror or 'it is no file').lower()}.") from None


def default_venue() -> Venue:
    """Return the venue of a request that names none where none was given: every pack, every default, no walls."""
    return stamped(Venue(name="default", title="Every pack with its defaults"))


def venue_from(text: bytes, schema: Schema, origin: str) -> Venue:
    """Return the venue that a TOML text describes; ``origin`` names it in messages. Raises VenueError as :func:`load_venue`."""
    venue, faults = _read(text, schema, origin)
    if faults:
        raise VenueError("\n".join(f"{origin}: {toml_key(key)}: {sentence}" for key, sentence in faults))
    return stamped(venue)


def _read(text: bytes, schema: Schema, origin: str) -> tuple[Venue, list[tuple[Key, str]]]:
    """Return the venue, and the faults of its keys. Raises VenueError for what is no TOML at all."""
    if len(text) > MOST_BYTES:
        raise VenueError(f"{origin}: this venue file is larger than {MOST_BYTES:,} bytes.")
    try:
        content = tomllib.loads(text.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        raise VenueError(f"{origin}: byte {error.start} is not UTF-8; save the file as UTF-8.") from None
    except tomllib.TOMLDecodeError as error:
        raise VenueError(f"{origin}: this is no TOML: {error}.") from None
    except RecursionError:
        raise VenueError(f"{origin}: this is nested too deeply; a venue has tables, and lists of tables.") from None
    reader = VenueReader(schema)
    return reader.read(content), reader.faults


def stamped(venue: Venue) -> Venue:
    """Return the venue with the digest of all that it says, in an order and spelling that do not depend on the file's."""
    plain = msgspec.structs.replace(venue, fingerprint="")
    return msgspec.structs.replace(venue, fingerprint=fingerprint(msgspec.json.encode(plain, order="sorted")))
