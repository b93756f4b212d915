"""Outcomes: what findings add up to, now and at worst."""

from collections.abc import Iterable

from hangworthy.contract.effect import Outcome, State
from hangworthy.contract.finding import Finding

_RANKED = tuple(Outcome)
_UNMET, _NOT_APPLICABLE = State.UNMET, State.NOT_APPLICABLE
_OPEN = (State.UNKNOWN, State.BORDERLINE, State.ERROR)


def rank_now(finding: Finding) -> int:
    """Return the rank of the outcome that a finding asks for as things stand; 0 where it asks for none."""
    return finding.effect.rank if finding.state is _UNMET else 0


def rank_at_worst(finding: Finding) -> int:
    """Return the rank that a finding could ask for if what is open in it turned out badly.

    What is only due at a later stage does not count. An outcome ranks as the effect that asks for it.
    """
    if finding.state is _UNMET or (finding.state in _OPEN and finding.due is None):
        return (finding.effect_at_worst or finding.effect).rank
    return 0


def concerns(finding: Finding) -> bool:
    """Return whether the rule concerns the work at all."""
    return finding.state is not _NOT_APPLICABLE


def outcomes(findings: Iterable[Finding]) -> tuple[Outcome, Outcome]:
    """Return the outcome of a work and what it could become at worst."""
    asked = [(rank_now(finding), rank_at_worst(finding)) for finding in findings]
    return ranked(max((now for now, _ in asked), default=0), max((worst for _, worst in asked), default=0))


def ranked(now: int, at_worst: int) -> tuple[Outcome, Outcome]:
    """Return the outcomes of the highest ranks that any finding asks for; at worst is never milder than now."""
    return _RANKED[now], _RANKED[max(now, at_worst)]


def worst_of(outcomes_found: Iterable[Outcome]) -> Outcome:
    """Return the worst of several outcomes."""
    return max(outcomes_found, key=lambda outcome: outcome.rank)
