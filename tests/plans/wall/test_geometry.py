"""Hooks and rows without obstacles, against the formulas of the pack that judges one work and one row at a time."""

import random

import pytest

from hangworthy.plans.wall import geometry
from hangworthy.plans.wall.heights import Lines, hang
from hangworthy.plans.wall.model import Item, Spaces, Surface
from hangworthy.plans.wall.solve import Plan, Task, solve
from hangworthy_hanging.formulas import hook_height, hook_places, row_layout


def test_hooks_go_where_the_pack_says() -> None:
    rng = random.Random(1)
    for _ in range(500):
        width = rng.uniform(50, 2000)
        case = (rng.randint(0, 5000), width, rng.randint(1, 6), rng.uniform(0, width))
        assert geometry.hook_places(*case) == hook_places(*case)


@pytest.mark.parametrize("bad", [(0, 100, 0, 0), (0, 100, 2, 101), (0, 100, 2, -1)])
def test_hooks_that_cannot_be_are_refused(bad: tuple[int, float, int, float]) -> None:
    with pytest.raises(ValueError, match="no such row"):
        geometry.hook_places(*bad)


def test_hooks_are_as_high_as_the_pack_says() -> None:
    """The pack halves heights, the plan hangs in whole millimetres: the same for even heights, within 1 mm for odd ones."""
    rng = random.Random(2)
    for _ in range(500):
        height, drop = rng.randint(100, 3000), rng.randint(0, 90)
        surface = Surface(9000, 6000, above_floor=200)
        band = hang(surface, [[Item("a", 500, height)]], Lines("centre", 1450)).rows[0][0]
        want = hook_height(max(1450, 200 + height / 2), height, drop)
        assert abs(geometry.hook_height(band.top, drop) - want) <= (0 if height % 2 == 0 else 1)


@pytest.mark.parametrize("gap", [None, 0, 37, 120])
def test_a_row_with_nothing_in_its_way_is_the_pack_s_row(gap: int | None) -> None:
    rng = random.Random(3)
    for _ in range(200):
        widths = [rng.randint(100, 450) for _ in range(rng.randint(1, 7))]
        wall = rng.randint(4000, 6000)
        spaces = Spaces("equal") if gap is None else Spaces("gap", gap)
        plan = solve(Task(Surface(wall, 3000), (tuple(Item(str(n), w, 300) for n, w in enumerate(widths)),), spaces, Lines("centre", 1450)))
        assert isinstance(plan, Plan)
        assert tuple(one.left for one in plan.placed) == row_layout(wall, widths, gap).lefts_mm
        assert plan.proven
