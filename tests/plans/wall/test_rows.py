"""One row against brute force: every place of every work, in every order, on walls small enough to try them all."""

import itertools
import random
from collections.abc import Iterator, Sequence

import pytest

from hangworthy.plans.wall.checker import violations
from hangworthy.plans.wall.even import even_sums
from hangworthy.plans.wall.heights import Lines
from hangworthy.plans.wall.model import Band, Item, Obstacle, Placed, Spaces, Surface
from hangworthy.plans.wall.rows import best_row, lacking
from hangworthy.plans.wall.solve import Misfit, Plan, Task, solve

SMALL = 120
MIDDLE = Lines("centre", 1450)


def small(seed: int) -> tuple[Surface, list[Band], int]:
    rng = random.Random(seed)
    wall = rng.randint(11, 18)
    obstacles = tuple(
        Obstacle(f"o{place}", rng.randint(0, wall - 5), rng.choice([0, 5]), rng.randint(1, 5), rng.choice([4, 8]), rng.randint(0, 2))
        for place in range(rng.randint(0, 2))
    )
    bands = [Band(Item(f"w{place}", rng.randint(1, 4), rng.choice([2, 4])), rng.choice([3, 9])) for place in range(rng.randint(1, 3))]
    return Surface(wall, 20, obstacles, rng.randint(0, 2)), bands, rng.randint(0, 2)


def unsound(surface: Surface, bands: Sequence[Band], lefts: Sequence[int], gap: int) -> list[str]:
    placed = [Placed(band.item, left, band.bottom) for band, left in zip(bands, lefts, strict=True)]
    tall = Surface(surface.width, 10_000, surface.obstacles, surface.end)
    return violations(tall, [one.item for one in bands], placed, Spaces("equal", gap))


def plans(surface: Surface, bands: Sequence[Band], gap: int) -> Iterator[tuple[int, ...]]:
    """Yield the left edges of every plan in this order that is sound."""
    for lefts in itertools.product(*(range(surface.width - one.item.width + 1) for one in bands)):
        ordered = all(a + band.item.width <= b for a, band, b in zip(lefts, bands, lefts[1:], strict=False))
        if ordered and not unsound(surface, bands, lefts, gap):
            yield lefts


def narrowest(surface: Surface, bands: Sequence[Band], lefts: Sequence[int], spacing: str) -> int:
    """The narrowest piece as a person would measure it: between works; and, spaced equally, to ends and to obstacles beside a work."""
    rights = [left + band.item.width for left, band in zip(lefts, bands, strict=True)]
    pieces = [b - a for a, b in zip(rights, lefts[1:], strict=False)]
    if spacing == "equal":
        pieces += [lefts[0], surface.width - rights[-1]]
        for band, left, right in zip(bands, lefts, rights, strict=True):
            for one in surface.obstacles:
                if one.bottom - one.clearance < band.top and band.bottom < one.top + one.clearance:
                    pieces.append(one.left - right if one.left >= right else left - one.right)
    return min(pieces, default=10**6)


@pytest.mark.parametrize("spacing", ["equal", "spread", "gap"])
@pytest.mark.parametrize("free", [False, True])
def test_the_narrowest_piece_is_as_wide_as_it_can_be(spacing: str, free: bool) -> None:
    fitted = 0
    for seed in range(SMALL):
        surface, bands, gap = small(seed)
        spaces = Spaces(spacing, gap)  # type: ignore[arg-type]
        orders = list(itertools.permutations(bands)) if free else [tuple(bands)]
        every = [narrowest(surface, order, lefts, spacing) for order in orders for lefts in plans(surface, order, gap)]
        found = best_row(surface, bands, spaces, free=free)
        assert (found is None) == (not every), seed
        if found is None:
            continue
        fitted += 1
        assert found.proven or spacing == "gap", seed
        assert unsound(surface, found.bands, found.lefts, gap) == [], seed
        if spacing != "gap" and len(bands) > (spacing == "spread"):
            assert narrowest(surface, found.bands, found.lefts, spacing) == max(every), seed
    assert fitted > SMALL // 4


def test_what_is_lacking_is_exactly_what_a_wider_wall_needs() -> None:
    short = 0
    for seed in range(400):
        surface, bands, gap = small(seed)
        spaces = Spaces("equal", gap)
        if best_row(surface, bands, spaces, free=False) is not None:
            continue
        short += 1
        need = lacking(surface, bands, spaces)
        wider = [Surface(surface.width + more, 20, surface.obstacles, surface.end) for more in (need - 1, need)]
        assert [best_row(one, bands, spaces, free=False) is not None for one in wider] == [False, True], seed
    assert short > 20


def test_even_pieces_have_the_least_sum_of_squares_within_their_bounds() -> None:
    """The integer optimum by trying every sum; the source of the method stands in the module."""
    rng, solved = random.Random(7), 0
    for _ in range(600):
        count, total = rng.randint(1, 4), rng.randint(0, 14)
        leasts = [rng.randint(0, 2) for _ in range(count)]
        lows = [rng.randint(0, 5) for _ in range(count - 1)]
        highs = [low + rng.randint(0, 6) for low in lows]
        every = []
        for sums in itertools.product(*(range(low, high + 1) for low, high in zip(lows, highs, strict=True))):
            pieces = [b - a for a, b in itertools.pairwise((0, *sums, total))]
            if all(piece >= least for piece, least in zip(pieces, leasts, strict=True)):
                every.append(sum(piece * piece for piece in pieces))
        if not every:
            continue
        solved += 1
        found = even_sums(total, leasts, lows, highs)
        pieces = [b - a for a, b in itertools.pairwise((0, *found))]
        assert all(low <= one <= high for low, one, high in zip(lows, found, highs, strict=False))
        assert all(piece >= least for piece, least in zip(pieces, leasts, strict=True))
        assert sum(piece * piece for piece in pieces) == min(every)
    assert solved > 150


def row(rng: random.Random, count: int) -> tuple[Item, ...]:
    return tuple(Item(f"w{place}", rng.randint(100, 900), rng.randint(100, 900)) for place in range(count))


def wall(rng: random.Random) -> Surface:
    doors = tuple(
        Obstacle(
            f"o{place}", rng.randint(0, 7000), rng.choice([0, 900]), rng.randint(80, 1000), rng.choice([90, 2000]), rng.randint(0, 150)
        )
        for place in range(rng.randint(0, 3))
    )
    return Surface(8000, 3000, doors, rng.randint(0, 100), 200, 50)


def mirrored(surface: Surface) -> Surface:
    other = [Obstacle(o.name, surface.width - o.right, o.bottom, o.width, o.height, o.clearance) for o in surface.obstacles]
    return Surface(surface.width, surface.height, tuple(other), surface.end, surface.above_floor, surface.below_top)


@pytest.mark.parametrize("spacing", ["equal", "spread"])
def test_a_mirrored_wall_has_the_mirrored_plan_to_the_millimetre(spacing: str) -> None:
    """As good to the last figure; and in the same places, but for a millimetre that cannot be halved."""
    rng, fitted, same = random.Random(3), 0, 0
    for _ in range(150):
        surface, items = wall(rng), row(rng, rng.randint(1, 6))
        spaces = Spaces(spacing, 20)  # type: ignore[arg-type]
        plan = solve(Task(surface, (items,), spaces, MIDDLE))
        other = solve(Task(mirrored(surface), (tuple(reversed(items)),), spaces, MIDDLE))
        assert isinstance(plan, Plan) == isinstance(other, Plan)
        if isinstance(plan, Plan) and isinstance(other, Plan):
            fitted += 1
            assert plan.narrowest == other.narrowest
            turned = {one.item.ref: surface.width - one.right for one in other.placed}
            same += all(abs(turned[one.item.ref] - one.left) <= 1 for one in plan.placed)
    assert fitted > 50
    assert same >= fitted - 3  # two ways of sharing works out may be equally good; then the first one counts on both walls


def test_free_order_is_never_worse_and_does_not_depend_on_the_order_given() -> None:
    rng = random.Random(5)
    for _ in range(25):
        surface, items = wall(rng), row(rng, rng.randint(2, 6))
        given = solve(Task(surface, (items,), Spaces("equal"), MIDDLE))
        shuffled = sorted(items, key=lambda one: one.ref)
        free = solve(Task(surface, (tuple(shuffled),), Spaces("equal"), MIDDLE, free=True))
        if isinstance(given, Plan):
            assert isinstance(free, Plan)
            assert free.narrowest >= given.narrowest
            assert free.proven


def test_an_order_that_only_another_one_fits_is_found() -> None:
    """A tall work can hang beside the sofa only; the low ones above it: wall 3000, sofa from 0 to 2000."""
    sofa = Obstacle("sofa", 0, 0, 2000, 1100, 0)
    items = (Item("tall", 900, 1600), Item("low-1", 900, 300), Item("low-2", 900, 300))
    given = solve(Task(Surface(3000, 3000, (sofa,)), (items,), Spaces("equal"), MIDDLE))
    assert isinstance(given, Misfit)
    free = solve(Task(Surface(3000, 3000, (sofa,)), (items,), Spaces("equal"), MIDDLE, free=True))
    assert isinstance(free, Plan)
    assert [one.item.ref for one in free.placed][-1] == "tall"


@pytest.mark.parametrize("free", [False, True])
@pytest.mark.parametrize("count", [1, 2, 3])
@pytest.mark.parametrize("align", ["centre", "top", "bottom"])
def test_rows_are_sound_and_share_their_line(count: int, align: str, free: bool) -> None:
    rng, fitted = random.Random(11), 0
    for _ in range(12):
        surface, items = wall(rng), row(rng, 5)
        task = Task(surface, (items,), Spaces("equal", 20), Lines(align, 1450, None, 80), count, free)  # type: ignore[arg-type]
        plan = solve(task)
        if isinstance(plan, Misfit):
            continue
        fitted += 1
        assert violations(surface, items, plan.placed, task.spaces) == []
        for number, line in enumerate(plan.hung.lines):
            mine = [one for one in plan.placed if one.row == number and one.item.ref not in plan.hung.raised]
            height = {"top": lambda one: one.top, "bottom": lambda one: one.bottom, "centre": lambda one: (one.top + one.bottom) / 2}[align]
            assert all(abs(height(one) - line) <= 1 for one in mine)
    assert fitted > (2 if count < 3 else -1)


def test_many_works_say_honestly_what_is_not_proven() -> None:
    rng = random.Random(13)
    door = Obstacle("door", 9000, 0, 900, 2100, 100)
    items = tuple(Item(f"w{place:02}", rng.randint(200, 700), rng.randint(200, 900)) for place in range(24))
    plan = solve(Task(Surface(20_000, 3000, (door,), 50, 200, 50), (items,), Spaces("equal"), MIDDLE, free=True))
    assert isinstance(plan, Plan)
    assert plan.proven == (plan.narrowest == plan.at_most) or not plan.proven
    assert plan.narrowest <= plan.at_most


@pytest.mark.parametrize(("count", "free"), [(2, False), (3, True), (4, True)])
def test_no_plan_exceeds_what_is_said_to_be_the_most(count: int, free: bool) -> None:
    """Against every way to make rows of five works, in the order given or in every order."""
    rng = random.Random(17)
    for _ in range(4):
        surface, items = wall(rng), row(rng, 5)
        task = Task(surface, (items,), Spaces("equal"), Lines("centre", 1450, None, 20), count, free)
        plan = solve(task)
        if isinstance(plan, Misfit):
            continue
        best = -1
        for order in itertools.permutations(items) if free else [items]:
            for cuts in itertools.combinations(range(1, 5), count - 1):
                rows = tuple(tuple(order[a:b]) for a, b in itertools.pairwise((0, *cuts, 5)))
                one = solve(Task(surface, rows, Spaces("equal"), task.lines, count, False, True))
                best = max(best, one.narrowest if isinstance(one, Plan) else -1)
        assert plan.narrowest <= best <= plan.at_most
        assert not plan.proven or plan.narrowest == best
