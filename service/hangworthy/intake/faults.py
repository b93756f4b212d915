"""Faults of an input: where, what was wrong, what would be right; and the list that keeps them bounded."""

from collections.abc import Callable
from typing import Any, Literal

import msgspec

MOST_FAULTS = 100
QUOTED = 40  # characters of the input that a message may repeat

BadKind = Literal["malformed", "invalid"]


class InputFault(msgspec.Struct, frozen=True, omit_defaults=True):
    """One fault: a JSON Pointer into the body (empty: the whole body), and a sentence that says what would be right.

    A fault of the query names its ``parameter`` instead; its pointer is empty.
    """

    pointer: str
    message: str
    parameter: str = ""


class BadInput(ValueError):
    """A body that cannot be used. ``kind`` is “malformed” (no JSON, or JSON that would lose something) or “invalid” (wrong facts)."""

    def __init__(self, kind: BadKind, faults: list[InputFault]) -> None:
        """Hold all faults; they print one to a line."""
        self.kind: BadKind = kind
        self.faults = faults
        super().__init__("\n".join(f"{fault.pointer or '(body)'}: {fault.message}" for fault in faults))


class FaultList:
    """Collects faults in the order found. Sentences are only made for those that will be shown: a hostile body costs little."""

    def __init__(self) -> None:
        """Start with none."""
        self.shown: list[InputFault] = []
        self.more = 0
        self._seen: set[str] = set()

    def add(self, pointer: str, message: str | Callable[[], str]) -> None:
        """Add a fault, at most one for each place: the first one found there is the plainest."""
        if pointer in self._seen:
            return
        self._seen.add(pointer)
        if len(self.shown) == MOST_FAULTS:
            self.more += 1
        else:
            self.shown.append(InputFault(pointer, message if isinstance(message, str) else message()))

    @property
    def full(self) -> bool:
        """Whether further faults are only counted; no sentence need be made for them."""
        return len(self.shown) == MOST_FAULTS

    def count(self, more: int) -> None:
        """Count faults that are not looked at one by one."""
        self.more += more

    def __bool__(self) -> bool:
        return bool(self.shown)

    def listed(self) -> list[InputFault]:
        """Return the faults, and how many more there are."""
        if not self.more:
            return self.shown
        more = f"{self.more} more faults" if self.more > 1 else "One more fault"
        return [*self.shown, InputFault("", f"{more} not listed; put these right first.")]


def quote(value: Any) -> str:
    """Return at most 40 characters of an input, with control, direction and surrogate marks made visible."""
    text = value if isinstance(value, str) else str(value)
    short = text if len(text) <= QUOTED else text[: QUOTED - 1] + "…"
    shown = "".join(char if char.isprintable() else f"\\u{ord(char):04x}" for char in short)
    return f"“{shown if len(shown) <= QUOTED else shown[: QUOTED - 1] + '…'}”"


def pointer_of(path: tuple[Any, ...]) -> str:
    """Return the JSON Pointer (RFC 6901) of a path. Control marks and overlong names are shown as messages show them."""
    return "".join("/" + _step(step) for step in path)


def _step(step: Any) -> str:
    text = str(step).replace("~", "~0").replace("/", "~1")
    return text if len(text) <= QUOTED and text.isprintable() else quote(text)[1:-1]
