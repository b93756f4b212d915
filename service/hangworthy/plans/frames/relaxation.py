"""The linear relaxation as flows of frames: for each size one chain of days, along which frames lie idle or hang.

A clique of works that hang on one day gives a row with an entry for every one of them. The difference of two neighbouring rows has only the
works that begin or end between the two days: so each way stands in two rows of its size's chain and in its work's own, however long it
hangs, and the matrix is that of a network but for the works' rows. The relaxation is the same; the columns of idle frames are its slacks.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from hangworthy.plans.frames.arrays import Array, Problem, spans
from hangworthy.plans.frames.solver import INFINITE, OPTIMAL, Budget, columns, highs, linear

LARGE = 4_000  # ways; from here on the interior point is faster than the simplex from nothing
_FINE = 2**20
_CARE = 1e-3  # room for rounding in the solver's reduced costs; it only keeps a few ways more
_PRIMAL = 4  # HiGHS: a changed objective leaves the solution feasible, so the primal simplex goes on from it


@dataclass(frozen=True)
class Least:
    """A bound on the least cost, the solution, the reduced costs of the ways there, the prices of the works, and those of idle frames."""

    bound: float
    solution: Array
    reduced: Array
    prices: Array
    idle: Array


class Relaxation:
    """The linear programme of one problem, kept warm from objective to objective."""

    def __init__(self, problem: Problem, budget: Budget) -> None:
        """Build it; nothing is solved yet."""
        self.problem, self._budget = problem, budget
        self._many = problem.many[problem.group]
        self.upper, self.lower = self._many.copy(), np.zeros(problem.ways, dtype=np.int64)
        self.full = np.zeros(len(problem.many), dtype=bool)
        self._held: list[tuple[Array, int]] = []
        self._model = highs(solver="ipm" if problem.ways > LARGE else "simplex")
        self._model.passModel(self._programme())

    def _programme(self) -> Any:
        problem = self.problem
        begin, end = spans(problem)
        base, right, idle_next, idle_upper = 0, [], [], []
        up, down = np.full(problem.ways, -1), np.full(problem.ways, -1)
        for number, (days, counts) in enumerate(problem.contested):
            mine = np.flatnonzero((problem.size == number) & (begin < end))
            if not len(mine):
                continue
            up[mine], down[mine] = base + begin[mine], np.where(end[mine] < len(days), base + end[mine], -1)
            right.append(np.diff(counts, prepend=0))
            places = base + np.arange(len(days))
            idle_next.append(np.append(places[1:], -1))
            idle_upper.append(counts)
            base += len(days)
        flow = np.concatenate(right) if right else np.zeros(0)
        self._up, self._down, self._flow = up, down, flow
        self._idle = [np.concatenate(one) if one else np.zeros(0, dtype=np.int64) for one in (idle_next, idle_upper)]
        self._most_idle, self._least_idle = self._idle[1].astype(np.int64), np.zeros(base, dtype=np.int64)
        ways = np.arange(problem.ways)
        entries = [(up, ways, 1.0), (down, ways, -1.0), (base + problem.group, ways, 1.0)]
        upper = self._many
        if base:
            idle = problem.ways + np.arange(base)
            entries += [(np.arange(base), idle, 1.0), (self._idle[0], idle, -1.0)]
            upper = np.concatenate([upper, self._idle[1]])
        bounds = np.concatenate([flow, np.full(len(problem.many), -INFINITE)]), np.concatenate([flow, problem.many])
        return linear(np.zeros(len(upper)), upper, bounds, columns(entries, len(upper)))

    def minimise(self, costs: Array, *, first: bool = False) -> Least | None:
        """Return the least cost of the relaxation; None where time ran out. The ``first`` objective starts from nothing."""
        model = self._model
        padded = np.concatenate([np.asarray(costs, float), np.zeros(len(self._flow))])
        model.changeColsCost(len(padded), np.arange(len(padded), dtype=np.int32), padded)
        model.setOptionValue("time_limit", model.getRunTime() + self._budget.left)
        if not first:
            model.setOptionValue("solver", "simplex")
            model.setOptionValue("simplex_strategy", _PRIMAL)
        model.run()
        if model.getModelStatus() != OPTIMAL:
            return None
        found, count = model.getSolution(), self.problem.ways
        duals = np.array(found.row_dual)
        prices = duals[len(self._flow) : len(self._flow) + len(self.problem.many)]
        values, reduced = np.array(found.col_value), np.array(found.col_dual)
        return Least(self._proven(costs, duals), values[:count], reduced[:count], prices, reduced[count:])

    def _proven(self, costs: Array, prices: Array) -> float:
        """Return a bound on the cost that holds whatever the solver's tolerances: worked out from its prices in whole numbers.

        By weak duality any prices of the rows give a bound; these are the solver's, rounded to a fraction of 2^20.
        """
        whole = np.rint(prices * _FINE).astype(np.int64)
        flows, groups, rest = np.split(whole, [len(self._flow), len(self._flow) + len(self.problem.many)])
        groups, rest = np.where(self.full, groups, np.minimum(groups, 0)), np.minimum(rest, 0)
        padded = np.append(flows, 0)  # a place below 0 takes the last
        reduced = np.asarray(costs, np.int64) * _FINE - padded[self._up] + padded[self._down] - groups[self.problem.group]
        for price, (row, _) in zip(rest.tolist(), self._held, strict=True):
            reduced = reduced - price * row
        idle = padded[self._idle[0]] - flows
        parts = [
            flows * self._flow.astype(np.int64),
            groups * self.problem.many,
            np.where(reduced > 0, self.lower, self.upper) * reduced,
            np.where(idle > 0, self._least_idle, self._most_idle) * idle,
        ]
        total = sum(sum(part.tolist()) for part in parts) + sum(p * limit for p, (_, limit) in zip(rest.tolist(), self._held, strict=True))
        return float(total / _FINE)

    def room(self, least: Least, at_most: int) -> tuple[Array, Array]:
        """Return, for solutions that cost no more than ``at_most``, which ways are never used, and which are used by all.

        Moving a way off its bound by one adds its reduced cost: where that is more than what is allowed above the least, it stays there.
        """
        room = at_most - least.bound + _CARE
        never = (self.upper == 0) | ((least.reduced > room) & (self.lower == 0))
        always = (self.lower == self.upper) | ((-least.reduced > room) & (self.upper == self._many))
        return never, always & ~never

    def hold(self, costs: Array, at_most: int, least: Least) -> None:
        """Keep to solutions that cost no more than ``at_most``.

        Where the relaxation can do no better, what its reduced costs and prices fix is all of it, and needs no row over every way.
        """
        never, always = self.room(least, at_most)
        self.upper = np.where(never, 0, self.upper)
        self.lower = np.where(always, self.upper, self.lower)
        room = at_most - least.bound + _CARE
        self._most_idle = np.where(least.idle > room, self._least_idle, self._most_idle)
        self._least_idle = np.where(-least.idle > room, self._most_idle, self._least_idle)
        low, high = (np.concatenate(pair).astype(float) for pair in ((self.lower, self._least_idle), (self.upper, self._most_idle)))
        self._model.changeColsBounds(len(low), np.arange(len(low), dtype=np.int32), low, high)
        self.full |= -least.prices > room
        rows = (len(self._flow) + np.flatnonzero(self.full)).astype(np.int32)
        many = self.problem.many[self.full].astype(float)
        for row, count in zip(rows.tolist(), many.tolist(), strict=True):
            self._model.changeRowBounds(row, count, count)
        if room > 2 * _CARE:
            used = np.flatnonzero(costs).astype(np.int32)
            self._model.addRow(-INFINITE, float(at_most), len(used), used, np.asarray(costs, float)[used])
            self._held.append((np.asarray(costs, np.int64), at_most))
