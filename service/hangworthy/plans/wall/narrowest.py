"""The narrowest piece: how wide it can be at best, in an order that is given or over all orders. Exact.

Works are set as far left as they go, one after another. For one order that is the best: moving a work right never helps those after it.
Over all orders the same holds for each set of works: of two ways to hang the same works first, the one that ends further left is never
worse, so that one number for each set is enough (the dynamic programme of Held and Karp, over sets instead of tours).
"""

from collections.abc import Callable, Sequence

from hangworthy.plans.wall.model import Band, Spaces, Surface
from hangworthy.plans.wall.stretches import Stretch, stretches_of

MOST_ORDERED = 10  # works whose orders are all looked at: 2^10 sets

Ways = Sequence[Sequence[Stretch]]


def ways_at(surface: Surface, bands: Sequence[Band], spaces: Spaces, level: int) -> tuple[list[tuple[Stretch, ...]], int]:
    """Return the stretches of each work, and the least free wall between two, when no piece may be narrower than ``level``.

    Spread works keep to the ends, and a fixed gap is fixed, so the level says nothing about edges there.
    """
    edges = level if spaces.spacing == "equal" else 0
    return [stretches_of(surface, one, edges) for one in bands], spaces.gap if spaces.spacing == "gap" else max(spaces.gap, level)


def earliest(ways: Sequence[Stretch], width: int, least: int | None) -> int | None:
    """Return the least left edge of a work that is not left of ``least``; None where there is no room."""
    for one in ways:
        left = one.start if least is None else max(one.start, least)
        if left + width <= one.end:
            return left
    return None


def pushed_left(ways: Ways, widths: Sequence[int], gap: int) -> int | None:
    """Return the right edge of the last work when all are as far left as they go in this order; None where they do not fit."""
    least, right = None, 0
    for mine, width in zip(ways, widths, strict=True):
        left = earliest(mine, width, least)
        if left is None:
            return None
        right = left + width
        least = right + gap
    return right


def any_order(ways: Ways, widths: Sequence[int], gap: int) -> tuple[int, ...] | None:
    """Return an order in which the works fit, or None if there is none. Exact, for at most ``MOST_ORDERED`` works."""
    count = len(widths)
    reach: list[int | None] = [None] * (1 << count)
    last = [-1] * (1 << count)
    for chosen in range(1 << count):
        before = reach[chosen]
        if before is None and chosen:
            continue
        least = None if not chosen else (before or 0) + gap
        for one in range(count):
            then = chosen | 1 << one
            if then == chosen:
                continue
            left = earliest(ways[one], widths[one], least)
            if left is not None:
                known = reach[then]
                if known is None or left + widths[one] < known:
                    reach[then], last[then] = left + widths[one], one
    full = (1 << count) - 1
    if reach[full] is None:
        return None
    order = []
    while full:
        order.append(last[full])
        full ^= 1 << last[full]
    return tuple(reversed(order))


def highest(fits: Callable[[int], bool], most: int) -> int | None:
    """Return the greatest level from 0 to ``most`` that fits, where whatever is above one that does not, does not either."""
    if not fits(0):
        return None
    low, high = 0, most + 1
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low


def ceiling(surface: Surface, bands: Sequence[Band], spaces: Spaces) -> int:
    """Return a level that no plan exceeds, whatever the order: all of the wall shared out as if nothing were in the way."""
    free, inner = surface.width - sum(one.item.width for one in bands), len(bands) - 1
    if spaces.spacing == "equal":
        return max(0, free // (inner + 2))
    if spaces.spacing == "spread":
        return max(0, (free - 2 * surface.end) // inner) if inner else max(0, free)
    return spaces.gap
