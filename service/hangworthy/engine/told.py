"""What was told of one work by one rule: the finding, what it adds to the outcome, and its bytes, worked out once each.

Findings are remembered and told again (see ``group``); what follows from a finding alone is remembered with it.
"""

from collections.abc import Sequence

import msgspec

from hangworthy.contract.finding import Evaluation, Finding, WorkAnswer
from hangworthy.engine.outcome import concerns, rank_at_worst, rank_now

_encode = msgspec.json.Encoder().encode


class Told:
    """A finding; it is shared by all answers that tell it, and must not be changed."""

    __slots__ = ("as_is", "asks", "at_worst", "concerns", "encoded", "finding", "rule")

    def __init__(self, finding: Finding) -> None:
        """Work out what the finding adds to the outcome, to what it could become, and to the questions."""
        self.finding, self.rule = finding, finding.rule
        self.as_is, self.at_worst, self.concerns = rank_now(finding), rank_at_worst(finding), concerns(finding)
        self.asks = bool(finding.missing) and finding.due is None
        self.encoded: msgspec.Raw | None = None

    def raw(self) -> msgspec.Raw:
        """Return the finding's JSON."""
        if self.encoded is None:
            self.encoded = msgspec.Raw(_encode(self.finding))
        return self.encoded


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
            WorkAnswer(work.ref, work.outcome, work.at_worst, work.settled, work.checked, [each.raw() for each in told], work.questions)  # type: ignore[misc] # an encoder takes a finding's own bytes for it
            for work, told in zip(one.works, self.told, strict=True)
        ]
        return _encode(
            Evaluation(one.stage, one.venue, one.packs, one.outcome, one.at_worst, one.settled, works, one.evaluated_at, one.faults, one.id)
        )
