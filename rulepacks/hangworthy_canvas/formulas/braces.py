"""Braced stretcher bars: how far the pull of the canvas bows them inward, and what the braces must carry."""

import math
from typing import Final

from hangworthy_handbook.checks import positive

from .beams import even_load, flexural_rigidity, second_moment

_R: Final = math.sqrt(3.0) - 2.0  # root of r^2 + 4 r + 1 = 0, the three-moment recurrence
_MOST_SPANS: Final = 21


def continuous_beam(spans: int) -> tuple[float, float, float, float]:
    """An evenly loaded beam over equal spans with free ends: what is largest, per unit load, span and stiffness.

    Clapeyron's three-moment equation over equal spans reads m[i-1] + 4 m[i] + m[i+1] = 1/2, the moments being in
    w l^2; with free ends its exact solution is m[i] = (1 - (r^i + r^(n-i)) / (1 + r^n)) / 12, r = sqrt(3) - 2. The
    deepest point lies in the end spans, where the slope, a cubic, is nought (Newton's rule).

    Parameters
    ----------
    spans : number of equal spans, 1 to 21 [-]

    Returns: largest deflection [w l^4 / (E I)], its place from the free end [l], moment over the first inner support
    [w l^2], reaction of that support [w l]; the last two are 0 for one span

    Validity: rigid supports. Errors: ValueError for fewer than 1 or more than 21 spans, or a part of one.
    Source: Clapeyron's three-moment equation; AISC Manual for two and three spans.
    Rows: B-05a, B-05b, B-05c.
    """
    if spans != int(spans) or not 1 <= spans <= _MOST_SPANS:
        raise ValueError(f"spans should be a whole number from 1 to {_MOST_SPANS}, but is {spans!r}.")
    return _EQUAL_SPANS[int(spans) - 1]


def _solve(spans: int) -> tuple[float, float, float, float]:
    whole = 1.0 + _R**spans
    first = (1.0 - (_R + _R ** (spans - 1)) / whole) / 12.0 if spans > 1 else 0.0
    second = (1.0 - (_R**2 + _R ** (spans - 2)) / whole) / 12.0 if spans > 2 else 0.0
    x = 0.45
    for _ in range(5):
        slope = (1.0 + x * x * (4.0 * x - 6.0)) / 24.0 - first * (1.0 - 3.0 * x * x) / 6.0
        x -= slope / (0.5 * x * (x - 1.0) + first * x)
    deflection = x * (1.0 + x * x * (x - 2.0)) / 24.0 - first * x * (1.0 - x * x) / 6.0
    return deflection, x, first, 1.0 + 2.0 * first - second if spans > 1 else 0.0


# Solved once for every number of spans: rules ask for them with each work.
_EQUAL_SPANS: Final = tuple(_solve(spans) for spans in range(1, _MOST_SPANS + 1))


def continuous_beam_deflection(load_n_m: float, span_mm: float, rigidity_n_m2: float, spans: int) -> float:
    """Largest deflection of an evenly loaded beam over equal spans with free ends.

    Parameters
    ----------
    load_n_m : even load [N/m]
    span_mm : length of one span [mm]
    rigidity_n_m2 : bending stiffness E I [N m^2]
    spans : number of equal spans, 1 to 21 [-]

    Returns: deflection [mm]

    Validity, source: as `continuous_beam`. Errors: as it; ValueError for numbers not above 0.
    Rows: B-05.
    """
    return continuous_beam(spans)[0] * even_load(load_n_m, span_mm, rigidity_n_m2)


def brace_force(load_n_m: float, length_mm: float, braces: int) -> float:
    """Force on the brace that is pressed hardest, when equally spaced braces stiffen a bar pulled inward.

    Parameters
    ----------
    load_n_m : canvas pull on the bar [N/m]
    length_mm : whole length of the bar [mm]
    braces : number of equally spaced braces that meet the bar, 1 to 20 [-]

    Returns: force along the brace [N]

    Validity: rigid braces, freely giving corners. Errors: ValueError for numbers not above 0, or more than 20 braces.
    Source: as `continuous_beam`.
    Rows: B-05d.
    """
    positive("load_n_m", load_n_m)
    positive("length_mm", length_mm)
    positive("braces", braces)
    return continuous_beam(braces + 1)[3] * load_n_m * length_mm / 1000.0 / (braces + 1)


def end_reaction(load_n_m: float, length_mm: float, braces: int) -> float:
    """Force on each end of a bar pulled inward, at the corner joints.

    Parameters
    ----------
    load_n_m : canvas pull on the bar [N/m]
    length_mm : whole length of the bar [mm]
    braces : number of equally spaced braces that meet the bar, 0 to 20 [-]

    Returns: (1/2 - m1) w l, m1 being the moment over the first brace [N]

    Validity, source: as `brace_force`. Errors: ValueError for a load or length not above 0, or braces outside 0 to 20.
    Rows: B-05e.
    """
    positive("load_n_m", load_n_m)
    positive("length_mm", length_mm)
    return (0.5 - continuous_beam(braces + 1)[2]) * load_n_m * length_mm / 1000.0 / (braces + 1)


def brace_gain(braces: int) -> float:
    """How many times less a bar bows for its braces.

    Parameters
    ----------
    braces : number of equally spaced rigid braces, 0 to 20 [-]

    Returns: deflection without braces over deflection with them, both with freely giving corners [ratio]

    Validity, errors, source: as `end_reaction`.
    Rows: B-06.
    """
    return 5.0 / 384.0 * (braces + 1) ** 4 / continuous_beam(braces + 1)[0]


def inward_bow_bracket(
    pull_n_m: float, length_mm: float, width_mm: float, depth_mm: float, moe_mpa: float, braces: int = 0
) -> tuple[float, float]:
    """The least and the most that a bar bows inward under the pull of the canvas.

    Keyed corners hold a bar in part, so the truth lies between held ends and freely giving ones. With ends held and
    equal spans, every span is a held beam by symmetry.

    Parameters
    ----------
    pull_n_m : canvas pull, which is the canvas's tension across the bar [N/m]
    length_mm : whole length of the bar [mm]
    width_mm : width of the bar, in the plane of the canvas [mm]
    depth_mm : depth of the bar, front to back [mm]
    moe_mpa : modulus of elasticity along the grain [MPa]
    braces : number of equally spaced braces that meet the bar, 0 to 20 [-]

    Returns: deflection with ends held, deflection with freely giving ends [mm]

    Validity: rigid braces, slender bar, small deflection; the bar's own shear left out. Errors: ValueError for numbers
    not above 0, or braces outside 0 to 20. Source: Roark; Clapeyron.
    Rows: WE-2c, WE-2d.
    """
    rigidity = flexural_rigidity(moe_mpa, second_moment(depth_mm, width_mm))
    free = continuous_beam(braces + 1)[0]
    unit = even_load(pull_n_m, length_mm / (braces + 1), rigidity)
    return unit / 384.0, free * unit
