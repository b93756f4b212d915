"""Responsivity to light: four classes, 0 (none) to 3 (high), and what each may have."""

from collections.abc import Mapping
from typing import Final

from hangworthy_handbook.checks import within

# Class -> lx h a year, lx at most. Class 0 has no limit.
YEARLY_LX_H: Final[Mapping[int, float]] = {1: 600_000.0, 2: 150_000.0, 3: 15_000.0}
MOST_LX: Final[Mapping[int, float]] = {1: 200.0, 2: 50.0, 3: 50.0}
# Class -> the Blue Wool step in it that fades first.
FIRST_TO_FADE: Final[Mapping[int, float]] = {1: 7.0, 2: 4.0, 3: 1.0}


def responsivity_from_rating(rating: float) -> int:
    """Class of a colour with a known Blue Wool step: 1 to 3 high, 4 to 6 medium, 7 and 8 low.

    Parameters
    ----------
    rating : step on the Blue Wool scale; a step between two counts as the lower [-]

    Returns: class, 3 high to 1 low [-]

    Validity: 1 to 8. Errors: ValueError outside of it.
    Source: CCI, Agent of deterioration: light, Table 3; adopted in CIE 157:2004.
    Rows: L-04a, L-04b, L-04c, L-04d, L-04e, L-04f, L-04g, L-04h.
    """
    within("rating", rating, 1.0, 8.0)
    return 3 if rating < 4.0 else 2 if rating < 7.0 else 1


def _held(table: Mapping[int, float], responsivity: int) -> float:
    if responsivity not in table:
        raise ValueError(f"responsivity should be 1, 2 or 3 (0 has no limit), but is {responsivity!r}.")
    return table[responsivity]


def yearly_limit(responsivity: int) -> float:
    """Light that a class may have in a year.

    Parameters
    ----------
    responsivity : 1 low, 2 medium, 3 high [-]

    Returns: dose [lx h]

    Validity: classes 1 to 3. Errors: ValueError for another; class 0 has no limit.
    Source: CIE 157:2004 (from memory).
    Rows: L-03a, L-03b, L-03c.
    """
    return _held(YEARLY_LX_H, responsivity)


def illuminance_limit(responsivity: int) -> float:
    """Brightest light that is advised for a class.

    Parameters
    ----------
    responsivity : 1 low, 2 medium, 3 high [-]

    Returns: illuminance [lx]

    Validity: classes 1 to 3. Errors: ValueError for another; class 0 has no limit.
    Source: CIE 157:2004 (from memory).
    Rows: L-03d, L-03e, L-03f.
    """
    return _held(MOST_LX, responsivity)


def first_to_fade(responsivity: int) -> float:
    """The Blue Wool step of a class that fades first: what to reckon with where a work's own step is not known.

    Parameters
    ----------
    responsivity : 1 low, 2 medium, 3 high [-]

    Returns: step on the Blue Wool scale [-]

    Validity: classes 1 to 3. Errors: ValueError for another. Source: the classes of `responsivity_from_rating`.
    Rows: L-04i, L-04j, L-04k.
    """
    return _held(FIRST_TO_FADE, responsivity)
