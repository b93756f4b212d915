"""Frame geometry: twist, rocking, tilt, bow and squareness of a stretcher."""

import math
from collections.abc import Sequence

from hangworthy_handbook.checks import positive, within

_MISFIT = 0.05  # share by which the diagonals may miss the sides: wide enough for outer against sight size


def _corners(gaps_mm: Sequence[float]) -> tuple[float, float, float, float]:
    if len(gaps_mm) != 4:
        raise ValueError(f"gaps_mm should hold four corner gaps, in order round the frame, but holds {len(gaps_mm)}.")
    if not all(map(math.isfinite, gaps_mm)):
        raise ValueError("gaps_mm should hold four finite numbers. Please measure the corners again.")
    z1, z2, z3, z4 = gaps_mm
    return z1, z2, z3, z4


def twist(gaps_mm: Sequence[float]) -> float:
    """Twist of a rectangle out of its plane, whichever corners it happens to rest on.

    The opposite corners' sums of a flat frame are equal however it lies tilted, so their difference is the twist alone.

    Parameters
    ----------
    gaps_mm : gap under each corner, in order round the frame, face down on a flat table [mm]

    Returns: |z1 - z2 + z3 - z4| [mm]

    Validity: any rectangle or parallelogram with straight bars. Errors: ValueError unless four finite gaps are given.
    Source: elementary geometry.
    Rows: B-11a.
    """
    z1, z2, z3, z4 = _corners(gaps_mm)
    return abs(z1 - z2 + z3 - z4)


def resting_gaps(gaps_mm: Sequence[float]) -> tuple[float, float, float, float]:
    """Gap under each corner once the frame rests on three corners.

    A twisted rigid frame has one high and one low diagonal. It rests on the low one and one end of the high one; the
    plane through three corners of any rectangle passes z1 - z2 + z3 under the fourth, so the free corner stands off by
    the whole twist, whatever the frame's proportions. Of the two corners that may be free (the frame rocks between
    them) it is the one that was measured higher, the first one if they tie.

    Parameters
    ----------
    gaps_mm : gap under each corner, in order round the frame [mm]

    Returns: the four gaps, three of them 0, in the same order [mm]

    Validity: any rectangle or parallelogram; twist small against the sides. Errors: as `twist`.
    Source: statics of a rigid frame on a plane.
    Rows: B-11b.
    """
    z1, z2, z3, z4 = _corners(gaps_mm)
    off = z1 - z2 + z3 - z4
    if off >= 0.0:
        return (off, 0.0, 0.0, 0.0) if z1 >= z3 else (0.0, 0.0, off, 0.0)
    return (0.0, -off, 0.0, 0.0) if z2 >= z4 else (0.0, 0.0, 0.0, -off)


def rocking_gap(gaps_mm: Sequence[float]) -> float:
    """Gap of the worst corner once the frame rests on the other three; balanced, two corners stand off by half of it.

    Parameters
    ----------
    gaps_mm : gap under each corner, in order round the frame [mm]

    Returns: gap [mm]

    Validity, errors: as `resting_gaps`. Source: statics of a rigid frame on a plane.
    Rows: B-11c.
    """
    return max(resting_gaps(gaps_mm))


def plane_fit(gaps_mm: Sequence[float], width_mm: float, height_mm: float) -> tuple[float, float, float, float]:
    """Least-squares plane through the four corners.

    Mean, the two slopes and the twist are orthogonal over a rectangle's corners, so the fit is exact arithmetic and
    what is left over is a quarter of the twist at every corner, with alternating sign.

    Parameters
    ----------
    gaps_mm : gap under corners 1 to 4; 1 to 2 runs along the width, 2 to 3 along the height [mm]
    width_mm : distance from corner 1 to corner 2 [mm]
    height_mm : distance from corner 2 to corner 3 [mm]

    Returns: mean gap [mm], tilt along the width [mm/m], tilt along the height [mm/m], residual at corner 1 [mm]

    Validity: any rectangle. Errors: ValueError for a side that is not above 0; else as `twist`.
    Source: linear least squares.
    Rows: B-11d.
    """
    z1, z2, z3, z4 = _corners(gaps_mm)
    positive("width_mm", width_mm)
    positive("height_mm", height_mm)
    along_width = 500.0 * (z2 + z3 - z1 - z4) / width_mm
    along_height = 500.0 * (z3 + z4 - z1 - z2) / height_mm
    return (z1 + z2 + z3 + z4) / 4.0, along_width, along_height, (z1 - z2 + z3 - z4) / 4.0


def bow_per_metre(bow_mm: float, length_mm: float) -> float:
    """Bow of a bar in proportion to its length.

    Parameters
    ----------
    bow_mm : largest distance between the bar and a straightedge laid along it, either sign [mm]
    length_mm : length of the bar [mm]

    Returns: bow, without sign [mm/m]

    Validity: bow no larger than half the bar. Errors: ValueError beyond it, or for a length that is not above 0.
    Source: elementary geometry.
    Rows: B-11e.
    """
    positive("length_mm", length_mm)
    within("bow_mm", bow_mm, -length_mm / 2.0, length_mm / 2.0)
    return abs(bow_mm) / length_mm * 1000.0


def corner_angle(diagonal_1_mm: float, diagonal_2_mm: float, width_mm: float, height_mm: float) -> float:
    """Angle of the corner from which diagonal 1 starts; its neighbours have 180 degrees less this.

    The difference of the squared diagonals of a parallelogram is 4 a b cos(angle). The difference is used, not one
    diagonal alone, because an error in the sides then cancels.

    Parameters
    ----------
    diagonal_1_mm : diagonal from this corner to the opposite one [mm]
    diagonal_2_mm : the other diagonal [mm]
    width_mm : outer width [mm]
    height_mm : outer height [mm]

    Returns: angle [degrees]

    Validity: opposite bars of equal length. Errors: ValueError when a length is not above 0, or when a diagonal cannot
    close a triangle with the two sides, or when the four lengths miss the parallelogram law by more than 5 %.
    Source: law of cosines.
    Rows: B-11f, B-11g.
    """
    positive("width_mm", width_mm)
    positive("height_mm", height_mm)
    low, high = abs(width_mm - height_mm), width_mm + height_mm
    for name, diagonal in (("diagonal_1_mm", diagonal_1_mm), ("diagonal_2_mm", diagonal_2_mm)):
        if not low < diagonal < high:
            raise ValueError(
                f"{name} = {diagonal!r} cannot close a triangle with sides of {width_mm!r} and {height_mm!r}: it "
                f"should lie between {low:g} and {high:g}. Please measure the diagonals and the sides again."
            )
    # The parallelogram law ties diagonals to sides; a slip of the pen breaks it, an honest tape does not.
    implied, drawn = math.hypot(diagonal_1_mm, diagonal_2_mm) / math.sqrt(2.0), math.hypot(width_mm, height_mm)
    if abs(implied - drawn) > _MISFIT * drawn:
        raise ValueError(
            f"Diagonals of {diagonal_1_mm!r} and {diagonal_2_mm!r} do not belong to a frame of {width_mm!r} by "
            f"{height_mm!r}, whose diagonals should be about {drawn:.0f}. Please measure all four again."
        )
    cosine = (diagonal_1_mm - diagonal_2_mm) * (diagonal_1_mm + diagonal_2_mm) / (4.0 * width_mm * height_mm)
    return math.degrees(math.acos(cosine))


def out_of_square(diagonal_1_mm: float, diagonal_2_mm: float, width_mm: float, height_mm: float) -> float:
    """How far the corners are from a right angle.

    Parameters
    ----------
    diagonal_1_mm, diagonal_2_mm : the two diagonals, in either order [mm]
    width_mm : outer width [mm]
    height_mm : outer height [mm]

    Returns: |angle - 90| [degrees]

    Validity, errors: as `corner_angle`. Source: law of cosines.
    Rows: B-11h.
    """
    return abs(corner_angle(diagonal_1_mm, diagonal_2_mm, width_mm, height_mm) - 90.0)
