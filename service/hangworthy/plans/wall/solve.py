"""From works and a wall to places: rows are shared out, hung and spaced; the best plan is checked before anybody sees it."""

from collections.abc import Iterator
from itertools import combinations, islice, pairwise

import msgspec

from hangworthy.plans.wall.check import violations
from hangworthy.plans.wall.heights import Hung, Lines, hang
from hangworthy.plans.wall.model import Item, Placed, RowFound, Spaces, Surface
from hangworthy.plans.wall.rows import best_row, lacking

MOST_SPLITS = 300

Rows = tuple[tuple[Item, ...], ...]


class Task(msgspec.Struct, frozen=True):
    """What is asked for. ``rows``: the works of each row, uppermost first, or all of them in one with ``count`` rows to be made of them."""

    surface: Surface
    rows: Rows
    spaces: Spaces
    lines: Lines
    count: int = 1
    free: bool = False

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
    best: Plan | None = None
    misfit: Misfit | None = None
    tries = list(islice(_splits(task), MOST_SPLITS + 1))
    for rows in tries[:MOST_SPLITS]:
        found = _hung(task, rows)
        if isinstance(found, Misfit):
            misfit = found if misfit is None else min(misfit, found, key=lambda one: (one.too_wide + one.too_high, one.too_high))
        elif best is None or found.narrowest > best.narrowest:
            best = found
    if best is None:
        return misfit or Misfit(0, 0)
    _checked(task, best)
    whole = len(tries) <= MOST_SPLITS and not (task.free and len(tries) > 1)
    return msgspec.structs.replace(best, proven=best.proven and whole)


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


def _hung(task: Task, rows: Rows) -> Plan | Misfit:
    """Return the plan for rows as they are made, or by how much they do not fit."""
    hung = hang(task.surface, rows, task.lines)
    found, wide = [], 0
    for row in hung.rows:
        one = best_row(task.surface, row, task.spaces, free=task.free)
        if one is None:
            wide = max(wide, lacking(task.surface, row, task.spaces), 1)
        else:
            found.append(one)
    if wide or hung.too_high:
        return Misfit(wide, hung.too_high)
    placed = tuple(
        Placed(band.item, left, band.bottom, number)
        for number, one in enumerate(found)
        for band, left in zip(one.bands, one.lefts, strict=True)
    )
    return Plan(placed, hung, tuple(found), all(one.proven for one in found))


def _checked(task: Task, plan: Plan) -> None:
    """Raise UnsoundPlanError unless the plan is right."""
    if violations(task.surface, task.items, plan.placed, task.spaces):
        raise UnsoundPlanError("the plan is not sound")
