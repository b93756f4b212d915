"""Outcomes: what findings add up to, now and at worst."""

from collections.abc import Iterable

from hangworthy.contract.effect import Outcome, State
from hangworthy.contract.finding import Finding

_RANKED = tuple(Outcome)
_UNMET = State.UNMET
_OPEN = (State.UNKNOWN, State.BORDERLINE, State.ERROR)


def outcomes(findings: Iterable[Finding]) -> tuple[Outcome, Outcome]:
    """Return the outcome of a work and what it could become at worst.

    Findings that are only due at a later stage count in neither. Advice leaves a work ready, so effect and outcome share ranks.
    """
    now = worst = 0
    for finding in findings:
        state = finding.state
        if state is _UNMET:
            now = max(now, finding.effect.rank)
            worst = max(worst, (finding.effect_at_worst or finding.effect).rank)
        elif state in _OPEN and finding.due is None:
            worst = max(worst, (finding.effect_at_worst or finding.effect).rank)
    return _RANKED[now], _RANKED[max(now, worst)]


def worst_of(outcomes_found: Iterable[Outcome]) -> Outcome:
    """Return the worst of several outcomes."""
    return max(outcomes_found, key=lambda outcome: outcome.rank)
