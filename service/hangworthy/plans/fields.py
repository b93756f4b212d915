"""Reading the objects of a plan's request, field by field; every fault is kept with its place, so that all are told at once."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from hangworthy.contract.quantities import QuantityError, read_quantity, show_quantity
from hangworthy.engine.reading import nearest
from hangworthy.intake.faults import FaultList, pointer_of, quote

Path = tuple[str | int, ...]
REQUIRED = object()


class Fields:
    """One object of a request. What is missing is not known, and null says the same."""

    def __init__(self, faults: FaultList, path: Path, value: Any, names: Sequence[str], title: str) -> None:
        """Hold the object; note it where it is none, and every field that is none of ``names``."""
        self.faults, self.path = faults, path
        self.given: Mapping[str, Any] = value if isinstance(value, dict) else {}
        if not isinstance(value, dict):
            faults.add(pointer_of(path), f"{title} must be an object, in curly brackets.")
        for name in self.given:
            if name not in names:
                hint = nearest(name, list(names)) or f" There are: {', '.join(names)}."
                self.fault(name, f"{title} has no field {quote(name)}.{hint}")

    def fault(self, name: str, sentence: str) -> None:
        """Note a fault of one field."""
        self.faults.add(pointer_of((*self.path, name)), sentence)

    def _value(self, name: str, title: str, default: Any) -> Any:
        value = self.given.get(name)
        if value is None and default is REQUIRED:
            self.fault(name, f"{title} is missing.")
        return value

    def length(self, name: str, title: str, lo: float, hi: float, default: Any = None) -> float | None:
        """Return a length in millimetres, or the default; a length that cannot be read gives None."""
        value = self._value(name, title, default)
        if value is None:
            return None if default is REQUIRED else default
        try:
            measured = read_quantity(value, "mm")
        except QuantityError as error:
            self.fault(name, str(error))
            return None
        if measured.u:
            self.fault(name, f"{title} is taken as exact here; write it without ±.")
        elif not lo <= measured.value <= hi:
            right = f"between {show_quantity(lo, 'mm')} and {show_quantity(hi, 'mm')}"
            self.fault(name, f"{title} must be {right}; {show_quantity(measured.value, 'mm')} was given. Check the unit.")
        else:
            return measured.value
        return None

    def choice(self, name: str, title: str, choices: Sequence[str], default: str) -> str:
        """Return one of a few words, or the default."""
        value = self._value(name, title, default)
        if value is None or value in choices:
            return default if value is None else str(value)
        hint = nearest(value, list(choices)) if isinstance(value, str) else ""
        self.fault(name, f"{title} must be one of: {', '.join(choices)}.{hint}")
        return default

    def flag(self, name: str, title: str, default: bool) -> bool:
        """Return true or false, or the default."""
        value = self._value(name, title, default)
        if value is None or isinstance(value, bool):
            return default if value is None else value
        self.fault(name, f"{title} must be true or false, without quotation marks.")
        return default

    def text(self, name: str, title: str, most: int, default: Any = None) -> str | None:
        """Return a text, or the default."""
        value = self._value(name, title, default)
        if value is None:
            return None if default is REQUIRED else default
        if isinstance(value, str) and 0 < len(value) <= most:
            return value
        self.fault(name, f"{title} must be a text of 1 to {most} characters.")
        return None

    def whole(self, name: str, title: str, lo: int, hi: int, default: int) -> int:
        """Return a whole number, or the default."""
        value = self._value(name, title, default)
        if value is None:
            return default
        if isinstance(value, int | float) and not isinstance(value, bool) and lo <= value <= hi and value == int(value):
            return int(value)
        self.fault(name, f"{title} must be a whole number from {lo} to {hi}.")
        return default

    def entries(self, name: str, title: str, most: int) -> Iterator[tuple[Path, Any]]:
        """Yield the entries of a list, each with its place; nothing where the list is missing."""
        value = self.given.get(name)
        if value is None:
            return
        if not isinstance(value, list) or len(value) > most:
            self.fault(name, f"{title} must be a list of at most {most}, in square brackets.")
            return
        for place, one in enumerate(value):
            yield (*self.path, name, place), one
