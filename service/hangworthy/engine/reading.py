"""Reading a work: wire values become the floats that rules see, with their uncertainties, in slot order."""

from collections.abc import Mapping
from typing import Any

import msgspec
from msgspec import UNSET, UnsetType

from hangworthy.contract.check import digits_apart
from hangworthy.contract.finding import CountedFact
from hangworthy.contract.money import money_fault, no_money
from hangworthy.contract.quantities import QuantityError, read_quantity, show_quantity
from hangworthy.contract.reading import TextRead
from hangworthy.engine.schema import Schema, Slot


class Uncertain(msgspec.Struct, frozen=True):
    """One uncertain number: its slot, its place in a list (None for a single value), its standard uncertainty and sane range."""

    slot: int
    item: int | None
    u: float
    lo: float
    hi: float


class BadFact(msgspec.Struct, frozen=True):
    """A fact that cannot be read: its JSON Pointer inside the work, what was wrong and what would be right."""

    pointer: str
    message: str


class ReadWork(msgspec.Struct):
    """A work as rules see it: ``values`` by slot (None: not known), the uncertain numbers among them, what its texts told, which
    days were counted, and what is to be said of days still to come, by the fact that could not be counted from them.
    """

    values: list[Any]
    uncertain: list[Uncertain]
    bad: list[BadFact]
    text: TextRead | UnsetType = UNSET
    counted: tuple[CountedFact, ...] | UnsetType = UNSET
    to_come: Mapping[str, tuple[str, str]] = {}


class Reader:
    """Reads works of one schema. Built once; a plain number costs no Python call."""

    def __init__(self, schema: Schema) -> None:
        """Note which slots may hold quantities as text or money."""
        self.schema = schema
        self.blank: list[Any] = [None] * len(schema.slots)
        # Each with the slots that may hold a number as text: only the sections that a work has are looked through.
        self.sections = tuple((name, getter, start, end, _numbers(schema, start, end)) for name, getter, start, end in schema.sections)
        self.own = (*schema.own, _numbers(schema, *schema.own[1:]))
        self.money = tuple(
            (slot, _currency(schema, slot)) for slot in schema.slots if slot.kind == "money" and slot.index < schema.wall_start
        )

    def read(self, work: Any, place: list[Any]) -> ReadWork:
        """Read one decoded work; ``place`` holds the values of the wall's and venue's slots, which come last."""
        read = ReadWork(self.blank.copy(), [], [])
        values = read.values
        for name, getter, start, end, numbers in self.sections:
            section = getattr(work, name)
            if section is not None:
                values[start:end] = getter(section)
                self._numbers(read, numbers)
        getter, start, end, numbers = self.own
        values[start:end] = getter(work)
        self._numbers(read, numbers)
        values[self.schema.wall_start :] = place
        for slot, currency in self.money:
            if values[slot.index] is not None:
                self._amount(read, slot, values[currency])
        return read

    def _numbers(self, read: ReadWork, indexes: tuple[int, ...]) -> None:
        """Read those numbers that were given as text."""
        values = read.values
        for index in indexes:
            value = values[index]
            kind = type(value)
            if kind is str:
                values[index] = self._number(read, self.schema.slots[index], None, value)
            elif kind is tuple and str in map(type, value):
                self._texts(read, self.schema.slots[index], value)

    def _amount(self, read: ReadWork, slot: Slot, currency: str | None) -> None:
        """Check the range of money and its decimals, which the wire type cannot state."""
        amount = read.values[slot.index]
        if not amount.is_finite() or not 0 <= amount <= (slot.ask.hi or 1e12):
            read.bad.append(BadFact(slot.pointer, no_money(slot.ask.title)))
        elif said := money_fault(f"{amount:f}", currency):  # it is kept as it was written: 1.200 is not 1.2
            read.bad.append(BadFact(slot.pointer, said))

    def _texts(self, read: ReadWork, slot: Slot, items: tuple[Any, ...]) -> None:
        numbers = tuple(self._number(read, slot, item, value) if type(value) is str else value for item, value in enumerate(items))
        read.values[slot.index] = None if None in numbers else numbers  # one that cannot be read makes no list of the others

    def _number(self, read: ReadWork, slot: Slot, item: int | None, text: str) -> float | None:
        pointer = slot.pointer if item is None else f"{slot.pointer}/{item}"
        try:
            measured = read_quantity(text, slot.unit)
        except QuantityError as error:
            read.bad.append(BadFact(pointer, str(error)))
            return None
        lo = -float("inf") if slot.ask.lo is None else slot.ask.lo
        hi = float("inf") if slot.ask.hi is None else slot.ask.hi
        if not lo <= measured.value <= hi:
            read.bad.append(BadFact(pointer, out_of_range(slot, measured.value)))
            return None
        if measured.u:
            read.uncertain.append(Uncertain(slot.index, item, measured.u, lo, hi))
        return measured.value


def _numbers(schema: Schema, start: int, end: int) -> tuple[int, ...]:
    """Return the slots in a range that hold numbers."""
    return tuple(slot.index for slot in schema.slots[start:end] if slot.kind == "number")


def _currency(schema: Schema, slot: Slot) -> int:
    """Return the slot of the currency that an amount is in: of its own section, else the work's."""
    own = schema.by_path.get(f"{slot.path.rpartition('.')[0]}.currency")
    return (own or schema.by_path["currency"]).index


def out_of_range(slot: Slot, value: float) -> str:
    """Return the sentence for a number outside the sane range of its fact."""
    lo, hi = slot.ask.lo, slot.ask.hi
    end = lo if lo is not None and value < lo else hi if hi is not None else value
    digits = digits_apart(value, end, slot.unit)
    least, most = ("" if one is None else show_quantity(one, slot.unit, digits) for one in (lo, hi))
    right = f"between {least} and {most}" if least and most else f"at least {least}" if least else f"at most {most}"
    return f"{slot.ask.title} must be {right}; {show_quantity(value, slot.unit, digits)} was given. Check the unit."


def nearest(name: str, names: list[str], cutoff: float = 0.6) -> str:
    """Return “ Did you mean …?” with the closest of ``names``, or nothing when none is close."""
    import difflib  # only for what is misspelt

    close = difflib.get_close_matches(name.lower()[:80], names, n=1, cutoff=cutoff)
    return f" Did you mean “{close[0]}”?" if close else ""
