"""What the service and a process of its crew say to each other: MessagePack, each message after its length in four bytes."""

import hashlib
from datetime import datetime
from pathlib import Path
from typing import Any

import msgspec

import hangworthy
from hangworthy.engine.catalogue import Catalogue
from hangworthy.history.port import NewEvaluation

LENGTH = 4  # bytes before each message
_COUNTED = (".py", ".toml")
MOST_VIEWS = 32  # the last ones are known on both sides; older ones are told again


class Setup(msgspec.Struct, frozen=True, tag=True):
    """How to load the packs, and what they must turn out to be: name, version and fingerprint of each, and the faults.

    ``host`` is the fingerprint of the service's own files: an upgrade may exchange them, too, below a running service.
    """

    host: str
    packs: tuple[str, ...] | None
    load_seconds: float
    installed: tuple[tuple[str, str, str], ...]
    faults: tuple[str, ...]


class VenueKnown(msgspec.Struct, frozen=True):
    """A venue in force: its content as JSON, and the fingerprint that it must have when it is bound."""

    name: str
    version: int
    fingerprint: str
    content: bytes


class View(msgspec.Struct, frozen=True, tag=True):
    """What some callers may ask: venues, and the one of a request that names none."""

    number: int
    default: str | None
    venues: tuple[VenueKnown, ...]


class Line(msgspec.Struct, frozen=True):
    """A body to evaluate at a time; ``id`` is there where it is to be kept."""

    body: bytes
    at: datetime
    id: str | None
    brief: bool


class Ask(msgspec.Struct, frozen=True, tag=True):
    """Lines to evaluate for a caller with a view."""

    number: int
    view: int
    lines: list[Line]


class Forget(msgspec.Struct, frozen=True, tag=True):
    """Works were erased: forget what was told of any."""


class Ready(msgspec.Struct, frozen=True, tag=True):
    """The process is ready; ``fit`` if its packs are the service's."""

    fit: bool


class Made(msgspec.Struct, frozen=True, tag=True):
    """The evaluations of what was asked, without the bodies; None where there is none: the service finds out why."""

    number: int
    made: list[NewEvaluation | None]


ToCrew = Setup | View | Ask | Forget
FromCrew = Ready | Made
_encode = msgspec.msgpack.Encoder().encode
to_crew = msgspec.msgpack.Decoder(ToCrew).decode
from_crew = msgspec.msgpack.Decoder(FromCrew).decode


def framed(message: Any) -> bytes:
    """Return a message as it is sent."""
    body = _encode(message)
    return len(body).to_bytes(LENGTH, "big") + body


def setup_of(catalogue: Catalogue, packs: tuple[str, ...] | None, load_seconds: float) -> Setup:
    """Return how a process of the crew loads what a catalogue was made of."""
    installed = tuple((one.pack.name, one.pack.version, one.fingerprint) for one in catalogue.installed)
    return Setup(_host(), packs, load_seconds, installed, tuple(f"{fault.kind}: {fault.message}" for fault in catalogue.faults))


def _host() -> str:
    """Return the fingerprint of this program's files, by their names, sizes and times: to read them all would hold up every start."""
    root, digest = Path(hangworthy.__file__).parent, hashlib.sha256()
    for path in sorted(one for one in root.rglob("*") if one.suffix in _COUNTED):
        told = path.stat()
        digest.update(f"{path.relative_to(root)} {told.st_size} {told.st_mtime_ns}\n".encode())
    return digest.hexdigest()[:16]
