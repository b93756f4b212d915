"""What was told of one work by one rule: the finding, what it adds to the outcome, and its bytes, worked out once each.

Findings are remembered and told again (see ``group``); what follows from a finding alone is remembered with it.
"""

from collections.abc import Mapping, Sequence
from typing import Any

import msgspec

from hangworthy.contract.effect import State
from hangworthy.contract.finding import Finding
from hangworthy.engine.outcome import ranks
from hangworthy.engine.schema import Slot

_encode = msgspec.json.Encoder().encode
_MET, _NOT_APPLICABLE = State.MET, State.NOT_APPLICABLE
_PLACE: dict[str, Any] = {"\0": 0}  # stands for the facts where a finding's JSON is parted; no fact is called so
_HERE = _encode(_PLACE)


class Told(msgspec.Struct, gc=False):
    """A finding, what it adds to the outcome as things stand and at worst, whether it concerns the work, asks, or failed.

    ``silent`` says that it neither adds nor asks anything, as most do.

    It is shared by all answers that tell it, and must not be changed.
    """

    finding: Finding
    rule: str
    as_is: int
    at_worst: int
    concerns: bool
    asks: bool
    silent: bool
    failed: bool = False
    encoded: bytes | None = None

    def raw(self) -> bytes:
        """Return the finding's JSON."""
        if self.encoded is None:
            self.encoded = _encode(self.finding)
        return self.encoded


class Stated(msgspec.Struct, frozen=True):
    """A finding that is the same for many works but for the facts it shows: those in the slots ``facts``, in that order.

    ``told`` shows none. ``head`` and ``tail`` are its JSON before and after the facts.
    """

    told: Told
    facts: tuple[int, ...]
    head: bytes
    tail: bytes

    def shown(self, slots: Sequence[Slot], values: Sequence[Any]) -> Finding:
        """Return the finding with the facts of a work."""
        finding = msgspec.structs.replace(self.told.finding)
        finding.facts = {slots[index].pointer: as_shown(slots[index], values[index]) for index in self.facts}
        return finding


def as_told(finding: Finding) -> Told:
    """Return a finding with what follows from it."""
    if finding.state is _MET:  # most are, and nothing follows from them
        return Told(finding, finding.rule, 0, 0, True, False, True)
    as_is, at_worst = ranks(finding)
    concerns, asks = finding.state is not _NOT_APPLICABLE, bool(finding.missing) and finding.due is None
    silent = not (asks or as_is or at_worst)
    return Told(finding, finding.rule, as_is, at_worst, concerns, asks, silent, finding.state is State.ERROR)


def as_stated(told: Told, slots: Mapping[str, Slot]) -> Stated:
    """Return what is told of a work as it can be told of others. Nothing in it but ``facts`` may hang on what the work's facts are."""
    finding = msgspec.structs.replace(told.finding, facts={})
    facts = tuple(slots[pointer].index for pointer in told.finding.facts)
    told = msgspec.structs.replace(told, finding=finding, encoded=None)
    if not facts:
        return Stated(told, facts, _encode(finding), b"")
    head, _, tail = _encode(msgspec.structs.replace(finding, facts=_PLACE)).partition(_HERE)
    return Stated(told, facts, head + b"{", b"}" + tail)


def as_shown(slot: Slot, value: Any) -> Any:
    """Return a fact as findings show it: what a venue lists by name."""
    return [one.name for one in value] if slot.kind == "listed" else value
