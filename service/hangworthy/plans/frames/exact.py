"""The exact model of a few works, all others held: one row for each clique of the interval graph, solved in whole numbers."""

from collections.abc import Sequence

import numpy as np

from hangworthy.plans.frames.arrays import Array, Problem, spans
from hangworthy.plans.frames.solver import EMPTY, FEASIBLE, INFEASIBLE, INFINITE, INTEGER, OPTIMAL, Budget, columns, highs, linear

MOST_NODES = 2**31 - 1


def improve(
    problem: Problem,
    held: Array,
    free: Array,
    costs: Array,
    limits: Sequence[tuple[Array, int]],
    budget: Budget,
    *,
    below: float = INFINITE,
    nodes: int = MOST_NODES,
) -> tuple[Array | None, float]:
    """Return the cheapest choice in which only ``free`` ways may differ from ``held``, and a bound on its cost.

    ``limits`` are further costs that must not be exceeded. With ``below`` only what is cheaper than that counts, and None with an infinite
    bound means that there is nothing cheaper. None with a finite bound: time or nodes ran out before anything was found.
    """
    fixed = np.where(free, 0, held)
    ways = np.flatnonzero(free)
    rows, right, count = _cliques(problem, fixed, ways)
    own = problem.many - np.bincount(problem.group, weights=fixed, minlength=len(problem.many)).astype(np.int64)
    used = np.unique(problem.group[ways])
    rows.append((count + np.searchsorted(used, problem.group[ways]), np.arange(len(ways)), 1.0))
    right.append(own[used])
    count += len(used)
    base = int(costs @ fixed)
    more = [(row, limit - int(row @ fixed)) for row, limit in limits] + ([(costs, below - base)] if below < INFINITE else [])
    if not len(ways):
        return (None, INFINITE) if any(limit < 0 for _, limit in more) else (fixed, float(base))
    model = highs(mip_rel_gap=0.0, mip_abs_gap=0.5, time_limit=budget.left, mip_max_nodes=nodes)
    bounds = np.full(count, -INFINITE), np.concatenate(right)
    programme = linear(costs[ways], problem.many[problem.group[ways]], bounds, columns(rows, len(ways)))
    programme.integrality_ = [INTEGER] * len(ways)
    model.passModel(programme)
    for row, limit in more:
        entries = np.flatnonzero(row[ways]).astype(np.int32)
        model.addRow(-INFINITE, float(limit), len(entries), entries, row[ways][entries].astype(float))
    model.run()
    return _read(model, problem, fixed, ways, costs, limits, base)


def _read(
    model: object, problem: Problem, fixed: Array, ways: Array, costs: Array, limits: Sequence[tuple[Array, int]], base: int
) -> tuple[Array | None, float]:
    status = model.getModelStatus()  # type: ignore[attr-defined]
    if status == INFEASIBLE:
        return None, INFINITE
    information = model.getInfo()  # type: ignore[attr-defined]
    bound = base + float(information.mip_dual_bound)
    if information.primal_solution_status != FEASIBLE:
        return None, bound
    found = fixed.copy()
    found[ways] = np.rint(np.array(model.getSolution().col_value[: len(ways)])).astype(np.int64)  # type: ignore[attr-defined]
    if not valid(problem, found) or any(int(row @ found) > limit for row, limit in limits):
        return None, bound  # rounded by more than the solver's tolerance: nothing is taken on trust
    return found, float(costs @ found) if status in (OPTIMAL, EMPTY) else bound


def _cliques(problem: Problem, fixed: Array, ways: Array) -> tuple[list[tuple[Array, Array, float]], list[Array], int]:
    """Return the rows of the days on which the free ways could ask for too many frames, and what is left for them there."""
    begin, end = spans(problem)
    rows: list[tuple[Array, Array, float]] = []
    right: list[Array] = []
    total = 0
    for number, (days, counts) in enumerate(problem.contested):
        mine = np.flatnonzero(problem.size[ways] == number)
        if not len(mine) or not len(days):
            continue
        held = np.flatnonzero((problem.size == number) & (fixed > 0))
        left = counts - _covering(begin[held], end[held], fixed[held], len(days))
        low, high = begin[ways[mine]], end[ways[mine]]
        wanted = _covering(low, high, problem.many[problem.group[ways[mine]]], len(days))
        tight = np.flatnonzero(wanted > left)
        inside = (low[None, :] <= tight[:, None]) & (tight[:, None] < high[None, :])
        places = _undominated(inside, left[tight])
        at, which = np.nonzero(inside[places])
        rows.append((total + at, mine[which], 1.0))
        right.append(left[tight[places]])
        total += len(places)
    return rows, right, total


def _covering(begin: Array, end: Array, many: Array, days: int) -> Array:
    """Return how many of the ways cover each contested day."""
    change = np.bincount(begin, many, days + 1) - np.bincount(end, many, days + 1)
    return np.cumsum(change)[:days].astype(np.int64)


def _undominated(inside: Array, left: Array) -> Array:
    """Return the rows that no neighbouring row implies."""
    kept: list[int] = []
    for row in range(len(left)):
        while kept and left[row] <= left[kept[-1]] and not (inside[kept[-1]] & ~inside[row]).any():
            kept.pop()
        if not (kept and left[kept[-1]] <= left[row] and not (inside[row] & ~inside[kept[-1]]).any()):
            kept.append(row)
    return np.array(kept, dtype=np.int64)


def valid(problem: Problem, choice: Array) -> bool:
    """Return whether a choice uses no work and no frame more often than there are, by whole numbers alone."""
    if (choice < 0).any() or (np.bincount(problem.group, choice, len(problem.many)) > problem.many).any():
        return False
    begin, end = spans(problem)
    for number, (days, counts) in enumerate(problem.contested):
        mine = np.flatnonzero((problem.size == number) & (choice > 0))
        if (_covering(begin[mine], end[mine], choice[mine], len(days)) > counts).any():
            return False
    return True
