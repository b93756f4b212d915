"""The light formulas at their edges: the last number that is accepted and the next one that is not, and figures worked out by hand."""

import math
import warnings

import pytest

from hangworthy_light import formulas

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # it warns of optional parts that are not installed, which this suite makes errors
    import colour

GREY = (50.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("call", "edge", "beyond", "said"),
    [
        (lambda lightness: formulas.colour_difference((lightness, 0.0, 0.0), GREY), 0.0, -0.1, "L"),
        (lambda lightness: formulas.colour_difference((lightness, 0.0, 0.0), GREY), 100.0, 100.1, "L"),
        (lambda a: formulas.colour_difference((50.0, a, 0.0), GREY), 200.0, 201.0, "a"),
        (lambda a: formulas.colour_difference((50.0, a, 0.0), GREY), -200.0, -201.0, "a"),
        (lambda b: formulas.colour_difference((50.0, 0.0, b), GREY), 200.0, 201.0, "b"),
        (lambda b: formulas.colour_difference(GREY, (50.0, 0.0, b)), -200.0, -201.0, "b"),
        (lambda lx: formulas.dose(lx, 1.0, 1.0), 1e6, 1.01e6, "illuminance_lx"),
        (lambda hours: formulas.dose(1.0, hours, 1.0), 24.0, 24.1, "hours_a_day"),
        (lambda days: formulas.dose(1.0, 1.0, days), 1e6, 1.01e6, "days"),
        (lambda rating: formulas.fade_dose(rating), 1.0, 0.95, "rating"),
        (lambda rating: formulas.fade_dose(rating), 8.0, 8.1, "rating"),
        (lambda rating: formulas.step_ratio(rating), 7.0, 7.1, "rating"),
        (lambda share: formulas.fade_dose(4.0, share), 1.0, 1.05, "uv_share"),
        (lambda rating: formulas.responsivity_from_rating(rating), 1.0, 0.95, "rating"),
        (lambda rating: formulas.responsivity_from_rating(rating), 8.0, 8.1, "rating"),
        (lambda nm: formulas.damage_at(nm), 300.0, 299.0, "wavelength_nm"),
        (lambda nm: formulas.damage_at(nm), 780.0, 781.0, "wavelength_nm"),
    ],
)
def test_the_edge_is_accepted_and_the_next_number_refused(call, edge: float, beyond: float, said: str) -> None:
    assert math.isfinite(call(edge))
    with pytest.raises(ValueError, match=said):
        call(beyond)


def of_hue(chroma: float, hue: float) -> tuple[float, float, float]:
    return 50.0, chroma * math.cos(math.radians(hue)), chroma * math.sin(math.radians(hue))


# Nearly opposite hues: their mean lies in the blues, where the sign of the way between them counts, or just beside 0 or 360 degrees.
@pytest.mark.parametrize("hues", [(190, 359), (350, 179), (190, 0), (0, 190), (359, 192), (280, 82), (82, 280), (270, 80), (265, 75)])
def test_nearly_opposite_hues_are_those_of_another_library(hues: tuple[float, float]) -> None:
    one, other = of_hue(20.0, hues[0]), of_hue(60.0, hues[1])
    assert formulas.colour_difference(one, other) == pytest.approx(colour.delta_E(one, other, method="CIE 2000"), abs=1e-8)


@pytest.mark.parametrize(
    ("difference", "step"), [(0.4, 4.75), (1.25, 4.25), (1.7, 4.0), (2.1, 3.75), (2.95, 3.25), (11.6, 1.25), (14.0, 1.0), (100.0, 1.0)]
)
def test_between_two_printed_steps_of_the_grey_scale(difference: float, step: float) -> None:
    """In proportion, by hand: half way from 9.6 (1.5) to 13.6 (1) is 11.6 (1.25); beyond the last it stays the last."""
    assert formulas.grey_scale_step(difference) == pytest.approx(step, abs=1e-9)


@pytest.mark.parametrize(("rating", "responsivity"), [(3.9, 3), (4.0, 2), (6.9, 2), (7.0, 1)])
def test_a_step_between_two_counts_as_the_lower(rating: float, responsivity: int) -> None:
    assert formulas.responsivity_from_rating(rating) == responsivity


@pytest.mark.parametrize(
    ("rating", "uv", "ratio"), [(1, 0, 1.0 / 0.3), (3, 0, 10 / 3), (7, 0, 11 / 3), (1, 1, 0.6 / 0.22), (4, 1, 8 / 3.5), (7, 1, 120 / 50)]
)
def test_the_ratio_of_two_steps_is_that_of_the_printed_doses(rating: float, uv: float, ratio: float) -> None:
    assert formulas.step_ratio(rating, uv) == pytest.approx(ratio)


def test_damage_by_the_slope_that_is_taken_where_none_is_given() -> None:
    """0.0115 per nm: exp(-1.15) at 400 nm, exp(-2.875) at 550 nm."""
    assert formulas.damage_at(400) == pytest.approx(0.316637, abs=1e-6)
    assert formulas.damage_at(550) == pytest.approx(0.056416, abs=1e-6)


def test_no_end_in_sight_is_a_million_days() -> None:
    assert formulas.days_until(1.0, 0.0) == 1_000_000
    assert formulas.days_until(1e6, 1.0) == 1_000_000
    assert formulas.days_until(999_999.0, 1.0) == 999_999
    assert formulas.days_until(1.02e6, 1.0) == 1_000_000
