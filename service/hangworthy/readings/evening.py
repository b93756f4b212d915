"""A line of dimensions with one sign for what people write in many ways, before it is cut into tokens; every place stays."""

import re
from collections.abc import Sequence
from typing import Final

from hangworthy.contract.tokens import PLUS_MINUS, evened

_SLASH: Final = re.compile(r"(?<![0-9wW])/|/(?![0-9oO])|[\r\n|]")  # a slash that makes no fraction and no “w/o” parts a line in two
# An × without a space before it may hang on a unit or a letter: “80cmx60cm”, “60bx80h”, “60xH80”. “mal” is German for it.
_GLUED: Final = re.compile(r"[xX](?<=[0-9A-Za-z.][xX])(?=[hwdbtlHWDBTL]?[.:]? ?[0-9])")
_BEFORE: Final = re.compile(r"(?:[0-9]|(?<![^\W\d_])(?:[cdm]?m|in|inch(?:es)?|zoll|ft|[hwdbtl])\.?)\Z", re.IGNORECASE)
_MAL: Final = re.compile(r"(?<=[\w.\"')] )mal(?= \(?[hwdbtl]?[.:]? ?[0-9])", re.IGNORECASE)
_LONGEST: Final = len(" inches.")


def one_way(text: str) -> tuple[str, Sequence[int]]:
    """Return a line evened, and for each of its characters the place in the line as it was written."""
    plain, places = evened(_SLASH.sub(";", text))
    if "+" in plain or "plus" in plain:
        plain, places = _one_sign(plain, places)
    if _GLUED.search(plain):
        plain = _GLUED.sub(_times, plain)
    if "mal" in plain.lower():
        plain = _MAL.sub("*  ", plain)
    return plain, places


def _times(match: re.Match[str]) -> str:
    """Return the sign that is always an × for one that hangs on a number, a unit or a letter of a way; in as many characters."""
    start = match.start()
    return "*" if _BEFORE.search(match.string[max(0, start - _LONGEST) : start]) else match[0]


def _one_sign(plain: str, places: Sequence[int]) -> tuple[str, Sequence[int]]:
    """Write every ± as one sign, and keep the places."""
    made, kept, done = [], [], 0
    for match in PLUS_MINUS.finditer(plain):
        made += [plain[done : match.start()], "±"]
        kept += [*places[done : match.start()], places[match.start()]]
        done = match.end()
    return "".join(made) + plain[done:], [*kept, *places[done:]]
