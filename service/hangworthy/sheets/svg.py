"""Drawings as SVG, to scale.

One unit of the picture is one true millimetre, so that every coordinate in it is a figure of the work; letters, line widths and arrows are
enlarged by the scale instead. Hatching is drawn line by line, which prints the same everywhere.
"""

from collections.abc import Callable, Mapping
from html import escape
from typing import Any

import msgspec

from hangworthy.contract.drawing import Box, Dot, Line, Note, Shape, Span, View
from hangworthy.sheets.spans import ROW_MM, dimension
from hangworthy.sheets.strokes import Pen, plain

Say = Callable[[str, Mapping[str, Any]], str]
Figure = Callable[[float], str]
SCALES = (0.1, 0.2, 0.5, 1, 2, 2.5, 3, 4, 5, 7.5, 10, 12.5, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 250, 500, 1000)
_LEAST_MM = 1e-6
_LETTERS = "'Sheet Sans', 'Source Sans 3', 'DejaVu Sans', sans-serif"


class Picture(msgspec.Struct, frozen=True):
    """A picture: its SVG, its scale in words (“1 : 10”), and its size on paper [mm]."""

    svg: str
    scale: str
    width_mm: float
    height_mm: float


def picture(view: View, say: Say, figure: Figure, label: str, room_mm: tuple[float, float]) -> Picture:
    """Draw one view as large as the room on paper takes at a usual scale; ``label`` tells people who cannot see it what it shows."""
    k = _scale(view, room_mm)
    pen = Pen(k)
    for shape in view.shapes:
        _draw(pen, shape, say, figure)
    left, top, right, bottom = pen.bounds
    pad = 0.6 * k
    x, y, width, height = left - pad, top - pad, right - left + 2 * pad, bottom - top + 2 * pad
    size = (width / k, height / k)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{escape(label)}" viewBox="{plain(x)} {plain(y)} {plain(width)} '
        f'{plain(height)}" font-family="{_LETTERS}" width="{size[0]:.2f}mm" height="{size[1]:.2f}mm" data-scale="{plain(k)}">'
    )
    return Picture(f"{head}<title>{escape(label)}</title>{pen.content}</svg>", _told(k), *size)


def _told(k: float) -> str:
    return f"1 : {k:g}" if k >= 1 else f"{1 / k:g} : 1"


def _points(shape: Shape) -> tuple[tuple[float, float], ...]:
    if isinstance(shape, Line | Span):
        return (shape.x1, shape.y1), (shape.x2, shape.y2)
    if isinstance(shape, Box):
        return (shape.x, shape.y), (shape.x + shape.width, shape.y + shape.height)
    return ((shape.x, shape.y),)


def _scale(view: View, room_mm: tuple[float, float]) -> float:
    """Return the largest usual scale at which shapes and the rows of dimensions around them fit [true mm per mm on paper]."""
    points = [point for shape in view.shapes for point in _points(shape)]
    wide, high = (max(one) - min(one) for one in zip(*points, strict=True))
    rows: dict[str, int] = {}
    for shape in view.shapes:
        if isinstance(shape, Span):
            rows[shape.side] = max(rows.get(shape.side, 0), shape.row + 1)
    across = ROW_MM * (rows.get("left", 0) + rows.get("right", 0)) + 2
    down = ROW_MM * (rows.get("above", 0) + rows.get("below", 0)) + 2
    for k in SCALES:
        if wide / k + across <= room_mm[0] and high / k + down <= room_mm[1]:
            return float(k)
    return float(max(SCALES[-1], wide / room_mm[0], high / room_mm[1]))


def _draw(pen: Pen, shape: Shape, say: Say, figure: Figure) -> None:
    if isinstance(shape, Line):
        pen.line(shape.x1, shape.y1, shape.x2, shape.y2, shape.stroke, shape.part)
    elif isinstance(shape, Box):
        _box(pen, shape)
    elif isinstance(shape, Dot):
        pen.dot(shape.x, shape.y, shape.part)
    elif isinstance(shape, Note):
        _note(pen, shape, say(shape.says, shape.named))
    elif shape.length > _LEAST_MM:
        text = figure(shape.length)
        dimension(pen, shape, say(shape.says, {"figure": text}) if shape.says else text)


def _box(pen: Pen, box: Box) -> None:
    pen.rect(box.x, box.y, box.width, box.height, "none", "white" if box.fill == "hatched" else box.fill, "")
    if box.fill == "hatched":
        pen.hatch(box.x, box.y, box.width, box.height)
    pen.rect(box.x, box.y, box.width, box.height, box.stroke, "none", box.part)


_BESIDE = {"on": (0.0, 0.0, "middle"), "above": (0.0, -2.2, "middle"), "below": (0.0, 2.6, "middle"), "left": (-1.2, 0.0, "end"),
           "right": (1.2, 0.0, "start")}  # fmt: skip


def _note(pen: Pen, note: Note, text: str) -> None:
    dx, dy, anchor = _BESIDE[note.side]
    pen.text(note.x + dx * pen.k, note.y + dy * pen.k, text, anchor, halo=note.side == "on")
