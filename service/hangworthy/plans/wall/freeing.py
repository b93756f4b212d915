"""What would let a plan fit that does not: the task asked again with one thing changed, the smallest change first."""

from collections.abc import Iterator

import msgspec

from hangworthy.plans.wall.answers import Change
from hangworthy.plans.wall.model import Item, Spaces
from hangworthy.plans.wall.narrowest import highest
from hangworthy.plans.wall.solve import Misfit, Plan, Rows, Task, solve

MOST_CHANGES = 6
MOST_LEFT_OUT = 12


def changes(task: Task, misfit: Misfit) -> tuple[Change, ...]:
    """Return what would let it fit, each tried out by the planner itself."""
    found, task = [], msgspec.structs.replace(task, brief=True)
    for make in (_smaller_gap, _other_order, _other_height, _turned, _more_rows, _fewer):
        found += list(make(task, misfit))
        if len(found) >= MOST_CHANGES:
            break
    return tuple(found[:MOST_CHANGES])


def _fits(task: Task) -> bool:
    return isinstance(solve(task), Plan)


def _with(task: Task, rows: Rows) -> Task:
    return msgspec.structs.replace(task, rows=rows)


def _smaller_gap(task: Task, misfit: Misfit) -> Iterator[Change]:
    if not task.spaces.gap or not misfit.too_wide:
        return

    def fits(gap: int) -> bool:
        return _fits(msgspec.structs.replace(task, spaces=Spaces(task.spaces.spacing, gap)))

    gap = highest(fits, task.spaces.gap - 1)
    if gap is not None:
        yield Change("smaller-gap", f"With gaps of {gap} mm instead of {task.spaces.gap} mm it fits.", gap)


def _other_order(task: Task, misfit: Misfit) -> Iterator[Change]:
    if task.free or not misfit.too_wide:
        return
    found = solve(msgspec.structs.replace(task, free=True))
    if isinstance(found, Plan):
        order = tuple(one.item.ref for one in found.placed)
        yield Change("other-order", f"In another order it fits: {_listed(order)}.", works=order)


def _other_height(task: Task, misfit: Misfit) -> Iterator[Change]:
    if task.lines.line is None:
        return
    found = solve(msgspec.structs.replace(task, lines=msgspec.structs.replace(task.lines, line=None)))
    if isinstance(found, Plan):
        height = found.hung.lines[0]
        yield Change("other-height", f"With its line at {height} mm instead of {task.lines.line} mm above the floor it fits.", height)


def _turned(task: Task, misfit: Misfit) -> Iterator[Change]:
    for one in sorted(task.items, key=lambda one: (abs(one.width - one.height), one.ref)):
        if one.width == one.height:
            continue
        rows = tuple(
            tuple(Item(each.ref, each.height, each.width) if each is one else each for each in row)
            for row in task.rows
        )  # fmt: skip
        if _fits(_with(task, rows)):
            yield Change("turn", f"With {one.ref} turned on its side it fits; ask the artist whether it may hang so.", works=(one.ref,))
            return


def _more_rows(task: Task, misfit: Misfit) -> Iterator[Change]:
    if len(task.rows) > 1:
        return
    for count in range(task.count + 1, min(len(task.items), 4) + 1):
        if _fits(msgspec.structs.replace(task, count=count)):
            yield Change("more-rows", f"In {count} rows it fits.", count)
            return


def _fewer(task: Task, misfit: Misfit) -> Iterator[Change]:
    """Leave out one work, the smallest that is enough; else the widest, one after another, until the rest fits."""
    for one in sorted(task.items, key=lambda one: (one.width, one.height, one.ref))[-MOST_LEFT_OUT:]:
        if _left_fits(task, (one,)):
            yield Change("fewer-works", f"Without {one.ref} it fits.", works=(one.ref,))
            return
    out: tuple[Item, ...] = ()
    for one in sorted(task.items, key=lambda one: (-one.width, -one.height, one.ref))[:-1]:
        out = (*out, one)
        if len(out) > 1 and _left_fits(task, out):
            refs = tuple(each.ref for each in out)
            yield Change("fewer-works", f"Without these {len(out)} works it fits: {_listed(refs)}.", works=refs)
            return


def _left_fits(task: Task, out: tuple[Item, ...]) -> bool:
    rows = tuple(row for row in (tuple(one for one in row if one not in out) for row in task.rows) if row)
    left = sum(map(len, rows))
    return bool(rows) and _fits(msgspec.structs.replace(task, rows=rows, count=min(task.count, left)))


def _listed(refs: tuple[str, ...]) -> str:
    return ", ".join(refs[:6]) + (f" and {len(refs) - 6} more" if len(refs) > 6 else "")
