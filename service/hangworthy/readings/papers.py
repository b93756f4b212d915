"""Paper sizes by name: “A3”, “DIN A2 quer”. The A and B series of ISO 216, whose sheets are named without saying which way they hang."""

import re
from typing import Final

# A0 has an area of one square metre, B0 is one metre wide; each further size is the one before, cut in half and rounded down.
_FIRST: Final = {"A": (841, 1189), "B": (1000, 1414)}
_SMALLEST: Final = 6
_NAME: Final = re.compile(r"(?P<by>(?:din|iso)(?:[ ]|[-](?=[ab]))?)?(?P<series>[ab])(?:(?<=[ -][ab])[ ]?)?(?P<number>[0-6])", re.IGNORECASE)


def _series(width: int, height: int) -> list[tuple[int, int]]:
    made = [(width, height)]
    while len(made) <= _SMALLEST:
        wide, high = made[-1]
        made.append((high // 2, wide))
    return made


_SIZES: Final = {letter: _series(*first) for letter, first in _FIRST.items()}


def paper_size(name: str) -> tuple[int, int] | None:
    """Return the shorter and the longer side [mm] of a sheet called so; None for what is no such name.

    A bare “B4” is none: to a German it is as likely a width of 4.
    """
    found = _NAME.fullmatch(name)
    if found is None or (found["by"] is None and found["series"] != "A"):
        return None
    return _SIZES[found["series"].upper()][int(found["number"])]
