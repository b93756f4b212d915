"""Damage by wavelength: short waves do more."""

import math

from hangworthy_handbook.checks import positive, within


def damage_at(wavelength_nm: float, slope_per_nm: float = 0.0115) -> float:
    """Relative damage of radiation of one wavelength, 1 at 300 nm.

    Parameters
    ----------
    wavelength_nm : wavelength [nm]
    slope_per_nm : how fast damage falls with wavelength; 0.0115 for one class of objects, 0.012 in the older text [1/nm]

    Returns: exp(-slope (wavelength - 300)) [ratio]

    Validity: 300 to 780 nm. Errors: ValueError outside of it, or for a slope that is not above 0.
    Source: CIE 157:2004 eq. 2.5; CIE 089.
    Rows: L-12b, L-12c.
    """
    within("wavelength_nm", wavelength_nm, 300.0, 780.0)
    positive("slope_per_nm", slope_per_nm)
    return math.exp(-slope_per_nm * (wavelength_nm - 300.0))


def damage_ratio(wavelength_nm: float, against_nm: float, slope_per_nm: float = 0.0115) -> float:
    """How many times the damage of one wavelength another does.

    Parameters
    ----------
    wavelength_nm, against_nm : the wavelengths compared [nm]
    slope_per_nm : as in `damage_at` [1/nm]

    Returns: ratio [ratio]

    Validity, errors, source: as `damage_at`.
    Rows: L-12a.
    """
    return damage_at(wavelength_nm, slope_per_nm) / damage_at(against_nm, slope_per_nm)
