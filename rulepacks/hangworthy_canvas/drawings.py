"""What can be drawn of a stretched canvas: where braces go, and the corner that stands off."""

from hangworthy.contract import Box, Dot, Drawing, Fill, Four, Line, Note, Shape, Span, View, fact, sketch

from .limits import CanvasLimits
from .rules_bars import longest_free
from .rules_frame import CANVAS, worst_corner

_MOST_BRACES = 20
_BAR_MM, _BRACE_MM = 45.0, 40.0  # a usual width, only to look at where it is not known


def _braces(limits: CanvasLimits, width: float, height: float, across: int, down: int, corner: float) -> tuple[int, int] | None:
    """Return how many braces in all, upright and level, leave no bar too long without one; None where no number does."""
    while down < _MOST_BRACES and longest_free(width, 1.0, 0, down, corner) > limits.free_bar_mm:
        down += 1
    while across < _MOST_BRACES and longest_free(1.0, height, across, 0, corner) > limits.free_bar_mm:
        across += 1
    return (down, across) if longest_free(width, height, across, down, corner) <= limits.free_bar_mm else None


@sketch(
    "braces",
    of=["braced"],
    title="Where the braces go",
    shown_to="artist",
    applies=CANVAS,
    says={
        "caption": "Back of the canvas. The hatched bars are the braces to fit, evenly spaced; show this to your framer.",
        "back": "from the back",
    },
)
def braces_drawn(
    limits: CanvasLimits,
    width: float = fact("width_mm"),
    height: float = fact("height_mm"),
    across: int = fact("canvas.horizontal_braces"),
    down: int = fact("canvas.vertical_braces"),
    corner: float = fact("canvas.corner_brace_mm"),
    bar: float | None = fact("canvas.bar_width_mm", optional=True),
) -> Drawing | None:
    """Draw the fewest evenly spaced braces that leave no bar too long without one."""
    wanted = _braces(limits, width, height, across, down, corner)
    if wanted is None or wanted == (down, across):
        return None
    wide = min(bar or _BAR_MM, width / 4, height / 4)
    shapes: list[Box | Line | Span] = [
        Box(0, 0, width, height, "heavy", "light", "outside"),
        Box(wide, wide, width - 2 * wide, height - 2 * wide, "thin", "white", "bars"),
    ]
    for kind, count, had, length in (("upright", wanted[0], down, width), ("level", wanted[1], across, height)):
        step = length / (count + 1)
        for nth in range(1, count + 1):
            shapes.append(_brace(kind, nth * step, wide, (width, height), fresh=count != had))
        if count:
            spans = [(nth * step, (nth + 1) * step) for nth in range(count + 1)]
            shapes += [
                Span(low, height, high, height, "below", part="free")
                if kind == "upright"
                else Span(width, low, width, high, "right", part="free")
                for low, high in spans
            ]
    shapes += [Span(0, 0, width, 0, "above", part="width"), Span(0, 0, 0, height, "left", part="height")]
    return Drawing((View(tuple(shapes), "back"),))


def _brace(kind: str, at: float, wide: float, sides: tuple[float, float], *, fresh: bool) -> Box:
    half = min(_BRACE_MM, wide) / 2
    fill: Fill = "hatched" if fresh else "light"
    if kind == "upright":
        return Box(at - half, wide, 2 * half, sides[1] - 2 * wide, "line", fill, "upright brace")
    return Box(wide, at - half, sides[0] - 2 * wide, 2 * half, "line", fill, "level brace")


_DETAIL = 90.0


@sketch(
    "standing-corner",
    of=["lies-flat", "casts-no-shadow"],
    title="The corner that stands off",
    shown_to="artist",
    applies=CANVAS,
    says={
        "caption": "Corners are numbered as you measured them. Pressed flat on three, corner {corner} stands off by {gap}.",
        "round": "the frame, face down",
        "side": "corner {corner} from the side",
        "number": "{number}",
        "wall": "wall",
    },
)
def corner_drawn(
    limits: CanvasLimits,
    gaps: Four = fact("canvas.corner_gaps_mm"),
    width: float = fact("width_mm"),
    height: float = fact("height_mm"),
    depth: float | None = fact("canvas.bar_depth_mm", optional=True),
) -> Drawing | None:
    """Draw which corner stands off when three rest, and by how much."""
    corner, gap = worst_corner(gaps)
    if gap <= limits.flush_gap_mm:
        return None
    corners = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    inset = min(width, height) / 8
    notes = [
        Note(x + (inset if x == 0 else -inset), y + (inset if y == 0 else -inset), "number", named={"number": number})
        for number, (x, y) in enumerate(corners, 1)
    ]
    x, y = corners[corner - 1]
    around: tuple[Shape, ...] = (
        Box(0, 0, width, height, "heavy", "light", "frame"),
        *notes,
        Dot(x, y, "standing corner"),
        Span(0, height, width, height, "below", part="width"),
        Span(width, 0, width, height, "right", part="height"),
    )
    # Along the longer side the frame falls from the free corner to the next one, which rests.
    side, thick = max(width, height), depth or 18.0
    piece = min(_DETAIL, side / 2)
    far = gap * (1 - piece / side)
    detail = (
        Line(0, 0, piece, 0, "heavy", "wall"),
        Line(0, -gap, piece, -far, "line", "back of the bar"),
        Line(0, -gap - thick, piece, -far - thick, "line", "face of the bar"),
        Line(0, -gap, 0, -gap - thick, "line", "corner"),
        Span(0, -gap, 0, 0, "left", part="gap"),
        Note(piece, 0, "wall", "below"),
    )
    named = {"corner": corner, "gap": (gap, "mm")}
    return Drawing((View(around, "round"), View(detail, "side", {"corner": corner})), named)


DRAWINGS = (braces_drawn, corner_drawn)
