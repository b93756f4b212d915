"""How far a sheet bows when its faces are not alike: one warmer or damper than the other.

The faces want to differ in length by a share of it, the strain. With an even change from face to face through the thickness t the
sheet bends, without any force, to the curvature strain / t in every direction: a shallow bowl, hollow towards the face that is
shorter, so that it bows towards the warmer or damper one. How far the middle then goes depends on what the frame does with the edges:

* free, resting on its corners: a bowl over the diagonal, D² κ / 8;
* held flat all round: the edges can only turn, the plate takes no other load, and ∇²w = −(1 + ν) κ with w = 0 at the edge, the equation
  of a taut membrane under even pressure.

A pane in a frame lies between the two.
"""

import math
from typing import Final

from hangworthy_handbook.checks import positive, sides, within
from hangworthy_handbook.membrane import sag_coefficient

STEEPEST: Final = 1.0  # [rad], angle of the arc from end to end; up to there the parabola is within 2.2 % of the arc


def bow_curvature(strain: float, thickness_mm: float) -> float:
    """Curvature of a free sheet whose faces differ in length.

    Parameters
    ----------
    strain : by how much of its length one face is longer than the other [ratio]
    thickness_mm : thickness of the sheet [mm]

    Returns: strain / thickness, the same in every direction [1/mm]

    Validity: an even change from face to face, as settles in when both sides stay as they are; while damp is still on its way
    in, the sheet bows less. Errors: ValueError for a thickness that is not above 0, or a strain beyond 5 %.
    Source: Timoshenko 1925, bi-metal thermostats, for one material.
    Rows: G-16a, G-16b.
    """
    positive("thickness_mm", thickness_mm)
    within("strain", strain, -0.05, 0.05)
    return strain / thickness_mm


def bow_depth(curvature_per_mm: float, length_mm: float) -> float:
    """Depth of the bow of a strip, at its middle.

    Parameters
    ----------
    curvature_per_mm : curvature [1/mm]
    length_mm : length of the strip [mm]

    Returns: length^2 * curvature / 8 [mm]

    Validity: an arc of up to 1 rad from end to end; there 2.1 % above `exact_bow_depth`. Errors: ValueError beyond it, or
    for a length that is not above 0. Source: geometry of the circle, flat arc.
    Rows: G-16c, G-16d.
    """
    positive("length_mm", length_mm)
    within("angle of the arc in rad", curvature_per_mm * length_mm, -STEEPEST, STEEPEST)
    return length_mm * length_mm * curvature_per_mm / 8.0


def exact_bow_depth(curvature_per_mm: float, length_mm: float) -> float:
    """Depth of a circular arc of given length.

    Parameters
    ----------
    curvature_per_mm : curvature [1/mm]
    length_mm : length along the arc [mm]

    Returns: (1 - cos(curvature * length / 2)) / curvature [mm]

    Validity: as `bow_depth`. Errors: as `bow_depth`. Source: geometry of the circle.
    Rows: G-16e.
    """
    positive("length_mm", length_mm)
    within("angle of the arc in rad", curvature_per_mm * length_mm, -STEEPEST, STEEPEST)
    half = curvature_per_mm * length_mm / 4.0
    return 0.0 if half == 0.0 else 0.5 * length_mm * math.sin(half) * math.sin(half) / half


def loose_bow(curvature_per_mm: float, width_mm: float, height_mm: float) -> float:
    """Depth of the bow of a sheet that rests on its corners, nothing else holding it: the most that a pane can bow.

    Parameters
    ----------
    curvature_per_mm : curvature [1/mm]
    width_mm, height_mm : sides [mm]

    Returns: (width^2 + height^2) * curvature / 8 [mm]

    Validity: as `bow_depth`, over the diagonal. A sheet that bows by many times its thickness rolls to a tube instead of a bowl,
    with up to 1 + Poisson ratio times that curvature. Errors: as `bow_depth`. Source: geometry of the sphere, flat cap.
    Rows: G-16f.
    """
    short, long = sides(width_mm, height_mm)
    return bow_depth(curvature_per_mm, math.hypot(short, long))


def held_bow(curvature_per_mm: float, width_mm: float, height_mm: float, poisson: float) -> float:
    """Depth of the bow of a sheet whose edges the frame holds flat, while they can turn.

    Parameters
    ----------
    curvature_per_mm : curvature that the sheet would take when free [1/mm]
    width_mm, height_mm : sides [mm]
    poisson : Poisson ratio [-]

    Returns: (1 + poisson) * curvature * short^2 * the membrane's coefficient, 0.0737 for a square, 0.125 for a strip [mm]

    Validity: bows of a few thicknesses; deeper ones stretch the sheet and come out smaller. As `bow_depth` over the diagonal.
    Errors: ValueError beyond it, for sides not above 0, or a ratio outside 0 to 0.5.
    Source: Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, thermal bending of a simply supported plate (from memory);
    series of the membrane.
    Rows: G-27a, G-27b, G-27c, G-27d.
    """
    within("poisson", poisson, 0.0, 0.5)
    short, long = sides(width_mm, height_mm)
    within("angle of the arc in rad", curvature_per_mm * math.hypot(short, long), -STEEPEST, STEEPEST)
    return (1.0 + poisson) * curvature_per_mm * short * short * sag_coefficient(long / short)
