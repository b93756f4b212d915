"""Dimensions: a line between two points, short strokes at its ends, and its figure beside it."""

from typing import Final

from hangworthy.contract.drawing import Span
from hangworthy.sheets.strokes import Pen, width_of

ROW_MM: Final = 5.2  # from one row of dimensions to the next
_OUT: Final = {"above": (0.0, -1.0), "below": (0.0, 1.0), "left": (-1.0, 0.0), "right": (1.0, 0.0), "on": (0.0, 0.0)}
_TICK_MM, _LETTER_OFF_MM, _GAP_MM = 0.9, 1.9, 0.8


def dimension(pen: Pen, span: Span, text: str) -> None:
    """Draw a dimension. A figure that is wider than its line stands beside it."""
    k = pen.k
    dx, dy = _OUT[span.side]
    far = ROW_MM * (span.row + 0.62) * k
    level = abs(span.y2 - span.y1) <= abs(span.x2 - span.x1)
    x1, y1, x2, y2 = span.x1 + dx * far, span.y1 + dy * far, span.x2 + dx * far, span.y2 + dy * far
    if span.side != "on":
        for ax, ay, bx, by in ((span.x1, span.y1, x1, y1), (span.x2, span.y2, x2, y2)):
            pen.line(ax + dx * _GAP_MM * k, ay + dy * _GAP_MM * k, bx + dx * k, by + dy * k, "thin")
    pen.line(x1, y1, x2, y2, "thin", span.part and f"dimension {span.part}")
    tick = _TICK_MM * k
    for x, y in ((x1, y1), (x2, y2)):
        pen.line(x - tick, y + tick, x + tick, y - tick, "line")
    _figure(pen, span, text, (x1, y1, x2, y2), level=level)


def _figure(pen: Pen, span: Span, text: str, at: tuple[float, float, float, float], *, level: bool) -> None:
    k, (x1, y1, x2, y2) = pen.k, at
    mid_x, mid_y = (x1 + x2) / 2, (y1 + y2) / 2
    fits = width_of(text) + 1.6 <= span.length / k
    if span.side == "on":
        if fits:
            pen.text(mid_x, mid_y, text, turned=not level, halo=True)
        elif level:
            pen.text(mid_x, mid_y - _LETTER_OFF_MM * k, text)
        else:
            pen.text(mid_x + 1.4 * k, mid_y, text, "start")
    elif level:
        off = -_LETTER_OFF_MM if span.side == "above" else _LETTER_OFF_MM
        if fits:
            pen.text(mid_x, mid_y + off * k, text)
        else:  # beside the line, on the side away from the rest of the drawing
            first = abs(span.x1) < 1e-9 and span.side == "below"
            edge = min(x1, x2) - 1.4 * k if first else max(x1, x2) + 1.4 * k
            pen.text(edge, mid_y, text, "end" if first else "start")
    elif fits:
        pen.text(mid_x + (-_LETTER_OFF_MM if span.side == "left" else _LETTER_OFF_MM) * k, mid_y, text, turned=True)
    elif span.side == "left":
        pen.text(min(x1, x2) - 1.4 * k, mid_y, text, "end")
    else:
        pen.text(max(x1, x2) + 1.4 * k, mid_y, text, "start")
