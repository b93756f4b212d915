"""Prices: the line that an artist's own prices follow, and how far from it one of them lies."""

import math
from collections.abc import Sequence
from typing import Final, NamedTuple

from hangworthy_handbook.checks import within

NORMAL_QUARTILE: Final = 0.6745  # of the standard normal, as printed with the score; exact 0.674490
_MEAN_DEVIATION: Final = 1.253314  # sqrt(pi / 2): the normal's standard deviation over its mean absolute deviation
_MOST_FOR_ALL_PAIRS: Final = 64


class Line(NamedTuple):
    """A straight line."""

    slope: float
    intercept: float


def median(values: Sequence[float]) -> float:
    """The middle one of several numbers, the mean of the two middle ones for an even count.

    Parameters
    ----------
    values : numbers, at least one [any unit]

    Returns: the median [the same unit]

    Validity: any finite numbers. Errors: ValueError for none at all.
    Source: definition.
    Rows: PR-01, PR-02.
    """
    if not values:
        raise ValueError("values should hold at least one number, but is empty.")
    ordered, middle = sorted(values), len(values) // 2
    return ordered[middle] if len(values) % 2 else (ordered[middle - 1] + ordered[middle]) / 2.0


def theil_sen(xs: Sequence[float], ys: Sequence[float], least_step: float = 0.0) -> Line:
    """Line through points by the median of slopes: up to 29 % of the points may be anything and do not pull it over.

    Up to 64 points all pairs are taken; above, Theil's incomplete method: sorted by x, each point of the lower half with its partner in the
    upper half, which bears 25 % of wrong points and needs no more than sorting.

    Parameters
    ----------
    xs, ys : coordinates, equally many, at least one [any unit]
    least_step : pairs closer in x than this say nothing of the slope and are left out [unit of xs]

    Returns: slope and intercept, the median of y - slope x; slope 0 where no pair is left

    Validity: any finite numbers. Errors: ValueError for lists of different length or none, or a step below 0.
    Source: Theil 1950; Sen 1968 (from memory).
    Rows: PR-03, PR-04, PR-05, PR-06.
    """
    if len(xs) != len(ys):
        raise ValueError(f"xs and ys should be equally many, but are {len(xs)} and {len(ys)}.")
    within("least_step", least_step, 0.0, math.inf)
    points = sorted(zip(xs, ys, strict=True))
    if len(points) <= _MOST_FOR_ALL_PAIRS:
        pairs = [(one, other) for place, other in enumerate(points) for one in points[:place]]
    else:
        pairs = list(zip(points[: len(points) // 2], points[(len(points) + 1) // 2 :], strict=True))
    slopes = [(y2 - y1) / (x2 - x1) for (x1, y1), (x2, y2) in pairs if x2 - x1 > least_step]
    slope = median(slopes) if slopes else 0.0
    return Line(slope, median([y - slope * x for x, y in points]))


def modified_z_scores(values: Sequence[float], least_mad: float = 0.0) -> tuple[float, ...]:
    """How far each number lies from the median of all, in robust standard deviations.

    0.6745 (x - median) / MAD. Where more than half of the numbers are the same, MAD is 0 and the mean absolute deviation takes its place;
    where all are the same, every score is 0.

    Parameters
    ----------
    values : numbers, at least one [any unit]
    least_mad : a floor under MAD, so that rounding in a list that follows a formula is no news [the same unit]

    Returns: one score per number [-]

    Validity: any finite numbers; a score above 3.5 in size marks an outlier. Errors: ValueError for none, or a floor below 0.
    Source: Iglewicz and Hoaglin, How to Detect and Handle Outliers (1993) (from memory).
    Rows: PR-07, PR-08, PR-09, PR-10.
    """
    within("least_mad", least_mad, 0.0, math.inf)
    middle = median(values)
    off = [value - middle for value in values]
    mad = max(median([abs(one) for one in off]), least_mad)
    if mad > 0.0:
        return tuple(NORMAL_QUARTILE * one / mad for one in off)
    mean = math.fsum(abs(one) for one in off) / len(off)
    return tuple(one / (_MEAN_DEVIATION * mean) if mean > 0.0 else 0.0 for one in off)
