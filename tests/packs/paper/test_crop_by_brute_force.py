"""The best crop, tried against every crop there is on a grid of half millimetres, written without a thought for speed."""

from itertools import product
from typing import NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hangworthy.contract import StockFrame
from hangworthy_paper.formulas import crop_split, crop_window, image_lost, iso_size
from hangworthy_paper.limits import PaperLimits
from hangworthy_paper.stock import NOTHING, anything, best, fine, fit, measure, nearest, openings, rooms

LIMITS = PaperLimits()
GRID = 2  # half millimetres: where all lengths are whole millimetres, the best crop lies on this grid

length = st.integers(1, 60)
most = st.tuples(*[st.integers(0, 8)] * 4)


def halves(largest: int) -> list[float]:
    return [step / GRID for step in range(largest * GRID + 1)]


def splits(side: int, opening: int, first: int, second: int) -> list[tuple[float, float]]:
    """Every way to take from two sides so that the rest goes in and something is left."""
    return [(a, b) for a, b in product(halves(first), halves(second)) if side - a - b <= opening and a + b < side]


@given(length, length, st.integers(0, 9), st.integers(0, 9))
def test_the_share_of_two_sides(side: int, opening: int, first: int, second: int) -> None:
    every = splits(side, opening, first, second)
    excess = max(0, side - opening)
    if first + second < excess:
        assert every == []
        with pytest.raises(ValueError, match="should go"):
            crop_split(excess, first, second)
        return
    wanted = min(every, key=lambda one: (sum(one), abs(one[0] - one[1])))
    ties = [one for one in every if (sum(one), abs(one[0] - one[1])) == (sum(wanted), abs(wanted[0] - wanted[1]))]
    assert ties == [crop_split(excess, first, second)]


@settings(max_examples=60, deadline=None)
@given(st.integers(4, 30), st.integers(4, 30), st.integers(4, 30), st.integers(4, 30), st.tuples(*[st.integers(0, 4)] * 4))
def test_the_window_of_one_frame(width: int, height: int, inner_width: int, inner_height: int, may: tuple[int, ...]) -> None:
    """Over all four sides at once: least area lost first, then the smallest distance from the middle."""
    top, right, bottom, left = may
    across, down = splits(width, inner_width, left, right), splits(height, inner_height, top, bottom)
    every = [(t, r, b, le) for (le, r), (t, b) in product(across, down)]
    if not every:
        with pytest.raises(ValueError, match="should go"):
            crop_window(width, height, inner_width, inner_height, may)
        return

    def cost(crop: tuple[float, float, float, float]) -> tuple[float, float]:
        t, r, b, le = crop
        return width * height - (width - r - le) * (height - t - b), abs(t - b) + abs(r - le)

    found = crop_window(width, height, inner_width, inner_height, may)
    assert cost(found) == min(map(cost, every))
    assert found in every


class Tried(NamedTuple):
    lost: float
    off: float


def brute(frames: list[StockFrame], width: int, height: int, may: tuple[int, int, int, int]) -> Tried | None:
    """The best over every frame, upright and turned, and every crop on the grid; sheets that are smaller go behind a mat."""
    top, right, bottom, left = may
    tried: list[Tried] = []
    for frame in frames:
        for inner in {(frame.width_mm, frame.height_mm), (frame.height_mm, frame.width_mm)}:
            for t, r, b, le in product(halves(top), halves(right), halves(bottom), halves(left)):
                rest = (width - r - le, height - t - b)
                if 0 < rest[0] <= inner[0] and 0 < rest[1] <= inner[1]:
                    tried.append(Tried(width * height - rest[0] * rest[1], abs(r - le) + abs(t - b)))
    return min(tried, default=None)


frame = st.builds(
    lambda width, height, name: StockFrame(name=name, width_mm=width, height_mm=height),
    st.integers(8, 24).map(float), st.integers(8, 24).map(float), st.sampled_from("ab"),
)  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(
    st.lists(frame, min_size=1, max_size=3), st.integers(6, 28), st.integers(6, 28),
    st.tuples(st.integers(0, 3), st.integers(0, 3), st.integers(0, 3), st.integers(0, 3)),
)  # fmt: skip
def test_the_best_of_a_stock(frames: list[StockFrame], width: int, height: int, may: tuple[int, int, int, int]) -> None:
    """These sizes are none of the standard's, so there is no tolerance."""
    sheet = (float(width), float(height))
    ways = openings(LIMITS, tuple(frames))
    found = best(LIMITS, ways, sheet, may)
    wanted = brute(frames, width, height, may)
    assert (found is None) == (wanted is None)
    margin = nearest(ways, sheet, may).margin
    assert (margin >= 0) == (found is not None)
    if found is None or wanted is None:
        return
    top, right, bottom, left = found.crop
    assert Tried(width * height - found.shown[0] * found.shown[1], abs(right - left) + abs(top - bottom)) == wanted
    assert all(0 <= gone <= limit for gone, limit in zip(found.crop, may, strict=True))
    assert found.lost == pytest.approx(wanted.lost / (width * height) * 100, abs=1e-9)


@given(st.sampled_from("AB"), st.integers(0, 7), st.integers(-8, 8), st.integers(-8, 8), st.booleans())
def test_a_nominal_sheet_fits_its_own_frame_within_the_tolerance(series: str, number: int, more: int, taller: int, turned: bool) -> None:
    """The standard's three steps, written out."""
    width, height = iso_size(series, number)
    stock = (StockFrame(name="own", width_mm=height if turned else width, height_mm=width if turned else height),)
    sheet = (width + more / 2, height + taller / 2)
    allowed = [1.5 if side <= 150 else 2 if side <= 600 else 3 for side in (width, height)]
    found = best(LIMITS, openings(LIMITS, stock), sheet, NOTHING)
    upright = more / 2 <= allowed[0] and taller / 2 <= allowed[1]
    crosswise = sheet[0] <= height + allowed[1] and sheet[1] <= width + allowed[0]
    assert (found is not None) == (upright or crosswise)


side = st.floats(5, 2500) | st.integers(5, 2500).map(float)
crops = st.tuples(*[st.floats(0, 300)] * 4)
stock_frame = st.builds(
    lambda width, height, window: StockFrame(
        name="one", width_mm=width, height_mm=height,
        window_width_mm=width * window if window else None, window_height_mm=height * window if window else None,
    ),
    side, side, st.none() | st.floats(0.1, 1),
)  # fmt: skip


@settings(max_examples=300)
@given(stock_frame, side, side, crops)
def test_a_fit_keeps_what_it_says(one: StockFrame, width: float, height: float, may: tuple[float, float, float, float]) -> None:
    sheet = fine((width, height))
    for way in openings(LIMITS, (one,)):
        found = fit(LIMITS, way, sheet, may)
        margin = measure(way, sheet, rooms(may)).margin
        assert (found is not None) == (margin >= -0.0005)
        if found is None:
            continue
        top, right, bottom, left = found.crop
        assert all(0 <= gone <= limit + 0.0006 for gone, limit in zip(found.crop, may, strict=True))
        assert found.lost == pytest.approx(image_lost(*sheet, found.crop))
        for rest, nominal, free in zip((sheet[0] - left - right, sheet[1] - top - bottom), way.nominal, way.free, strict=True):
            assert rest <= nominal + free + 1e-6


@settings(max_examples=200)
@given(st.lists(stock_frame, max_size=4), side, side, crops, crops)
def test_more_consent_never_costs_a_frame(frames: list[StockFrame], width: float, height: float, may: tuple, more: tuple) -> None:
    ways = openings(LIMITS, tuple(frames))
    sheet = fine((width, height))
    wider = tuple(a + b for a, b in zip(may, more, strict=True))
    first, second = best(LIMITS, ways, sheet, may), best(LIMITS, ways, sheet, wider)
    if first is not None:
        assert second is not None
        assert second.lost <= first.lost + 1e-6
    whole = best(LIMITS, ways, sheet, NOTHING)
    if whole is not None:
        assert first is not None
        assert not any(first.crop)
    everything = best(LIMITS, ways, sheet, anything(sheet))
    assert everything is not None or first is None
