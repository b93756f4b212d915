"""What can be drawn of a hanging: the hooks of one work, and of a whole row on its wall."""

from collections.abc import Sequence

from hangworthy.contract import Box, Dot, Drawing, Line, Note, Span, View, fact, set_sketch, sketch

from .formulas import hook_height
from .hung import Hooks
from .limits import HangingLimits
from .rules_close import hung_middle
from .rules_row import Place, Placed, RowWall, in_order, lefts_of, place_of
from .size import HANGS, Outer, Size, outer

_ROOM_MM = 2_400.0  # how much wall is shown where its height is not known
Shapes = list[Box | Line | Dot | Span | Note]


@sketch(
    "hook-height",
    of=["hook-heights"],
    title="Height of the hooks",
    shown_to="coordinator",
    applies=HANGS,
    says={"caption": "Heights above the floor, in millimetres.", "middle": "middle {figure}", "hooks": "hooks {figure}", "floor": "floor"},
)
def hook_height_drawn(
    limits: HangingLimits,
    size: Size,
    drop: float = fact("fittings.drop_mm"),
    wall_width: float | None = fact("wall.width_mm", optional=True),
) -> Drawing | None:
    """Draw how high the hooks go, where the wall is not known well enough to draw the row."""
    own = outer(size)
    if wall_width is not None or not isinstance(own, Outer) or drop > own.height:
        return None
    middle = hung_middle(limits, own.height)
    hooks = hook_height(middle, own.height, drop)
    shapes = (
        Line(-own.width / 4, 0, own.width * 1.25, 0, "heavy", "floor"),
        Box(0, -middle - own.height / 2, own.width, own.height, "line", "light", "work"),
        Line(0, -middle, own.width, -middle, "dashed", "middle"),
        Line(own.width / 4, -hooks, own.width * 3 / 4, -hooks, "thin", "hooks"),
        Span(0, -middle, 0, 0, "left", says="middle", part="middle"),
        Span(own.width, -hooks, own.width, 0, "right", says="hooks", part="hooks"),
    )
    return Drawing((View(shapes),))


@set_sketch(
    "hooks-on-wall",
    of=["hook-places", "hook-heights"],
    title="Hooks on the wall",
    among=("wall_name",),
    applies=HANGS,
    says={
        "caption": "This work is drawn heavy, its hooks are the dots. Measure from the left edge of the free wall and from the floor.",
        "wall": "the wall “{wall}”",
        "close": "this work, from the front",
        "hooks": "hooks {figure}",
        "drop": "drop {figure}",
    },
)
def hooks_on_wall_drawn(
    limits: HangingLimits,
    placed: tuple[Placed, ...],
    sizes: tuple[Size, ...],
    hooks: tuple[Hooks, ...],
    walls: tuple[RowWall, ...],
    names: tuple[str, ...] = fact("wall_name"),
    heights: tuple[float | None, ...] = fact("wall.height_mm", optional=True),
) -> list[Drawing | None]:
    """Draw the row on its wall, once for each work, with the work's own hooks measured."""
    nothing: list[Drawing | None] = [None] * len(placed)
    found = [outer(one) for one in sizes]
    owns = [one for one in found if isinstance(one, Outer)]
    if len(owns) < len(found):
        return nothing
    order = in_order(placed)
    lefts = dict(zip(order, lefts_of(walls[0], [owns[at].width for at in order]), strict=False))
    if len(lefts) < len(owns):
        return nothing
    made = nothing
    for at, one in enumerate(placed):
        place = place_of(limits, owns[at], one.drop, hooks[at], lefts[at])
        if isinstance(place, Place):
            row = _row(limits, owns, lefts, at, (walls[0].width, heights[0] or _ROOM_MM), place)
            close = _close(owns[at], place, one.drop or 0.0)
            made[at] = Drawing((View(tuple(row), "wall", {"wall": names[0]}), View(tuple(close), "close")))
    return made


def _row(limits: HangingLimits, owns: Sequence[Outer], lefts: dict[int, int], mine: int, wall: tuple[float, float], place: Place) -> Shapes:
    """Return the whole wall with all works of the row; heights are above the floor, so that up is negative."""
    shapes: Shapes = [Box(0, -wall[1], *wall, "thin", part="wall"), Line(0, 0, wall[0], 0, "heavy", "floor")]
    for at, own in enumerate(owns):
        top = -hung_middle(limits, own.height) - own.height / 2
        if at == mine:
            shapes.append(Box(lefts[at], top, own.width, own.height, "heavy", "light", "work"))
        else:
            shapes.append(Box(lefts[at], top, own.width, own.height, "thin", part="other"))
    shapes += [Dot(along, -place.height, "hook") for along in place.hooks]
    shapes += [Span(0, 0, along, 0, "below", row, part="along") for row, along in enumerate(place.hooks)]
    shapes.append(Line(place.hooks[-1], -place.height, wall[0], -place.height, "dashed"))
    shapes.append(Span(wall[0], -place.height, wall[0], 0, "right", says="hooks", part="height"))
    return shapes


def _close(own: Outer, place: Place, drop: float) -> Shapes:
    """Return the work alone, from its own upper left corner."""
    shapes: Shapes = [Box(0, 0, own.width, own.height, "heavy", "light", "work")]
    edge = place.left
    shapes += [Dot(along - edge, drop, "hook") for along in place.hooks]
    shapes += [Span(0, 0, along - edge, 0, "above", row, part="from edge") for row, along in enumerate(place.hooks)]
    shapes += [
        Span(0, 0, 0, drop, "left", says="drop", part="drop"),
        Span(0, own.height, own.width, own.height, "below", part="width"),
        Span(own.width, 0, own.width, own.height, "right", part="height"),
    ]
    return shapes


DRAWINGS = (hook_height_drawn, hooks_on_wall_drawn)
