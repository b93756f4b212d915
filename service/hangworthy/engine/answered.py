"""An answer on its way out: the evaluation, and its findings as they were told."""

from collections.abc import Sequence

import msgspec

from hangworthy.contract.finding import Evaluation
from hangworthy.engine.outline import Telling

_encode = msgspec.json.Encoder().encode


class Answered:
    """An evaluation of which the findings are still as they were told: most callers want nothing but its JSON.

    ``head`` is the evaluation without them; ``told`` has the order of its works.
    """

    __slots__ = ("head", "told")

    def __init__(self, head: Evaluation, told: Sequence[Telling]) -> None:
        """Hold both."""
        self.head, self.told = head, told

    def whole(self) -> Evaluation:
        """Return the evaluation with its findings."""
        for work, told in zip(self.head.works, self.told, strict=True):
            work.findings = told.findings()
        return self.head

    def to_act_on(self) -> Evaluation:
        """Return the evaluation with those findings that somebody has to act on; what is still to be asked stays."""
        for work, told in zip(self.head.works, self.told, strict=True):
            work.findings = told.to_act_on()
        return self.head

    def encoded(self) -> bytes:
        """Return the evaluation's JSON: the same bytes as its encoding, but what was told before is not spelt out again."""
        works = [
            msgspec.structs.replace(work, findings=told.encoded())  # an encoder takes JSON that is ready as it is
            for work, told in zip(self.head.works, self.told, strict=True)
        ]
        return _encode(msgspec.structs.replace(self.head, works=works))
