"""Measuring and deciding: how sure a reading is to keep a limit."""

import math
from collections.abc import Sequence
from typing import Final

from hangworthy_handbook.checks import positive, within

_ROOT_2: Final = math.sqrt(2.0)
_ROOT_3: Final = math.sqrt(3.0)


def rectangular_uncertainty(half_width: float) -> float:
    """Standard uncertainty of an error that may lie anywhere within a bound.

    Parameters
    ----------
    half_width : bound either way, such as a permissible error or half a reading step [any unit]

    Returns: half_width / sqrt(3) [same unit]

    Validity: nothing more is known of the error. Errors: ValueError below 0.
    Source: JCGM 100 (GUM) (from memory).
    Rows: Q-11, WE-7b.
    """
    within("half_width", half_width, 0.0, math.inf)
    return half_width / _ROOT_3


def combined_uncertainty(parts: Sequence[float]) -> float:
    """Standard uncertainty of a sum of independent parts.

    Parameters
    ----------
    parts : standard uncertainties, all in one unit [any unit]

    Returns: root of the sum of squares [same unit]

    Validity: independent parts. Errors: ValueError for a part below 0.
    Source: JCGM 100 (GUM).
    Rows: WE-7c.
    """
    for part in parts:
        within("an uncertainty", part, 0.0, math.inf)
    return math.hypot(*parts)


def _normal(z: float) -> float:
    # erfc keeps its digits in the far tail, where 1 + erf would lose them.
    return 0.5 * math.erfc(-z / _ROOT_2)


def conformance_upper(value: float, limit: float, uncertainty: float) -> float:
    """Probability that the true value is at or below an upper limit.

    Parameters
    ----------
    value : measured value [any unit]
    limit : upper limit [same unit]
    uncertainty : standard uncertainty of the value [same unit]

    Returns: probability [ratio]

    Validity: normal error, nothing known beforehand. Errors: ValueError for an uncertainty that is not above 0.
    Source: JCGM 106:2012.
    Rows: Q-02, Q-06, WE-7d.
    """
    positive("uncertainty", uncertainty)
    return _normal((limit - value) / uncertainty)


def conformance_lower(value: float, limit: float, uncertainty: float) -> float:
    """Probability that the true value is at or above a lower limit.

    Parameters
    ----------
    value : measured value [any unit]
    limit : lower limit [same unit]
    uncertainty : standard uncertainty of the value [same unit]

    Returns: probability [ratio]

    Validity, errors, source: as `conformance_upper`.
    Rows: Q-03.
    """
    positive("uncertainty", uncertainty)
    return _normal((value - limit) / uncertainty)


def conformance_interval(value: float, lower: float, upper: float, uncertainty: float) -> float:
    """Probability that the true value lies between two limits.

    Parameters
    ----------
    value : measured value [any unit]
    lower, upper : the limits [same unit]
    uncertainty : standard uncertainty of the value [same unit]

    Returns: probability [ratio]

    Validity: as `conformance_upper`. Errors: as it; ValueError when the limits are the wrong way round.
    Source: JCGM 106:2012 section 7.4.
    Rows: Q-01a, Q-01b.
    """
    positive("uncertainty", uncertainty)
    if not lower <= upper:
        raise ValueError(f"lower should not be above upper, but they are {lower!r} and {upper!r}.")
    return _normal((upper - value) / uncertainty) - _normal((lower - value) / uncertainty)


def guard_band(uncertainty: float, probability: float = 0.95) -> float:
    """How far inside a one-sided limit a reading must lie to keep it with a given probability.

    Parameters
    ----------
    uncertainty : standard uncertainty of the reading [any unit]
    probability : probability wanted [ratio]

    Returns: distance from the limit [same unit]

    Validity: normal error; probability from 0.5 up to 0.999999. Errors: ValueError outside of it, or for an uncertainty
    that is not above 0. Source: normal quantile.
    Rows: Q-04a, Q-04b, Q-04c, Q-04d.
    """
    positive("uncertainty", uncertainty)
    within("probability", probability, 0.5, 0.999999)
    z = 0.0
    # Newton from 0 climbs to the quantile and never passes it: the normal distribution is concave above 0.
    for _ in range(60):
        step = (probability - _normal(z)) * math.sqrt(2.0 * math.pi) * math.exp(0.5 * z * z)
        z += step
        if abs(step) < 1e-12:
            break
    return z * uncertainty
