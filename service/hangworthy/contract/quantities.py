"""Quantities as a person writes them: "36 1/2 in", "2,4 kg", "6 ± 1"; read into the field's unit.

Numbers and unit words are cut out by `tokens`, which lines of dimensions are read with as well. What can be read in
two ways is not guessed: the error says how to write it instead.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import Final, NamedTuple, NoReturn

from hangworthy.contract.plain import read_plain

from .tokens import COMPOUND, HYPHENATED, PLUS_MINUS, Token, evened, scan
from .units import EXAMPLES, Unit, example_of, field_unit, find_unit, show_quantity, unit_of, units_accepted

__all__ = [
    "EXAMPLES",
    "Measured",
    "QuantityError",
    "parse_quantity",
    "quote",
    "read_quantity",
    "show_quantity",
    "unit_of",
    "units_accepted",
]

_LONGEST: Final = 60  # characters; longer than any measurement, short enough to bound the work
_UNREAD: Final = "is not a measurement we can read"
_QUOTED: Final = 40  # characters of the input that an error may repeat
_LARGEST: Final = 10**12
_ROUGHLY: Final = re.compile(r"[~≈∼]|(?:ca|circa|c|about|approx|approximately|around|roughly|etwa)(?:\.|\b(?!['\"]))", re.I)

# One letter per token. One number, or two that may be a compound, a range or two measurements.
_SQRT3: Final = math.sqrt(3)
_SIDE: Final = re.compile("(S?)(N)(U?)(?:([SR]?)(S?)(N)(U?))?")


class Measured(NamedTuple):
    """A value and its standard uncertainty, both in the field's unit; `u` is 0.0 when none was given."""

    value: float
    u: float


class QuantityError(ValueError):
    """A text or number that is no quantity for its field. The message says why, and how to write it right."""


class _Part(NamedTuple):
    number: Fraction
    written: str  # the unit as written; "" if none was


class _Reading(NamedTuple):
    """What is being read: for error messages, and for the unit to assume."""

    text: str
    field: Unit

    def refuse(self, why: str) -> NoReturn:
        raise QuantityError(f"{quote(self.text)} {why}")

    def refuse_unread(self, why: str = _UNREAD) -> NoReturn:
        words = why is _UNREAD and not any(map(str.isdigit, self.text))
        left = ", or leave it out if not known" if words else ""
        self.refuse(f"{why}: please write {example_of(self.field.symbol)}{left}.")


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


def _scan(reading: _Reading) -> list[Token]:
    """The tokens of the text, neighbouring unit words joined ("sq ft", "mm per m")."""
    if len(reading.text) > _LONGEST:
        reading.refuse_unread("is too long for one measurement")
    text, _ = evened(reading.text)
    if not text:
        raise QuantityError(f"Nothing is written here: please write {example_of(reading.field.symbol)}.")
    if _ROUGHLY.match(text):
        reading.refuse(f"is only roughly known: please say how well with ±, like {_pm(6, 1)}.")
    tokens: list[Token] = []
    for token in scan(HYPHENATED.sub(" ", PLUS_MINUS.sub("±", text))):
        if token.fault is not None:
            (reading.refuse_unread if token.fault.unread else reading.refuse)(token.fault.sentence)
        if token.kind == "U" and tokens and tokens[-1].kind == "U":
            token = token._replace(text=f"{tokens[-1].text} {token.text}")
            tokens.pop()
        tokens.append(token)
    return tokens


def _side(reading: _Reading, tokens: list[Token], kinds: str) -> tuple[_Part, ...]:
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
    most = COMPOUND.get((big.symbol, small.symbol)) if big and small else None
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
            reading.refuse_unread(f"has a unit, {quote(written)}, that we do not know")
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


def quote(text: str) -> str:
    """At most 40 characters of the input, with control and direction marks made visible."""
    short = text if len(text) <= _QUOTED else text[: _QUOTED - 1] + "…"
    shown = "".join(char if char.isprintable() or char.isspace() else f"\\u{ord(char):04x}" for char in short)
    return f"“{' '.join(shown.split())}”"
