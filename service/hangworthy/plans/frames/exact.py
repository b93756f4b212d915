"""The exact model of the plans that are left: the network in whole numbers."""

from collections.abc import Sequence

import numpy as np

from hangworthy.plans.frames.arrays import Array, Problem, covering, spans
from hangworthy.plans.frames.network import Bounds, Network, Row
from hangworthy.plans.frames.solver import CONTINUOUS, EMPTY, FEASIBLE, INFEASIBLE, INFINITE, INTEGER, OPTIMAL, Budget, highs

MOST_NODES = 2**31 - 1
# The relaxation is strong here: few cuts and few branches close what is left, and a search for good plans beside it takes most of the time.
_LEAN = {
    "mip_heuristic_effort": 0.0,
    "mip_heuristic_run_feasibility_jump": False,
    "mip_heuristic_run_rins": False,
    "mip_heuristic_run_rens": False,
    "mip_heuristic_run_root_reduced_cost": False,
    "mip_pool_soft_limit": 20,
    "mip_allow_cut_separation_at_nodes": False,
    "mip_allow_restart": False,
    "mip_detect_symmetry": False,
}


def improve(
    network: Network,
    bounds: Bounds,
    costs: Array,
    limits: Sequence[Row],
    budget: Budget,
    *,
    aim: int | None = None,
    nodes: int = MOST_NODES,
) -> tuple[Array | None, float]:
    """Return the cheapest plan within some bounds, and a bound on its cost.

    ``limits`` are further costs that must not be exceeded; the plan is checked against them. With an ``aim`` only what costs no more than
    that is looked for, and the bound goes no further than half a unit above it, which means that there is nothing so cheap. None with a
    smaller bound: time or nodes ran out before anything was found.
    """
    below = INFINITE if aim is None else aim + 0.5
    first = "ipm" if bounds.rows else "choose"  # a row over every way makes a basis dense, and the simplex slow to find one
    model = highs(mip_rel_gap=0.0, mip_abs_gap=0.5, time_limit=budget.left, objective_bound=below, mip_lp_solver=first, **_LEAN)
    model.setOptionValue("mip_max_nodes", nodes)
    programme = network.programme(costs, bounds)
    programme.integrality_ = [INTEGER] * network.problem.ways + [CONTINUOUS] * network.days  # whole ways leave whole frames idle
    model.passModel(programme)
    model.run()
    return _read(model, network.problem, costs, limits, below)


def _read(model: object, problem: Problem, costs: Array, limits: Sequence[Row], below: float) -> tuple[Array | None, float]:
    status = model.getModelStatus()  # type: ignore[attr-defined]
    if status == INFEASIBLE:
        return None, below
    information = model.getInfo()  # type: ignore[attr-defined]
    bound = min(float(information.mip_dual_bound), below)  # what costs more may have been left out
    if information.primal_solution_status != FEASIBLE:
        return None, bound
    found = np.rint(np.array(model.getSolution().col_value[: problem.ways])).astype(np.int64)  # type: ignore[attr-defined]
    if not valid(problem, found) or any(int(row @ found) > limit for row, limit in limits):
        return None, bound  # rounded by more than the solver's tolerance: nothing is taken on trust
    return found, min(float(costs @ found), below) if status in (OPTIMAL, EMPTY) else bound


def valid(problem: Problem, choice: Array) -> bool:
    """Return whether a choice uses no work and no frame more often than there are, by whole numbers alone."""
    if (choice < 0).any() or (np.bincount(problem.group, choice, len(problem.many)) > problem.many).any():
        return False
    begin, end = spans(problem)
    for number, (days, counts) in enumerate(problem.contested):
        mine = np.flatnonzero((problem.size == number) & (choice > 0))
        if (covering(begin[mine], end[mine], choice[mine], len(days)) > counts).any():
            return False
    return True
