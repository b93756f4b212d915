"""The script that puts hints into a form that is there already, as it is served."""

from importlib.resources import files


def hints_script() -> bytes:
    """Return the script: plain JavaScript in UTF-8, under 10 KiB."""
    return (files(__package__) / "hints.js").read_bytes()
