"""Pixels and eyes: how fine a print must be for the distance from which it is seen."""

import math
from typing import Final

from hangworthy_handbook.checks import positive, within

_INCH: Final = 25.4  # [mm], exactly


def arc_minutes(angle_arcmin: float) -> float:
    """An angle in radians.

    Parameters
    ----------
    angle_arcmin : angle [minutes of arc]

    Returns: angle [rad]

    Validity: above 0, up to 60. Errors: ValueError outside of it.
    Source: geometry; the eye of 20/20 acuity tells one minute.
    Rows: R-01.
    """
    positive("angle_arcmin", angle_arcmin)
    within("angle_arcmin", angle_arcmin, 0.0, 60.0)
    return math.radians(angle_arcmin / 60.0)


def required_ppi(distance_mm: float, angle_rad: float) -> float:
    """Pixels per inch at which single pixels can no longer be told apart.

    Parameters
    ----------
    distance_mm : from the eye to the print [mm]
    angle_rad : the smallest angle that the eye tells [rad]

    Returns: 25.4 / (distance tan(angle)) [ppi]

    Validity: above 0. Errors: ValueError for a figure that is not.
    Source: optics, a pixel under the smallest angle.
    Rows: R-03a, R-04a, R-04b, R-04c, WE-8b, WE-8c.
    """
    positive("distance_mm", distance_mm)
    positive("angle_rad", angle_rad)
    return _INCH / (distance_mm * math.tan(angle_rad))


def merging_distance(ppi: float, angle_rad: float) -> float:
    """Distance beyond which pixels merge; the inverse of `required_ppi`.

    Parameters
    ----------
    ppi : pixels per inch [ppi]
    angle_rad : the smallest angle that the eye tells [rad]

    Returns: 25.4 / (ppi tan(angle)) [mm]

    Validity: above 0. Errors: ValueError for a figure that is not.
    Source: optics, a pixel under the smallest angle.
    Rows: R-03b, R-05, WE-8a.
    """
    positive("ppi", ppi)
    return required_ppi(ppi, angle_rad)  # the product of distance and density is one constant


def printed_ppi(width_px: float, height_px: float, width_mm: float, height_mm: float) -> float:
    """Pixels per inch of a picture that fills a print, the coarser of its two directions.

    Parameters
    ----------
    width_px, height_px : the picture [px]
    width_mm, height_mm : the print [mm]

    Returns: pixels per inch, the long side laid along the long side [ppi]

    Validity: above 0. Errors: ValueError for a figure that is not.
    Source: division.
    Rows: WE-8d, WE-8e.
    """
    for name, side in (("width_px", width_px), ("height_px", height_px), ("width_mm", width_mm), ("height_mm", height_mm)):
        positive(name, side)
    long_px, short_px = max(width_px, height_px), min(width_px, height_px)
    return _INCH * min(long_px / max(width_mm, height_mm), short_px / min(width_mm, height_mm))


def viewing_distance(width_mm: float, height_mm: float, diagonals: float, nearest_mm: float) -> float:
    """Distance from which a picture is taken in: so many of its diagonals, and never nearer than an eye can focus at ease.

    Parameters
    ----------
    width_mm, height_mm : the print [mm]
    diagonals : distance in diagonals of the print, 1.5 to 2 by custom [-]
    nearest_mm : the nearest that anybody looks from [mm]

    Returns: distance [mm]

    Validity: above 0. Errors: ValueError for a figure that is not.
    Source: custom, 1.5 to 2 diagonals.
    Rows: R-07a, R-07b, R-07c.
    """
    positive("diagonals", diagonals)
    positive("nearest_mm", nearest_mm)
    positive("width_mm", width_mm)
    positive("height_mm", height_mm)
    return max(nearest_mm, diagonals * math.hypot(width_mm, height_mm))
