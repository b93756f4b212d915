"""Quantities as a person writes them: "36 1/2 in", "2,4 kg", "6 ± 1"; read into the field's unit.

A text is cut into tokens by one regular expression whose repeats never backtrack, so reading takes time in
proportion to the length. What can be read in two ways is not guessed: the error says how to write it instead.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import Final, NamedTuple, NoReturn

from hangworthy.contract.plain import read_plain

from .units import EXAMPLES, Unit, example_of, field_unit, find_unit, show_quantity, unit_of, units_accepted

__all__ = [
    "EXAMPLES",
    "Measured",
    "QuantityError",
    "parse_quantity",
    "read_quantity",
    "show_quantity",
    "unit_of",
    "units_accepted",
]

_LONGEST: Final = 60  # characters; longer than any measurement, short enough to bound the work
_QUOTED: Final = 40  # characters of the input that an error may repeat
_LARGEST: Final = 10**12
_HOPELESS: Final = 10**30  # no unit brings a larger number back below _LARGEST
_RULER: Final = {2, 3, 4, 5, 6, 8, 16, 32, 64}  # other fractions, "24/36", are two sizes more often than one
# "5 ft 3 in", "1 m 20 cm": pairs that are one measurement, and what the second number must stay below.
_COMPOUND: Final = {("ft", "in"): 12, ("lb", "oz"): 16, ("m", "cm"): 100, ("m", "mm"): 1000, ("kg", "g"): 1000} | {
    ("h", "min"): 60,
    ("yr", "mo"): 12,
}

# Every sign people type for the same thing, as one; "½" is set off by a space, so that "36½" is not 361/2.
_ALIKE: Final = str.maketrans(
    {chr(code): chr(code - 0xFEE0) for code in range(0xFF01, 0xFF5F)}  # full-width forms
    | dict.fromkeys("−–‒‐‑—", "-")
    | dict.fromkeys("″”“„", '"')
    | dict.fromkeys("′’‘´`", "'")
    | {"×": "x", "✕": "x", "⁄": "/", "μ": "µ", "º": "°", "˚": "°", "²": "^2", "³": "^3", "℃": "°C", "℉": "°F"}
    | {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅓": " 1/3", "⅔": " 2/3", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8"}
    | {"⅞": " 7/8", "⅕": " 1/5", "⅖": " 2/5", "⅗": " 3/5", "⅘": " 4/5", "⅙": " 1/6", "⅚": " 5/6"}
)
_PLUS_MINUS: Final = re.compile(r"\+ ?/? ?-|plus ?(?:/|or)? ?minus", re.IGNORECASE)
_HYPHENATED: Final = re.compile(r"(?<=[^\W\d_])-(?=[^\W\d_])")  # "foot-candle"
_ROUGHLY: Final = re.compile(r"[~≈∼]|(?:ca|circa|c|about|approx|approximately|around|roughly|etwa)(?:\.|\b(?!['\"]))", re.I)

_WHOLE: Final = r"(?:[1-9][0-9]{0,2}+(?: [0-9]{3}(?![0-9/]))++|[0-9]++)"
_TOKEN: Final = re.compile(
    rf"""
    (?P<N> (?:(?P<whole>{_WHOLE.replace(" ", "[ ]")})(?:[ ]|-[ ]?))?(?P<top>[0-9]++)/(?P<bottom>[0-9]++)
         | (?P<digits>(?:{_WHOLE.replace(" ", "[ ]")}|(?=[.,][0-9]))(?:[.,][0-9]++)*+)(?:\.(?![0-9.]))?
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
# One letter per token. One number, or two that may be a compound, a range or two measurements.
_SQRT3: Final = math.sqrt(3)
_SIDE: Final = re.compile("(S?)(N)(U?)(?:([SR]?)(S?)(N)(U?))?")


class Measured(NamedTuple):
    """A value and its standard uncertainty, both in the field's unit; `u` is 0.0 when none was given."""

    value: float
    u: float


class QuantityError(ValueError):
    """A text or number that is no quantity for its field. The message says why, and how to write it right."""


class _Token(NamedTuple):
    kind: str
    text: str
    number: Fraction = Fraction(0)


class _Part(NamedTuple):
    number: Fraction
    written: str  # the unit as written; "" if none was


class _Reading(NamedTuple):
    """What is being read: for error messages, and for the unit to assume."""

    text: str
    field: Unit

    def refuse(self, why: str) -> NoReturn:
        raise QuantityError(f"{_quote(self.text)} {why}")

    def refuse_unread(self, why: str = "is not a measurement we can read") -> NoReturn:
        self.refuse(f"{why}: please write {example_of(self.field.symbol)}.")


def read_quantity(raw: float | int | str, unit: str) -> Measured:
    """Value and standard uncertainty [unit] of a number, taken as it is, or of a text (see `parse_quantity`).

    Raises QuantityError for true and false, for anything else that is no number, for infinity, NaN and beyond 1e12.
    """
    if isinstance(raw, str):
        return parse_quantity(raw, unit)
    if isinstance(raw, bool) or not isinstance(raw, (int, float)):
        raise QuantityError(f"A number or a text is needed here: please write {example_of(unit)}.")
    if not abs(raw) <= _LARGEST:  # also true of NaN
        raise QuantityError(f"This number is not finite or far too large: please write {example_of(unit)}.")
    return Measured(float(raw) + 0.0, 0.0)


def parse_quantity(text: str, unit: str) -> Measured:
    """Value and standard uncertainty [unit] of a text such as "36 1/2 in", "5' 3\"", "6 ± 1 mm" or "4.2 kg ± 5 %".

    A text without a unit is in the field's unit. Whoever writes ± states bounds; nothing more being known, the
    distribution is rectangular, and u = a/√3 (JCGM 100:2008, 4.3.7). "±5 %" is relative, but means points where
    the field is itself in %. Raises QuantityError.
    """
    plain = read_plain(text, unit)
    if plain is not None and max(plain) <= _LARGEST:
        return Measured(plain[0], plain[1] / _SQRT3)
    return _parse_fully(text, unit)


def _parse_fully(text: str, unit: str) -> Measured:
    reading = _Reading(text, field_unit(unit))
    tokens = _scan(reading)
    kinds = "".join(token.kind for token in tokens)
    left, _, right = kinds.partition("P")
    parts = _side(reading, tokens[: len(left)], left)
    bounds = _side(reading, tokens[len(left) + 1 :], right) if "P" in kinds else ()
    relative = len(bounds) == 1 and _is_relative(reading, bounds[0])
    if len(parts) == 1 and not parts[0].written and bounds and not relative:
        parts = (_Part(parts[0].number, bounds[-1].written),)  # "6 ± 1 mm": the unit covers both
    if len(bounds) == 1 and not bounds[0].written:
        bounds = (_Part(bounds[0].number, parts[-1].written),)
    value = _convert(reading, parts)
    if any(part.number < 0 for part in bounds):
        reading.refuse(f"has a negative uncertainty: please write it without the second minus, like {_pm(6, 1)}.")
    if relative:
        half = abs(value) * bounds[0].number / 100
    else:
        half = abs(_convert(reading, bounds, difference=True)) if bounds else Fraction(0)
    if max(abs(value), half) > _LARGEST:
        reading.refuse_unread("is far too large")
    return Measured(float(value), float(half) / _SQRT3)


def _scan(reading: _Reading) -> list[_Token]:
    """The tokens of the text, neighbouring unit words joined ("sq ft", "mm per m")."""
    if len(reading.text) > _LONGEST:
        reading.refuse_unread("is too long for one measurement")
    text = " ".join(reading.text.translate(_ALIKE).split()).replace("''", '"')
    if not text:
        raise QuantityError(f"Nothing is written here: please write {example_of(reading.field.symbol)}.")
    if _ROUGHLY.match(text):
        reading.refuse(f"is only roughly known: please say how well with ±, like {_pm(6, 1)}.")
    text = _HYPHENATED.sub(" ", _PLUS_MINUS.sub("±", text))
    tokens: list[_Token] = []
    for match in _TOKEN.finditer(text):
        kind = match.lastgroup or "O"
        if kind == "U" and tokens and tokens[-1].kind == "U":
            tokens[-1] = _Token("U", f"{tokens[-1].text} {match[0]}")
        else:
            tokens.append(_Token(kind, match[0], _number(reading, match) if kind == "N" else Fraction(0)))
    return tokens


def _number(reading: _Reading, match: re.Match[str]) -> Fraction:
    if match["bottom"]:
        top, bottom = int(match["top"]), int(match["bottom"])
        if bottom not in _RULER:
            _refuse_two(reading)
        if top >= bottom:
            reading.refuse("has a fraction that is not below one: please write it like 36 1/2, or as a decimal.")
        return int((match["whole"] or "0").replace(" ", "")) + Fraction(top, bottom)
    number = Fraction(_decimal(reading, match["digits"]))
    power = match["power"] or "0"
    if len(power) > 4 or abs(number * Fraction(10) ** int(power)) > _HOPELESS:
        reading.refuse_unread("is out of any sensible range")
    return number * Fraction(10) ** int(power)


def _decimal(reading: _Reading, digits: str) -> str:
    """Digits with a decimal point and no thousands marks; refuses "1,200", which is 1200 to some and 1.2 to others."""
    whole, *rest = re.split("[.,]", digits)
    marks = [char for char in digits if char in ".,"]
    grouped = 0 < len(whole) < 4 and whole[0] != "0" and all(len(group) == 3 for group in rest[:-1])
    if marks == [","] and len(rest[0]) == 3 and grouped:
        small = f"{whole}.{rest[0]}".rstrip("0").rstrip(".")
        reading.refuse(f"can be read in two ways: please write {whole}{rest[0]} or {small}.")
    if len(marks) > 1 and len(set(marks)) == 1 and grouped and len(rest[-1]) == 3:
        return whole + "".join(rest)  # 1,234,567
    if len(marks) > 1 and (len(set(marks[:-1])) > 1 or marks[-1] in marks[:-1] or not grouped):
        reading.refuse_unread("has too many points or commas")
    return "".join([whole.replace(" ", "") or "0", *rest[:-1]]) + (f".{rest[-1]}" if rest else "")


def _side(reading: _Reading, tokens: list[_Token], kinds: str) -> tuple[_Part, ...]:
    """The one measurement on this side of the ±: one part, or two for feet and inches, pounds and ounces."""
    shape = _SIDE.fullmatch(kinds)
    if not shape:
        if kinds.count("N") > 1 and "P" not in kinds:
            _refuse_two(reading)
        reading.refuse_unread()

    def part(sign: int, number: int, unit: int) -> _Part:
        minus = bool(shape[sign]) and tokens[shape.start(sign)].text == "-"
        value = tokens[shape.start(number)].number
        return _Part(-value if minus else value, tokens[shape.start(unit)].text if shape[unit] else "")

    first = part(1, 2, 3)
    if not shape[6]:
        return (first,)
    second = part(5, 6, 7)
    joint = tokens[shape.start(4)].text if shape[4] else ""
    if not shape[5] and (pair := _compound(reading, first, second, joint)):
        return pair
    if joint and joint != "+":
        _refuse_range(reading, first, second)
    return _refuse_two(reading)


def _compound(reading: _Reading, first: _Part, second: _Part, joint: str) -> tuple[_Part, _Part] | None:
    """Both parts with one sign, if they make one measurement. Joined by "-", only 5'-3\" does: 5'-6 may be a range."""
    big, small = find_unit(first.written, reading.field), find_unit(second.written or "in", reading.field)
    most = _COMPOUND.get((big.symbol, small.symbol)) if big and small else None
    if joint and (joint != "-" or most != 12 or not second.written):
        return None
    if most is None or first.number.denominator != 1 or second.number >= most:
        return None
    minus = first.number < 0
    return first, _Part(-second.number if minus else second.number, second.written or "in")


def _is_relative(reading: _Reading, bound: _Part) -> bool:
    """Is this uncertainty a share of the value? Never in a % field; refused where zero is arbitrary, as in °C."""
    found = find_unit(bound.written, reading.field) if bound.written else None
    if not found or found.symbol != "%" or reading.field.symbol == "%":
        return False
    if reading.field.dimension == "a temperature":
        reading.refuse(f"has an uncertainty in %, which a temperature cannot have: please write {_pm(21, 1)} °C.")
    return True


def _convert(reading: _Reading, parts: tuple[_Part, ...], *, difference: bool = False) -> Fraction:
    """The sum of the parts in the field's unit; a difference (an uncertainty) scales, but does not shift."""
    field, total = reading.field, Fraction(0)
    for number, written in parts:
        unit = find_unit(written, field) if written else field
        if unit is None:
            reading.refuse_unread(f"has a unit, {_quote(written)}, that we do not know")
        if unit.dimension != field.dimension:
            reading.refuse_unread(f"is {unit.dimension}, but this is {field.dimension}")
        shift = Fraction(0) if difference else unit.offset - field.offset
        total += (number * unit.factor + shift) / field.factor
    return total


def _refuse_two(reading: _Reading) -> NoReturn:
    reading.refuse_unread("looks like two measurements, and one is needed")


def _refuse_range(reading: _Reading, first: _Part, second: _Part) -> NoReturn:
    """Refuse "5-7 mm", and say it as "6 ± 1 mm": in the unit as written, or the field's if there are two units."""
    unit = second.written or first.written
    low, high = first.number, second.number
    _convert(reading, (_Part(low, unit),))  # a wrong unit is the worse fault
    if first.written and first.written != unit:
        low, high = _convert(reading, (first,)), _convert(reading, (second,))
        unit = reading.field.symbol
    suggestion = _pm((low + high) / 2, abs(high - low) / 2)
    reading.refuse(f"is a range: please write {' '.join((suggestion, unit)).strip()}.")


def _pm(middle: Fraction | int, half: Fraction | int) -> str:
    return f"{float(middle):.10g} ± {float(half):.10g}"


def _quote(text: str) -> str:
    """At most 40 characters of the input, with control and direction marks made visible."""
    short = text if len(text) <= _QUOTED else text[: _QUOTED - 1] + "…"
    shown = "".join(char if char.isprintable() or char.isspace() else f"\\u{ord(char):04x}" for char in short)
    return f"“{' '.join(shown.split())}”"
