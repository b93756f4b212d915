"""Reading a venue's content, table by table; every fault is collected, so that the file can be put right in one go."""

from collections.abc import Iterator, Mapping
from typing import Any

from hangworthy.contract.quantities import QuantityError, read_quantity
from hangworthy.contract.venue import Guard, Override
from hangworthy.engine.reading import nearest, out_of_range
from hangworthy.engine.ruleset import Venue
from hangworthy.engine.schema import Schema, Slot
from hangworthy.venues import lists
from hangworthy.venues.keys import TOML_FORM, Form, Key

MOST_ENTRIES = 2_000
MOST_DAYS = 36_500
_KEYS = ("name", "version", "title", "packs", "limits", "guard", "conditions", "walls", "frames", "rates", "retention_days")


class VenueReader:
    """Reads one venue's content; faults are collected, so that the file can be put right in one go."""

    def __init__(self, schema: Schema, form: Form = TOML_FORM) -> None:
        self.schema, self.form = schema, form
        self.faults: list[tuple[Key, str]] = []
        self.wall_slots = {slot.path.removeprefix("wall."): slot for slot in schema.slots if slot.path.startswith("wall.")}
        self.glazings = schema.by_path["glazing.material"].choices

    def read(self, content: Mapping[str, Any]) -> Venue:
        """Return the venue; it is only good when ``faults`` stays empty."""
        self.known((), content, _KEYS)
        return Venue(
            name=self._name(content),
            version=self.whole(("version",), content.get("version", 1), 1, 10**9),
            title=self._text(("title",), content["title"], 200) if "title" in content else "",
            packs=self._packs(content),
            limits=self._limits(self._table(content, "limits")),
            guard=self._guard(self._table(content, "guard")),
            conditions=self._wall(("conditions",), self._table(content, "conditions")) if "conditions" in content else None,
            walls=dict(self._named_walls(content)),
            frames=tuple(lists.frames(self, self._entries(content, "frames"))) if "frames" in content else None,
            rates=tuple(lists.rates(self, self._entries(content, "rates"))) if "rates" in content else None,
            retention_days=self._days(content),
        )

    def fault(self, key: Key, sentence: str) -> None:
        """Note a fault at a key."""
        self.faults.append((key, sentence))

    def known(self, key: Key, table: Mapping[str, Any], names: Any) -> None:
        """Note every key that is none of ``names``, with the nearest that is."""
        for name in table:
            if name not in names:
                hint = nearest(name, list(names)) or f" There are: {', '.join(names)}."
                self.fault((*key, name), f"there is no such key.{hint}")

    def _table(self, content: Mapping[str, Any], name: str) -> dict[str, Any]:
        value = content.get(name, {})
        if isinstance(value, dict):
            return value
        self.fault((name,), self.form.table.format(name))
        return {}

    def _entries(self, content: Mapping[str, Any], name: str) -> list[dict[str, Any]]:
        value = content.get(name, [])
        if isinstance(value, list) and len(value) <= MOST_ENTRIES and all(isinstance(one, dict) for one in value):
            return value
        self.fault((name,), self.form.entries.format(MOST_ENTRIES, name))
        return []

    def _text(self, key: Key, value: Any, most: int) -> str:
        if isinstance(value, str) and 0 < len(value) <= most and value.strip() == value and value.isprintable():
            return value
        self.fault(key, f"this must be one line of text of 1 to {most} characters in quotes, with no space at its ends.")
        return ""

    def _name(self, table: Mapping[str, Any], key: Key = ("name",)) -> str:
        if "name" in table:
            return self._text(key, table["name"], 80)
        self.fault(key, self.form.name)
        return ""

    def whole(self, key: Key, value: Any, lo: int, hi: int) -> int:
        """Return a whole number from ``lo`` to ``hi``, or note the fault."""
        if isinstance(value, int) and not isinstance(value, bool) and lo <= value <= hi:
            return value
        self.fault(key, f"this must be a whole number from {lo} to {hi}, such as {max(lo, 1)}.")
        return lo

    def _days(self, content: Mapping[str, Any]) -> int | None:
        key = "retention_days"
        return self.whole((key,), content[key], 1, MOST_DAYS) if key in content else None

    def _packs(self, content: Mapping[str, Any]) -> tuple[str, ...] | None:
        if "packs" not in content:
            return None
        value = content["packs"]
        if isinstance(value, list) and value and all(isinstance(one, str) and one for one in value):
            if twice := sorted({one for one in value if value.count(one) > 1}):
                self.fault(("packs",), f"“{twice[0]}” is there twice; name each pack once.")
            return tuple(sorted(value))
        self.fault(("packs",), self.form.packs)
        return None

    def _limits(self, table: Mapping[str, Any]) -> dict[str, Override]:
        overrides = {}
        for full, given in table.items():
            key: Key = ("limits", full)
            if not isinstance(given, dict) or not given.keys() & {"value", "reason"}:
                self.fault(key, self.form.limit)
                continue
            self.known(key, given, ("value", "reason"))
            value, reason = given.get("value"), given.get("reason")
            if isinstance(value, bool) or not isinstance(value, int | float | str):
                self.fault((*key, "value"), "this must be a number in the limit's unit, or text with a unit, such as “8 mm”.")
            elif not isinstance(reason, str) or not 3 <= len(reason.strip()) <= 500:
                self.fault((*key, "reason"), "this must say why the venue differs, in 3 to 500 characters: findings show it.")
            elif self._certain((*key, "value"), value):
                overrides[full] = Override(value=value, reason=reason.strip())
        return overrides

    def _certain(self, key: Key, value: Any) -> bool:
        """Refuse ± in a venue: the engine spreads the uncertainty of a work's facts only, and dropping one would hide it."""
        if isinstance(value, str) and any(sign in value for sign in ("±", "+/-", "+-")):
            self.fault(key, "a venue's figures are taken as exact; write it without ±.")
            return False
        return True

    def _guard(self, table: Mapping[str, Any]) -> Guard:
        self.known(("guard",), table, Guard.__struct_fields__)
        low = self._share(("guard", "low"), table.get("low", Guard().low), 0, 0.5)
        return Guard(low=low, high=self._share(("guard", "high"), table.get("high", Guard().high), 0.5, 1))

    def _share(self, key: Key, value: Any, lo: float, hi: float) -> float:
        if isinstance(value, int | float) and not isinstance(value, bool) and lo <= value <= hi:
            return float(value)
        self.fault(key, f"this must be a probability between {lo:g} and {hi:g}, such as {0.05 if lo == 0 else 0.95:g}.")
        return lo

    def _named_walls(self, content: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
        seen: set[str] = set()
        for place, table in enumerate(self._entries(content, "walls")):
            key: Key = ("walls", place)
            name = self.own_name(key, table, seen)
            yield name, self._wall(key, {one: value for one, value in table.items() if one != "name"})

    def own_name(self, key: Key, table: Mapping[str, Any], seen: set[str]) -> str:
        """Return the name of an entry, which no other entry may have."""
        name = self._name(table, (*key, "name"))
        if name and name in seen:
            self.fault((*key, "name"), f"“{name}” is there twice; give each its own name.")
        seen.add(name)
        return name

    def _wall(self, key: Key, table: Mapping[str, Any]) -> Any:
        """Return a wall of the composed schema, its quantities as floats in the facts' units."""
        self.known(key, table, tuple(self.wall_slots))
        values = {name: self._fact((*key, name), self.wall_slots[name], value) for name, value in table.items() if name in self.wall_slots}
        return self.schema.wall(**values)

    def _fact(self, key: Key, slot: Slot, value: Any) -> Any:
        if slot.kind == "number" and slot.count is None:
            lo, hi = slot.ask.lo, slot.ask.hi
            number = self.number(key, value, slot.unit)
            if number is not None and ((lo is not None and number < lo) or (hi is not None and number > hi)):
                self.fault(key, out_of_range(slot, number))
            return number
        if slot.kind == "yes_no" and not isinstance(value, bool):
            self.fault(key, "this must be true or false, without quotes; leave the key out when it is not known.")
        elif slot.kind == "choice":
            self.choice(key, value, slot.choices)
        return value

    def choice(self, key: Key, value: Any, choices: tuple[str, ...]) -> None:
        """Note a value that is none of the choices."""
        if value not in choices:
            self.fault(key, f"this must be one of: {', '.join(choices)}.{nearest(str(value), list(choices))}")

    def number(self, key: Key, value: Any, unit: str) -> float | None:
        """Return a quantity in ``unit``, or note the fault and return None."""
        if not self._certain(key, value):
            return None
        try:
            return read_quantity(value, unit).value
        except QuantityError as error:
            self.fault(key, str(error))
            return None
