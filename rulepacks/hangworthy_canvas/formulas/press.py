"""The press test: a known force on a small square pad at the centre of the canvas, and how far it gives."""

import math
from functools import lru_cache
from typing import Final

from hangworthy_handbook.checks import positive, sides, within


def _power_series() -> tuple[float, ...]:
    # Coefficients of y^4, y^8, ... : zeta(3-k) (1 - 2^(k-3)) Im((-1+i)^k) / k! for k = 6, 10, ..., from the expansion
    # of the trilogarithm about 1. Six of them are good to 1e-8 for a pad as wide as the canvas, its worst case.
    zeta = (1 / 120, 1 / 240, 691 / 32760, 3617 / 8160, 174611 / 6600, 236364091 / 65520)
    terms = enumerate(zip(range(6, 30, 4), zeta, strict=True))
    return tuple((-1.0) ** i * z * (2.0 ** (k - 3) - 1.0) * 2.0 ** (k // 2) / math.factorial(k) for i, (k, z) in terms)


_SERIES: Final = _power_series()
_CONSTANT: Final = 0.75 + 0.25 * math.log(2.0) - math.pi / 8.0
_ODD: Final = tuple(range(1, 26, 2))


@lru_cache(maxsize=256)  # several rules ask it of one canvas
def press_coefficient(width_mm: float, height_mm: float, patch_mm: float) -> float:
    """Deflection at the centre of a membrane under an even load on a central square, w0 T / F.

    The double sine series of the membrane (Navier), w0 = 16 F / (pi^4 T p^2) * sum over odd m, n of sin(m pi p / 2a)
    sin(n pi p / 2b) a b / (m n (m^2 b/a + n^2 a/b)), needs some 10^5 terms for a small pad. Summed along the long side
    in closed form it becomes a single series in m, 4 F a^2 / (pi^3 T p^2) * sum of sin(m y) / m^3 * (1 - cosh(k (b -
    p)/2) / cosh(k b/2)), with y = pi p / 2a and k = m pi / a. Its slow part, sin(m y) (1 - exp(-m y)) / m^3, is a
    trilogarithm on the diagonal of the complex plane and has the short power series used here, where the logarithm
    shows how the deflection grows as the pad shrinks. What is left falls at least as fast as exp(-m pi / 2).

    Parameters
    ----------
    width_mm : free width between the bars [mm]
    height_mm : free height between the bars [mm]
    patch_mm : side of the square pad [mm]

    Returns: coefficient [-]

    Validity: pad from 1/10000 of the short side up to all of it. Errors: ValueError outside of it, or for sides that
    are not above 0. Source: Timoshenko, membrane analogy, double sine series; closed form derived from it.
    Rows: C-04e, C-08b, C-08c, C-08d.
    """
    short, long = sides(width_mm, height_mm)
    within("patch_mm", patch_mm, short * 1e-4, short)
    y = 0.5 * math.pi * patch_mm / short
    y4 = y**4
    near = 0.0
    for coefficient in reversed(_SERIES):
        near = (near + coefficient) * y4
    far = 0.0
    fall = math.exp(-math.pi * long / short)
    grow = math.exp(y) * fall
    for m in _ODD:
        # sinh(my) / (exp(m pi b/a) + 1), written so that nothing overflows
        size = grow**m
        far += math.sin(m * y) * size * -math.expm1(-2.0 * m * y) / ((1.0 + fall**m) * m**3)
        if size < 1e-10:
            break
    return (_CONSTANT - 0.5 * math.log(y) + near - far / (y * y)) / math.pi


def press_deflection(force_n: float, tension_n_m: float, width_mm: float, height_mm: float, patch_mm: float) -> float:
    """Deflection at the centre of a taut canvas pressed with a square pad.

    Parameters
    ----------
    force_n : force on the pad [N]
    tension_n_m : tension, the same in both directions [N/m]
    width_mm : free width between the bars [mm]
    height_mm : free height between the bars [mm]
    patch_mm : side of the square pad [mm]

    Returns: deflection [mm]

    Validity: small deflections. A deeper press stretches the canvas and meets more resistance than its tension alone.
    Errors: as `press_coefficient`; ValueError for a force or tension that is not above 0. Source: as
    `press_coefficient`.
    Rows: C-08e.
    """
    positive("force_n", force_n)
    positive("tension_n_m", tension_n_m)
    return 1000.0 * press_coefficient(width_mm, height_mm, patch_mm) * force_n / tension_n_m


def tension_from_press(force_n: float, deflection_mm: float, width_mm: float, height_mm: float, patch_mm: float) -> float:
    """Tension from a press test, the deflection being in proportion to force over tension.

    Parameters
    ----------
    force_n : force on the pad [N]
    deflection_mm : how far the pad goes in [mm]
    width_mm : free width between the bars [mm]
    height_mm : free height between the bars [mm]
    patch_mm : side of the square pad [mm]

    Returns: tension, as if the same in both directions [N/m]

    Validity: as `press_deflection`; a deep press reads high. Errors: as `press_coefficient`; ValueError for a force or
    deflection that is not above 0. Source: as `press_coefficient`.
    Rows: C-08f.
    """
    positive("force_n", force_n)
    positive("deflection_mm", deflection_mm)
    return 1000.0 * press_coefficient(width_mm, height_mm, patch_mm) * force_n / deflection_mm


def strip_deflection(force_n: float, tension_n_m: float, span_mm: float, strip_mm: float) -> float:
    """Deflection of a strip of canvas pressed at mid-span across its whole width.

    An upper bound for the press test: it leaves out the support that the canvas on either side gives.

    Parameters
    ----------
    force_n : force, spread over the strip's width [N]
    tension_n_m : tension along the strip [N/m]
    span_mm : length of the strip between the bars [mm]
    strip_mm : width of the strip [mm]

    Returns: F L / (4 T b) [mm]

    Validity: small deflections. Errors: ValueError for numbers that are not above 0.
    Source: statics of a string.
    Rows: C-08.
    """
    positive("force_n", force_n)
    positive("tension_n_m", tension_n_m)
    positive("span_mm", span_mm)
    positive("strip_mm", strip_mm)
    return 1000.0 * force_n * span_mm / (4.0 * tension_n_m * strip_mm)
