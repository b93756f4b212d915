"""Measurement uncertainty: how far a rule's margin spreads, and how likely the limit is kept.

JCGM 100:2008, 5.1.3 note 2, allows the sensitivity of a result to each input to be found by moving that input by one standard
uncertainty; the half-differences are combined in quadrature. JCGM 106:2012, section 7, turns margin and spread into a probability.
"""

import math
from collections.abc import Sequence

from hangworthy.contract.check import Check
from hangworthy.contract.effect import State
from hangworthy.contract.venue import Guard

Moved = tuple[Check, Check, float]
_SQRT2 = math.sqrt(2)


def normal_cdf(z: float) -> float:
    """Return Φ(z) of the standard normal distribution."""
    return 0.5 * math.erfc(-z / _SQRT2)


def _high(check: Check) -> float | None:
    return None if check.high is None or check.value is None else check.high - check.value


def _low(check: Check) -> float | None:
    return None if check.low is None or check.value is None else check.value - check.low


def _value(check: Check) -> float | None:
    return check.value


def combine(base: float, moved: Sequence[tuple[float, float, float]]) -> float:
    """Return the standard uncertainty of a result that is ``base`` and becomes each (up, down) when one input moves.

    The third number scales a move that was cut short by the input's sane range. Where both moves go the same way the result has a
    turning point (a twist of exactly zero): the half-difference would be blind there, so the larger one-sided move is taken.
    """
    total = 0.0
    for up, down, scale in moved:
        rise, fall = up - base, down - base
        change = max(abs(rise), abs(fall)) if rise * fall > 0 else abs(up - down) / 2
        total += (change * scale) ** 2
    return math.sqrt(total)


def _spread(base: Check, moved: Sequence[Moved], part: object) -> float | None:
    """Return the spread of one margin, or None where a moved check has no such margin."""
    middle = part(base)  # type: ignore[operator]
    pairs = [(part(up), part(down), scale) for up, down, scale in moved]  # type: ignore[operator]
    if middle is None or any(up is None or down is None for up, down, _ in pairs):
        return None
    return combine(middle, pairs)


def _kept(margin: float, spread: float) -> float:
    """Return the probability that a margin is not negative."""
    if spread == 0:
        return 1.0 if margin >= 0 else 0.0
    return normal_cdf(margin / spread)


def judge(base: Check, moved: Sequence[Moved], guard: Guard) -> tuple[State, float | None, float | None]:
    """Return the state, the measured value's standard uncertainty, and the probability that the limit is kept.

    A check without a number is borderline when a move turns its answer; it has no probability.
    """
    plain = State.MET if base.met else State.UNMET
    if not moved:
        return plain, None, None
    limits = [part for part in (_high, _low) if part(base) is not None]
    spreads = [_spread(base, moved, part) for part in limits]
    if not limits or any(spread is None for spread in spreads):
        turned = any(up.met != base.met or down.met != base.met for up, down, _ in moved)
        return (State.BORDERLINE if turned else plain), None, None
    u = _spread(base, moved, _value)
    if not u and not any(spreads):
        return plain, None, None
    chances = [_kept(part(base) or 0.0, spread or 0.0) for part, spread in zip(limits, spreads, strict=True)]
    probability = max(0.0, sum(chances) - (len(chances) - 1))
    if probability >= guard.high:
        return State.MET, u, probability
    return (State.UNMET if probability <= guard.low else State.BORDERLINE), u, probability
