"""The paper formulas at the edges of what they accept and of what the standards name."""

from collections.abc import Callable

import pytest

from hangworthy_paper import formulas

EDGES: list[tuple[str, Callable[[float], float], float, float, float]] = [
    # which, formula of the number, the last that is accepted, what it gives there by hand, the first that is refused
    ("1000 km", formulas.micrometres, 1e9, 1e12, 1.001e9),
    ("1000 km short", formulas.micrometres, -1e9, -1e12, -1.001e9),
    ("a slit of a window", lambda one: formulas.window_opening(10.0, 20.0, one)[0], 4.99, 0.02, 5.0),
    ("the lightest paper", formulas.least_tear, 25.0, 80.0, 24.9),  # 6 × 25 - 70
    ("the heaviest board", formulas.least_tear, 10_000.0, 350.0, 10_001.0),
    ("strained to nothing", lambda one: formulas.least_core(0.5, one), 1e-6, 49_999_999.5, 0.99e-6),  # 0.5 / 1e-8 - 0.5
    ("strained to a whole", lambda one: formulas.least_core(0.5, one), 100.0, 0.0, 100.1),
]


@pytest.mark.parametrize(("formula", "last", "gives", "first"), [edge[1:] for edge in EDGES], ids=[edge[0] for edge in EDGES])
def test_the_edge_is_accepted_and_what_lies_beyond_is_refused(
    formula: Callable[[float], float], last: float, gives: float, first: float
) -> None:
    assert formula(last) == pytest.approx(gives, rel=1e-9, abs=1e-12)
    with pytest.raises(ValueError, match="should lie between"):
        formula(first)


@pytest.mark.parametrize(("grammage", "tear"), [(64, 314), (69, 344), (70, 350), (71, 350), (76, 350)])
def test_tear_rises_up_to_70_grams_and_no_further(grammage: float, tear: float) -> None:
    """6 × 64 - 70 = 314 and 6 × 69 - 70 = 344; from 70 g/m² on 350 mN (ISO 9706:1994)."""
    assert formulas.least_tear(grammage) == tear


def test_paper_that_is_too_alkaline_is_not_permanent() -> None:
    assert formulas.permanent_paper(10.1, 20, 4.9, 350, 80) == (False, True, True, True)


@pytest.mark.parametrize("sheet", [(841, 1189), (26, 37), (1000, 1414), (31, 44)])
def test_the_largest_and_the_smallest_sheets_are_of_the_series(sheet: tuple[int, int]) -> None:
    """A0, A10, B0 and B10 as ISO 216 prints them."""
    assert formulas.is_trimmed_size(*sheet)
    assert formulas.frame_tolerance(*sheet) != (0.0, 0.0)


def test_the_envelopes_that_no_row_holds() -> None:
    """C8 to C10 of ISO 269, from memory."""
    assert [formulas.iso_size("C", number) for number in (8, 9, 10)] == [(57, 81), (40, 57), (28, 40)]
