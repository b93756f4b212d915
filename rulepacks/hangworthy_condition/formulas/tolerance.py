"""How far two honest measurements of one work may lie apart."""

import math

from hangworthy_handbook.checks import positive, within
from hangworthy_handbook.tape import tape_mpe


def size_tolerance(length_mm: float, accuracy_class: str, reading_mm: float) -> float:
    """Largest difference of two readings of one length, each taken from the hook of a tape of the same class.

    Parameters
    ----------
    length_mm : the length, the longer of the two readings [mm]
    accuracy_class : "I", "II" or "III", as printed on the tapes [-]
    reading_mm : what each reading may be off by, half the division it is read to [mm]

    Returns: twice the sum of the tape's permissible error and the reading's [mm]

    Validity: bounds are added, not combined, so that no honest difference is named; edges are taken as straight.
    Errors: ValueError for another class, a length that is not above 0, or a reading error below 0.
    Source: permissible error by Directive 2014/32/EU annex X (MI-008) chapter I.
    Rows: Q-08-twice-a, Q-08-twice-b, Q-08-twice-c.
    """
    within("reading_mm", reading_mm, 0.0, math.inf)
    return 2.0 * (tape_mpe(length_mm, accuracy_class, from_hook=True) + reading_mm)


def weight_tolerance(declared_kg: float, share_percent: float, least_kg: float) -> float:
    """Largest difference of two weighings of one work.

    Parameters
    ----------
    declared_kg : what was declared [kg]
    share_percent : share of it that counts as no difference [%]
    least_kg : difference that a bathroom scale cannot tell [kg]

    Returns: the larger of the share and the least [kg]

    Validity: any weight. Errors: ValueError for a weight that is not above 0, or a share or least below 0.
    Source: the programme's own policy. No row: nothing is published.
    """
    positive("declared_kg", declared_kg)
    within("share_percent", share_percent, 0.0, math.inf)
    within("least_kg", least_kg, 0.0, math.inf)
    return max(declared_kg * share_percent / 100.0, least_kg)
