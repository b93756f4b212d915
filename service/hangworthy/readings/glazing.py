"""The pane in front of a work, read where a text says so outright: “framed behind glass”, “unter Plexiglas”, “gerahmt und verglast”.

Glass as what a work is made of or on is no pane. So a pane is only read beside a word for the frame, or where a part of the text says just
this; never of what is mounted, printed or painted on it, and never of what is only to be done.
"""

import re
from collections.abc import Iterator
from typing import Final, NamedTuple

from hangworthy.contract.reading import Source
from hangworthy.readings.model import Found, Unsure

GLASSES: Final = ("float-glass", "toughened-glass", "laminated-glass")
_ANY: Final = (*GLASSES, "acrylic", "polycarbonate")
_PART: Final = re.compile(r"[^,;.()|\r\n/]++")

# Which pane a word names: the material, or “glass”, of which there are several, or “pane”, which may be anything.
_NAMED: Final[dict[str, str]] = {
    "acrylic": r"plexi(?:gla(?:ss?|s))?|perspex|lucite|pmma|acrylic(?: glass| sheet)?|acryl(?:glas)?",
    "polycarbonate": "polycarbonate?",
    "laminated-glass": "laminated glass|vsg(?:[ -]glas)?|verbundglas|verbund-?sicherheitsglas",
    "toughened-glass": "(?:toughened|tempered) glass|esg(?:[ -]glas)?|einscheiben-?sicherheitsglas",
    "float-glass": "float[ -]?glass?",
    "glass": "(?:museum-?|museums-?|bilder-?|picture |antireflex-?|sicherheits-?|safety )?glass?",
}
_PANE: Final = "(?:" + "|".join(f"(?P<{name.replace('-', '_')}>{words})" for name, words in _NAMED.items()) + ")[®™]?"
_ANY_PANE: Final = re.compile(r"gla[sz]|plexi|perspex|lucite|pmma|acryl|polycarb|vsg|esg", re.IGNORECASE)
_SUCH: Final = r"(?:[^\W\d_][\w-]*+ ){0,2}?"  # “anti-reflective museum”, “einer Scheibe”
_BEHIND: Final = re.compile(rf"\b(?:behind|under|beneath|hinter|unter) {_SUCH}{_PANE}(?![\w-])", re.IGNORECASE)
_WITH: Final = re.compile(rf"\b(?:with|mit) {_SUCH}{_PANE}(?![\w-])", re.IGNORECASE)
_GLAZING: Final = re.compile(rf"\b(?:(?:in|with|mit|unter) )?{_PANE}(?: |-)?(?:glazing|verglasung)\b", re.IGNORECASE)
_NONE: Final = re.compile(r"\b(?:unglazed|unverglast|(?:without|ohne) (?:glass?|glazing|verglasung))\b", re.IGNORECASE)
_GLAZED: Final = re.compile(r"\b(?:glazed|verglast)\b", re.IGNORECASE)

_FRAME: Final = re.compile(r"\b(?:framed|(?:ein)?gerahmt(?:e[mnrs]?)?|frame|(?!keil|spann)[^\W\d_]++(?<=rahmen))\b", re.IGNORECASE)
_FRAMED: Final = re.compile(r"\b(?:framed|(?:ein)?gerahmt(?:e[mnrs]?)?)\b", re.IGNORECASE)
# What is made with a pane, not put behind one; and what is not so, or not yet.
_OTHERWISE: Final = re.compile(
    r"\b(?:\w*mount(?:ed)?|kaschiert|laminiert|aufgezogen|diasec|bonded|painted|gemalt|\w*malerei|reverse|printed|gedruckt|engraved"
    r"|to|be|can|could|may|must|should|will|would|soll(?:te)?|wird|werden|kann|muss|not|never|nicht|nie|kein(?:e[mnrs]?)?|or|oder)\b",
    re.IGNORECASE,
)


class Pane(NamedTuple):
    """A pane that a text names: a choice of the fact, “glass” or “pane” where it may be several; where it stands, and the word “framed”
    beside it (None: the work may be in no frame).
    """

    value: str
    start: int
    end: int
    framed: tuple[int, int] | None


def panes(text: str) -> list[Pane]:
    """Return the panes that a text names outright."""
    if _ANY_PANE.search(text) is None:  # as of most works
        return []
    return [pane for part in _PART.finditer(text) if (pane := _pane(part[0], part.start())) is not None]


def _pane(part: str, start: int) -> Pane | None:
    if (found := _phrase(part)) is None:
        return None
    value, first, last, alone = found
    rest = f"{part[:first]} {part[last:]}"
    if _OTHERWISE.search(rest) or not (_FRAME.search(rest) or (alone and not rest.strip())):
        return None
    told = _FRAMED.search(part)
    return Pane(value, start + first, start + last, (start + told.start(), start + told.end()) if told else None)


def _phrase(part: str) -> tuple[str, int, int, bool] | None:
    """Return which pane a part of a text names and where, and whether these words say enough where nothing stands beside them."""
    if match := _NONE.search(part):
        return "none", match.start(), match.end(), match[0].lower() != "unglazed"
    for pattern, alone in ((_GLAZING, True), (_BEHIND, True), (_WITH, False)):
        if (match := pattern.search(part)) and (alone or _FRAMED.search(part)):  # a frame with glass may be one of glass
            value = next(name for name in _NAMED if match[name.replace("-", "_")])
            return value, match.start(), match.end(), alone
    match = _GLAZED.search(part)  # an English pot is glazed as well, or unglazed
    return ("pane", match.start(), match.end(), match[0].lower() == "verglast") if match else None


def read_panes(found: list[Pane], source: Source) -> Iterator[Found | Unsure]:
    """Yield what the pane is made of, or the question which of several it is."""
    if not found:
        return
    span = (found[0].start, found[-1].end)
    values = {one.value for one in found}
    sure = values - {"glass", "pane"}
    if ("none" in values and len(values) > 1) or len(sure) > 1 or ("glass" in values and sure - set(GLASSES)):
        yield Unsure(("glazing",), source, *span, "glazing-open", _ANY)
    elif sure:
        one = next(one for one in found if one.value in sure)
        yield Found("glazing", one.value, source, one.start, one.end, "glazing-told")
    elif "glass" in values:
        yield Unsure(("glazing",), source, *span, "glass-open", GLASSES)
    else:
        yield Unsure(("glazing",), source, *span, "pane-open", _ANY)


def without(text: str, found: list[Pane]) -> str:
    """Return a text with blanks for its panes: what stands in front of a work is nothing that it is made of."""
    for one in found:
        text = f"{text[: one.start]}{' ' * (one.end - one.start)}{text[one.end :]}"
    return text
