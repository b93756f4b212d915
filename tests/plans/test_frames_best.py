"""The frame plan against trying everything, and against what is known of interval graphs."""

import random

import pytest

from hangworthy.plans.frames.solver import Budget
from hangworthy.plans.frames.stages import solve
from hangworthy.plans.frames.task import Size, Task, Wanted, Way
from plans.brute import best, fits, random_task


@pytest.mark.parametrize("block", range(10))
def test_no_plan_is_better_than_the_one_found(block: int) -> None:
    """2,200 random tasks, all plans of each tried: the four objectives are equal, and each is proven."""
    for seed in range(220 * block, 220 * (block + 1)):
        task = random_task(seed)
        found = solve(task, Budget(60))
        assert fits(task, found.chosen), seed
        assert tuple(goal.value for goal in found.goals) == best(task), seed
        assert all(goal.proven and goal.gap == 0 for goal in found.goals), seed


def k_machines(intervals: list[tuple[int, int]], frames: int) -> int:
    """Return how many intervals fit on some like machines: by their ends, each on the machine that was free last.

    Faigle and Nawijn (1995) and Carlisle and Lloyd (1995) show that this greedy way is best.
    """
    free = [-1] * frames
    hung = 0
    for first, last in sorted(intervals, key=lambda one: one[1]):
        fitting = [machine for machine in range(frames) if free[machine] < first]
        if fitting:
            latest = max(fitting, key=lambda machine: free[machine])
            free[latest], hung = last, hung + 1
    return hung


@pytest.mark.parametrize("block", range(5))
def test_one_size_hangs_as_many_as_the_known_greedy_way(block: int) -> None:
    """1,000 random tasks with one size and no crop."""
    for seed in range(200 * block, 200 * (block + 1)):
        chance = random.Random(seed)
        intervals = []
        for _ in range(chance.randint(1, 40)):
            first = chance.randint(1, 60)
            intervals.append((first, first + chance.randint(0, 25)))
        frames = chance.randint(1, 5)
        works = tuple(Wanted(f"w{n}", first, last, (Way(0),)) for n, (first, last) in enumerate(intervals))
        found = solve(Task(works, (Size("A3", frames),)), Budget(60))
        assert found.goals[0].value == k_machines(intervals, frames), seed
        assert found.goals[0].proven, seed
