"""Numbers and unit words in a person's text, with the place of each: what a quantity and a line of dimensions are both made of.

A text is first evened (every sign that people type for the same thing becomes one) and then cut by one regular expression whose repeats
never backtrack, so the time is in proportion to the length. A number that can be read in two ways is not guessed: its token has a fault.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final, NamedTuple

__all__ = ["COMPOUND", "HYPHENATED", "PLUS_MINUS", "NumberFault", "Token", "evened", "scan"]

_HOPELESS: Final = 10**30  # no unit brings a larger number back into any field's range
_RULER: Final = {2, 3, 4, 5, 6, 8, 16, 32, 64}  # other fractions, "24/36", are two sizes more often than one
# "5 ft 3 in", "1 m 20 cm": pairs that are one measurement, and what the second number must stay below.
COMPOUND: Final = {("ft", "in"): 12, ("lb", "oz"): 16, ("m", "cm"): 100, ("m", "mm"): 1000, ("kg", "g"): 1000} | {
    ("h", "min"): 60,
    ("yr", "mo"): 12,
}

# Every sign people type for the same thing, as one; "½" is set off by a space, so that "36½" is not 361/2.
_ALIKE: Final = (
    {chr(code): chr(code - 0xFEE0) for code in range(0xFF01, 0xFF5F)}  # full-width forms
    | dict.fromkeys("−–‒‐‑—", "-")
    | dict.fromkeys("″”“„", '"')
    | dict.fromkeys("′’‘´`", "'")
    | {"×": "x", "✕": "x", "⁄": "/", "μ": "µ", "º": "°", "˚": "°", "²": "^2", "³": "^3", "℃": "°C", "℉": "°F"}
    | {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅓": " 1/3", "⅔": " 2/3", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8"}
    | {"⅞": " 7/8", "⅕": " 1/5", "⅖": " 2/5", "⅗": " 3/5", "⅘": " 4/5", "⅙": " 1/6", "⅚": " 5/6"}
)
PLUS_MINUS: Final = re.compile(r"\+ ?/? ?-|plus ?(?:/|or)? ?minus", re.IGNORECASE)
HYPHENATED: Final = re.compile(r"(?<=[^\W\d_])-(?=[^\W\d_])")  # "foot-candle"

_WHOLE: Final = r"(?:[1-9][0-9]{0,2}+(?:[ ][0-9]{3}(?![0-9/]))++|[0-9]++)"
_TOKEN: Final = re.compile(
    rf"""
    (?P<N> (?:(?P<whole>{_WHOLE})(?:[ ]|-[ ]?))?(?P<top>[0-9]++)/(?P<bottom>[0-9]++)
         | (?P<digits>(?:{_WHOLE}|(?=[.,][0-9]))(?:[.,][0-9]++)*+)(?:\.(?![0-9.]))?
           (?:e(?P<power>[+-]?[0-9]++))? )
  | (?P<R> \.\.++ | … | (?:to|bis)(?![^\W\d_]) )
  | (?P<X> (?:x|by)(?![^\W\d_]) | \* )
  | (?P<P> ± )
  | (?P<S> [+-] )
  | (?P<U> ["'] | (?:[^\W\d_]\^?[23](?![\w.,/]) | [^\W\d_]\.? | [°%/])++ )
  | (?P<O> \S )
    """,
    re.VERBOSE | re.IGNORECASE,
)
_NONE: Final = Fraction(0)


class NumberFault(NamedTuple):
    """Why digits are no number: the end of a sentence about the text, and what they might have meant.

    ``unread``: an example of a right text belongs behind the sentence. ``choices``: the numbers that it could be, if there are some.
    """

    sentence: str
    unread: bool = False
    choices: tuple[Fraction, ...] = ()


class Token(NamedTuple):
    """One token: N number, R range, X times, P ±, S sign, U unit or word, O other; ``start`` and ``end`` in the text as written."""

    kind: str
    text: str
    number: Fraction
    start: int
    end: int
    fault: NumberFault | None


def evened(text: str) -> tuple[str, Sequence[int]]:
    """Text with one sign for one thing and single spaces, and for each of its characters (and its end) the place in the text as written."""
    if text.isascii() and text.isprintable() and "  " not in text and "''" not in text and text == text.strip():
        return text, range(len(text) + 1)
    made: list[str] = []
    places: list[int] = []
    for place, char in enumerate(text):
        for one in _ALIKE.get(char, char):
            blank = one.isspace()
            if blank and (not made or made[-1] == " "):
                continue
            if one == "'" and made and made[-1] == "'":
                made[-1], places[-1] = '"', place
                continue
            made.append(" " if blank else one)
            places.append(place)
    if made and made[-1] == " ":
        made.pop()
        places.pop()
    return "".join(made), [*places, places[-1] + 1 if places else 0]


def scan(text: str, places: Sequence[int] | None = None) -> Iterator[Token]:
    """Yield the tokens of an evened text; ``places`` as `evened` gives them, or none where nobody asks for them."""
    for match in _TOKEN.finditer(text):
        kind, start, end = match.lastgroup or "O", match.start(), match.end()
        if places is not None:
            start, end = places[start], places[end - 1] + 1
        number, fault = _number(match) if kind == "N" else (_NONE, None)
        yield Token(kind, match[0], number, start, end, fault)


def _number(match: re.Match[str]) -> tuple[Fraction, NumberFault | None]:
    if match["bottom"]:
        top, bottom = int(match["top"][:40]), int(match["bottom"][:40])
        if bottom not in _RULER:
            return _NONE, NumberFault("looks like two measurements, and one is needed", unread=True)
        if top >= bottom:
            return _NONE, NumberFault("has a fraction that is not below one: please write it like 36 1/2, or as a decimal.")
        return int((match["whole"] or "0").replace(" ", "")) + Fraction(top, bottom), None
    digits, power = match["digits"], match["power"] or "0"
    if digits.isdigit() and len(digits) <= 9 and power == "0":
        return Fraction(int(digits)), None
    decimal, fault = _decimal(digits)
    if fault is not None:
        return _NONE, fault
    number = Fraction(decimal)
    if len(power) > 4 or abs(number * Fraction(10) ** int(power)) > _HOPELESS:
        return _NONE, NumberFault("is out of any sensible range", unread=True)
    return number * Fraction(10) ** int(power), None


def _decimal(digits: str) -> tuple[str, NumberFault | None]:
    """Digits with a decimal point and no thousands marks; a fault for "1,200", which is 1200 to some and 1.2 to others."""
    whole, *rest = re.split("[.,]", digits)
    marks = [char for char in digits if char in ".,"]
    grouped = 0 < len(whole) < 4 and whole[0] != "0" and all(len(group) == 3 for group in rest[:-1])
    if marks == [","] and len(rest[0]) == 3 and grouped:
        large, small = whole + rest[0], f"{whole}.{rest[0]}".rstrip("0").rstrip(".")
        sentence = f"can be read in two ways: please write {large} or {small}."
        return "", NumberFault(sentence, choices=(Fraction(large), Fraction(small)))
    if len(marks) > 1 and len(set(marks)) == 1 and grouped and len(rest[-1]) == 3:
        return whole + "".join(rest), None  # 1,234,567
    if len(marks) > 1 and (len(set(marks[:-1])) > 1 or marks[-1] in marks[:-1] or not grouped):
        return "", NumberFault("has too many points or commas", unread=True)
    return "".join([whole.replace(" ", "") or "0", *rest[:-1]]) + (f".{rest[-1]}" if rest else ""), None
