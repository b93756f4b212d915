"""Mats: borders, windows, room in the rebate, and the board's acidity."""

import math
from collections.abc import Sequence

from hangworthy_handbook.checks import positive, sides, within


def mat_borders(
    outer_width_mm: float, outer_height_mm: float, window_width_mm: float, window_height_mm: float, weight_mm: float = 0.0
) -> tuple[float, float, float, float]:
    """Borders of a mat: equal at the sides, and at the bottom wider than at the top by the weight.

    Parameters
    ----------
    outer_width_mm, outer_height_mm : outside of the mat [mm]
    window_width_mm, window_height_mm : its window [mm]
    weight_mm : how much wider the bottom border is than the top one [mm]

    Returns: top, right, bottom, left; top + window + bottom is the outer height, whatever the weight [mm]

    Validity: a window no larger than the mat; a weight no larger than the height that is left over. Errors: ValueError beyond it.
    Source: elementary geometry; bottom weight is a convention of the framing trade.
    Rows: P-10, P-22.
    """
    sides(window_width_mm, window_height_mm)
    across, down = outer_width_mm - window_width_mm, outer_height_mm - window_height_mm
    if not (0 <= across < math.inf and 0 <= down < math.inf):
        raise ValueError("The window should not be larger than the mat.")
    within("weight_mm", weight_mm, 0.0, down)
    top = (down - weight_mm) / 2
    return top, across / 2, down - top, across / 2


def window_opening(width_mm: float, height_mm: float, overlap_mm: float) -> tuple[float, float]:
    """Window of a mat that laps over what it holds by the same on all four sides.

    Parameters
    ----------
    width_mm, height_mm : what lies behind the window [mm]
    overlap_mm : how far the mat laps over each side [mm]

    Returns: width, height of the window [mm]

    Validity: a window that is left. Errors: ValueError where none is, for a size not above 0, or a negative overlap.
    Source: elementary geometry; 3 to 5 mm is framing practice (from memory).
    Rows: P-25.
    """
    short, _ = sides(width_mm, height_mm)
    within("overlap_mm", overlap_mm, 0.0, math.nextafter(short / 2, 0))
    return width_mm - 2 * overlap_mm, height_mm - 2 * overlap_mm


def largest_contents(rebate_mm: float, allowance_mm: float) -> float:
    """The longest side of mat, pane or backing that a rebate takes.

    Parameters
    ----------
    rebate_mm : length of the rebate [mm]
    allowance_mm : room to leave in all, both ends together [mm]

    Returns: longest side [mm]

    Validity: an allowance below the rebate. Errors: ValueError beyond it, or for a rebate not above 0.
    Source: framing trade, 1/8 in total.
    Rows: P-20.
    """
    positive("rebate_mm", rebate_mm)
    within("allowance_mm", allowance_mm, 0.0, rebate_mm)
    return rebate_mm - allowance_mm


def depth_stack(layers_mm: Sequence[float]) -> float:
    """Depth of what lies in a rebate: pane, mat or spacer, work, backing.

    Parameters
    ----------
    layers_mm : thickness of each layer [mm]

    Returns: sum of the layers [mm]

    Validity: at least one layer, none negative. Errors: ValueError otherwise. Source: elementary arithmetic.
    Rows: P-23.
    """
    if not layers_mm or not all(0 <= one < math.inf for one in layers_mm):
        raise ValueError("layers_mm should hold at least one thickness, none of them negative.")
    return math.fsum(layers_mm)


def board_ph(buffered: bool) -> tuple[float, float]:
    """Acidity that a mat board should have.

    Parameters
    ----------
    buffered : whether it holds an alkaline reserve, such as chalk [yes/no]

    Returns: lowest, highest pH [-]

    Validity: window mats; buffered 7.5 to 8.5, unbuffered from neutral, 7, to where the buffered range ends.
    Errors: none. Source: CCI Notes 11/5.
    Rows: P-17a, P-17b.
    """
    return (7.5, 8.5) if buffered else (7.0, 8.5)
