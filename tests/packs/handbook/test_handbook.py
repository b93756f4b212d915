"""The shared formulas at their edges: the last number that is accepted, the next one that is not, and figures worked out by hand."""

import math

import pytest

from hangworthy_handbook.panes import pane_density, pane_mass
from hangworthy_handbook.tape import tape_mpe
from hangworthy_handbook.wood import (
    bending_modulus,
    coefficient_from_shrinkage,
    emc,
    emc_fahrenheit,
    longitudinal_movement,
    movement,
    movement_from_shrinkage,
    thermal_movement,
)


@pytest.mark.parametrize(
    ("call", "edge", "beyond", "said"),
    [
        (lambda temp: emc(temp, 50.0), -1.2, -1.25, "temp_c"),
        (lambda temp: emc(temp, 50.0), 60.0, 60.1, "temp_c"),
        (lambda rh: emc(20.0, rh), 100.0, 100.1, "rh_percent"),
        (lambda rh: emc(20.0, rh), 0.0, -0.1, "rh_percent"),
        (lambda temp: emc_fahrenheit(temp, 50.0), 29.8, 29.7, "temp_f"),
        (lambda temp: emc_fahrenheit(temp, 50.0), 140.0, 140.1, "temp_f"),
        (lambda rh: emc_fahrenheit(70.0, rh), 100.0, 100.1, "rh_percent"),
        (lambda mc: movement(1000.0, 0.002, mc, 10.0), 6.0, 5.9, "mc_from"),
        (lambda mc: movement(1000.0, 0.002, mc, 10.0), 14.0, 14.1, "mc_from"),
        (lambda mc: movement(1000.0, 0.002, 10.0, mc), 6.0, 5.9, "mc_to"),
        (lambda mc: movement(1000.0, 0.002, 10.0, mc), 14.0, 14.1, "mc_to"),
        (lambda mc: movement_from_shrinkage(1000.0, 5.0, mc, 10.0), 30.0, 30.1, "mc_from"),
        (lambda mc: movement_from_shrinkage(1000.0, 5.0, 10.0, mc), 30.0, 30.1, "mc_to"),
        (lambda share: longitudinal_movement(1000.0, 8.0, 10.0, share), 2.0, 2.1, "shrinkage_percent"),
        (lambda mc: longitudinal_movement(1000.0, mc, 10.0), 28.0, 28.1, "mc_from"),
        (lambda mc: longitudinal_movement(1000.0, 10.0, mc), 28.0, 28.1, "mc_to"),
        (lambda kelvin: thermal_movement(1000.0, kelvin), 100.0, 100.1, "warming_k"),
        (lambda kelvin: thermal_movement(1000.0, kelvin), -100.0, -100.1, "warming_k"),
        (lambda share: bending_modulus(10_000.0, share), 0.2, 0.21, "shear_share"),
    ],
)
def test_the_edge_is_accepted_and_the_next_number_refused(call, edge: float, beyond: float, said: str) -> None:
    assert math.isfinite(call(edge))
    with pytest.raises(ValueError, match=said):
        call(beyond)


def two_hydrates(w: float, k: float, k1: float, k2: float, humidity: float) -> float:
    """The printed equation: 1800/W [KH/(1 - KH) + (K1 KH + 2 K1 K2 K²H²)/(1 + K1 KH + K1 K2 K²H²)]."""
    x = k * humidity
    return 1800 / w * (x / (1 - x) + (k1 * x + 2 * k1 * k2 * x**2) / (1 + k1 * x + k1 * k2 * x**2))


@pytest.mark.parametrize("rh", [20, 50, 90])
def test_moisture_at_the_warm_end_where_every_coefficient_counts(rh: int) -> None:
    """At 60 °C, worked out by hand from the printed coefficients: W = 349 + 77.4 + 48.6 and so on; at 140 °F W = 330 + 63.28 + 81.34."""
    assert emc(60.0, rh) == pytest.approx(two_hydrates(475.0, 0.839332, 4.6164, 3.2972, rh / 100), abs=1e-6)
    assert emc_fahrenheit(140.0, rh) == pytest.approx(two_hydrates(474.62, 0.8392776, 4.6159, 3.29416, rh / 100), abs=1e-6)


@pytest.mark.parametrize(("accuracy", "fixed", "metre", "hook"), [("I", 0.1, 0.1, 0.1), ("II", 0.3, 0.2, 0.2), ("III", 0.6, 0.4, 0.3)])
def test_what_a_tape_may_be_off_by(accuracy: str, fixed: float, metre: float, hook: float) -> None:
    """a + b L, L rounded up to whole metres, and the surcharge for an end that is a surface."""
    for length, metres in ((1.0, 1), (1000.0, 1), (1000.1, 2), (2000.0, 2), (9500.0, 10)):
        assert tape_mpe(length, accuracy) == pytest.approx(fixed + metres * metre)
        assert tape_mpe(length, accuracy, from_hook=True) == pytest.approx(fixed + metres * metre + hook)


@pytest.mark.parametrize(
    ("material", "density"),
    [("float-glass", 2500), ("toughened-glass", 2500), ("laminated-glass", 2500), ("acrylic", 1190), ("polycarbonate", 1200)],
)
def test_a_square_metre_of_each_pane(material: str, density: float) -> None:
    assert pane_density(material) == density
    assert pane_mass(1000.0, 1000.0, 4.0, pane_density(material)) == pytest.approx(density * 0.004)


def test_what_is_taken_where_nothing_is_given() -> None:
    """0.2 % over 28 %MC along the grain; 28.6 %MC across it; 4.5e-6 per kelvin; a tenth of shear."""
    assert longitudinal_movement(1400.0, 8.0, 10.0) == pytest.approx(0.2)
    assert coefficient_from_shrinkage(2.86) == pytest.approx(0.001)
    assert thermal_movement(1000.0, 10.0) == pytest.approx(0.045)
    assert bending_modulus(10_000.0) == pytest.approx(11_000.0)


def test_movement_by_hand() -> None:
    """1000 mm at 0.002 from 8 to 10 %: 4 mm; by 6 % of shrinkage: 1000 × 2 / (3000 / 6 - 30 + 8) = 4.1841 mm."""
    assert movement(1000.0, 0.002, 8.0, 10.0) == pytest.approx(4.0)
    assert movement_from_shrinkage(1000.0, 6.0, 8.0, 10.0) == pytest.approx(2000 / 478)
