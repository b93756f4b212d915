"""What a venue lists: its stock of frames and its exchange rates."""

from collections.abc import Iterator
from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING, Any

from hangworthy.contract.quantities import show_quantity
from hangworthy.contract.venue import ExchangeRate, StockFrame
from hangworthy.venues.keys import Key

if TYPE_CHECKING:  # the reader calls these functions
    from hangworthy.venues.reader import VenueReader

_LARGEST_FRAME_MM = 20_000


def frames(reader: "VenueReader", entries: list[dict[str, Any]]) -> Iterator[StockFrame]:
    """Yield the stock frames of a venue file; faults go to the reader."""
    seen: set[str] = set()
    for place, table in enumerate(entries):
        key: Key = ("frames", place)
        reader.known(key, table, StockFrame.__struct_fields__)
        values: dict[str, Any] = {"name": reader.own_name(key, table, seen), "width_mm": 1.0, "height_mm": 1.0}
        for name in ("width_mm", "height_mm"):
            if name not in table:
                reader.fault((*key, name), reader.form.size.format(name))
        for name in StockFrame.__struct_fields__:
            if name in table and name.endswith("_mm"):
                values[name] = _length(reader, (*key, name), table[name])
        if "glazing" in table:
            reader.choice((*key, "glazing"), table["glazing"], reader.glazings)
            values["glazing"] = table["glazing"]
        if "count" in table:
            values["count"] = reader.whole((*key, "count"), table["count"], 0, 10_000)
        yield _fitting(reader, key, StockFrame(**values))


def _length(reader: "VenueReader", key: Key, value: Any) -> float:
    number = reader.number(key, value, "mm")
    if number is not None and not 0 < number <= _LARGEST_FRAME_MM:
        reader.fault(key, f"this must be above 0 and at most 20,000 mm; {show_quantity(number, 'mm')} was given. Check the unit.")
    return number or 1.0


def _fitting(reader: "VenueReader", key: Key, frame: StockFrame) -> StockFrame:
    for side in ("width_mm", "height_mm"):
        window, inner = getattr(frame, f"window_{side}"), getattr(frame, side)
        if window is not None and window > inner:
            reader.fault((*key, f"window_{side}"), f"the window must fit inside the frame, at most {show_quantity(inner, 'mm')}.")
    return frame


def rates(reader: "VenueReader", entries: list[dict[str, Any]]) -> Iterator[ExchangeRate]:
    """Yield the exchange rates of a venue file; faults go to the reader. Each pair of currencies is there once, in one direction."""
    seen: set[frozenset[str]] = set()
    for place, table in enumerate(entries):
        key: Key = ("rates", place)
        reader.known(key, table, ExchangeRate.__struct_fields__)
        one, other = (_currency(reader, (*key, name), table.get(name)) for name in ("currency", "of"))
        if one == other and one:
            reader.fault((*key, "of"), "this must be another currency than the first.")
        elif one and other and frozenset((one, other)) in seen:
            reader.fault(key, f"{one} and {other} are there twice; give each pair one rate.")
        seen.add(frozenset((one, other)))
        yield ExchangeRate(currency=one, worth=_worth(reader, (*key, "worth"), table.get("worth")), of=other)


def _currency(reader: "VenueReader", key: Key, value: Any) -> str:
    if isinstance(value, str) and len(value) == 3 and value.isascii() and value.isalpha() and value.isupper():
        return value
    reader.fault(key, "this must be the three letters of a currency in ISO 4217, such as “EUR”.")
    return ""


def _worth(reader: "VenueReader", key: Key, value: Any) -> Decimal:
    """Read a rate from text, or from a whole number; a float would already have lost the digits as they were written."""
    if isinstance(value, str) or (isinstance(value, int) and not isinstance(value, bool)):
        try:
            worth = Decimal(value)
        except InvalidOperation:
            worth = Decimal(0)
        if worth.is_finite() and Decimal("1e-9") <= worth <= Decimal("1e9"):
            return worth
    reader.fault(key, reader.form.worth)
    return Decimal(1)
