"""One invented scenario as data: a venue, works by invented artists, a half-filled form, and a programme of 200 works."""

from collections.abc import Container
from importlib.resources import files
from pathlib import Path


def demo_venue_path() -> Path:
    """Return the venue's file."""
    return Path(str(files(__package__) / "venue.toml"))


def demo_venue_text(facts: Container[str], packs: Container[str]) -> str:
    """Return the venue without what nobody would understand: facts of walls that no installed pack declares, limits of packs that are gone.

    ``facts`` holds the paths of all facts ("wall.build"), ``packs`` the names of the installed packs.
    """
    kept, table = [], ""
    for line in demo_venue_path().read_text(encoding="utf-8").splitlines():
        table = line.strip("[]") if line.startswith("[") else table
        name, is_entry, _ = line.partition(" = ")
        gone = table in ("conditions", "walls") and name != "name" and f"wall.{name}" not in facts
        gone |= table == "limits" and name.strip('"').partition(".")[0] not in packs
        if not (is_entry and gone and not line.startswith("#")):
            kept.append(line)
    return "\n".join(kept) + "\n"


def demo_works() -> bytes:
    """Return the works, as one request at the stage of the offer."""
    return (files(__package__) / "works.json").read_bytes()


def demo_frames() -> bytes:
    """Return nine works that share three frames, as one request for a frame plan. Its answer can be checked on paper.

    Seven can hang. “tide-4” is 20 mm wider than the A2 frame and only 8 mm may go, so at most eight compete. With “gull-5” four works
    would want the three frames in the week of 8 March, and four in that of 29 March, and none of the others hangs in both weeks: so two
    would have to go for it. Without it no day has more works than frames. Only “tide-2” has to be cropped, by 10 mm and 6 mm.
    """
    return (files(__package__) / "frames.json").read_bytes()


def demo_call() -> str:
    """Return a half-filled form as an artist might send it, on one line and without single quotation marks."""
    return " ".join((files(__package__) / "call.json").read_text(encoding="utf-8").split())
