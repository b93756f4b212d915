"""What was told of one work by one rule: the finding, what it adds to the outcome, and its bytes, worked out once each.

Findings are remembered and told again (see ``group``); what follows from a finding alone is remembered with it.
"""

from collections.abc import Sequence

import msgspec

from hangworthy.contract.effect import State
from hangworthy.contract.finding import Evaluation, Finding
from hangworthy.engine.outcome import ranks

_encode = msgspec.json.Encoder().encode
_MET, _NOT_APPLICABLE = State.MET, State.NOT_APPLICABLE


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
    encoded: msgspec.Raw | None = None

    def raw(self) -> msgspec.Raw:
        """Return the finding's JSON."""
        if self.encoded is None:
            self.encoded = msgspec.Raw(_encode(self.finding))
        return self.encoded


def as_told(finding: Finding) -> Told:
    """Return a finding with what follows from it."""
    if finding.state is _MET:  # most are, and nothing follows from them
        return Told(finding, finding.rule, 0, 0, True, False, True)
    as_is, at_worst = ranks(finding)
    concerns, asks = finding.state is not _NOT_APPLICABLE, bool(finding.missing) and finding.due is None
    silent = not (asks or as_is or at_worst)
    return Told(finding, finding.rule, as_is, at_worst, concerns, asks, silent, finding.state is State.ERROR)


class Answered:
    """An evaluation, and the same findings as they were told."""

    __slots__ = ("evaluation", "told")

    def __init__(self, evaluation: Evaluation, told: Sequence[Sequence[Told]]) -> None:
        """Hold both; ``told`` has the works' order, and the order of their findings."""
        self.evaluation, self.told = evaluation, told

    def encoded(self) -> bytes:
        """Return the evaluation's JSON: the same bytes as its encoding, but what was told before is not spelt out again."""
        one = self.evaluation
        works = [
            msgspec.structs.replace(work, findings=[each.encoded or each.raw() for each in told])  # an encoder takes a finding's own bytes
            for work, told in zip(one.works, self.told, strict=True)
        ]
        return _encode(msgspec.structs.replace(one, works=works))
