"""A membrane with no tension of its own, bellied by an even load; and how a canvas answers to damp."""

import math
from typing import Final

from hangworthy_handbook.checks import positive, within

_TERMS: Final = 40
_REVERSAL_RH: Final = 80.0


def _hencky_series() -> tuple[tuple[float, ...], tuple[float, ...]]:
    # With x = (r/a)^2 and N = (E h q^2 a^2)^(1/3) B(x) / 4, equilibrium and compatibility give
    # B^2 (x B'' + 2 B') = -2. Put B = b0 * sum beta_n s^n with s = x / b0^3: the beta_n hold for every Poisson ratio.
    beta, inverse, square = [1.0], [1.0], [1.0]
    for n in range(1, _TERMS):
        beta.append(-2.0 * square[n - 1] / (n * (n + 1)))  # square holds the series of 1 / (sum beta s^n)^2
        inverse.append(-sum(beta[k] * inverse[n - k] for k in range(1, n + 1)))
        square.append(sum(inverse[k] * inverse[n - k] for k in range(n + 1)))
    return tuple(beta), tuple(c / (n + 1) for n, c in enumerate(inverse))


_BETA, _DEPTH = _hencky_series()


def hencky_coefficient(poisson: float) -> float:
    """Belly coefficient g of an untensioned circular membrane under even pressure, w0 = g a (q a / (E h))^(1/3).

    The edge does not move: (1 - poisson) B + 2 x B' = 0 at the rim fixes b0 (Newton's rule); the belly is the
    integral of 1/B.

    Parameters
    ----------
    poisson : Poisson ratio of the canvas in its plane [-]

    Returns: g [-]

    Validity: poisson from 0 to 0.5; isotropic, elastic, slopes small. Errors: ValueError outside of it.
    Source: Hencky 1915, power series.
    Rows: C-09a, C-09b, C-09c, C-09d, C-09e.
    """
    within("poisson", poisson, 0.0, 0.5)
    s = 0.2
    for _ in range(20):
        value = slope = 0.0
        for n in range(_TERMS - 1, -1, -1):
            slope = slope * s + value
            value = value * s + (1.0 - poisson + 2.0 * n) * _BETA[n]
        step = value / slope
        s -= step
        if abs(step) < 1e-13:
            break
    total = 0.0
    for depth in reversed(_DEPTH):
        total = total * s + depth
    return total * math.cbrt(s)


def _loosened(side_mm: float, pressure_pa: float, stiffness_n_m: float) -> float:
    positive("pressure_pa", pressure_pa)
    positive("stiffness_n_m", stiffness_n_m)
    return side_mm * math.cbrt(pressure_pa * side_mm / 1000.0 / stiffness_n_m)


def circular_belly(radius_mm: float, pressure_pa: float, stiffness_n_m: float, poisson: float = 0.3) -> float:
    """Belly of an untensioned circular membrane under even pressure, such as its own weight when it lies flat.

    Parameters
    ----------
    radius_mm : radius [mm]
    pressure_pa : even load [Pa]
    stiffness_n_m : modulus times thickness, E h [N/m]
    poisson : Poisson ratio in the plane [-]

    Returns: depth of the belly [mm]

    Validity: as `hencky_coefficient`. Errors: ValueError for numbers not above 0, or a ratio outside 0 to 0.5.
    Source: Hencky 1915.
    Rows: WE-3, WE-3b.
    """
    positive("radius_mm", radius_mm)
    return hencky_coefficient(poisson) * _loosened(radius_mm, pressure_pa, stiffness_n_m)


def square_belly(side_mm: float, pressure_pa: float, stiffness_n_m: float) -> float:
    """Belly of an untensioned square membrane under even pressure.

    Parameters
    ----------
    side_mm : whole side of the square [mm]
    pressure_pa : even load [Pa]
    stiffness_n_m : modulus times thickness, E h [N/m]

    Returns: 0.802 (side/2) (q (side/2) / (E h))^(1/3) [mm]

    Validity: Poisson ratio 0.25, slopes small. Errors: ValueError for numbers not above 0.
    Source: Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells (from memory).
    Rows: C-10.
    """
    positive("side_mm", side_mm)
    return 0.802 * _loosened(0.5 * side_mm, pressure_pa, stiffness_n_m)


def tension_trend(rh_percent: float) -> int:
    """Which way the tension of a restrained aged canvas painting goes when the air becomes damper.

    Below about 80 % RH the size layer swells and lets go; above it the fabric itself shrinks.

    Parameters
    ----------
    rh_percent : relative humidity [%]

    Returns: sign of dT/dRH, -1 below 80 %, 0 at it, +1 above [-]

    Validity: glue-sized linen; the sign only. Errors: ValueError outside 0 to 100.
    Source: Hedley 1988, Studies in Conservation 33.
    Rows: C-11a, C-11b.
    """
    within("rh_percent", rh_percent, 0.0, 100.0)
    return (rh_percent > _REVERSAL_RH) - (rh_percent < _REVERSAL_RH)
