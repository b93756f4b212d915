"""Telling the coordinator what a remedy tells the artist: whoever plans is not sent to ask us, or a coordinator."""

import re

# What remedies ask of the programme, in the words of the house and in those of outside packs; a test holds every pack's against it.
_DOES = re.compile(r"\b(?:ask your coordinator to|tell your coordinator, who will|your coordinator will) (not )?(\w)", re.IGNORECASE)
_WE = re.compile(r"(?:^|(?<=[.!?] ))We (\w)")
_LOOKS = re.compile(r"\b(?:(?:ask )?your coordinator for|ask us for|(?<=or )us for|ask for)\b", re.IGNORECASE)


def to_coordinator(remedy: str) -> str:
    """Return a remedy as the coordinator reads it: what is asked of the coordinator becomes what to do."""
    told = _WE.sub(lambda found: found[1].upper(), remedy)
    return _LOOKS.sub(lambda found: _as("look for", found[0]), _DOES.sub(_does, told))


def _does(found: re.Match[str]) -> str:
    return _as(f"do not {found[2]}" if found[1] else found[2], found[0])


def _as(text: str, instead_of: str) -> str:
    """Return a text that begins with a capital where what it stands for did."""
    return text[0].upper() + text[1:] if instead_of[0].isupper() else text
