"""The statics against independent computations: solved vector equilibrium, least potential energy, numerical roots."""

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import optimize, stats

from hangworthy_hanging import formulas

G = 9.80665


@pytest.mark.parametrize("angle", [5.0, 21.8, 30.0, 60.0, 89.0])
@pytest.mark.parametrize("mass", [0.4, 10.0, 80.0])
def test_wire_tension_balances_the_weight(mass: float, angle: float) -> None:
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    left, right = np.linalg.solve([[-c, c], [s, s]], [0.0, mass * G])
    assert formulas.wire_tension(mass, angle) == pytest.approx(left) == pytest.approx(right)
    assert formulas.ring_pull(mass, angle) == pytest.approx(left * c)
    assert formulas.sling_factor(angle) == pytest.approx(2 * left / (mass * G))


@pytest.mark.parametrize("angle", [10.0, 30.0, 45.0, 80.0])
def test_a_hook_carries_the_sum_of_both_pulls(angle: float) -> None:
    tension = formulas.leg_load(12.0, angle)
    outer_leg = tension * np.array([-math.cos(math.radians(angle)), -math.sin(math.radians(angle))])
    middle = tension * np.array([1.0, 0.0])
    assert formulas.hook_load(12.0, angle, 2) == pytest.approx(float(np.linalg.norm(outer_leg + middle)))
    assert formulas.hook_load(12.0, angle, 1) == 12.0


@pytest.mark.parametrize(("span", "length", "apart"), [(400, 450, 0), (600, 700, 200), (900, 905, 300), (300, 900, 10)])
def test_rise_is_the_root_of_the_wires_length(span: float, length: float, apart: float) -> None:
    def too_long(rise: float) -> float:
        return 2 * math.hypot((span - apart) / 2, rise) + apart - length

    rise = optimize.brentq(too_long, 0.0, length, xtol=1e-12)
    assert formulas.wire_rise(span, length, apart) == pytest.approx(rise, rel=1e-9)
    assert math.tan(math.radians(formulas.wire_angle_from_length(span, length, apart))) == pytest.approx(rise / ((span - apart) / 2))


def hung_at_least_energy(h: float, d: float, ring_drop: float, rise: float, standoff: float, spacer: float) -> float:
    """The tilt [rad] at which the centre of mass lies lowest while the lower edge rests on the wall.

    The hook is the origin's height; the link turns as far as the tilt makes it.
    """
    u = h - ring_drop

    def height(tilt: float) -> float:
        across = (spacer + u * math.sin(tilt) - standoff) / rise
        return -rise * math.sqrt(1 - across * across) - u * math.cos(tilt) + h / 2 * math.cos(tilt) - d / 2 * math.sin(tilt)

    reach = 0.999 * rise
    low = math.asin(max(-0.9, (standoff - spacer - reach) / u))
    high = math.asin(min(0.9, (standoff - spacer + reach) / u))
    return optimize.minimize_scalar(height, bounds=(low, high), method="bounded", options={"xatol": 1e-12}).x


@settings(max_examples=200, deadline=None)
@given(st.floats(200, 2000), st.floats(5, 80), st.floats(0.05, 0.33), st.floats(0.2, 0.9), st.floats(1, 20), st.floats(0, 10))
def test_lean_is_where_the_potential_energy_is_least(
    h: float, d: float, drop_share: float, rise_share: float, standoff: float, spacer: float
) -> None:
    ring_drop = drop_share * h
    rise = rise_share * ring_drop
    got = formulas.lean(h, d, ring_drop, rise, standoff, spacer)
    assume(got.push > 1e-6 and got.top_gap_mm > 1e-6)  # both edges free: other tests
    tilt = hung_at_least_energy(h, d, ring_drop, rise, standoff, spacer)
    assert math.radians(got.tilt_deg) == pytest.approx(tilt, abs=2e-5)  # a minimum is flat: its place is known to the root of the precision


@settings(max_examples=200, deadline=None)
@given(st.floats(200, 2000), st.floats(5, 80), st.floats(0.05, 0.45), st.floats(0, 1), st.floats(0, 30), st.floats(0, 10))
def test_lean_balances_forces_and_moments(h: float, d: float, drop_share: float, rise_share: float, standoff: float, spacer: float) -> None:
    ring_drop = drop_share * h
    rise = rise_share * ring_drop
    got = formulas.lean(h, d, ring_drop, rise, standoff, spacer)
    assume(got.top_gap_mm > 1e-6)
    tilt, u = math.radians(got.tilt_deg), h - ring_drop
    along, out = np.array([math.sin(tilt), math.cos(tilt)]), np.array([math.cos(tilt), -math.sin(tilt)])
    ring, centre = u * along, h / 2 * along + d / 2 * out
    pull, weight = np.array([-got.push, 1.0]), np.array([0.0, -1.0])  # the wall pushes back with (push, 0) at the origin
    moment = ring[0] * pull[1] - ring[1] * pull[0] + centre[0] * weight[1] - centre[1] * weight[0]
    assert moment == pytest.approx(0.0, abs=1e-7 * h)
    edge = standoff + rise * got.push / math.hypot(1, got.push) - u * math.sin(tilt)  # where the link lets the lower edge be
    if got.push > 0:
        assert edge == pytest.approx(spacer, abs=1e-6)
    else:
        assert edge >= spacer - 1e-6


def test_lean_without_depth_or_tilt_is_the_simple_formula() -> None:
    got = formulas.lean(800, 30, 200, 0, 5, 5)
    assert got.push * 10 * G == pytest.approx(formulas.pull_out(10 * G, 15, 600))
    assert formulas.lean(800, 0, 200, 50, 5).tilt_deg == 0.0


@given(st.floats(100, 1000), st.floats(1, 80), st.floats(0, 20))
def test_more_standoff_leans_more_and_spacers_less(h: float, d: float, standoff: float) -> None:
    base = formulas.lean(h, d, h / 4, h / 10, standoff)
    assert formulas.lean(h, d, h / 4, h / 10, standoff + 1).tilt_deg >= base.tilt_deg - 1e-9
    assert formulas.lean(h, d, h / 4, h / 10, standoff, 2).tilt_deg <= base.tilt_deg + 1e-9
    assert base.reach_mm >= d * math.cos(math.radians(base.tilt_deg))


@given(st.floats(100, 1000), st.floats(1, 80), st.floats(0, 20), st.floats(0, 0.9), st.floats(0, 3))
def test_a_spacer_as_thick_as_needed_leans_just_as_far_as_allowed(h: float, d: float, standoff: float, rise: float, tilt: float) -> None:
    hung = h, d, h / 4, rise * h / 4, standoff
    thick = formulas.spacer_needed(*hung, tilt)
    if thick == 0.0:
        assert formulas.lean(*hung).tilt_deg <= tilt + 1e-6
    else:
        assert formulas.lean(*hung, thick).tilt_deg == pytest.approx(tilt, abs=1e-6)


def test_layers_are_uniform_and_add_up_as_variances() -> None:
    lows, highs = [0.2, 1.0, 0.0], [0.5, 2.5, 4.0]
    parts = [stats.uniform(low, high - low) for low, high in zip(lows, highs, strict=True)]
    got = formulas.layered_mass(lows, highs)
    assert got.kg == pytest.approx(sum(part.mean() for part in parts))
    assert got.u_kg == pytest.approx(math.sqrt(sum(part.var() for part in parts)))
    drawn = sum(part.rvs(200_000, random_state=number) for number, part in enumerate(parts))
    assert got.low_kg <= drawn.min() < drawn.max() <= got.high_kg
    assert np.mean(abs(drawn - got.kg) <= 2 * got.u_kg) > 0.94


@given(st.floats(20, 2000), st.floats(20, 2000), st.floats(1, 300), st.floats(1, 100))
def test_a_moulding_is_the_outer_less_the_inner_board(w: float, h: float, bar: float, depth: float) -> None:
    inner = max(0.0, w - 2 * bar) * max(0.0, h - 2 * bar)
    if min(w, h) > 2 * bar:
        assert formulas.moulding_mass(w, h, bar, depth, 600) == pytest.approx((w * h - inner) * depth * 600 / 1e9)
    assert formulas.moulding_mass(w, h, bar, depth, 600) <= w * h * depth * 600 / 1e9 * (1 + 1e-12)


@pytest.mark.parametrize("hours", [0.5, 2.0, 8.0])
@pytest.mark.parametrize("hands", [500.0, 900.0])
def test_lifting_more_often_never_helps(hours: float, hands: float) -> None:
    factors = [formulas.frequency_multiplier(often / 10, hours, hands) for often in range(200)]
    assert factors == sorted(factors, reverse=True)
    assert formulas.frequency_multiplier(3, 8, hands) <= formulas.frequency_multiplier(3, hours, hands)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: formulas.density("marble"), "softwood"),
        (lambda: formulas.wood_density(2, 12), "specific_gravity"),
        (lambda: formulas.sheet_mass(0, 100, 1), "width_mm"),
        (lambda: formulas.moulding_mass(100, 100, 10, 0, 600), "depth_mm"),
        (lambda: formulas.layered_mass([], []), "at least one"),
        (lambda: formulas.layered_mass([2], [1]), "least mass"),
        (lambda: formulas.leg_load(10, 0), "angle_deg"),
        (lambda: formulas.wire_angle(500, 100, 500), "hook_spacing_mm"),
        (lambda: formulas.wire_rise(500, 499), "length_mm"),
        (lambda: formulas.hook_load(10, 30, 3), "1 or 2"),
        (lambda: formulas.pull_out(10, 30, 0), "lever_mm"),
        (lambda: formulas.derated(10, 2), "share"),
        (lambda: formulas.hook_height(1450, 800, -1), "drop"),
        (lambda: formulas.walkway_excess(-1, 30, 685, 2030, 100), "bottom_mm"),
        (lambda: formulas.covered_share([1], 0), "wall_m2"),
        (lambda: formulas.row_end(1000, []), "at least one"),
        (lambda: formulas.row_layout(1000, [600, 600]), "wider than the wall"),
        (lambda: formulas.hook_places(0, 300, 2, 400), "spacing_mm"),
        (lambda: formulas.lean(800, 30, 400, 0, 5), "topple"),
        (lambda: formulas.grip_multiplier("firm", 700), "good, fair or poor"),
        (lambda: formulas.frequency_multiplier(1, 9, 700), "hours"),
        (lambda: formulas.filter_weight([], True, True), "at least one"),
        (lambda: formulas.filter_weight(["overhead"], True, True), "overhead"),
        (lambda: formulas.weight_from_multipliers(51, [1.2]), "multiplier"),
        (lambda: formulas.lifting_index(10, 0), "recommended"),
    ],
)
def test_numbers_outside_the_range_are_refused_by_name(call, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        call()
