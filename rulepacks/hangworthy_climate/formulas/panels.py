"""Movement between two climates: wood across the grain, sheets and boards in their plane."""

from typing import Final

from hangworthy_handbook.checks import positive, within
from hangworthy_handbook.wood import emc, movement, movement_from_shrinkage

_LINEAR_FROM, _LINEAR_TO = 6.0, 14.0
_SHRINKAGE_PER_COEFFICIENT: Final = 2860.0  # total shrinkage [%] of a wood with a change coefficient of 1: 100 times 28.6 %MC


def panel_movement(width_mm: float, coefficient: float, temp_c: float, rh_from_percent: float, rh_to_percent: float) -> float:
    """Movement of a wooden panel across the grain when it goes from one humidity to another and stays.

    Parameters
    ----------
    width_mm : width across the grain [mm]
    coefficient : dimensional change coefficient of the wood [1/%MC]
    temp_c : temperature of both places [degC]
    rh_from_percent, rh_to_percent : relative humidity before and after [%]

    Returns: change of width, negative when it shrinks [mm]

    Validity: as `emc`; from 6 to 14 %MC by the coefficient, beyond by the shrinkage that it implies. Weeks in the new air.
    Errors: ValueError outside of it. Source: Wood Handbook, FPL-GTR-190 (2010), Tables 4-2 and 13-5.
    Rows: WE-1c, WE-1d.
    """
    before, after = emc(temp_c, rh_from_percent), min(30.0, emc(temp_c, rh_to_percent))
    before = min(30.0, before)
    if _LINEAR_FROM <= before <= _LINEAR_TO and _LINEAR_FROM <= after <= _LINEAR_TO:
        return movement(width_mm, coefficient, before, after)
    return movement_from_shrinkage(width_mm, coefficient * _SHRINKAGE_PER_COEFFICIENT, before, after)


def sheet_movement(size_mm: float, mm_per_m_percent: float, rh_from_percent: float, rh_to_percent: float) -> float:
    """Movement of a sheet or board in its plane when it goes from one humidity to another.

    Parameters
    ----------
    size_mm : size of the sheet [mm]
    mm_per_m_percent : movement per metre and percent of relative humidity [mm/m per %]
    rh_from_percent, rh_to_percent : relative humidity before and after [%]

    Returns: change of size, negative when it shrinks [mm]

    Validity: in proportion, which holds about the middle of the scale. Errors: ValueError for a figure that is not above 0,
    or humidities outside 0 to 100. Source: proportion; the coefficient is the caller's.
    No row: no published coefficient of artists' papers is held here.
    """
    positive("size_mm", size_mm)
    positive("mm_per_m_percent", mm_per_m_percent)
    within("rh_from_percent", rh_from_percent, 0.0, 100.0)
    within("rh_to_percent", rh_to_percent, 0.0, 100.0)
    return size_mm / 1000.0 * mm_per_m_percent * (rh_to_percent - rh_from_percent)
