"""One objective after the other: each is brought to its proven best, and held there while the next is improved.

For each objective the relaxation gives a bound, and a solution that is whole for almost all works. The others are settled exactly among
themselves, which gives a plan that is best or nearly so. Where a gap is left, reduced costs show which works could still close it: only
these are searched, exactly, for anything better. So every bound is one of all plans, though hardly any of them is looked at.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from hangworthy.plans.frames.arrays import Array, Problem, components, merged, spans
from hangworthy.plans.frames.exact import improve
from hangworthy.plans.frames.network import Row, around
from hangworthy.plans.frames.relaxation import Least, Relaxation
from hangworthy.plans.frames.solver import NEAR, Budget
from hangworthy.plans.frames.task import OBJECTIVES, Goal, Solved, Task, totals

_STEPS = 4  # the first search looks into this part of the gap,
_FEWER = 0.7  # if so it leaves no more than this part of the ways
FEW_NODES = 50  # for finding a good plan; a proof may take as many as it needs
_SHARES = (200_000_000, 10_000, 1, 0)  # what one unit of each objective weighs in the first linear programme; no proof rests on it

Progress = Callable[[float], None]


@dataclass
class Part:
    """A plan of one independent part: how often each way is used, and the bound of each objective (None: not reached)."""

    choice: Array
    bounds: list[int | None]


def solve(task: Task, budget: Budget, progress: Progress = lambda share: None, stages: int = 4) -> Solved:
    """Return the best plan of a task. Where time runs out, it is the best so far, and its goals say which are proven.

    With fewer ``stages`` only that many objectives are brought to their best; the others are not reached.
    """
    problem, groups, places = merged(task)
    choice = np.zeros(problem.ways, dtype=np.int64)
    bounds: list[int | None] = [0, 0, 0, 0]
    done = 0
    for members in components(problem):
        part, ways = problem.part(members)
        found = solve_part(part, budget, _within(progress, done, len(members), len(problem.many)), stages)
        choice[ways] = found.choice
        bounds = [None if mine is None or all_ is None else mine + all_ for mine, all_ in zip(found.bounds, bounds, strict=True)]
        done += len(members)
    chosen: list[int | None] = [None] * len(task.works)
    waiting = {group: iter(works) for group, works in enumerate(groups)}
    for way in np.flatnonzero(choice).tolist():
        for _ in range(int(choice[way])):
            chosen[next(waiting[int(problem.group[way])])] = int(places[way])
    return Solved(tuple(chosen), _goals(task, tuple(chosen), bounds))


def _within(progress: Progress, done: int, size: int, whole: int) -> Progress:
    """Return how far the whole is when a part of it is so far."""
    return lambda share: progress((done + share * size) / whole)


def _goals(task: Task, chosen: tuple[int | None, ...], bounds: list[int | None]) -> tuple[Goal, ...]:
    """Return the objectives with their bounds, as people count them: weight that hangs, and changes against the earlier plan."""
    earlier = sum(work.earlier is not None for work in task.works)
    counted = [None if bound is None else (-bound, bound, bound, earlier + bound)[place] for place, bound in enumerate(bounds)]
    made, proven = [], True
    for name, value, bound in zip(OBJECTIVES, totals(task, chosen), counted, strict=True):
        proven = proven and bound == value
        made.append(Goal(name, value, bound, proven))
    return tuple(made)


def solve_part(problem: Problem, budget: Budget, progress: Progress = lambda share: None, stages: int = 4) -> Part:
    """Return the best plan of one part."""
    best = fill(problem, np.zeros(problem.ways, dtype=np.int64))
    if len(problem.many) == 1 and best.sum() == problem.many[0]:
        return Part(best, [int(cost @ best) for cost in problem.costs])
    relaxation = Relaxation(problem, budget)
    start = relaxation.minimise(np.array(_SHARES) @ problem.costs / _SHARES[0] * 1e4, first=True)
    if start is not None:
        best = _better(problem, [], best, fill(problem, _whole(start)))
    progress(0.5)
    bounds: list[int | None] = [None] * 4
    limits: list[Row] = []
    for place, costs in enumerate(problem.costs[:stages]):
        best, bounds[place], least = _stage(problem, relaxation, costs, limits, best, budget)
        value = int(costs @ best)
        if bounds[place] != value or least is None:
            break
        limits.append((costs, value))
        if costs.any():
            relaxation.hold(costs, value, least)
        progress(0.6 + place / 10)
    return Part(best, bounds)


def _stage(
    problem: Problem, relaxation: Relaxation, costs: Array, limits: list[Row], best: Array, budget: Budget
) -> tuple[Array, int | None, Least | None]:
    """Bring one objective to its best; return the plan, the bound and what the relaxation found."""
    least = relaxation.minimise(costs)
    if least is None:
        return best, None, None
    bound = math.ceil(least.bound - NEAR)
    if int(costs @ best) > bound:
        best = _better(problem, [*limits, (costs, int(costs @ best))], best, _around(relaxation, least, costs, limits, budget), costs)
    if int(costs @ best) > bound:
        best, bound = _search(relaxation, least, costs, limits, best, bound, budget)
    return best, bound, least


def _search(
    relaxation: Relaxation, least: Least, costs: Array, limits: list[Row], best: Array, bound: int, budget: Budget
) -> tuple[Array, int]:
    """Look for anything cheaper than the best plan; return the best, and the bound.

    A plan that costs no more than the relaxation and some room uses no way whose reduced cost is above that room. So little room means
    few works to search; where nothing is found in it, the bound is as much higher, and there is more room to look in.
    """
    cost = int(costs @ best)
    room = max(1, (cost - bound) // _STEPS)
    while cost > bound and budget.left > 0:
        aim = _aim(relaxation, least, min(cost - 1, bound + room), cost - 1)
        found, proven = improve(relaxation.network, relaxation.within(least, aim), costs, limits, budget, aim=aim)
        if found is not None and int(costs @ found) < cost:
            best, cost = found, int(costs @ found)
        bound = min(cost, max(bound, math.ceil(proven - NEAR)))
        if bound <= aim:
            break
        room *= 4
    return best, bound


def _aim(relaxation: Relaxation, least: Least, near: int, far: int) -> int:
    """Return the nearer aim where it leaves clearly fewer ways to search than the farther one does, which settles more at once."""
    left = [np.count_nonzero(bounds.lower < bounds.upper) for bounds in (relaxation.within(least, near), relaxation.within(least, far))]
    return near if left[0] < _FEWER * left[1] else far


def _whole(least: Least) -> Array:
    """Return what is whole of a solution of the relaxation; the rest is left out."""
    return np.floor(least.solution + NEAR).astype(np.int64)


def _around(relaxation: Relaxation, least: Least, costs: Array, limits: list[Row], budget: Budget) -> Array | None:
    """Return a plan near a solution of the relaxation: what is whole is kept, the rest is settled exactly."""
    problem = relaxation.problem
    down = _whole(least)
    split = np.zeros(len(problem.many), dtype=bool)
    split[problem.group[least.solution - down > NEAR]] = True
    near = around(relaxation.bounds, down, split[problem.group])
    found, _ = improve(relaxation.network, near, costs, limits, budget, nodes=FEW_NODES)
    return found if found is not None or limits else fill(problem, down)


def _better(problem: Problem, limits: list[Row], best: Array, other: Array | None, costs: Array | None = None) -> Array:
    """Return the better of two plans, in the order of the objectives; one that breaks a limit is none."""
    if other is None or any(int(row @ other) > limit for row, limit in limits):
        return best
    if costs is not None:
        return other if int(costs @ other) < int(costs @ best) else best
    return min(best, other, key=lambda one: tuple((problem.costs @ one).tolist()))


def fill(problem: Problem, held: Array) -> Array:
    """Return a plan that keeps what is held, and adds work after work, those that end first first, as far as there are frames."""
    choice = held.copy()
    begin, end = spans(problem)
    left = [counts.copy() for _, counts in problem.contested]
    open_ = problem.many - np.bincount(problem.group, weights=held, minlength=len(problem.many)).astype(np.int64)
    for way in np.flatnonzero(held).tolist():
        left[problem.size[way]][begin[way] : end[way]] -= held[way]
    order = np.lexsort((problem.costs[3], problem.costs[2], problem.costs[1], problem.last[problem.group], problem.costs[0]))
    for way in order.tolist():
        group = problem.group[way]
        days = left[problem.size[way]][begin[way] : end[way]]
        count = min(int(open_[group]), int(days.min()) if len(days) else int(open_[group]))
        if count > 0:
            choice[way] += count
            open_[group] -= count
            days -= count
    return choice
