"""What must hold of the canvas formulas for any numbers."""

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hangworthy_canvas import formulas
from hangworthy_canvas.formulas.timber import SPECIES

size = st.floats(50.0, 4000.0)
gap = st.floats(-50.0, 50.0)


def test_species_table_hangs_together() -> None:
    names = [wood.name for wood in SPECIES]
    assert names == sorted(names) == list(formulas.species_names())
    for wood in SPECIES:
        assert formulas.species(wood.name.upper()) is wood
        assert wood.tangential is None or wood.radial is None or wood.radial < wood.tangential
        if wood.tangential and wood.shrinkage_tangential:
            assert 0.0345 < wood.tangential * 100 / wood.shrinkage_tangential < 0.0365, wood.name


# Frame


@given(st.tuples(gap, gap, gap, gap), gap, gap, gap)
def test_twist_does_not_see_how_the_frame_is_tilted(z: tuple[float, ...], lift: float, x: float, y: float) -> None:
    tilted = (z[0] + lift, z[1] + lift + x, z[2] + lift + x + y, z[3] + lift + y)
    assert formulas.twist(tilted) == pytest.approx(formulas.twist(z), abs=1e-9)


@given(st.tuples(gap, gap, gap, gap), size, size)
def test_a_frame_rests_on_three_corners_in_the_plane_they_give(z: tuple[float, ...], w: float, h: float) -> None:
    resting = formulas.resting_gaps(z)
    assert min(resting) >= 0.0
    assert sum(g == 0.0 for g in resting) >= 3
    # The same rigid shape: both states differ by a plane, so the residual of the fitted plane is the same.
    assert formulas.plane_fit(resting, w, h)[3] == pytest.approx(formulas.plane_fit(z, w, h)[3], abs=1e-9)
    assert formulas.rocking_gap(z) == formulas.twist(z)


@given(st.tuples(gap, gap, gap, gap), size, size)
def test_plane_fit_gives_the_corners_back(z: tuple[float, ...], w: float, h: float) -> None:
    mean, along_w, along_h, rest = formulas.plane_fit(z, w, h)
    x, y = along_w * w / 2000, along_h * h / 2000
    back = (mean - x - y + rest, mean + x - y - rest, mean + x + y + rest, mean - x + y - rest)
    assert back == pytest.approx(z, abs=1e-9)


@given(st.floats(200, 3000), st.floats(200, 3000), st.floats(80.0, 100.0))
def test_corner_angle_of_a_drawn_parallelogram(w: float, h: float, degrees: float) -> None:
    c = 2 * w * h * math.cos(math.radians(degrees))
    long, short = math.sqrt(w * w + h * h + c), math.sqrt(w * w + h * h - c)
    assert formulas.corner_angle(long, short, w, h) == pytest.approx(degrees, abs=1e-7)
    assert formulas.out_of_square(short, long, w, h) == pytest.approx(abs(degrees - 90), abs=1e-7)


# Canvas


@given(st.floats(1.0, 500.0), size, size, st.floats(0.1, 2.0))
def test_tap_goes_there_and_back(tension: float, w: float, h: float, mass: float) -> None:
    tapped = formulas.natural_frequency(w, h, tension, mass)
    assert formulas.tension_from_tap(tapped, w, h, mass) == pytest.approx(tension, rel=1e-12)


@given(st.floats(0.0, 0.2), size)
def test_billow_goes_there_and_back(ratio: float, span: float) -> None:
    slack = formulas.slack_from_billow(ratio * span, span)
    assert formulas.billow_from_slack(slack, span) == pytest.approx(ratio * span, rel=1e-12, abs=1e-12)


@given(st.floats(0.001, 0.1), size)
def test_slack_agrees_with_both_exact_arcs(ratio: float, span: float) -> None:
    slack = formulas.slack_from_billow(ratio * span, span)
    for arc in (formulas.parabola_arc, formulas.circular_arc):
        assert arc(ratio * span, span) / span - 1 == pytest.approx(slack, rel=0.025, abs=1e-12)
        assert arc(0.0, span) == span


@given(st.floats(0.1, 20.0), st.floats(1.0, 500.0), size, size, st.floats(0.01, 1.0))
def test_press_goes_there_and_back(force: float, tension: float, w: float, h: float, share: float) -> None:
    patch = share * min(w, h)
    deflection = formulas.press_deflection(force, tension, w, h, patch)
    assert formulas.tension_from_press(force, deflection, w, h, patch) == pytest.approx(tension, rel=1e-12)
    assert formulas.press_coefficient(h, w, patch) == formulas.press_coefficient(w, h, patch)
    assert deflection < formulas.strip_deflection(force, tension, min(w, h), patch)


@given(size, st.floats(1.0, 50.0), st.floats(0.01, 0.99))
def test_a_smaller_pad_and_a_longer_canvas_give_more(w: float, aspect: float, share: float) -> None:
    pressed = formulas.press_coefficient(w, w * aspect, share * w)
    assert 0.0 < formulas.press_coefficient(w, w * aspect, w) < pressed
    assert formulas.press_coefficient(w, w * aspect * 1.5, share * w) >= pressed * (1 - 1e-9)
    assert formulas.sag_coefficient(aspect) <= 0.125


# Bars


@given(st.integers(0, 20))
def test_bracket_is_a_bracket_and_braces_help(braces: int) -> None:
    held, free = formulas.inward_bow_bracket(200, 2400, 45, 20, 9000, braces)
    assert 0 < held < free
    assert braces == 0 or formulas.brace_gain(braces) > formulas.brace_gain(braces - 1)
    if braces:
        carried = formulas.end_reaction(200, 2400, braces) * 2 + formulas.brace_force(200, 2400, braces) * braces
        assert carried == pytest.approx(480) if braces <= 2 else carried >= 480


# Wood


@given(st.floats(-1.2, 60.0), st.floats(0.0, 99.0), st.floats(0.01, 1.0))
def test_emc_rises_with_damp_from_nought(temp: float, rh: float, more: float) -> None:
    assert formulas.emc(temp, 0.0) == 0.0
    assert formulas.emc(temp, rh) < formulas.emc(temp, rh + more)


@given(st.floats(10.0, 59.0), st.floats(5.0, 95.0))
def test_emc_falls_with_warmth(temp: float, rh: float) -> None:
    assert formulas.emc(temp, rh) > formulas.emc(temp + 1.0, rh)
    assert formulas.emc(10.0, 50.0) > formulas.emc(38.0, 50.0)


@given(st.floats(10.0, 54.0), st.floats(20.0, 90.0))
def test_emc_is_the_same_in_both_scales(temp: float, rh: float) -> None:
    assert formulas.emc_fahrenheit(temp * 1.8 + 32, rh) == pytest.approx(formulas.emc(temp, rh), abs=0.02)


@given(st.floats(20.0, 100.0), st.floats(6.0, 14.0), st.floats(6.0, 14.0))
def test_movement_goes_there_and_back(width: float, before: float, after: float) -> None:
    there = formulas.movement(width, 0.00216, before, after)
    assert there == pytest.approx(-formulas.movement(width, 0.00216, after, before), abs=1e-12)
    assert formulas.movement_from_shrinkage(width, 6.2, before, after) == pytest.approx(there, rel=0.03, abs=1e-12)


# Measurement


@given(st.floats(0.5, 0.99999), st.floats(0.01, 10.0))
def test_guard_band_keeps_its_promise(probability: float, u: float) -> None:
    band = formulas.guard_band(u, probability)
    assert formulas.conformance_upper(100.0 - band, 100.0, u) == pytest.approx(probability, abs=1e-9)
    assert formulas.conformance_lower(100.0 + band, 100.0, u) == pytest.approx(probability, abs=1e-9)


# Gentle refusals


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: formulas.twist((0, 0, 6)), "four corner gaps"),
        (lambda: formulas.twist((0, 0, 6, math.nan)), "measure the corners again"),
        (lambda: formulas.plane_fit((0, 0, 0, 0), 0, 100), "width_mm"),
        (lambda: formulas.corner_angle(1500, 1000, 800, 600), "cannot close a triangle"),
        (lambda: formulas.corner_angle(150, 1000, 800, 600), "cannot close a triangle"),
        (lambda: formulas.corner_angle(900, 900, 800, 600), "do not belong"),
        (lambda: formulas.corner_angle(1000, 1000, math.nan, 600), "width_mm"),
        (lambda: formulas.bow_per_metre(800, 1500), "bow_mm"),
        (lambda: formulas.slack_from_billow(-1, 1000), "billow_mm"),
        (lambda: formulas.slack_from_billow(300, 1000), "billow_mm"),
        (lambda: formulas.billow_from_slack(0.2, 1000), "slack"),
        (lambda: formulas.natural_frequency(800, 1000, 200, 0.6, 0, 1), "half waves"),
        (lambda: formulas.tension_from_tap(0, 800, 1000, 0.6), "frequency_hz"),
        (lambda: formulas.sag_coefficient(0.5), "aspect"),
        (lambda: formulas.press_coefficient(800, 1000, 801), "patch_mm"),
        (lambda: formulas.press_coefficient(800, 1000, 0), "patch_mm"),
        (lambda: formulas.hencky_coefficient(0.6), "poisson"),
        (lambda: formulas.tension_trend(101), "rh_percent"),
        (lambda: formulas.continuous_beam(0), "spans"),
        (lambda: formulas.continuous_beam(22), "spans"),
        (lambda: formulas.emc(80, 50), "temp_c"),
        (lambda: formulas.emc(21, 101), "rh_percent"),
        (lambda: formulas.movement(60, 0.0033, 5, 12), "mc_from"),
        (lambda: formulas.longitudinal_movement(1000, 29, 12), "mc_from"),
        (lambda: formulas.species("teak"), "basswood"),
        (lambda: formulas.change_coefficient("pine, red", "radial"), "No radial"),
        (lambda: formulas.change_coefficient("basswood", "sideways"), "direction"),
        (lambda: formulas.canvas_slack_from_movement(1000, -30, 0, 0), "change of size"),
        (lambda: formulas.canvas_slack_from_movement(1000, -1, 0, -1), "key_travel_mm"),
        (lambda: formulas.tape_mpe(1000, "IV"), "accuracy_class"),
        (lambda: formulas.conformance_upper(1, 2, 0), "uncertainty"),
        (lambda: formulas.conformance_interval(1, 3, 2, 1), "lower"),
        (lambda: formulas.guard_band(1, 0.4), "probability"),
        (lambda: formulas.combined_uncertainty((1, -1)), "uncertainty"),
    ],
)
def test_numbers_outside_the_range_are_refused_by_name(call: Any, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        call()
