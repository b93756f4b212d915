"""Heights: where the works of one or more rows hang above the floor, on a common middle, upper or lower edge."""

from collections.abc import Sequence

import msgspec

from hangworthy.plans.wall.model import Align, Band, Item, Surface


class Lines(msgspec.Struct, frozen=True):
    """How high works hang: ``line`` is the height of the common line of one row, or of the middle of several.

    Without it their middle hangs at ``middle``. ``between`` is the free wall between two rows.
    """

    align: Align
    middle: int
    line: int | None = None
    between: int = 0


class Hung(msgspec.Struct, frozen=True):
    """The rows at their heights, uppermost first; the line of each; by how much they were moved, and by how much they do not fit."""

    rows: tuple[tuple[Band, ...], ...]
    lines: tuple[int, ...]
    moved: int
    too_high: int
    raised: tuple[str, ...] = ()


def hang(surface: Surface, rows: Sequence[Sequence[Item]], lines: Lines) -> Hung:
    """Return the rows at their heights.

    Where no line is asked for, they are moved as a whole so that they keep clear of the floor and of the top. On a common middle, in one
    row, only the work that would come too near the floor is hung higher. Half a millimetre goes down.
    """
    tall = [max(one.height for one in row) for row in rows]
    whole = sum(tall) + lines.between * (len(rows) - 1)
    single = len(rows) == 1
    bottom = _bottom(lines, whole, single=single)
    lone = single and lines.align == "centre"
    moved = 0
    if lines.line is None:
        moved = _move(surface, bottom, whole, lone=lone)
    hung, heights, at = [], [], bottom + moved + whole
    for row, band in zip(rows, tall, strict=True):
        heights.append({"centre": at - band + band // 2, "top": at, "bottom": at - band}[lines.align])
        hung.append(tuple(Band(one, _edge(lines, at - band, band, one)) for one in row))
        at -= band + lines.between
    if lone:
        line = lines.middle if lines.line is None else lines.line
        hung, heights = [tuple(Band(one, line + moved - (one.height + 1) // 2) for one in rows[0])], [line + moved]
    raised: tuple[str, ...] = ()
    if lone and lines.line is None:
        raised = tuple(one.item.ref for one in hung[0] if one.bottom < surface.above_floor)
        hung = [tuple(Band(one.item, max(one.bottom, surface.above_floor)) for one in hung[0])]
    top = max(one.top for row in hung for one in row) - (surface.height - surface.below_top)
    low = surface.above_floor - min(one.bottom for row in hung for one in row)
    return Hung(tuple(hung), tuple(heights), moved, max(0, top, low), raised)


def _bottom(lines: Lines, whole: int, *, single: bool) -> int:
    """Return the lowest edge of all rows together, before they are moved."""
    if lines.line is None:
        return lines.middle - (whole + 1) // 2
    if single and lines.align == "top":
        return lines.line - whole
    return lines.line if single and lines.align == "bottom" else lines.line - (whole + 1) // 2


def _move(surface: Surface, bottom: int, whole: int, *, lone: bool) -> int:
    """Return by how much the rows go up (or down, below 0) so that they keep clear of floor and top, as far as there is room."""
    room = surface.height - surface.below_top
    up = 0 if lone else max(0, surface.above_floor - bottom)
    down = max(0, bottom + whole - room)
    if not down:
        return up
    return max(-down, surface.above_floor - bottom) if bottom > surface.above_floor else up


def _edge(lines: Lines, low: int, band: int, item: Item) -> int:
    """Return the lower edge of a work within its row."""
    if lines.align == "bottom":
        return low
    return low + band - item.height if lines.align == "top" else low + (band - item.height) // 2
