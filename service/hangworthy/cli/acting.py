"""In which order people act on findings: what is dangerous is made safe first, and all else waits for that."""

from collections.abc import Sequence

from msgspec import UNSET

from hangworthy.contract.finding import Finding, WorkAnswer


def safe_first(found: Sequence[Finding], answer: WorkAnswer) -> tuple[Sequence[Finding], Sequence[Finding]]:
    """Return what may be done at once, and what waits until the work is cleared: all but its hazards, while it has any."""
    if answer.safe_first is UNSET:
        return found, ()
    hazards = [one for one in found if one.rule in answer.safe_first]
    return hazards, [one for one in found if one.rule not in answer.safe_first]
