"""Rolled sheets: how sharply a tube bends them."""

from hangworthy_handbook.checks import positive, within


def bending_strain(thickness_mm: float, diameter_mm: float) -> float:
    """Strain in the faces of a sheet that is rolled on a core.

    The middle of the sheet lies on a circle of diameter D + t and keeps its length; a face is t/2 off it, on a radius of (D + t)/2.

    Parameters
    ----------
    thickness_mm : thickness t of the sheet, paint included [mm]
    diameter_mm : diameter D of the core [mm]

    Returns: strain t/(D + t) [%]

    Validity: one layer, a sheet of one stiffness throughout; t well below D. Errors: ValueError for a length that is not above 0.
    Source: geometry of bending.
    Rows: P-16a, P-16b.
    """
    positive("thickness_mm", thickness_mm)
    positive("diameter_mm", diameter_mm)
    return thickness_mm / (diameter_mm + thickness_mm) * 100


def least_core(thickness_mm: float, strain_percent: float) -> float:
    """The narrowest core on which a sheet is strained no more than this.

    Parameters
    ----------
    thickness_mm : thickness of the sheet [mm]
    strain_percent : strain allowed in its faces [%]

    Returns: diameter t/strain - t [mm]

    Validity: strain above 0 and below 100. Errors: ValueError outside of it, or for a thickness that is not above 0.
    Source: geometry of bending, the inverse of `bending_strain`.
    Rows: P-16c, P-16d.
    """
    positive("thickness_mm", thickness_mm)
    within("strain_percent", strain_percent, 1e-6, 100.0)
    return thickness_mm / (strain_percent / 100) - thickness_mm
