"""The task as arrays: works that are alike are merged, and what cannot compete for a frame is told apart."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np

from hangworthy.plans.frames.task import Task, there

Array = Any  # numpy's own annotation says no more here: whole numbers or truth values, one for each group or way


@dataclass(frozen=True)
class Problem:
    """Groups of like works, and their ways. ``many`` counts the works of a group; ``group`` and ``size`` belong to each way.

    ``costs`` has a row for each objective, all to be made small: weight is negative, and so is a frame that is kept from earlier.
    ``contested`` holds, for each size, the days that matter and the frames at hand on them.
    """

    first: Array
    last: Array
    many: Array
    group: Array
    size: Array
    costs: Array
    contested: tuple[tuple[Array, Array], ...]

    @property
    def ways(self) -> int:
        """How many ways there are in all."""
        return len(self.group)

    def part(self, groups: Array) -> tuple["Problem", Array]:
        """Return the problem of some groups only, and which ways it has."""
        new = np.full(len(self.many), -1)
        new[groups] = np.arange(len(groups))
        kept = np.flatnonzero(new[self.group] >= 0)
        costs = self.costs[:, kept]
        return Problem(
            self.first[groups], self.last[groups], self.many[groups], new[self.group[kept]], self.size[kept], costs, self.contested
        ), kept


def merged(task: Task) -> tuple[Problem, list[list[int]], Array]:
    """Return the problem, the works of each group, and for each way of the problem its place among the ways of the works."""
    groups: dict[Any, list[int]] = {}
    for index, work in enumerate(task.works):
        if work.ways:
            earlier = work.earlier if work.earlier in {way.size for way in work.ways} else None
            groups.setdefault((work.first, work.last, work.weight, work.ways, earlier), []).append(index)
    rows = [
        (number, way.size, -key[2], way.lost, way.wasted, -(way.size == key[4]), place)
        for number, key in enumerate(groups)
        for place, way in enumerate(key[3])
    ]
    table = np.array(rows, dtype=np.int64).reshape(len(rows), 7)
    keys = np.array([(key[0], key[1], len(works)) for key, works in groups.items()], dtype=np.int64).reshape(len(groups), 3)
    problem = Problem(keys[:, 0], keys[:, 1], keys[:, 2], table[:, 0], table[:, 1], table[:, 2:6].T.copy(), ())
    return contest(problem, task), list(groups.values()), table[:, 6]


def contest(problem: Problem, task: Task) -> Problem:
    """Return the problem with the days on which more works may want a size than there are frames of it.

    Works that hang on one day are a clique of the interval graph, and every maximal clique is found on a day on which a work begins or
    the number of frames changes. A day whose works all hang on the next such day too, with no more frames there, says nothing new.
    """
    contested = []
    for number, size in enumerate(task.sizes):
        mine = np.flatnonzero(problem.size == number)
        first, last = problem.first[problem.group[mine]], problem.last[problem.group[mine]]
        steps = there(size)
        days = np.unique(np.concatenate([first, np.array(steps[0], dtype=np.int64)]))
        counts = np.array(steps[1], dtype=np.int64)[np.maximum(0, np.searchsorted(steps[0], days, "right") - 1)]
        contested.append(_needed(days, counts, first, last, problem.many[problem.group[mine]]))
    return Problem(problem.first, problem.last, problem.many, problem.group, problem.size, problem.costs, tuple(contested))


def _needed(days: Array, counts: Array, first: Array, last: Array, many: Array) -> tuple[Array, Array]:
    """Return the days whose count can be exceeded and is not implied by a neighbour's."""
    wanted = load(days, first, last, many)
    days, counts = days[wanted > counts], counts[wanted > counts]
    for _ in range(2):  # once forward, once backward: what is left may imply a little, and does no harm
        if len(days) > 1:
            ended = counted(last, days[:-1], days[1:])
            keep = np.append((ended > 0) | (counts[1:] > counts[:-1]), True)
            days, counts = days[keep], counts[keep]
        if len(days) > 1:
            begun = counted(first, days[:-1] + 1, days[1:] + 1)
            keep = np.append(True, (begun > 0) | (counts[:-1] > counts[1:]))
            days, counts = days[keep], counts[keep]
    return days, counts


def counted(values: Array, low: Array, high: Array) -> Array:
    """Return how many values lie from each low to below each high."""
    ordered = np.sort(values)
    return np.searchsorted(ordered, high, "left") - np.searchsorted(ordered, low, "left")


def load(days: Array, first: Array, last: Array, many: Array) -> Array:
    """Return how many works hang on each day."""
    begin, end = np.argsort(first, kind="stable"), np.argsort(last, kind="stable")
    up = np.concatenate([[0], np.cumsum(many[begin])])[np.searchsorted(first[begin], days, "right")]
    return up - np.concatenate([[0], np.cumsum(many[end])])[np.searchsorted(last[end], days, "left")]


def spans(problem: Problem) -> tuple[Array, Array]:
    """Return for each way the first contested day of its size that it covers, and the first that it no longer does, by place."""
    begin, end = np.zeros(problem.ways, dtype=np.int64), np.zeros(problem.ways, dtype=np.int64)
    for number, (days, _) in enumerate(problem.contested):
        mine = np.flatnonzero(problem.size == number)
        begin[mine] = np.searchsorted(days, problem.first[problem.group[mine]], "left")
        end[mine] = np.searchsorted(days, problem.last[problem.group[mine]], "right")
    return begin, end


def covering(begin: Array, end: Array, many: Array, days: int) -> Array:
    """Return how many of some ways cover each of a size's contested days."""
    change = np.bincount(begin, many, days + 1) - np.bincount(end, many, days + 1)
    return np.cumsum(change)[:days].astype(np.int64)


def components(problem: Problem) -> Iterable[Array]:
    """Yield the groups of each independent part: no frame can be wanted by works of two parts on one day."""
    parent = list(range(len(problem.many)))

    def root(one: int) -> int:
        while parent[one] != one:
            parent[one] = parent[parent[one]]
            one = parent[one]
        return one

    begin, end = spans(problem)
    for number in range(len(problem.contested)):
        mine = np.flatnonzero((problem.size == number) & (begin < end))
        reach, chain = -1, -1
        for way in mine[np.argsort(begin[mine], kind="stable")].tolist():
            group = int(problem.group[way])
            if begin[way] < reach:
                parent[root(group)] = root(chain)
            else:
                chain = group
            reach = max(reach, int(end[way])) if begin[way] < reach else int(end[way])
    found: dict[int, list[int]] = {}
    for group in range(len(parent)):
        found.setdefault(root(group), []).append(group)
    for groups in found.values():
        yield np.array(groups, dtype=np.int64)
