"""What must hold of the glazing formulas for any numbers, and what they refuse."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hangworthy_glazing import formulas
from hangworthy_glazing.formulas.safety import PIECES

side = st.floats(10.0, 20_000.0)
humidity = st.floats(0.0, 100.0)


def test_a_class_is_read_as_people_write_it() -> None:
    assert formulas.parse_classification("1(B)1") == (1, "B", 1)
    assert formulas.parse_classification(" 2 ( b ) 2 ") == (2, "B", 2)
    assert formulas.parse_classification("3(C)3") == (3, "C", 3)
    assert formulas.parse_classification("3(B)0").whole_class == 0


@pytest.mark.parametrize("text", ["", "B", "4(B)1", "1(D)1", "1(B)4", "1B1", "1(B)11", "1[B]1", "1(B", "(1)B(1)", "٣(B)1"])
def test_what_is_no_class_is_refused_gently(text: str) -> None:
    with pytest.raises(ValueError, match="looks like 1"):
        formulas.parse_classification(text)


@given(st.text(max_size=30))
def test_any_text_is_a_class_or_refused(text: str) -> None:
    try:
        found = formulas.parse_classification(text)
    except ValueError:
        return
    assert found.mode in PIECES
    assert formulas.drop_height(found.drop_class) in (190, 450, 1200)


def test_modes_of_breakage() -> None:
    modes = {material: formulas.breakage_mode(material, False) for material in ("float-glass", "toughened-glass", "laminated-glass")}
    assert modes == {"float-glass": "A", "toughened-glass": "C", "laminated-glass": "B"}
    assert [formulas.breakage_mode(material, True) for material in modes] == ["B", "B", "B"]
    assert formulas.breakage_mode("acrylic", True) == formulas.breakage_mode("polycarbonate", False) == ""


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: formulas.breakage_mode("sugar", False), "sugar"),
        (lambda: formulas.pane_property("sugar", "poisson"), "sugar"),
        (lambda: formulas.pane_property("acrylic", "strength_mpa"), "strength_mpa"),
        (lambda: formulas.drop_height(4), "1, 2 or 3"),
        (lambda: formulas.drop_energy(-1), "height_mm"),
        (lambda: formulas.thermal_growth(1000, 101, 7e-5), "warming_k"),
        (lambda: formulas.moisture_strain(101), "rh_percent"),
        (lambda: formulas.moisture_growth(0, 40, 60), "length_mm"),
        (lambda: formulas.bow_curvature(0.06, 3), "strain"),
        (lambda: formulas.loose_bow(1e-3, 900, 900), "angle"),
        (lambda: formulas.held_bow(1e-3, 900, 900, 0.3), "angle"),
        (lambda: formulas.held_bow(1e-4, 900, 900, 0.6), "poisson"),
        (lambda: formulas.surface_reflectance(0.5), "refractive_index"),
        (lambda: formulas.coated_reflectance(1.5, math.nan), "coating_index"),
        (lambda: formulas.pane_reflectance(1.1), "surface"),
    ],
)
def test_what_makes_no_sense_is_refused(call, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        call()


@given(humidity, humidity)
def test_acrylic_grows_with_damp_and_the_printed_curve_bends_upwards(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert 0.0 <= formulas.moisture_strain(low) <= formulas.moisture_strain(high) <= 0.006
    middle = formulas.moisture_strain((low + high) / 2)
    assert middle <= (formulas.moisture_strain(low) + formulas.moisture_strain(high)) / 2 + 1e-15


@given(st.floats(20.0, 60.0), st.floats(60.0, 100.0))
def test_the_line_below_60_percent_gives_the_largest_movement_that_the_table_allows(dry: float, damp: float) -> None:
    """Any curve that bends upwards through the printed points lies between this line and the chord to dry."""
    chord = 0.002 * dry / 60.0
    assert formulas.moisture_growth(1000.0, dry, damp) >= 1000.0 * (formulas.moisture_strain(damp) - chord) - 1e-12


@given(side, st.floats(0.0, 60.0), humidity, humidity)
def test_growth_is_never_less_than_nothing_and_acrylic_needs_more_than_glass(
    length: float, warming: float, dry: float, damp: float
) -> None:
    acrylic = formulas.pane_growth(length, 7e-5, warming, dry, damp, True)
    glass = formulas.pane_growth(length, 9e-6, warming, dry, damp, False)
    assert acrylic >= 0.0 <= glass
    assert damp < dry or acrylic >= glass


@given(side, side, st.floats(1e-9, 1e-3), st.floats(0.0, 0.5))
def test_a_held_sheet_bows_less_than_a_loose_one(width: float, height: float, curvature: float, poisson: float) -> None:
    if curvature * math.hypot(width, height) > 1.0:
        return
    held, loose = formulas.held_bow(curvature, width, height, poisson), formulas.loose_bow(curvature, width, height)
    assert 0.0 < held < loose
    assert held == formulas.held_bow(curvature, height, width, poisson)
    # A long sheet goes to (1 + ν) times the strip across it, and never beyond.
    assert held <= (1 + poisson) * formulas.bow_depth(curvature, min(width, height)) * (1 + 1e-12)


@given(st.floats(0.0, 1.0))
def test_a_pane_throws_back_what_the_series_adds_up_to(surface: float) -> None:
    passes = (1 - surface) ** 2 * surface
    total = surface + sum(passes * surface ** (2 * trip) for trip in range(2000))
    assert formulas.pane_reflectance(surface) == pytest.approx(total, abs=1e-3 if surface > 0.99 else 1e-9)
