"""One invented scenario as data: a venue, twenty works by invented artists, and a half-filled form."""

from importlib.resources import files
from pathlib import Path


def demo_venue_path() -> Path:
    """Return the venue's file."""
    return Path(str(files(__package__) / "venue.toml"))


def demo_works() -> bytes:
    """Return the works, as one request at the stage of the offer."""
    return (files(__package__) / "works.json").read_bytes()


def demo_call() -> str:
    """Return a half-filled form as an artist might send it, on one line and without single quotation marks."""
    return " ".join((files(__package__) / "call.json").read_text(encoding="utf-8").split())
