"""A row of works on one wall, in whole millimetres that add up."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from hangworthy_handbook.checks import positive, within


class Row(NamedTuple):
    """Left edge of each work from the left edge of the wall [mm], and the free pieces of wall: left of the first, between, right [mm]."""

    lefts_mm: tuple[int, ...]
    gaps_mm: tuple[int, ...]


def row_end(wall_mm: float, widths_mm: Sequence[float], gap_mm: float | None = None) -> float:
    """Free wall at each end of a row, before it is rounded; negative when the row is wider than the wall.

    Parameters
    ----------
    wall_mm : width of the free wall [mm]
    widths_mm : width of each work, from left to right [mm]
    gap_mm : wall between two works; None spreads the works so that all gaps, at the ends too, are equal [mm]

    Returns: free wall at each end [mm]

    Validity: one row. Errors: ValueError for no work, a width not above 0, or a gap below 0.
    Source: geometry.
    Rows: ROW-1, ROW-2, ROW-3.
    """
    positive("wall_mm", wall_mm)
    if not widths_mm:
        raise ValueError("widths_mm should hold at least one width.")
    for width in widths_mm:
        positive("a width in mm", width)
    free = wall_mm - math.fsum(widths_mm)
    if gap_mm is None:
        return free / (len(widths_mm) + 1)
    within("gap_mm", gap_mm, 0.0, math.inf)
    return (free - gap_mm * (len(widths_mm) - 1)) / 2.0


def row_layout(wall_mm: float, widths_mm: Sequence[float], gap_mm: float | None = None) -> Row:
    """Where each work of a row hangs, in whole millimetres.

    The wall is rounded down and each width up, so that nothing is promised that is not there. What is left is shared out between the gaps
    so that gaps and widths add up to the wall exactly and no two gaps differ by more than 1 mm.

    Parameters
    ----------
    wall_mm : width of the free wall [mm]
    widths_mm : width of each work, from left to right [mm]
    gap_mm : wall between two works, rounded to a whole millimetre; None makes all gaps, at the ends too, equal [mm]

    Returns: left edges and gaps, two lists [mm]

    Validity: a row that fits. Errors: as `row_end`; ValueError for a row that is wider than the wall.
    Source: geometry.
    Rows: ROW-4, ROW-5, ROW-6.
    """
    row_end(wall_mm, widths_mm, gap_mm)
    wall, widths, count = math.floor(wall_mm), [math.ceil(width) for width in widths_mm], len(widths_mm)
    inner = 0 if gap_mm is None else round(gap_mm)
    free = wall - sum(widths) - inner * (count - 1)
    if free < 0:
        raise ValueError(f"the row is {-free} mm wider than the wall.")
    if gap_mm is None:
        gaps = [free * (place + 1) // (count + 1) - free * place // (count + 1) for place in range(count + 1)]
    else:
        gaps = [free // 2, *[inner] * (count - 1), free - free // 2]
    lefts, at = [], 0
    for gap, width in zip(gaps, widths, strict=False):
        lefts.append(at + gap)
        at += gap + width
    return Row(tuple(lefts), tuple(gaps))


def hook_places(left_mm: float, width_mm: float, hooks: int, spacing_mm: float = 0.0) -> tuple[int, ...]:
    """Where the hooks of one work go, from the left edge of the wall, in whole millimetres.

    Parameters
    ----------
    left_mm : left edge of the work from the left edge of the wall [mm]
    width_mm : width of the work [mm]
    hooks : how many [-]
    spacing_mm : distance from the first to the last hook; they stand evenly between, about the middle of the work [mm]

    Returns: distance of each hook from the left edge of the wall [mm]

    Validity: hooks within the work. Errors: ValueError for a spacing wider than the work, or no hook.
    Source: geometry.
    Rows: PLACE-1, PLACE-2, PLACE-3.
    """
    positive("width_mm", width_mm)
    within("hooks", hooks, 1, 100)
    within("spacing_mm", spacing_mm, 0.0, width_mm)
    middle = left_mm + width_mm / 2.0
    if hooks == 1:
        return (math.floor(middle + 0.5),)
    first, span = math.floor(middle - spacing_mm / 2.0 + 0.5), math.floor(spacing_mm + 0.5)
    return tuple(first + math.floor(span * place / (hooks - 1) + 0.5) for place in range(hooks))
