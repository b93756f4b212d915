"""The model as flows of frames: for each size one chain of days, along which frames lie idle or hang.

A clique of works that hang on one day gives a row with an entry for every one of them. The difference of two neighbouring rows has only the
works that begin or end between the two days: so each way stands in two rows of its size's chain and in its work's own, however long it
hangs, and the matrix is that of a network but for the works' rows. The relaxation is the same; the columns of idle frames are its slacks.
"""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from hangworthy.plans.frames.arrays import Array, Problem, spans
from hangworthy.plans.frames.solver import INFINITE, columns, linear

Row = tuple[Array, int]  # a cost of each way, and what the plan's sum of them may not exceed


@dataclass(frozen=True)
class Bounds:
    """What plans have in common: how often each way is used at least and at most, and how many frames lie idle on each contested day.

    Of the groups in ``full`` every work hangs. ``rows`` are costs that must not be exceeded where the rest does not say so already.
    """

    lower: Array
    upper: Array
    least_idle: Array
    most_idle: Array
    full: Array
    rows: tuple[Row, ...] = ()

    @property
    def columns(self) -> tuple[Array, Array]:
        """The bounds of all columns: ways, then idle frames."""
        return np.concatenate([self.lower, self.least_idle]), np.concatenate([self.upper, self.most_idle])


class Network:
    """The chains of days of one problem, size after size, and where each way leaves its chain and comes back to it."""

    def __init__(self, problem: Problem) -> None:
        """Build it."""
        self.problem = problem
        begin, end = spans(problem)
        base = 0
        flow, after, counted = [np.zeros(0, np.int64)], [np.zeros(0, np.int64)], [np.zeros(0, np.int64)]
        self.up, self.down = np.full(problem.ways, -1), np.full(problem.ways, -1)
        for number, (days, counts) in enumerate(problem.contested):
            mine = np.flatnonzero((problem.size == number) & (begin < end))
            if not len(mine):
                continue
            self.up[mine], self.down[mine] = base + begin[mine], np.where(end[mine] < len(days), base + end[mine], -1)
            flow.append(np.diff(counts, prepend=0))
            after.append(np.append(base + np.arange(1, len(days)), -1))
            counted.append(counts)
            base += len(days)
        self.flow, self.after, self._counts = (np.concatenate(one) for one in (flow, after, counted))

    @property
    def days(self) -> int:
        """How many contested days all sizes have."""
        return len(self.flow)

    def all_plans(self) -> Bounds:
        """Return the bounds that every plan keeps."""
        many = self.problem.many[self.problem.group]
        nothing = np.zeros(self.problem.ways, dtype=np.int64), np.zeros(self.days, dtype=np.int64)
        return Bounds(nothing[0], many, nothing[1], self._counts, np.zeros(len(self.problem.many), dtype=bool))

    def programme(self, costs: Array, bounds: Bounds) -> Any:
        """Return the linear programme of all plans within some bounds: columns are ways, then idle frames; rows are days, then groups."""
        problem, days = self.problem, self.days
        ways, idle = np.arange(problem.ways), problem.ways + np.arange(days)
        entries: list[tuple[Any, Any, Any]] = [
            (self.up, ways, 1.0), (self.down, ways, -1.0), (days + problem.group, ways, 1.0),
            (np.arange(days), idle, 1.0), (self.after, idle, -1.0),
        ]  # fmt: skip
        above = days + len(problem.many)
        for place, (row, _) in enumerate(bounds.rows):
            used = np.flatnonzero(row)
            entries.append((np.full(len(used), above + place), used, row[used]))
        limits = np.array([limit for _, limit in bounds.rows], dtype=float)
        most = np.concatenate([self.flow, problem.many, limits])
        least = np.concatenate([self.flow, np.where(bounds.full, problem.many, -INFINITE), np.full(len(limits), -INFINITE)])
        lower, upper = bounds.columns
        padded = np.concatenate([np.asarray(costs, float), np.zeros(days)])
        made = linear(padded, upper, (least, most), columns(entries, len(padded)))
        made.col_lower_ = lower.astype(float)
        return made


def around(bounds: Bounds, held: Array, free: Array) -> Bounds:
    """Return the bounds of the plans in which only ``free`` ways may differ from ``held``."""
    return replace(bounds, lower=np.where(free, bounds.lower, held), upper=np.where(free, bounds.upper, held))
