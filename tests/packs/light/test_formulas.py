"""The light formulas: what must hold for any numbers, and a colour difference held against another library."""

import math
import warnings

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from hangworthy_light import formulas

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # it warns of optional parts that are not installed, which this suite makes errors
    import colour

lab = st.tuples(st.floats(0, 100), st.floats(-128, 128), st.floats(-128, 128))
rating = st.floats(1.0, 8.0)
share = st.floats(0.0, 1.0)


@given(lab, lab)
@example((50.0, 0.0, 0.0), (50.0, 0.0, 0.0))
@example((50.0, 2.5, 0.0), (50.0, -2.5, 0.0))
def test_colour_difference_is_that_of_another_library(one: tuple[float, ...], other: tuple[float, ...]) -> None:
    # Opposite hues meet at 180°, where the mean hue jumps and the last bit decides: both answers are right there.
    hues = [math.degrees(math.atan2(colour_[2], colour_[1])) for colour_ in (one, other)]
    assume(abs(abs(hues[0] - hues[1]) - 180) > 3 or (hues[0] == 0 and one[1] == 2.5))
    assert formulas.colour_difference(one, other) == pytest.approx(colour.delta_E(one, other, method="CIE 2000"), abs=1e-8)


@given(lab, lab)
def test_colour_difference_is_a_distance_of_sorts(one: tuple[float, ...], other: tuple[float, ...]) -> None:
    found = formulas.colour_difference(one, other)
    assert 0 <= found < 250
    assert formulas.colour_difference(other, one) == pytest.approx(found, abs=1e-6)
    assert formulas.colour_difference(one, one) == pytest.approx(0, abs=1e-9)


@given(rating, rating, share)
def test_a_higher_step_lasts_longer_and_ultraviolet_never_helps(one: float, other: float, uv: float) -> None:
    low, high = sorted((one, other))
    assert formulas.fade_dose(low, uv) <= formulas.fade_dose(high, uv) * (1 + 1e-12)
    assert formulas.fade_dose(low, 1.0) <= formulas.fade_dose(low, uv) * (1 + 1e-12) <= formulas.fade_dose(low, 0.0) * (1 + 1e-9)
    assert formulas.uv_filter_gain(low) > 1


@given(rating, share, st.floats(1.0, 1e7))
def test_years_are_the_dose_over_the_dose_of_a_year(step: float, uv: float, year: float) -> None:
    assert formulas.fade_years(year, step, uv) * year == pytest.approx(formulas.fade_dose(step, uv))


def test_half_way_between_two_steps_is_their_geometric_mean() -> None:
    assert formulas.fade_dose(5.5) == pytest.approx(math.sqrt(30e6 * 100e6))
    assert formulas.fade_dose(1.5, 1.0) == pytest.approx(math.sqrt(0.22e6 * 0.6e6))


def test_every_step_between_two_blue_wools_is_a_factor_of_two_to_four() -> None:
    for step in range(1, 8):
        for uv in (0.0, 1.0):
            assert 2 <= formulas.step_ratio(step, uv) <= 3.7, (step, uv)


@given(st.floats(0, 1e5), st.floats(0, 24), st.floats(0, 1000), st.floats(0, 1000))
def test_doses_add(lx: float, hours: float, days: float, more: float) -> None:
    assert formulas.dose(lx, hours, days) + formulas.dose(lx, hours, more) == pytest.approx(formulas.dose(lx, hours, days + more))
    assert formulas.sun_dose(hours, days) == pytest.approx(formulas.dose(80_000, hours, days))


@given(st.floats(-1e6, 1e9, allow_subnormal=False), st.floats(0, 1e7))  # a subnormal has too few digits left to multiply back
def test_a_budget_lasts_until_it_is_spent(budget: float, a_day: float) -> None:
    days = formulas.days_until(budget, a_day, 3650)
    assert 0 <= days <= 3650
    assert days * a_day <= max(0.0, budget) * (1 + 1e-9) or days == 3650
    if budget > 0 and days < 3650:
        assert days * a_day == pytest.approx(budget)


@given(st.floats(300, 780), st.floats(300, 780))
def test_short_waves_do_more(one: float, other: float) -> None:
    short, long = sorted((one, other))
    assert formulas.damage_ratio(short, long) >= 1
    assert formulas.damage_at(300) == 1


@given(st.floats(0, 200), st.floats(0, 200))
def test_the_grey_scale_falls_as_the_colour_moves(one: float, other: float) -> None:
    small, large = sorted((one, other))
    assert 1 <= formulas.grey_scale_step(large) <= formulas.grey_scale_step(small) <= 5


def test_the_classes_in_order() -> None:
    assert [formulas.yearly_limit(one) for one in (1, 2, 3)] == sorted((formulas.yearly_limit(one) for one in (1, 2, 3)), reverse=True)
    for responsivity in (1, 2, 3):
        assert formulas.responsivity_from_rating(formulas.first_to_fade(responsivity)) == responsivity
        assert formulas.illuminance_limit(responsivity) in (50, 200)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: formulas.dose(-1, 1, 1), "illuminance_lx"),
        (lambda: formulas.dose(1, 25, 1), "hours_a_day"),
        (lambda: formulas.dose(1, 1, -1), "days"),
        (lambda: formulas.dose(math.nan, 1, 1), "illuminance_lx"),
        (lambda: formulas.days_until(1, -1), "dose_a_day"),
        (lambda: formulas.hours_until(0, 50), "budget"),
        (lambda: formulas.hours_until(50, 0), "illuminance_lx"),
        (lambda: formulas.fade_dose(0.5), "rating"),
        (lambda: formulas.fade_dose(4, 1.5), "uv_share"),
        (lambda: formulas.fade_years(0, 4), "dose_a_year"),
        (lambda: formulas.uv_share(-1, 400), "uv_uw_lm"),
        (lambda: formulas.uv_share(1, 0), "rich_uw_lm"),
        (lambda: formulas.responsivity_from_rating(9), "rating"),
        (lambda: formulas.yearly_limit(0), "no limit"),
        (lambda: formulas.illuminance_limit(4), "responsivity"),
        (lambda: formulas.damage_at(200), "wavelength_nm"),
        (lambda: formulas.damage_at(400, 0), "slope_per_nm"),
        (lambda: formulas.colour_difference((101, 0, 0), (50, 0, 0)), "L"),
        (lambda: formulas.colour_difference((50, 0, 0), (50, 300, 0)), "a"),
        (lambda: formulas.grey_scale_step(-1), "difference"),
        (lambda: formulas.fade_difference(-1, 1), "dose_lx_h"),
        (lambda: formulas.fade_difference(1, 0), "fade_dose"),
    ],
)
def test_numbers_out_of_range_are_refused_by_name(call, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        call()


def test_ultraviolet_beyond_rich_is_rich() -> None:
    assert [formulas.uv_share(one, 400) for one in (0, 100, 400, 900)] == [0, 0.25, 1, 1]
