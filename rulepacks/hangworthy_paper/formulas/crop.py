"""The best crop, exactly. Lengths are taken to the micrometre and compared as whole numbers, so that no rounding decides.

Along each direction a sheet of size s must lose at least e = max(0, s - opening), at most a on one side and b on the other. The area lost
grows with what goes in either direction, so the least is lost when exactly e goes in each; what is then left to choose is how e is shared.
The middle, e/2 each, is best centred; where a side may not lose that much, the nearest allowed share is nearest to the middle, because the
distance from the middle grows evenly. So the best window is found direction by direction, and it is the only one.
"""

import math
from collections.abc import Sequence
from typing import Final

from hangworthy_handbook.checks import sides, within

_FINE: Final = 1000  # micrometres in a millimetre
_LARGEST_MM: Final = 1e9


def micrometres(length_mm: float) -> int:
    """A length as a whole number of micrometres.

    Parameters
    ----------
    length_mm : any length, either sign [mm]

    Returns: the nearest whole number of micrometres, halves to the even one [um]

    Validity: up to 1000 km. Errors: ValueError beyond it, or for what is no number. Source: definition of the unit.
    Rows: P-31a, P-31b.
    """
    within("length_mm", length_mm, -_LARGEST_MM, _LARGEST_MM)
    return round(length_mm * _FINE)


def exact_difference(longer_mm: float, shorter_mm: float) -> float:
    """What one length is longer than another, free of what floats leave over: 406.4 less 403.2 is 3.2.

    Parameters
    ----------
    longer_mm, shorter_mm : the lengths [mm]

    Returns: their difference, to the micrometre; negative where the second is the longer [mm]

    Validity, errors: as `micrometres`. Source: exact arithmetic; 1/8 in of room in a rebate is a figure of the framing trade.
    Rows: P-20b.
    """
    return (micrometres(longer_mm) - micrometres(shorter_mm)) / _FINE


def crop_split(excess_mm: float, most_first_mm: float, most_second_mm: float) -> tuple[float, float]:
    """How what must go in one direction is shared by its two sides: evenly, or as nearly so as both sides allow.

    Parameters
    ----------
    excess_mm : what must go in all [mm]
    most_first_mm, most_second_mm : what may go on either side [mm]

    Returns: what goes on the first side, on the second [mm]

    Validity: none of them negative. Errors: ValueError for a negative length, or when the two sides may not lose enough.
    Source: exact arithmetic; see the module.
    Rows: P-32a, P-32b, P-32c.
    """
    excess, first, second = micrometres(excess_mm), micrometres(most_first_mm), micrometres(most_second_mm)
    if min(excess, first, second) < 0:
        raise ValueError("What must go and what may go should not be negative.")
    if first + second < excess:
        raise ValueError(f"{excess_mm:g} mm should go, but the two sides may lose {most_first_mm + most_second_mm:g} mm only.")
    doubled = min(max(excess, 2 * (excess - second)), 2 * first)  # twice the share of the first side: a whole number again
    return doubled / (2 * _FINE), (2 * excess - doubled) / (2 * _FINE)


def crop_window(
    width_mm: float, height_mm: float, opening_width_mm: float, opening_height_mm: float, most_mm: Sequence[float]
) -> tuple[float, float, float, float]:
    """The crop that lets a sheet into an opening: least image lost first, then as nearly centred as the sides allow.

    Parameters
    ----------
    width_mm, height_mm : the sheet [mm]
    opening_width_mm, opening_height_mm : the largest sheet that goes in [mm]
    most_mm : what may go at the top, right, bottom and left [mm]

    Returns: what goes at the top, right, bottom and left [mm]

    Validity: any sizes above 0. Errors: ValueError for a size that is not, for a list that is not of four, or when it cannot be done.
    Source: exact arithmetic; see the module.
    Rows: P-33a, P-33b, P-33c, P-33d.
    """
    sides(width_mm, height_mm)
    sides(opening_width_mm, opening_height_mm)
    if len(most_mm) != 4:
        raise ValueError(f"most_mm should hold four lengths (top, right, bottom, left), but holds {len(most_mm)}.")
    top, right, bottom, left = most_mm
    across = max(0.0, exact_difference(width_mm, opening_width_mm))
    down = max(0.0, exact_difference(height_mm, opening_height_mm))
    from_left, from_right = crop_split(across, left, right)
    from_top, from_bottom = crop_split(down, top, bottom)
    return from_top, from_right, from_bottom, from_left


def image_lost(width_mm: float, height_mm: float, crop_mm: Sequence[float]) -> float:
    """The share of a sheet that a crop takes away.

    Parameters
    ----------
    width_mm, height_mm : the sheet [mm]
    crop_mm : what goes at the top, right, bottom and left [mm]

    Returns: area lost over area of the sheet [%]

    Validity: a crop that leaves something. Errors: ValueError for a size not above 0, a negative crop, or one that leaves nothing.
    Source: elementary geometry.
    Rows: P-34a, P-34b.
    """
    sides(width_mm, height_mm)
    top, right, bottom, left = crop_mm
    if min(crop_mm) < 0 or left + right >= width_mm or top + bottom >= height_mm:
        raise ValueError("A crop should not be negative, and should leave some of the sheet.")
    # As a sum of two terms that do not cancel: a small crop of a large sheet keeps its digits.
    across, down = (left + right) / width_mm, (top + bottom) / height_mm
    return math.fsum((across, down, -across * down)) * 100
