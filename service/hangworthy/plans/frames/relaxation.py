"""The linear relaxation of one problem: bounds from it that hold whatever the solver's tolerances, and what they say of the best plans."""

from dataclasses import dataclass, replace

import numpy as np

from hangworthy.plans.frames.arrays import Array, Problem
from hangworthy.plans.frames.network import Bounds, Network
from hangworthy.plans.frames.solver import INFINITE, OPTIMAL, Budget, highs

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
    """The linear programme of one problem, kept warm from objective to objective. ``bounds`` are those of the plans that are left."""

    def __init__(self, problem: Problem, budget: Budget) -> None:
        """Build it; nothing is solved yet."""
        self.problem, self._budget = problem, budget
        self.network = Network(problem)
        self.bounds = self.network.all_plans()
        self._model = highs(solver="ipm" if problem.ways > LARGE else "simplex")
        self._model.passModel(self.network.programme(np.zeros(problem.ways), self.bounds))

    def minimise(self, costs: Array, *, first: bool = False) -> Least | None:
        """Return the least cost of the relaxation; None where time ran out. The ``first`` objective starts from nothing."""
        model, days = self._model, self.network.days
        padded = np.concatenate([np.asarray(costs, float), np.zeros(days)])
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
        prices = duals[days : days + len(self.problem.many)]
        values, reduced = np.array(found.col_value), np.array(found.col_dual)
        return Least(self._proven(costs, duals), values[:count], reduced[:count], prices, reduced[count:])

    def _proven(self, costs: Array, prices: Array) -> float:
        """Return a bound on the cost that holds whatever the solver's tolerances: worked out from its prices in whole numbers.

        By weak duality any prices of the rows give a bound; these are the solver's, rounded to a fraction of 2^20.
        """
        network, bounds, problem = self.network, self.bounds, self.problem
        whole = np.rint(prices * _FINE).astype(np.int64)
        flows, groups, rest = np.split(whole, [network.days, network.days + len(problem.many)])
        groups, rest = np.where(bounds.full, groups, np.minimum(groups, 0)), np.minimum(rest, 0)
        padded = np.append(flows, 0)  # a place below 0 takes the last
        reduced = np.asarray(costs, np.int64) * _FINE - padded[network.up] + padded[network.down] - groups[problem.group]
        for price, (row, _) in zip(rest.tolist(), bounds.rows, strict=True):
            reduced = reduced - price * row
        idle = padded[network.after] - flows
        parts = [
            flows * network.flow,
            groups * problem.many,
            np.where(reduced > 0, bounds.lower, bounds.upper) * reduced,
            np.where(idle > 0, bounds.least_idle, bounds.most_idle) * idle,
        ]
        total = sum(sum(part.tolist()) for part in parts) + sum(p * limit for p, (_, limit) in zip(rest.tolist(), bounds.rows, strict=True))
        return float(total / _FINE)

    def within(self, least: Least, at_most: int) -> Bounds:
        """Return the bounds of the plans that cost no more than ``at_most``.

        Moving a way off its bound by one adds its reduced cost: where that is more than what is allowed above the least, it stays there.
        So do idle frames, and groups that hang in full.
        """
        old, room = self.bounds, at_most - least.bound + _CARE
        return replace(
            old,
            upper=np.where(least.reduced > room, old.lower, old.upper),
            lower=np.where(-least.reduced > room, old.upper, old.lower),
            most_idle=np.where(least.idle > room, old.least_idle, old.most_idle),
            least_idle=np.where(-least.idle > room, old.most_idle, old.least_idle),
            full=old.full | (-least.prices > room),
        )

    def hold(self, costs: Array, at_most: int, least: Least) -> None:
        """Keep to plans that cost no more than ``at_most``.

        Where the relaxation can do no better, what its reduced costs and prices fix is all of it, and needs no row over every way.
        """
        bounds, model = self.within(least, at_most), self._model
        low, high = bounds.columns
        model.changeColsBounds(len(low), np.arange(len(low), dtype=np.int32), low.astype(float), high.astype(float))
        for group in np.flatnonzero(bounds.full & ~self.bounds.full).tolist():
            count = float(self.problem.many[group])
            model.changeRowBounds(self.network.days + group, count, count)
        if at_most - least.bound > _CARE:
            used = np.flatnonzero(costs).astype(np.int32)
            model.addRow(-INFINITE, float(at_most), len(used), used, np.asarray(costs, float)[used])
            bounds = replace(bounds, rows=(*bounds.rows, (np.asarray(costs, np.int64), at_most)))
        self.bounds = bounds
