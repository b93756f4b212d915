"""The ends of each formula's range, the constants of its series, and its tables: what a slip of a tenth would change."""

import math
from collections.abc import Callable

import numpy as np
import pytest

from hangworthy_canvas import formulas
from hangworthy_canvas.formulas.timber import SPECIES

Call = Callable[[float], object]


@pytest.mark.parametrize(
    ("call", "inside", "outside"),
    [
        pytest.param(lambda d: formulas.corner_angle(d, d, 800, 600), (953, 1047), (947, 1053), id="diagonals, 5 % of 1000 mm"),
        pytest.param(lambda bow: formulas.bow_per_metre(bow, 1000), (-500, 500), (-501, 501), id="bow, half the bar"),
        pytest.param(lambda poisson: formulas.hencky_coefficient(poisson), (0, 0.5), (-0.01, 0.51), id="Poisson ratio, 0 to 0.5"),
        pytest.param(formulas.tension_trend, (0, 100), (-0.1, 100.1), id="humidity, 0 to 100 %"),
        pytest.param(lambda p: formulas.guard_band(1, p), (0.5, 0.999999), (0.49, 0.9999995), id="probability, 0.5 to 0.999999"),
        pytest.param(formulas.sag_coefficient, (1, 50), (0.99,), id="aspect, from 1"),
        pytest.param(lambda pad: formulas.press_coefficient(1000, 1200, pad), (0.1, 1000), (0.099, 1001), id="pad, 1/10000 to all"),
        pytest.param(lambda slack: formulas.billow_from_slack(slack, 1000), (0, 0.166), (-0.01, 0.168), id="slack, a sixth"),
        pytest.param(
            lambda change: formulas.canvas_slack_from_movement(1000, 0, change, 0), (-50, 50), (-51, 51), id="movement, 5 % of the span"
        ),
        pytest.param(formulas.continuous_beam, (1, 21), (0, 22, 1.5), id="spans, 1 to 21"),
    ],
)
def test_a_range_ends_where_its_docstring_says(call: Call, inside: tuple[float, ...], outside: tuple[float, ...]) -> None:
    for value in inside:
        call(value)
    for value in outside:
        with pytest.raises(ValueError, match="should"):
            call(value)


def test_tension_turns_at_eighty_percent() -> None:
    assert [formulas.tension_trend(rh) for rh in (0, 79, 80, 81, 100)] == [-1, -1, 0, 1, 1]


def test_radial_coefficients_agree_with_total_shrinkage() -> None:
    """The tables hang together as they do along the rings: the coefficient is the shrinkage over 28 to 30 %MC."""
    both = [wood for wood in SPECIES if wood.radial and wood.shrinkage_radial]
    assert len(both) == 9
    for wood in both:
        assert 0.0335 < wood.radial * 100 / wood.shrinkage_radial < 0.0355, wood.name


@pytest.mark.parametrize("aspect", [1.0, 1.3, 2.0])
def test_sag_is_the_single_series_to_the_last_digits(aspect: float) -> None:
    k = np.arange(1, 60, 2)
    total = ((-1.0) ** ((k - 1) // 2) / (k**3 * np.cosh(k * np.pi * aspect / 2))).sum()
    assert formulas.sag_coefficient(aspect) == pytest.approx(0.125 * (1 - 32 / np.pi**3 * total), rel=1e-13)


@pytest.mark.parametrize("aspect", [1.0, 1.25, 4.0])
@pytest.mark.parametrize("share", [1.0, 0.9, 0.75])
def test_press_is_the_single_series_but_for_the_term_that_is_left_out(aspect: float, share: float) -> None:
    """Summed along the long side only: slow, but without the power series whose coefficients are held here.

    Its terms alternate. The seventh, the first that is left out, is B28/28 (2^27 - 1) 2^15 / 30! (pi/2)^28 / pi = 1.59e-9 for a whole pad
    and falls with the 28th power of the pad's share; the eighth is a seventh of it or less, and of the other sign.
    """
    m = np.arange(1, 400_001, 2)
    near, far = m * np.pi * (aspect - share) / 2, m * np.pi * aspect / 2
    ratio = (np.exp(near - far) + np.exp(-near - far)) / (1 + np.exp(-2 * far))
    total = (np.sin(m * np.pi * share / 2) / m**3 * (1 - ratio)).sum()
    left_out = formulas.press_coefficient(100, 100 * aspect, 100 * share) - 4 * total / (math.pi**3 * share**2)
    assert -1.6e-9 * share**28 - 1e-12 < left_out < -1.3e-9 * share**28 + 1e-12
