"""From works and a wall to places: rows are shared out, hung and spaced; the best plan is checked before anybody sees it."""

from collections.abc import Iterator, Sequence
from itertools import combinations, islice, pairwise

import msgspec

from hangworthy.plans.wall.checker import violations
from hangworthy.plans.wall.heights import Hung, Lines, hang
from hangworthy.plans.wall.model import Item, Placed, RowFound, Spaces, Surface
from hangworthy.plans.wall.rows import MOST_SWAPS, Ordered, in_order, in_place, lacking

MOST_SPLITS, BRIEF_SPLITS = 150, 20

Rows = tuple[tuple[Item, ...], ...]


class Task(msgspec.Struct, frozen=True):
    """What is asked for. ``rows``: the works of each row, uppermost first, or all of them in one with ``count`` rows to be made of them.

    ``brief``: fewer orders and rows are tried, for a question beside the plan itself.
    """

    surface: Surface
    rows: Rows
    spaces: Spaces
    lines: Lines
    count: int = 1
    free: bool = False
    brief: bool = False

    @property
    def items(self) -> tuple[Item, ...]:
        """All works, as given."""
        return tuple(one for row in self.rows for one in row)


class Plan(msgspec.Struct, frozen=True):
    """A plan that fits: what hangs where, the rows as they were hung, and how good they are."""

    placed: tuple[Placed, ...]
    hung: Hung
    found: tuple[RowFound, ...]
    proven: bool
    at_most: int

    @property
    def narrowest(self) -> int:
        """The least of the pieces that were made as wide as can be."""
        return min(one.narrowest for one in self.found)


class Misfit(msgspec.Struct, frozen=True):
    """A plan that does not fit: by how many millimetres it is too wide and too high."""

    too_wide: int
    too_high: int


class UnsoundPlanError(RuntimeError):
    """Raised when the planner made a plan that the checker does not let through; holds no facts."""


def solve(task: Task) -> Plan | Misfit:
    """Return the best plan, or by how much none fits. Raises UnsoundPlanError rather than answer with a plan that is not right."""
    most = BRIEF_SPLITS if task.brief or task.free else MOST_SPLITS
    tries = list(islice(_splits(task), most + 1))
    swaps = 0 if task.brief else MOST_SWAPS // len(tries)
    best: tuple[Hung, tuple[Ordered, ...]] | None = None
    misfit: Misfit | None = None
    for rows in tries[:most]:
        found = _ordered(task, rows, swaps)
        if isinstance(found, Misfit):
            misfit = found if misfit is None else min(misfit, found, key=lambda one: (one.too_wide + one.too_high, one.too_high))
        elif best is None or _level(found[1]) > _level(best[1]):
            best = found
    if best is None:
        return misfit or Misfit(0, 0)
    whole = len(tries) == 1 or (len(tries) <= most and not task.free)
    plan = _plan(task, *best, whole=whole)
    _checked(task, plan)
    return plan


def _level(rows: Sequence[Ordered]) -> int:
    return min(one.level for one in rows)


def _splits(task: Task) -> Iterator[Rows]:
    """Yield the ways to make rows: runs of the works as they come, or by height where their order is free; balanced ones first."""
    if task.count == 1 or len(task.rows) > 1:
        yield task.rows
        return
    items = list(task.rows[0])
    if task.free:
        items.sort(key=lambda one: (-one.height, -one.width, one.ref))
    widths = [one.width for one in items]

    def widest(cuts: tuple[int, ...]) -> int:
        ends = (0, *cuts, len(items))
        return max(sum(widths[at:to]) for at, to in pairwise(ends))

    ways = islice(combinations(range(1, len(items)), task.count - 1), 20 * MOST_SPLITS)
    for cuts in sorted(ways, key=lambda one: (widest(one), one)):
        ends = (0, *cuts, len(items))
        yield tuple(tuple(items[at:to]) for at, to in pairwise(ends))


def _ordered(task: Task, rows: Rows, swaps: int) -> tuple[Hung, tuple[Ordered, ...]] | Misfit:
    """Return rows at their heights, each in its best order, or by how much they do not fit."""
    hung = hang(task.surface, rows, task.lines)
    found, wide = [], 0
    for row in hung.rows:
        one = in_order(task.surface, row, task.spaces, free=task.free, swaps=swaps)
        if one is None:
            wide = max(wide, lacking(task.surface, row, task.spaces), 1)
        else:
            found.append(one)
    return Misfit(wide, hung.too_high) if wide or hung.too_high else (hung, tuple(found))


def _plan(task: Task, hung: Hung, ordered: tuple[Ordered, ...], *, whole: bool) -> Plan:
    """Return the plan of rows in their order; ``whole``: every way to make rows was tried."""
    found = [in_place(task.surface, one, task.spaces) for one in ordered]
    good = [one for one in found if one is not None]
    if len(good) < len(found):
        raise UnsoundPlanError("a row that fits has no places")
    placed = tuple(
        Placed(band.item, left, band.bottom, number)
        for number, one in enumerate(good)
        for band, left in zip(one.bands, one.lefts, strict=True)
    )
    proven = whole and all(one.proven for one in good)
    most = min(one.at_most for one in good) if whole else max(_level(ordered), _bound(task))
    return Plan(placed, hung, tuple(good), proven, most)


def _bound(task: Task) -> int:
    """Return a narrowest piece that no sharing of the works among rows exceeds: the mean of all pieces, with nothing in the way."""
    count, works = task.count, len(task.items)
    free = task.surface.width * count - sum(one.width for one in task.items)
    if task.spaces.spacing == "equal":
        return free // (works + count)
    inner = works - count
    return task.spaces.gap if task.spaces.spacing == "gap" or not inner else (free - 2 * count * task.surface.end) // inner


def _checked(task: Task, plan: Plan) -> None:
    """Raise UnsoundPlanError unless the plan is right."""
    if violations(task.surface, task.items, plan.placed, task.spaces):
        raise UnsoundPlanError("the plan is not sound")
