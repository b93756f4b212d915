"""What is left to search: no bound, no fixed way and no aim may cut off a plan that still counts, against trying everything."""

import numpy as np
import pytest

from hangworthy.plans.frames.arrays import Array, Problem, merged, spans
from hangworthy.plans.frames.exact import improve, valid
from hangworthy.plans.frames.network import Bounds
from hangworthy.plans.frames.relaxation import Relaxation
from hangworthy.plans.frames.solver import Budget
from plans.brute import plans, random_task


def choices(seed: int) -> tuple[Problem, list[Array]]:
    """Return the problem of a random task, and every plan of it as how often each way is used."""
    task = random_task(seed, works=5)
    problem, groups, places = merged(task)
    way_of = {(work, int(places[way])): way for way in range(problem.ways) for work in groups[int(problem.group[way])]}
    found: dict[bytes, Array] = {}
    for plan in plans(task):
        choice = np.zeros(problem.ways, dtype=np.int64)
        for work, place in enumerate(plan):
            if place is not None:
                choice[way_of[work, place]] += 1
        found[choice.tobytes()] = choice
    return problem, list(found.values())


def idle_of(problem: Problem, choice: Array) -> Array:
    """Return how many frames lie idle on each contested day of each size that is wanted on one."""
    begin, end = spans(problem)
    idle = []
    for number, (days, counts) in enumerate(problem.contested):
        mine = np.flatnonzero((problem.size == number) & (begin < end))
        if len(mine):
            idle += [int(counts[day] - choice[mine][(begin[mine] <= day) & (day < end[mine])].sum()) for day in range(len(days))]
    return np.array(idle, dtype=np.int64)


def keeps(problem: Problem, bounds: Bounds, choice: Array) -> bool:
    """Return whether a plan is within some bounds."""
    idle, used = idle_of(problem, choice), np.bincount(problem.group, choice, len(problem.many))
    return bool(
        (bounds.lower <= choice).all()
        and (choice <= bounds.upper).all()
        and (bounds.least_idle <= idle).all()
        and (idle <= bounds.most_idle).all()
        and (used[bounds.full] == problem.many[bounds.full]).all()
        and all(int(row @ choice) <= limit for row, limit in bounds.rows)
    )


@pytest.mark.parametrize("block", range(6))
def test_no_plan_that_still_counts_is_cut_off(block: int) -> None:
    """300 random tasks: at each objective every plan that costs no more than allowed is within the bounds that reduced costs give."""
    fixed = 0
    for seed in range(50 * block, 50 * (block + 1)):
        problem, left = choices(seed)
        if not problem.ways:
            continue
        relaxation = Relaxation(problem, Budget(60))
        assert all(valid(problem, choice) for choice in left)
        for place, costs in enumerate(problem.costs):
            least = relaxation.minimise(costs, first=not place)
            assert least is not None
            best = min(int(costs @ choice) for choice in left)
            assert least.bound <= best + 1e-9, seed
            for more in (0, 1, 3):
                bounds = relaxation.within(least, best + more)
                assert all(keeps(problem, bounds, choice) for choice in left if int(costs @ choice) <= best + more), (seed, place, more)
                fixed += int((bounds.lower == bounds.upper).sum())
            left = [choice for choice in left if int(costs @ choice) == best]
            relaxation.hold(costs, best, least)
            assert all(keeps(problem, relaxation.bounds, choice) for choice in left), (seed, place)
    assert fixed > 300  # and it does fix ways


@pytest.mark.parametrize("block", range(3))
def test_an_aim_finds_the_best_plan_or_shows_that_there_is_none(block: int) -> None:
    """150 random tasks: from the best cost on the best plan is found, and below it nothing, which the bound says."""
    for seed in range(50 * block, 50 * (block + 1)):
        problem, left = choices(seed)
        if not problem.ways:
            continue
        network = Relaxation(problem, Budget(60)).network
        for costs in problem.costs:
            best = min(int(costs @ choice) for choice in left)
            for aim in (None, best, best + 2):
                found, bound = improve(network, network.all_plans(), costs, [], Budget(60), aim=aim)
                assert found is not None, (seed, aim)
                assert int(costs @ found) == best, (seed, aim)
                assert best - 1e-6 <= bound <= best + 0.5, (seed, aim)
            found, bound = improve(network, network.all_plans(), costs, [], Budget(60), aim=best - 1)
            assert best - 1 < bound <= best, seed
            limited, _ = improve(network, network.all_plans(), costs, [(costs, best - 1)], Budget(60))
            assert limited is None, "a plan that breaks a limit was taken"
