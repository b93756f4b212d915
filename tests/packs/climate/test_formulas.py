"""The climate formulas: air held against another library over the whole range, and what must hold for any numbers."""

import math
import random

import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hangworthy_climate import formulas
from hangworthy_climate.formulas.series import LEAST_DAYS

psychrolib.SetUnitSystem(psychrolib.SI)

temp = st.floats(-20.0, 60.0)
rh = st.floats(1.0, 100.0)
any_rh = st.floats(0.0, 100.0)


@given(st.floats(-100.0, 200.0))
def test_saturation_pressure_is_that_of_another_library(temp_c: float) -> None:
    assert formulas.saturation_pressure(temp_c) == pytest.approx(psychrolib.GetSatVapPres(temp_c), rel=1e-12)


@given(temp, rh)
def test_dew_point_is_that_of_another_library(temp_c: float, rh_percent: float) -> None:
    # The other library's iteration stops within 0.001 K.
    assert formulas.dew_point(temp_c, rh_percent) == pytest.approx(psychrolib.GetTDewPointFromRelHum(temp_c, rh_percent / 100), abs=2e-3)


@given(st.floats(-20.0, 50.0), st.floats(-20.0, 50.0), rh)
def test_humidity_at_a_surface_is_that_of_another_library(surface_c: float, temp_c: float, rh_percent: float) -> None:
    vapour = psychrolib.GetVapPresFromRelHum(temp_c, rh_percent / 100)
    expected = min(100.0, 100 * psychrolib.GetRelHumFromVapPres(surface_c, min(vapour, psychrolib.GetSatVapPres(surface_c))))
    assert formulas.humidity_at(surface_c, temp_c, rh_percent) == pytest.approx(expected, abs=1e-9)


@given(temp, any_rh)
def test_the_dew_point_is_where_the_air_is_saturated(temp_c: float, rh_percent: float) -> None:
    dew = formulas.dew_point(temp_c, rh_percent)
    assert dew <= temp_c
    if rh_percent > 0.01 and not -0.01 < dew < 0.03:  # the sheets of ice and of water meet at the triple point, but for a last digit
        assert formulas.humidity_at(dew, temp_c, rh_percent) == pytest.approx(100, abs=1e-4)
        assert formulas.coldest_surface(temp_c, rh_percent, 100.0) == pytest.approx(dew, abs=1e-9)


@given(temp, rh, st.floats(-20.0, 60.0), st.floats(-20.0, 60.0))
def test_a_colder_surface_is_damper(temp_c: float, rh_percent: float, one: float, other: float) -> None:
    cold, warm = sorted((one, other))
    assert formulas.humidity_at(cold, temp_c, rh_percent) >= formulas.humidity_at(warm, temp_c, rh_percent) - 1e-9
    assert formulas.humidity_at(temp_c, temp_c, rh_percent) == pytest.approx(rh_percent)


@given(st.floats(0.0, 50.0), st.floats(5.0, 70.0), st.floats(71.0, 100.0))
def test_a_wall_kept_above_the_coldest_keeps_the_limit(temp_c: float, rh_percent: float, limit: float) -> None:
    coldest = formulas.coldest_surface(temp_c, rh_percent, limit)
    assert coldest < temp_c
    assert formulas.humidity_at(coldest + 0.01, temp_c, rh_percent) <= limit


@given(st.floats(10, 30), st.floats(-30, 9), st.floats(0, 1))
def test_the_temperature_factor_and_the_surface_are_one_relation(temp_c: float, outdoor_c: float, factor: float) -> None:
    surface = formulas.surface_temperature(temp_c, outdoor_c, factor)
    assert outdoor_c - 1e-9 <= surface <= temp_c + 1e-9
    assert formulas.temperature_factor(surface, temp_c, outdoor_c) == pytest.approx(factor, abs=1e-9)


@given(st.floats(0, 50), st.floats(0, 50), st.floats(0, 20), st.floats(5, 25), st.floats(0, 20), st.floats(0, 10))
def test_a_wider_year_never_gets_a_stricter_type(low: float, width: float, swing: float, cold: float, warmer: float, kelvin: float) -> None:
    kept = formulas.control_type(low, low + width, swing, cold, cold + warmer, kelvin)
    assert 0 <= kept <= 6
    assert formulas.control_type(low, low + width, swing + 1, cold, cold + warmer + 1, kelvin + 1) >= kept


def year(days: int, wave: float = 3.0, mean: float = 50.0, season: float = 0.0) -> list[float]:
    """A record: a daily wave about a mean that changes over the year."""
    hours = range(days * 24)
    return [mean + season * math.sin(math.tau * hour / 8760) + wave * math.sin(math.tau * hour / 24) for hour in hours]


def test_small_swings_are_accepted_as_ten_percent() -> None:
    band = formulas.target_band(year(400), 24)
    assert (band.down, band.up) == (10.0, 10.0)
    assert band.mean == pytest.approx(50, abs=0.01)


def test_wide_swings_are_taken_from_the_record() -> None:
    """The 93rd percentile of a sine of 20 is 20 sin(π (0.93 - 0.5)) = 19.52: its arcsine law by hand."""
    band = formulas.target_band(year(420, wave=20.0), 24)
    assert band.up == pytest.approx(20 * math.sin(math.pi * 0.43), abs=0.4)
    assert band.down == pytest.approx(band.up, abs=0.4)


def test_seasons_move_the_mean_and_not_the_band() -> None:
    band = formulas.target_band(year(760, wave=2.0, season=15.0), 24)
    assert (band.down, band.up) == (10.0, 10.0)
    assert (band.lowest_mean, band.highest_mean) == pytest.approx((35, 65), abs=0.5)


def test_a_short_record_is_refused() -> None:
    with pytest.raises(ValueError, match="log longer"):
        formulas.target_band([50.0] * (LEAST_DAYS - 1), 1)
    with pytest.raises(ValueError, match="log longer"):
        formulas.target_band([50.0] * 9000, 0)
    assert formulas.target_band([50.0] * LEAST_DAYS, 1).mean == 50
    with pytest.raises(ValueError, match="rh_percent"):
        formulas.target_band([50.0] * LEAST_DAYS + [101.0], 1)


@given(st.lists(st.floats(0, 100), min_size=1, max_size=60), st.floats(0, 1), st.floats(0, 1))
def test_percentiles_lie_in_the_record_and_in_order(values: list[float], one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert min(values) <= formulas.percentile(values, low) <= formulas.percentile(values, high) + 1e-9 <= max(values) + 2e-9


@given(st.lists(st.floats(0, 100), min_size=9, max_size=60), st.integers(0, 4))
def test_moving_means_are_means(values: list[float], half: int) -> None:
    means = formulas.central_means(values, half)
    assert len(means) == len(values) - 2 * half
    place = random.Random(len(values)).randrange(len(means))
    window = values[place : place + 2 * half + 1]
    assert means[place] == pytest.approx(sum(window) / len(window), abs=1e-9)


@given(st.floats(10, 3000), st.floats(0.001, 0.006), st.floats(0, 30), st.floats(1, 99), st.floats(1, 99))
def test_a_panel_swells_in_damper_air(width: float, coefficient: float, temp_c: float, before: float, after: float) -> None:
    moved = formulas.panel_movement(width, coefficient, temp_c, before, after)
    assert moved == 0 if before == after else moved * (after - before) >= 0
    assert abs(moved) < 0.25 * width
    sheet = formulas.sheet_movement(width, 0.1, before, after)
    assert sheet == pytest.approx(-formulas.sheet_movement(width, 0.1, after, before))


def test_the_two_relations_of_movement_meet_at_the_ends_of_the_first() -> None:
    """At 14 %MC, near 74 % RH, the coefficient gives way to the shrinkage that it implies, within five percent."""
    inside, outside = (formulas.panel_movement(1000, 0.0033, 21, 50, rh_percent) for rh_percent in (73.0, 75.0))
    assert outside / inside == pytest.approx(1.0 + (formulas.emc(21, 75) - formulas.emc(21, 73)) / (formulas.emc(21, 73) - 9.24), rel=0.05)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: formulas.saturation_pressure(-101), "temp_c"),
        (lambda: formulas.saturation_pressure(math.nan), "temp_c"),
        (lambda: formulas.vapour_pressure(20, 101), "rh_percent"),
        (lambda: formulas.saturated_at(0), "pressure_pa"),
        (lambda: formulas.dew_point(-30, 50), "temp_c"),
        (lambda: formulas.humidity_at(300, 20, 50), "temp_c"),
        (lambda: formulas.coldest_surface(20, 50, 0), "limit_percent"),
        (lambda: formulas.surface_temperature(20, 0, 1.1), "factor"),
        (lambda: formulas.temperature_factor(15, 20, 20), "cold day"),
        (lambda: formulas.control_type(60, 40, 1, 20, 22, 1), "rh_low_percent"),
        (lambda: formulas.control_type(40, 60, -1, 20, 22, 1), "rh_swing"),
        (lambda: formulas.control_type(40, 60, 1, 24, 22, 1), "temp_low_c"),
        (lambda: formulas.control_type(40, 60, 1, 20, 22, -1), "temp_swing"),
        (lambda: formulas.in_museum_band(120, 20), "rh_percent"),
        (lambda: formulas.percentile([], 0.5), "at least one"),
        (lambda: formulas.percentile([1], 2), "share"),
        (lambda: formulas.central_means([1, 2], 1), "window of 3"),
        (lambda: formulas.central_means([1, 2], -1), "window"),
        (lambda: formulas.panel_movement(0, 0.003, 21, 50, 40), "size_mm"),
        (lambda: formulas.sheet_movement(1000, 0, 50, 40), "mm_per_m_percent"),
        (lambda: formulas.sheet_movement(1000, 0.1, 50, 140), "rh_to_percent"),
    ],
)
def test_numbers_out_of_range_are_refused_by_name(call, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        call()
