"""Outcomes: what findings add up to, now and at worst."""

from collections.abc import Iterable
from operator import attrgetter

from hangworthy.contract.effect import Outcome, State
from hangworthy.contract.finding import Finding

_RANKED = tuple(Outcome)
_rank = attrgetter("rank")
_UNMET = State.UNMET
_OPEN = (State.UNKNOWN, State.BORDERLINE, State.ERROR)


def ranks(finding: Finding) -> tuple[int, int]:
    """Return the ranks of the outcomes that a finding asks for: as things stand, and if what is open in it turned out badly.

    0 where it asks for none. What is only due at a later stage does not count. An outcome ranks as the effect that asks for it.
    """
    state = finding.state
    if state is _UNMET:
        return finding.effect.rank, (finding.effect_at_worst or finding.effect).rank
    if state in _OPEN and finding.due is None:
        return 0, (finding.effect_at_worst or finding.effect).rank
    return 0, 0


def outcomes(findings: Iterable[Finding]) -> tuple[Outcome, Outcome]:
    """Return the outcome of a work and what it could become at worst."""
    asked = [ranks(finding) for finding in findings]
    return ranked(max((now for now, _ in asked), default=0), max((worst for _, worst in asked), default=0))


def ranked(now: int, at_worst: int) -> tuple[Outcome, Outcome]:
    """Return the outcomes of the highest ranks that any finding asks for; at worst is never milder than now."""
    return _RANKED[now], _RANKED[max(now, at_worst)]


def worst_of(outcomes_found: Iterable[Outcome]) -> Outcome:
    """Return the worst of several outcomes."""
    return max(outcomes_found, key=_rank)
