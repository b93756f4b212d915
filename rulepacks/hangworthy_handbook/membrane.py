"""A membrane held flat along a rectangle: how far an even load moves its middle."""

import math
from typing import Final

# Odd terms beyond the sixth are below 1e-12 even for a square, the slowest case (each is exp(-pi) of the one before).
_ODD: Final = (1, 3, 5, 7, 9, 11)


def sag_coefficient(aspect: float) -> float:
    """Sag at the centre of an evenly loaded membrane, w0 T / (q a^2), where a is the short side.

    The double sine series summed along the long side in closed form: what is left falls by exp(-pi) from term to term,
    and 2 exp(-x) / (1 + exp(-2x)) stands for 1/cosh(x), which would overflow for a long strip.

    Parameters
    ----------
    aspect : long side / short side, 1 or more; infinity is a strip [-]

    Returns: coefficient [-]

    Validity: every rectangle. Errors: ValueError for an aspect below 1.
    Source: Timoshenko, membrane and torsion analogy.
    Rows: C-04a, C-04b, C-04c, C-04d.
    """
    if not aspect >= 1.0:
        raise ValueError(f"aspect is long side over short side and should be 1 or more, but is {aspect!r}.")
    total, sign = 0.0, 1.0
    for k in _ODD:
        fall = math.exp(-0.5 * math.pi * k * aspect)
        total += sign * 2.0 * fall / ((1.0 + fall * fall) * k**3)
        sign = -sign
    return 0.125 * (1.0 - 32.0 / math.pi**3 * total)
