"""One row against brute force: every place of every work in every order, on walls small enough to try them all."""

import itertools
import random
from collections.abc import Iterator, Sequence

import pytest

from hangworthy.plans.wall.check import violations
from hangworthy.plans.wall.model import Band, Item, Obstacle, Placed, Spaces, Surface
from hangworthy.plans.wall.rows import best_row

SMALL = 250


def small(seed: int) -> tuple[Surface, list[Band], int]:
    rng = random.Random(seed)
    wall = rng.randint(14, 26)
    count = rng.randint(1, 3)
    obstacles = tuple(
        Obstacle(f"o{place}", rng.randint(0, wall - 3), rng.choice([0, 5]), rng.randint(1, 5), rng.choice([4, 8]), rng.randint(0, 2))
        for place in range(rng.randint(0, 2))
    )
    obstacles = tuple(one for one in obstacles if one.right <= wall)
    bands = [Band(Item(f"w{place}", rng.randint(1, 5), rng.choice([2, 4])), rng.choice([3, 9])) for place in range(count)]
    return Surface(wall, 20, obstacles, rng.randint(0, 2)), bands, rng.randint(0, 2)


def pieces_cut(surface: Surface, bands: Sequence[Band], lefts: Sequence[int]) -> tuple[list[int], list[int]]:
    """Read off the wall, from its left edge: pieces that end at works, and pieces of bare wall beyond them, by what one sees there.

    A piece ends at the next work, at the wall's end, or at an obstacle that is in the way of the work beside it.
    """
    raise AssertionError("not used")


def ways(surface: Surface, bands: Sequence[Band], spaces: Spaces) -> Iterator[tuple[int, ...]]:
    """Yield the left edges of every plan in this order that the checker lets through."""
    for lefts in itertools.product(*(range(surface.width - one.item.width + 1) for one in bands)):
        if all(a + band.item.width <= b for a, band, b in zip(lefts, bands, lefts[1:], strict=False)):
            placed = [Placed(band.item, left, band.bottom) for band, left in zip(bands, lefts, strict=True)]
            tall = Surface(surface.width, 10_000, surface.obstacles, surface.end)
            if not violations(tall, [one.item for one in bands], placed, spaces):
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
        every = [(narrowest(surface, order, lefts, spacing), lefts) for order in orders for lefts in ways(surface, order, spaces)]
        found = best_row(surface, bands, spaces, free=free)
        assert (found is None) == (not every), seed
        if found is None:
            continue
        fitted += 1
        assert found.proven, seed
        placed = [Placed(band.item, left, band.bottom) for band, left in zip(found.bands, found.lefts, strict=True)]
        tall = Surface(surface.width, 10_000, surface.obstacles, surface.end)
        assert violations(tall, [one.item for one in bands], placed, spaces) == [], seed
        if spacing != "gap" and len(bands) > (spacing == "spread"):
            assert narrowest(surface, found.bands, found.lefts, spacing) == max(one for one, _ in every), seed
    assert fitted > SMALL // 3
