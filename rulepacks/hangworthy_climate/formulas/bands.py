"""Bands: types of climate control, and the museum band, as questions that numbers answer."""

from typing import Final

from hangworthy_handbook.checks import within

# From strictest to loosest; the last is none of them.
TYPES: Final = ("AA", "A1", "A2", "B", "C", "D", "none")
# Type -> RH within a day, RH about the year's middle, K within a day, K from the coldest to the warmest of the year.
_PRECISE: Final = ((5.0, 5.0, 2.0, 14.0), (5.0, 15.0, 2.0, 19.0), (10.0, 10.0, 2.0, 19.0))
_SHORT_B, _YEAR_B, _KELVIN_B = 10.0, 20.0, 5.0
_WARMEST_C, _DRIEST, _DAMPEST = 30.0, 25.0, 75.0


def control_type(
    rh_low_percent: float, rh_high_percent: float, rh_swing_percent: float, temp_low_c: float, temp_high_c: float, temp_swing_k: float
) -> int:
    """The strictest type of climate control that a logged year keeps.

    Parameters
    ----------
    rh_low_percent, rh_high_percent : lowest and highest relative humidity of the year [%]
    rh_swing_percent : how far it strays from the mean of the day, up or down [%]
    temp_low_c, temp_high_c : lowest and highest temperature of the year [degC]
    temp_swing_k : how far it strays from the mean of the day, up or down [K]

    Returns: 0 for AA, 1 for A1, 2 for A2, 3 for B, 4 for C, 5 for D, 6 for none of them [-]

    Validity: a year on a logger; the seasonal change and the short one are added to the band of the year. Errors: ValueError
    when low is above high or a swing is negative. Source: ASHRAE Handbook - HVAC Applications, museums, galleries, archives
    and libraries, editions of 1999 to 2015 (from memory).
    Rows: H-01a, H-01b, H-02, H-03, H-04a, H-04b, H-05a, H-05b, H-05c, H-06.
    """
    within("rh_low_percent", rh_low_percent, 0.0, rh_high_percent)
    within("rh_high_percent", rh_high_percent, rh_low_percent, 100.0)
    within("temp_low_c", temp_low_c, -50.0, temp_high_c)
    within("rh_swing_percent", rh_swing_percent, 0.0, 100.0)
    within("temp_swing_k", temp_swing_k, 0.0, 100.0)
    half, spread = (rh_high_percent - rh_low_percent) / 2.0, temp_high_c - temp_low_c
    for rank, (short, year, kelvin, kelvin_year) in enumerate(_PRECISE):
        if rh_swing_percent <= short and half <= year and temp_swing_k <= kelvin and spread <= kelvin_year:
            return rank
    warm = temp_high_c > _WARMEST_C
    if rh_swing_percent <= _SHORT_B and half <= _YEAR_B and temp_swing_k <= _KELVIN_B and not warm:
        return 3
    if rh_low_percent >= _DRIEST and rh_high_percent <= _DAMPEST and not warm:
        return 4
    return 5 if rh_high_percent <= _DAMPEST else 6


def in_museum_band(rh_percent: float, temp_c: float) -> bool:
    """Whether air lies in the band of 45 +- 8 % RH and 70 +- 4 degF (37 to 53 %, 66 to 74 degF).

    Parameters
    ----------
    rh_percent : relative humidity [%]
    temp_c : temperature [degC]

    Returns: whether it does

    Validity: a general collection. Errors: ValueError outside 0 to 100 % RH.
    Source: Mecklenburg et al. (2004), for the Smithsonian Institution.
    Rows: H-12a, H-12b, H-12c, H-12d.
    """
    within("rh_percent", rh_percent, 0.0, 100.0)
    return 37.0 <= rh_percent <= 53.0 and 66.0 <= temp_c * 9.0 / 5.0 + 32.0 <= 74.0
