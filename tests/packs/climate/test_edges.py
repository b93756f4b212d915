"""The climate formulas at their edges: the last number that is accepted and the next one that is not, and figures worked out by hand."""

import math

import psychrolib
import pytest

from hangworthy_climate import formulas

psychrolib.SetUnitSystem(psychrolib.SI)


def control(**changed: float) -> int:
    """The type of a year that keeps AA well within its limits, but for what is changed."""
    year = {"rh_low": 48.0, "rh_high": 52.0, "rh_swing": 2.0, "temp_low": 20.0, "temp_high": 22.0, "temp_swing": 1.0} | changed
    return formulas.control_type(*year.values())


@pytest.mark.parametrize(
    ("call", "edge", "beyond", "said"),
    [
        (lambda temp_c: formulas.saturation_pressure(temp_c), -100.0, -101.0, "temp_c"),
        (lambda temp_c: formulas.saturation_pressure(temp_c), 200.0, 201.0, "temp_c"),
        (lambda rh: formulas.vapour_pressure(20.0, rh), 100.0, 100.1, "rh_percent"),
        (lambda temp_c: formulas.dew_point(temp_c, 50.0), -20.0, -20.1, "temp_c"),
        (lambda rh: formulas.coldest_surface(20.0, 50.0, rh), 100.0, 100.1, "limit_percent"),
        (lambda rh: formulas.coldest_surface(20.0, 50.0, rh), 1.0, 0.95, "limit_percent"),
        (lambda factor: formulas.surface_temperature(20.0, -5.0, factor), 1.0, 1.05, "factor"),
        (lambda rh: control(rh_high=rh), 100.0, 100.1, "rh_high_percent"),
        (lambda temp_c: control(temp_low=temp_c), -50.0, -50.1, "temp_low_c"),
        (lambda rh: control(rh_swing=rh), 100.0, 100.1, "rh_swing_percent"),
        (lambda kelvin: control(temp_swing=kelvin), 100.0, 100.1, "temp_swing_k"),
        (lambda rh: formulas.in_museum_band(rh, 21.0), 100.0, 100.1, "rh_percent"),
        (lambda rh: formulas.sheet_movement(1000.0, 0.1, rh, 50.0), 100.0, 100.1, "rh_from_percent"),
        (lambda rh: formulas.sheet_movement(1000.0, 0.1, 50.0, rh), 100.0, 100.1, "rh_to_percent"),
        (lambda rh: formulas.target_band([50.0] * 394 + [rh], 1).mean, 100.0, 100.1, "rh_percent"),
        (lambda share: formulas.percentile([1.0, 2.0, 3.0], share), 1.0, 1.05, "share"),
    ],
)
def test_the_edge_is_accepted_and_the_next_number_refused(call, edge: float, beyond: float, said: str) -> None:
    assert math.isfinite(call(edge))
    with pytest.raises(ValueError, match=said):
        call(beyond)


@pytest.mark.parametrize("temp_c", [0.0095, 0.01, 0.0105])
def test_ice_gives_way_to_water_at_the_triple_point(temp_c: float) -> None:
    assert formulas.saturation_pressure(temp_c) == pytest.approx(psychrolib.GetSatVapPres(temp_c), rel=1e-12)


def test_air_without_water_is_taken_for_a_hundredth_of_a_percent() -> None:
    """-70.755 degC is PsychroLib's frost point of air of 20 degC and 0.01 %, by an iteration that stops within 0.001 K."""
    assert formulas.dew_point(20.0, 0.0) == pytest.approx(-70.755, abs=2e-3)
    assert formulas.coldest_surface(20.0, 0.0, 100.0) == pytest.approx(-70.755, abs=2e-3)
    assert formulas.dew_point(20.0, 0.0105) == pytest.approx(psychrolib.GetTDewPointFromRelHum(20.0, 0.000105), abs=2e-3)


AA = {"rh_low": 45.0, "rh_high": 55.0, "rh_swing": 5.0, "temp_low": 15.0, "temp_high": 29.0, "temp_swing": 2.0}
A1 = {"rh_low": 35.0, "rh_high": 65.0, "rh_swing": 5.0, "temp_low": 11.0, "temp_high": 30.0, "temp_swing": 2.0}
A2 = {"rh_low": 40.0, "rh_high": 60.0, "rh_swing": 10.0, "temp_low": 11.0, "temp_high": 30.0, "temp_swing": 2.0}
B = {"rh_low": 30.0, "rh_high": 70.0, "rh_swing": 10.0, "temp_low": 0.0, "temp_high": 30.0, "temp_swing": 5.0}
C = {"rh_low": 25.0, "rh_high": 75.0, "rh_swing": 30.0, "temp_low": -5.0, "temp_high": 30.0, "temp_swing": 9.0}
D = {"rh_low": 5.0, "rh_high": 75.0, "rh_swing": 30.0, "temp_low": -5.0, "temp_high": 40.0, "temp_swing": 9.0}


@pytest.mark.parametrize(
    ("year", "beyond", "kept", "then"),
    [
        (AA, {"rh_swing": 5.1}, 0, 2),  # ±10 within a day is A2's, whose ±10 about the year it keeps
        (AA, {"rh_high": 55.2}, 0, 1),
        (AA, {"temp_swing": 2.1}, 0, 3),
        (AA, {"temp_high": 29.1}, 0, 1),  # ±5 K of the seasons and ±2 K are 14 K
        (A1, {"rh_swing": 5.1}, 1, 3),
        (A1, {"rh_high": 65.2}, 1, 3),
        (A1, {"temp_swing": 2.1}, 1, 3),
        (A1, {"temp_low": 10.9}, 1, 3),  # 5 K up and 10 K down with the seasons and ±2 K are 19 K
        (A2, {"rh_swing": 10.1}, 2, 4),
        (A2, {"rh_high": 60.2}, 2, 3),
        (A2, {"temp_swing": 2.1}, 2, 3),
        (A2, {"temp_low": 10.9}, 2, 3),
        (B, {"rh_swing": 10.1}, 3, 4),
        (B, {"rh_high": 70.2}, 3, 4),
        (B, {"temp_swing": 5.1}, 3, 4),
        (B, {"temp_high": 30.1}, 3, 5),
        (C, {"rh_low": 24.9}, 4, 5),
        (C, {"temp_high": 30.1}, 4, 5),
        (C, {"rh_high": 75.1}, 4, 6),
        (D, {"rh_high": 75.1}, 5, 6),
    ],
)
def test_each_type_of_control_at_its_limits_and_just_beyond(year: dict[str, float], beyond: dict[str, float], kept: int, then: int) -> None:
    assert control(**year) == kept
    assert control(**year | beyond) == then


@pytest.mark.parametrize(
    ("rh_percent", "temp_f", "inside"),
    [
        (37, 70, True),
        (36.9, 70, False),
        (53, 70, True),
        (53.1, 70, False),
        (45, 66.01, True),
        (45, 65.9, False),
        (45, 73.99, True),
        (45, 74.1, False),
    ],
)
def test_the_museum_band_at_its_four_ends(rh_percent: float, temp_f: float, inside: bool) -> None:
    assert formulas.in_museum_band(rh_percent, (temp_f - 32) / 1.8) is inside


def test_a_panel_moves_by_the_coefficient_from_6_to_14_percent_and_by_its_shrinkage_beyond() -> None:
    """1000 mm at 0.0033 a percent; the shrinkage that it implies is 28.6 x 0.33 = 9.438 %, and 3000 / 9.438 - 30 = 287.864."""
    dry, low, mean, high, damp = (formulas.emc(21, rh_percent) for rh_percent in (28.0, 29.0, 50.0, 73.0, 75.0))
    assert dry < 6 < low < high < 14 < damp
    moved = [formulas.panel_movement(1000, 0.0033, 21, 50, rh_percent) for rh_percent in (28.0, 29.0, 73.0, 75.0)]
    beyond = [1000 * (content - mean) / (287.864 + mean) for content in (dry, damp)]
    assert moved == pytest.approx([beyond[0], 3.3 * (low - mean), 3.3 * (high - mean), beyond[1]], abs=1e-3)
    assert formulas.panel_movement(1000, 0.0033, 21, 75, 50) == pytest.approx(1000 * (mean - damp) / (287.864 + damp), abs=1e-3)
    assert formulas.panel_movement(1000, 0.0033, 21, 28, 50) == pytest.approx(1000 * (mean - dry) / (287.864 + dry), abs=1e-3)


def test_a_panel_moves_on_up_to_saturated_air() -> None:
    """Wood of 28.8 % at 21 degC and 100 % RH: less than the 30 % where it would stop."""
    mean, wet = formulas.emc(21, 50), formulas.emc(21, 100)
    assert 28 < wet < 30
    assert formulas.panel_movement(1000, 0.0033, 21, 50, 100) == pytest.approx(1000 * (wet - mean) / (287.864 + mean), abs=1e-3)
    assert formulas.panel_movement(1000, 0.0033, 21, 100, 50) == pytest.approx(1000 * (mean - wet) / (287.864 + wet), abs=1e-3)


@pytest.mark.parametrize("temp_c", range(-1, 61))
def test_wood_never_holds_as_much_as_the_30_percent_where_a_panel_would_stop(temp_c: float) -> None:
    assert formulas.emc(temp_c, 100) < 29.1


def test_a_record_of_395_days_is_long_enough_and_of_394_too_short() -> None:
    assert formulas.target_band([50.0] * 395, 1).mean == 50
    with pytest.raises(ValueError, match="395 days"):
        formulas.target_band([50.0] * 394, 1)


def test_the_band_reaches_from_the_7th_to_the_93rd_percentile() -> None:
    """Readings spread evenly from 10 to 90 % at any time of the year: 7 % of 80 above the lowest is 34.4 below the mean."""
    golden = (math.sqrt(5) - 1) / 2
    band = formulas.target_band([10 + 80 * (place * golden % 1) for place in range(395 * 24)], 24)
    assert (band.down, band.up) == pytest.approx((34.4, 34.4), abs=0.1)


def test_percentiles_of_few_values() -> None:
    assert [formulas.percentile([4.0], share) for share in (0, 0.07, 1)] == [4, 4, 4]
    assert [formulas.percentile([4.0, 2.0], share) for share in (0, 0.25, 0.5, 1)] == [2, 2.5, 3, 4]
    assert formulas.percentile([1.0, 2.0, 4.0], 1) == 4
