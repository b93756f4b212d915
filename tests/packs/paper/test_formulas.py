"""What must hold of the paper formulas for any numbers."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hangworthy_paper import formulas

size = st.floats(20.0, 3000.0)
numbers = st.integers(0, 9)


@given(st.sampled_from("ABC"), numbers)
def test_half_a_sheet_is_the_next_one(series: str, number: int) -> None:
    """Folded in half, rounded down, the long side becomes the next short one: ISO 216's own principle, to a millimetre."""
    short, long = formulas.iso_size(series, number)
    next_short, next_long = formulas.iso_size(series, number + 1)
    assert next_long == short
    assert 0 <= long / 2 - next_short < 1
    assert long / short == pytest.approx(math.sqrt(2), abs=1.2 / short)


def test_a0_is_a_square_metre_and_b0_a_metre_wide() -> None:
    width, height = formulas.iso_size("A", 0)
    assert width * height / 1e6 == pytest.approx(1, abs=0.001)
    assert formulas.iso_size("B", 0)[0] == 1000


@given(st.sampled_from("AB"), st.integers(0, 10), st.floats(-5, 5), st.booleans())
def test_a_sheet_is_of_the_series_within_the_tolerance_and_not_beyond(series: str, number: int, off: float, turned: bool) -> None:
    short, long = formulas.iso_size(series, number)
    sheet = (short + off, long)
    near = abs(off) <= formulas.trimmed_tolerance(short)
    measured = formulas.is_trimmed_size(*(reversed(sheet) if turned else sheet))
    # Beside its own size a small sheet may by chance be within the tolerance of no other: sizes differ by far more.
    assert measured == near


@given(st.floats(0.02, 5), st.floats(20, 1000))
def test_the_core_that_bends_so_much_is_the_core(thickness: float, diameter: float) -> None:
    strain = formulas.bending_strain(thickness, diameter)
    assert 0 < strain < 100
    assert formulas.least_core(thickness, strain) == pytest.approx(diameter, rel=1e-9)
    assert formulas.bending_strain(thickness, diameter + 1) < strain


@given(size, size, st.floats(0.05, 1), st.floats(0.05, 1), st.floats(0, 1))
def test_borders_add_up_whatever_the_weight(width: float, height: float, across: float, down: float, part: float) -> None:
    window = (width * across, height * down)
    weight = (height - window[1]) * part
    top, right, bottom, left = formulas.mat_borders(width, height, *window, weight)
    assert min(top, right, bottom, left) >= 0
    assert top + window[1] + bottom == pytest.approx(height)
    assert left + window[0] + right == pytest.approx(width)
    assert left == right
    assert bottom - top == pytest.approx(weight, abs=1e-9)


@given(size, size, st.floats(0, 9))
def test_a_window_laps_by_the_same_on_all_sides(width: float, height: float, lap: float) -> None:
    inner = formulas.window_opening(width, height, lap)
    assert (width - inner[0]) / 2 == pytest.approx(lap, abs=1e-9)
    assert (height - inner[1]) / 2 == pytest.approx(lap, abs=1e-9)


@given(size, size, st.sampled_from(["museum", "retail-inches", "retail-cm"]))
def test_the_smallest_frame_holds_the_sheet_and_no_smaller_one_does(width: float, height: float, series: str) -> None:
    found = formulas.smallest_frame(width, height, series)
    assert found == formulas.smallest_frame(height, width, series)
    if found:
        assert min(width, height) <= found[0] <= found[1]
        assert max(width, height) <= found[1]
        assert formulas.smallest_frame(*found, series) == found
    else:
        assert max(width, height) > 700 or min(width, height) > 600


@given(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6))
def test_differences_are_exact_to_the_micrometre(one: float, other: float) -> None:
    assert formulas.exact_difference(one, other) == pytest.approx(one - other, abs=0.0011)
    assert formulas.exact_difference(one, one) == 0
    assert formulas.exact_difference(one, other) == -formulas.exact_difference(other, one)


@given(st.floats(25, 2000))
def test_heavier_paper_needs_no_less_tear(grammage: float) -> None:
    assert 80 <= formulas.least_tear(grammage) <= formulas.least_tear(grammage + 1) <= 350


@given(st.lists(st.floats(0, 50), min_size=1, max_size=8))
def test_a_stack_is_as_deep_whichever_way_round(layers: list[float]) -> None:
    assert formulas.depth_stack(layers) == formulas.depth_stack(layers[::-1])
    assert formulas.depth_stack(layers) >= max(layers)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: formulas.iso_size("D", 4), "A, B or C"),
        (lambda: formulas.iso_size("A", 11), "between 0 and 10"),
        (lambda: formulas.trimmed_tolerance(0), "above 0"),
        (lambda: formulas.named_size("A4"), "RA0"),
        (lambda: formulas.smallest_frame(100, 100, "mine"), "museum"),
        (lambda: formulas.smallest_frame(0, 100, "museum"), "above 0"),
        (lambda: formulas.micrometres(math.inf), "between"),
        (lambda: formulas.crop_split(-1, 2, 2), "negative"),
        (lambda: formulas.crop_split(5, 2, 2), "4 mm only"),
        (lambda: formulas.crop_window(100, 100, 50, 50, (1, 2, 3)), "four"),
        (lambda: formulas.crop_window(0, 100, 50, 50, (1, 2, 3, 4)), "above 0"),
        (lambda: formulas.image_lost(100, 100, (0, 50, 0, 50)), "leave some"),
        (lambda: formulas.image_lost(100, 100, (-1, 0, 0, 0)), "negative"),
        (lambda: formulas.bending_strain(1, 0), "above 0"),
        (lambda: formulas.least_core(1, 0), "between"),
        (lambda: formulas.mat_borders(100, 100, 101, 50), "larger"),
        (lambda: formulas.mat_borders(100, 100, 50, 50, 51), "between"),
        (lambda: formulas.window_opening(10, 10, 5), "between"),
        (lambda: formulas.largest_contents(10, 11), "between"),
        (lambda: formulas.depth_stack(()), "at least one"),
        (lambda: formulas.depth_stack((1, -1)), "negative"),
        (lambda: formulas.least_tear(20), "between"),
        (lambda: formulas.permanent_paper(8, 20, 1, 400, 20), "between"),
    ],
)
def test_refusals_are_gentle(call, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        call()
