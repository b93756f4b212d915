"""Venues from TOML: packs, limits with the reason for each, walls, conditions and frame stock.

A venue file is written by hand, so every fault in it is named at once: the file, the key, what is wrong and what would be right.
Whether its packs and limits exist is the ruleset's to say, which knows the installed packs.
"""

import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import msgspec

from hangworthy.contract.quantities import QuantityError, read_quantity, show_quantity
from hangworthy.contract.venue import Guard, Override, StockFrame
from hangworthy.engine.fault import VenueError
from hangworthy.engine.reading import nearest, out_of_range
from hangworthy.engine.ruleset import Venue, fingerprint
from hangworthy.engine.schema import Schema, Slot

MOST_BYTES = 1_000_000
MOST_ENTRIES = 2_000
_KEYS = ("name", "version", "title", "packs", "limits", "guard", "conditions", "walls", "frames")
_LARGEST_FRAME_MM = 20_000
_LIMIT_EXAMPLE = '"pack.limit_mm" = { value = "8 mm", reason = "why this venue differs" }'


def load_venue(path: Path, schema: Schema) -> Venue:
    """Return the venue that a TOML file describes. Raises VenueError with every fault in it, one to a line."""
    try:
        with path.open("rb") as file:
            text = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise VenueError(f"{path}: this venue file cannot be read: {(error.strerror or 'it is no file').lower()}.") from None
    return venue_from(text, schema, str(path))


def default_venue() -> Venue:
    """Return the venue of a request that names none where none was given: every pack, every default, no walls."""
    return _stamped(Venue(name="default", title="Every pack with its defaults"))


def venue_from(text: bytes, schema: Schema, origin: str) -> Venue:
    """Return the venue that a TOML text describes; ``origin`` names it in messages. Raises VenueError as :func:`load_venue`."""
    if len(text) > MOST_BYTES:
        raise VenueError(f"{origin}: this venue file is larger than {MOST_BYTES:,} bytes.")
    try:
        content = tomllib.loads(text.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        raise VenueError(f"{origin}: byte {error.start} is not UTF-8; save the file as UTF-8.") from None
    except tomllib.TOMLDecodeError as error:
        raise VenueError(f"{origin}: this is no TOML: {error}.") from None
    except RecursionError:
        raise VenueError(f"{origin}: this is nested too deeply; a venue has tables, and lists of tables.") from None
    reader = _VenueReader(schema)
    venue = reader.read(content)
    if reader.faults:
        raise VenueError("\n".join(f"{origin}: {key}: {sentence}" for key, sentence in reader.faults))
    return _stamped(venue)


def _stamped(venue: Venue) -> Venue:
    """Return the venue with the digest of all that it says, in an order and spelling that do not depend on the file's."""
    return msgspec.structs.replace(venue, fingerprint=fingerprint(msgspec.json.encode(venue, order="sorted")))


class _VenueReader:
    """Reads one venue's content; faults are collected, so that the file can be put right in one go."""

    def __init__(self, schema: Schema) -> None:
        self.schema = schema
        self.faults: list[tuple[str, str]] = []
        self.wall_slots = {slot.path.removeprefix("wall."): slot for slot in schema.slots if slot.path.startswith("wall.")}
        self.glazings = schema.by_path["glazing.material"].choices

    def read(self, content: Mapping[str, Any]) -> Venue:
        """Return the venue; it is only good when ``faults`` stays empty."""
        self._known("", content, _KEYS)
        return Venue(
            name=self._name(content),
            version=self._whole("version", content.get("version", 1), 1, 10**9),
            title=self._text("title", content["title"], 200) if "title" in content else "",
            packs=self._packs(content),
            limits=self._limits(self._table(content, "limits")),
            guard=self._guard(self._table(content, "guard")),
            conditions=self._wall("conditions", self._table(content, "conditions")) if "conditions" in content else None,
            walls=dict(self._named_walls(content)),
            frames=tuple(self._frames(self._entries(content, "frames"))) if "frames" in content else None,
        )

    def _fault(self, key: str, sentence: str) -> None:
        self.faults.append((key, sentence))

    def _known(self, key: str, table: Mapping[str, Any], names: Any) -> None:
        """Note every key that is none of ``names``, with the nearest that is."""
        for name in table:
            if name not in names:
                hint = nearest(name, list(names)) or f" There are: {', '.join(names)}."
                self._fault(f"{key}.{name}".lstrip("."), f"there is no such key.{hint}")

    def _table(self, content: Mapping[str, Any], key: str) -> dict[str, Any]:
        value = content.get(key, {})
        if isinstance(value, dict):
            return value
        self._fault(key, f"this must be a table; write [{key}] on a line of its own and its keys below.")
        return {}

    def _entries(self, content: Mapping[str, Any], key: str) -> list[dict[str, Any]]:
        value = content.get(key, [])
        if isinstance(value, list) and len(value) <= MOST_ENTRIES and all(isinstance(one, dict) for one in value):
            return value
        self._fault(key, f"this must be at most {MOST_ENTRIES} tables; write [[{key}]] on a line of its own before each, its keys below.")
        return []

    def _text(self, key: str, value: Any, most: int) -> str:
        if isinstance(value, str) and 0 < len(value) <= most and value.strip() == value and value.isprintable():
            return value
        self._fault(key, f"this must be one line of text of 1 to {most} characters in quotes, with no space at its ends.")
        return ""

    def _name(self, table: Mapping[str, Any], key: str = "name") -> str:
        if "name" in table:
            return self._text(key, table["name"], 80)
        self._fault(key, 'this is missing; write name = "…".')
        return ""

    def _whole(self, key: str, value: Any, lo: int, hi: int) -> int:
        if isinstance(value, int) and not isinstance(value, bool) and lo <= value <= hi:
            return value
        self._fault(key, f"this must be a whole number from {lo} to {hi}, such as {max(lo, 1)}.")
        return lo

    def _packs(self, content: Mapping[str, Any]) -> tuple[str, ...] | None:
        if "packs" not in content:
            return None
        value = content["packs"]
        if isinstance(value, list) and value and all(isinstance(one, str) and one for one in value):
            if twice := sorted({one for one in value if value.count(one) > 1}):
                self._fault("packs", f"“{twice[0]}” is there twice; name each pack once.")
            return tuple(sorted(value))
        self._fault("packs", 'this must list at least one pack by name, packs = ["…"]; leave it out for every pack.')
        return None

    def _limits(self, table: Mapping[str, Any]) -> dict[str, Override]:
        overrides = {}
        for full, given in table.items():
            key = f'limits."{full}"'
            if not isinstance(given, dict) or not given.keys() & {"value", "reason"}:
                self._fault(key, f"this must be the full name in quotes, with value and reason: {_LIMIT_EXAMPLE}.")
                continue
            self._known(key, given, ("value", "reason"))
            value, reason = given.get("value"), given.get("reason")
            if isinstance(value, bool) or not isinstance(value, int | float | str):
                self._fault(f"{key}.value", "this must be a number in the limit's unit, or text with a unit, such as “8 mm”.")
            elif not isinstance(reason, str) or not 3 <= len(reason.strip()) <= 500:
                self._fault(f"{key}.reason", "this must say why the venue differs, in 3 to 500 characters: findings show it.")
            elif self._certain(f"{key}.value", value):
                overrides[full] = Override(value=value, reason=reason.strip())
        return overrides

    def _certain(self, key: str, value: Any) -> bool:
        """Refuse ± in a venue: the engine spreads the uncertainty of a work's facts only, and dropping one would hide it."""
        if isinstance(value, str) and any(sign in value for sign in ("±", "+/-", "+-")):
            self._fault(key, "a venue's figures are taken as exact; write it without ±.")
            return False
        return True

    def _guard(self, table: Mapping[str, Any]) -> Guard:
        self._known("guard", table, Guard.__struct_fields__)
        low = self._share("guard.low", table.get("low", Guard().low), 0, 0.5)
        return Guard(low=low, high=self._share("guard.high", table.get("high", Guard().high), 0.5, 1))

    def _share(self, key: str, value: Any, lo: float, hi: float) -> float:
        if isinstance(value, int | float) and not isinstance(value, bool) and lo <= value <= hi:
            return float(value)
        self._fault(key, f"this must be a probability between {lo:g} and {hi:g}, such as {0.05 if lo == 0 else 0.95:g}.")
        return lo

    def _named_walls(self, content: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
        seen: set[str] = set()
        for place, table in enumerate(self._entries(content, "walls")):
            key = f"walls[{place}]"
            name = self._own_name(key, table, seen)
            yield name, self._wall(key, {one: value for one, value in table.items() if one != "name"})

    def _own_name(self, key: str, table: Mapping[str, Any], seen: set[str]) -> str:
        name = self._name(table, f"{key}.name")
        if name and name in seen:
            self._fault(f"{key}.name", f"“{name}” is there twice; give each its own name.")
        seen.add(name)
        return name

    def _wall(self, key: str, table: Mapping[str, Any]) -> Any:
        """Return a wall of the composed schema, its quantities as floats in the facts' units."""
        self._known(key, table, tuple(self.wall_slots))
        values = {
            name: self._fact(f"{key}.{name}", self.wall_slots[name], value) for name, value in table.items() if name in self.wall_slots
        }
        return self.schema.wall(**values)

    def _fact(self, key: str, slot: Slot, value: Any) -> Any:
        if slot.kind == "number" and slot.count is None:
            lo, hi = slot.ask.lo, slot.ask.hi
            number = self._number(key, value, slot.unit)
            if number is not None and ((lo is not None and number < lo) or (hi is not None and number > hi)):
                self._fault(key, out_of_range(slot, number))
            return number
        if slot.kind == "yes_no" and not isinstance(value, bool):
            self._fault(key, "this must be true or false, without quotes; leave the key out when it is not known.")
        elif slot.kind == "choice":
            self._choice(key, value, slot.choices)
        return value

    def _choice(self, key: str, value: Any, choices: tuple[str, ...]) -> None:
        if value not in choices:
            self._fault(key, f"this must be one of: {', '.join(choices)}.{nearest(str(value), list(choices))}")

    def _number(self, key: str, value: Any, unit: str) -> float | None:
        if not self._certain(key, value):
            return None
        try:
            return read_quantity(value, unit).value
        except QuantityError as error:
            self._fault(key, str(error))
            return None

    def _frames(self, entries: list[dict[str, Any]]) -> Iterator[StockFrame]:
        seen: set[str] = set()
        for place, table in enumerate(entries):
            key = f"frames[{place}]"
            self._known(key, table, StockFrame.__struct_fields__)
            values: dict[str, Any] = {"name": self._own_name(key, table, seen), "width_mm": 1.0, "height_mm": 1.0}
            for name in ("width_mm", "height_mm"):
                if name not in table:
                    self._fault(f"{key}.{name}", f"this is missing; give the inner size, {name} = 420.")
            for name in StockFrame.__struct_fields__:
                if name in table and name.endswith("_mm"):
                    values[name] = self._length(f"{key}.{name}", table[name])
            if "glazing" in table:
                self._choice(f"{key}.glazing", table["glazing"], self.glazings)
                values["glazing"] = table["glazing"]
            if "count" in table:
                values["count"] = self._whole(f"{key}.count", table["count"], 0, 10_000)
            yield self._fitting(key, StockFrame(**values))

    def _length(self, key: str, value: Any) -> float:
        number = self._number(key, value, "mm")
        if number is not None and not 0 < number <= _LARGEST_FRAME_MM:
            self._fault(key, f"this must be above 0 and at most 20000 mm; {show_quantity(number, 'mm')} was given. Check the unit.")
        return number or 1.0

    def _fitting(self, key: str, frame: StockFrame) -> StockFrame:
        for side in ("width_mm", "height_mm"):
            window, inner = getattr(frame, f"window_{side}"), getattr(frame, side)
            if window is not None and window > inner:
                self._fault(f"{key}.window_{side}", f"the window must fit inside the frame, at most {show_quantity(inner, 'mm')}.")
        return frame
