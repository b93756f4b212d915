"""One row: the best order and places, how good they are, and what is lacking where it does not fit."""

from collections.abc import Iterator, Sequence
from itertools import combinations

import msgspec

from hangworthy.plans.wall.model import Band, RowFound, Spaces, Surface
from hangworthy.plans.wall.narrowest import MOST_ORDERED, any_order, ceiling, highest, pushed_left, ways_at
from hangworthy.plans.wall.places import Row

MOST_SWAPS = 150


class Ordered(msgspec.Struct, frozen=True):
    """The works of a row in the best order found: how wide its narrowest piece can be, what no order exceeds, and whether proven."""

    bands: tuple[Band, ...]
    level: int
    at_most: int
    proven: bool


def best_row(surface: Surface, bands: Sequence[Band], spaces: Spaces, *, free: bool, swaps: int = MOST_SWAPS) -> RowFound | None:
    """Return the best places of one row, or None where it does not fit; ``free`` lets the works change places."""
    ordered = in_order(surface, bands, spaces, free=free, swaps=swaps)
    return None if ordered is None else in_place(surface, ordered, spaces)


def in_order(surface: Surface, bands: Sequence[Band], spaces: Spaces, *, free: bool, swaps: int) -> Ordered | None:
    """Return the works in the order in which the narrowest piece is widest, or None where they do not fit.

    A given order is kept where no other does better. Of more works than can all be looked at, ``swaps`` orders are tried.
    """
    order = tuple(range(len(bands)))
    most = ceiling(surface, bands, spaces)
    level = _level(surface, bands, spaces, most)
    proven = not free or level == most or (spaces.spacing == "gap" and level is not None)
    if not proven:
        order, level, proven = _reordered(surface, bands, spaces, level, most, swaps)
    if level is None:
        return None
    return Ordered(tuple(bands[at] for at in order), level, level if proven else most, proven)


def in_place(surface: Surface, ordered: Ordered, spaces: Spaces) -> RowFound | None:
    """Return the most even places in an order (of a fixed gap: as few breaks in the row as there can be, then near the middle)."""
    ways, gap = ways_at(surface, ordered.bands, spaces, ordered.level)
    chosen, proven = Row(surface, ordered.bands, spaces, ways, gap).best(), ordered.proven
    if chosen is None and spaces.spacing == "gap":  # something is in the way of equal gaps; wider ones fit
        chosen, proven = Row(surface, ordered.bands, Spaces("equal", gap), ways, gap).best(), False
    if chosen is None:
        return None
    return RowFound(ordered.bands, chosen.lefts, ordered.level, ordered.at_most, proven and chosen.complete)


def _level(surface: Surface, bands: Sequence[Band], spaces: Spaces, most: int) -> int | None:
    """Return how wide the narrowest piece can be in this order; None where the row does not fit."""
    widths = [one.item.width for one in bands]

    def fits(level: int) -> bool:
        ways, gap = ways_at(surface, bands, spaces, level)
        return pushed_left(ways, widths, gap) is not None

    if spaces.spacing == "gap":
        return spaces.gap if fits(0) else None
    return highest(fits, most)


def _reordered(
    surface: Surface, bands: Sequence[Band], spaces: Spaces, level: int | None, most: int, swaps: int
) -> tuple[tuple[int, ...], int | None, bool]:
    """Return the best order that was found, its level, and whether no other order is better."""
    given = tuple(range(len(bands)))
    if len(bands) > MOST_ORDERED:
        order, found = _climbed(surface, bands, spaces, given, level, most, swaps)
        return order, found, found == most
    widths = [one.item.width for one in bands]

    def found_at(one: int) -> tuple[int, ...] | None:
        ways, gap = ways_at(surface, bands, spaces, one)
        return any_order(ways, widths, gap)

    if spaces.spacing == "gap":
        fitting = found_at(0)
        return fitting or given, spaces.gap if fitting else None, True
    if level is not None and found_at(level + 1) is None:
        return given, level, True
    best = highest(lambda one: found_at(one) is not None, most)
    return given if best is None else found_at(best) or given, best, True


def _climbed(
    surface: Surface, bands: Sequence[Band], spaces: Spaces, order: tuple[int, ...], level: int | None, most: int, most_swaps: int
) -> tuple[tuple[int, ...], int | None]:
    """Return a good order of many works: the widest first where that helps, then swaps of two while one does better."""
    by_width = tuple(sorted(order, key=lambda at: (-bands[at].item.width, at)))
    by_height = tuple(sorted(order, key=lambda at: (-bands[at].item.height, at)))

    def of(tried: tuple[int, ...]) -> int:
        found = _level(surface, [bands[at] for at in tried], spaces, most)
        return -1 if found is None else found

    best, value = order, -1 if level is None else level
    swaps = (_swapped(best, pair) for pair in combinations(range(len(order)), 2))
    for count, tried in enumerate(_chain((by_width, by_height), swaps)):
        if value >= most or count > most_swaps:
            break
        if (other := of(tried)) > value:
            best, value = tried, other
    return best, None if value < 0 else value


def _chain(first: Sequence[tuple[int, ...]], then: Iterator[tuple[int, ...]]) -> Iterator[tuple[int, ...]]:
    yield from first
    yield from then


def _swapped(order: tuple[int, ...], pair: tuple[int, int]) -> tuple[int, ...]:
    made = list(order)
    made[pair[0]], made[pair[1]] = made[pair[1]], made[pair[0]]
    return tuple(made)


def lacking(surface: Surface, bands: Sequence[Band], spaces: Spaces) -> int:
    """Return by how many millimetres a row in its order is too wide: how much more wall at its right end it would take."""
    widths = [one.item.width for one in bands]
    wide = msgspec.structs.replace(surface, width=surface.width + sum(widths) + spaces.gap * len(bands) + 2 * surface.end + 1)
    ways, gap = ways_at(wide, bands, spaces, 0)
    right = pushed_left(ways, widths, gap)
    return max(0, (wide.width if right is None else right) + surface.end - surface.width)
