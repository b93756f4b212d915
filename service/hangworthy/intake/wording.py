"""What to say of a value that does not fit its fact: what was wrong, and what would be right, from the fact's own declaration."""

import math
import re
from collections.abc import Iterator
from datetime import date
from typing import Any

from hangworthy.contract.money import money_fault, no_money
from hangworthy.contract.quantities import QuantityError, read_quantity
from hangworthy.contract.units import example_of
from hangworthy.engine.reading import nearest, out_of_range
from hangworthy.engine.schema import LIST_LENGTH, Schema, Slot
from hangworthy.intake.faults import quote
from hangworthy.intake.shape import MONEY_PATTERN, MOST_MONEY

_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}\Z")
_MONEY = re.compile(MONEY_PATTERN.rstrip("$") + r"\Z")
_OF = re.compile(r"\s*([0-9]{1,7})\s*(?:/|of|von)\s*([0-9]{1,7})\s*")
_PAIR = ("edition_number", "edition_size")  # which copy it is, and of how many; they are read together from free text as well
_MOST_CHOICES = 10
_PLURALS = {"number": "measurements", "count": "whole numbers", "yes_no": "answers, true or false", "date": "dates"}
_GENERAL = "does not fit; see the description of this fact."


def is_day(text: str) -> bool:
    """Return whether a text is a date of the calendar as ISO 8601 writes it."""
    if not _DAY.match(text):
        return False
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


def is_money(text: str) -> bool:
    """Return whether a text is an amount as the wire schema states it."""
    return bool(_MONEY.match(text))


def misfits(slot: Slot, value: Any, schema: Schema) -> Iterator[tuple[int | None, str]]:
    """Yield what is wrong with a value that does not fit its fact: the place in its list (None: the whole), and the sentence."""
    if slot.count is None:
        yield None, _two_in_one(slot, value, schema) or misfit(slot, value) or f"{slot.ask.title} {_GENERAL}"
        return
    if not isinstance(value, list):
        yield None, f"{slot.ask.title} must be a list of {_how_many(slot)}, in square brackets."
        return
    if (slot.count and len(value) != slot.count) or len(value) > LIST_LENGTH:
        yield None, length(slot, value)
    for place, item in enumerate(value[:LIST_LENGTH]):
        if sentence := misfit(slot, item):
            yield place, sentence


def length(slot: Slot, value: list[Any]) -> str:
    """Return the sentence for a list that is too long or too short."""
    if slot.count is None:
        return f"{slot.ask.title} must be one value, not a list of {len(value)}."
    return f"{slot.ask.title} must be a list of {_how_many(slot)}; {len(value)} were given."


def _how_many(slot: Slot) -> str:
    things = _PLURALS.get(slot.kind, "texts")
    return f"{slot.count} {things}" if slot.count else f"at most {LIST_LENGTH} {things}"


def misfit(slot: Slot, value: Any) -> str | None:
    """Return what is wrong with one value, or None when it fits."""
    said: str | None = _BY_KIND[slot.kind](slot, value)
    return said


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _outside(slot: Slot, value: float) -> bool:
    lo, hi = slot.ask.lo, slot.ask.hi
    return (lo is not None and value < lo) or (hi is not None and value > hi)


def _number(slot: Slot, value: Any) -> str | None:
    title = slot.ask.title
    if isinstance(value, str):
        try:
            measured = read_quantity(value, slot.unit).value
        except QuantityError as error:
            return str(error)
        return out_of_range(slot, measured) if _outside(slot, measured) else None
    if not _is_number(value):
        return f"{title} must be a number or a text: please write {example_of(slot.unit)}."
    if _outside(slot, value) and abs(value) < 1e15:
        return out_of_range(slot, float(value))
    if abs(value) >= 1e15 or not math.isfinite(value):
        return f"{title} is far too large a number: please write {example_of(slot.unit)}."
    return None


def _count(slot: Slot, value: Any) -> str | None:
    if _is_number(value) and value == value // 1 and not _outside(slot, value) and abs(value) < 2**63:
        return None
    lo, hi = slot.ask.lo, slot.ask.hi
    least, most = ("" if end is None else f"{end:,.15g}" for end in (lo, hi))
    between = f" between {least} and {most}" if least and most else f" of {least} or more" if least else ""
    return f"{slot.ask.title} must be a whole number{between}, without quotation marks."


def _two_in_one(slot: Slot, value: Any, schema: Schema) -> str | None:
    """Return what to say of “3/20” in the field for one of the two numbers; None where it is not that."""
    found = _OF.fullmatch(value) if isinstance(value, str) and slot.ask.reads in _PAIR else None
    other = next((one for one in schema.slots if one.ask.reads in _PAIR and one.ask.reads != slot.ask.reads), None)
    if found is None or other is None:
        return None
    own, rest = (found[1], found[2]) if slot.ask.reads == _PAIR[0] else (found[2], found[1])
    return f"{quote(value)} is two numbers: write {own} here, and {rest} under “{other.ask.title}”."


def _yes_no(slot: Slot, value: Any) -> str | None:
    return (
        None
        if isinstance(value, bool)
        else f"{slot.ask.title} must be answered yes or no: please write true or false, without quotation marks."
    )


def choose(title: str, value: Any, choices: tuple[str, ...]) -> str:
    """Return the sentences for a value that is none of the choices."""
    start = f"{title} cannot be {quote(value)}." if isinstance(value, str) and value else f"{title} must be a text."
    some = ", ".join(choices[:_MOST_CHOICES]) + (" and others" if len(choices) > _MOST_CHOICES else "")
    guess = (_by_word(value, choices) or nearest(value, list(choices))) if isinstance(value, str) else ""
    return f"{start}{guess} The choices are: {some}."


def _by_word(value: str, choices: tuple[str, ...]) -> str:
    """Return the one choice that has a text among its words: “canvas” in “stretched-canvas”; nothing where several have."""
    found = [choice for choice in choices if value.lower() in choice.split("-")]
    return f" Did you mean “{found[0]}”?" if len(found) == 1 else ""


def _choice(slot: Slot, value: Any) -> str | None:
    return None if isinstance(value, str) and value in slot.choices else choose(slot.ask.title, value, slot.choices)


def _text(slot: Slot, value: Any) -> str | None:
    title, most = slot.ask.title, slot.ask.max_length
    if not isinstance(value, str):
        return f"{title} must be a text in quotation marks."
    if not value:
        return f"{title} is empty; leave it out if it is not known." if not slot.ask.required else f"{title} must not be empty."
    if len(value) > most:
        return f"{title} may have at most {most} characters; {len(value)} were given."
    if slot.ask.pattern and not re.search(slot.ask.pattern, value):
        if value != value.strip():
            return f"{title} must not begin or end with a space or a line break."
        meant = value.upper() if re.search(slot.ask.pattern, value.upper()) else ""
        return f"{title} does not have the right form.{f' Did you mean {quote(meant)}?' if meant else ''} {slot.ask.how or slot.ask.prompt}"
    return None


def _date(slot: Slot, value: Any) -> str | None:
    if isinstance(value, str) and is_day(value):
        return None
    return f"{slot.ask.title} must be a day of the calendar as year-month-day, such as 2026-03-31."


def reversed_days(first: date | None, last: date | None) -> str | None:
    """Return what to say of a stay that would end before it begins; None where the days are in order, or one is not known."""
    if first is None or last is None or last >= first:
        return None
    return f"It would come down before it goes up, on {first}. Are the two days the wrong way round?"


def _money(slot: Slot, value: Any) -> str | None:
    most = slot.ask.hi or MOST_MONEY
    if (isinstance(value, str) and is_money(value) and float(value) <= most) or (_is_number(value) and 0 <= value <= most):
        return None
    return (money_fault(value) if isinstance(value, str) else None) or no_money(slot.ask.title)


_BY_KIND: dict[str, Any] = {
    "number": _number,
    "count": _count,
    "yes_no": _yes_no,
    "choice": _choice,
    "text": _text,
    "date": _date,
    "money": _money,
}


def unknown_name(name: str, section: str, names: list[str], schema: Schema) -> str:
    """Return the sentences for a field that is not there: the nearest right name, or the section that it belongs to."""
    start = f"{f'“{section}” has' if section else 'A work has'} no fact {quote(name)}."
    homes = {slot.path.rpartition(".")[0] for slot in schema.slots if slot.path.rpartition(".")[2] == name}
    if named := [f"“{home}”" if home else "the work" for home in sorted(homes - {"wall", "venue", section})][:3]:
        return f"{start} It belongs to {' or '.join(named)}."
    return start + (nearest(name, names) or " Take it out; the OpenAPI document lists all facts.")
