"""Logged humidity: the band that a work has got used to, from a year's record."""

from collections.abc import Sequence
from typing import Final, NamedTuple

from hangworthy_handbook.checks import within

WINDOW_DAYS: Final = 30
LEAST_DAYS: Final = 395  # a year, and half a window on either side of it, rounded up to 13 months
ACCEPTED: Final = 10.0
_LOW_SHARE, _HIGH_SHARE = 0.07, 0.93


class TargetBand(NamedTuple):
    """The short-term band about the 30-day mean: how far down and up, and the means it stands about, lowest, middle and highest [%]."""

    down: float
    up: float
    lowest_mean: float
    mean: float
    highest_mean: float


def percentile(values: Sequence[float], share: float) -> float:
    """Value below which a share of the sorted values lies, in proportion between two of them.

    Parameters
    ----------
    values : at least one [any unit]
    share : 0 to 1 [ratio]

    Returns: value [same unit]

    Validity: any. Errors: ValueError for no values, or a share outside 0 to 1.
    Source: linear interpolation of the order statistics, the usual definition.
    Rows: H-13a, H-13b.
    """
    within("share", share, 0.0, 1.0)
    if not values:
        raise ValueError("values should hold at least one number, but is empty.")
    ordered = sorted(values)
    place = share * (len(ordered) - 1)
    lower = min(int(place), len(ordered) - 2) if len(ordered) > 1 else 0
    upper = min(lower + 1, len(ordered) - 1)
    return ordered[lower] + (place - lower) * (ordered[upper] - ordered[lower])


def central_means(values: Sequence[float], half_window: int) -> tuple[float, ...]:
    """Moving average about each value that has a whole window about it.

    Parameters
    ----------
    values : evenly spaced record [any unit]
    half_window : values before and after that count with each; 0 gives the record itself [-]

    Returns: the averages, shorter than the record by two half windows [same unit]

    Validity: any. Errors: ValueError for a negative half window, or a record shorter than one window.
    Source: EN 15757:2010, central moving average (from memory).
    Rows: H-13c.
    """
    window = 2 * half_window + 1
    if half_window < 0 or len(values) < window:
        raise ValueError(f"values should hold a window of {window} numbers or more, but holds {len(values)}.")
    total = sum(values[:window])
    means = [total / window]
    for place in range(window, len(values)):
        total += values[place] - values[place - window]
        means.append(total / window)
    return tuple(means)


def target_band(rh_percent: Sequence[float], readings_a_day: int) -> TargetBand:
    """Short-term band of humidity that a work has got used to in its place.

    Deviations of every reading from the 30-day mean about it; the band reaches from their 7th to their 93rd percentile. Where it lies
    within 10 % RH either way, 10 % is accepted.

    Parameters
    ----------
    rh_percent : evenly spaced record of 13 months or more [%]
    readings_a_day : readings a day [-]

    Returns: the band and the means that it stands about [%]

    Validity: organic hygroscopic materials that have come to no harm there. Errors: ValueError for a shorter record, or a
    reading outside 0 to 100. Source: EN 15757:2010 (from memory).
    No row: a year's record is held by the tests of the pack.
    """
    if readings_a_day < 1 or len(rh_percent) < LEAST_DAYS * readings_a_day:
        raise ValueError(f"rh_percent should hold {LEAST_DAYS} days or more, but holds {len(rh_percent)} readings. Please log longer.")
    for reading in rh_percent:
        within("rh_percent", reading, 0.0, 100.0)
    half = WINDOW_DAYS * readings_a_day // 2
    means = central_means(rh_percent, half)
    strays = [reading - mean for reading, mean in zip(rh_percent[half:], means, strict=False)]
    down, up = -percentile(strays, _LOW_SHARE), percentile(strays, _HIGH_SHARE)
    return TargetBand(max(ACCEPTED, down), max(ACCEPTED, up), min(means), sum(means) / len(means), max(means))
