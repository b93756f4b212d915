"""Permanent paper: the four requirements of ISO 9706, in the figures of its 1994 edition. A later edition exists: check against it."""

from typing import Final

from hangworthy_handbook.checks import within

_TEAR_MN: Final = 350.0
_FULL_GRAMMAGE: Final = 70.0


def least_tear(grammage_g_m2: float) -> float:
    """Tearing resistance that permanent paper of a grammage must have, in either direction.

    Parameters
    ----------
    grammage_g_m2 : mass per area [g/m2]

    Returns: least tearing resistance [mN]

    Validity: 25 g/m2 and more; not for boards. Errors: ValueError below. Source: ISO 9706:1994.
    Rows: P-26a, P-26b, P-26c, P-26d.
    """
    within("grammage_g_m2", grammage_g_m2, 25.0, 10_000.0)
    return _TEAR_MN if grammage_g_m2 >= _FULL_GRAMMAGE else 6.0 * grammage_g_m2 - 70.0


def permanent_paper(ph: float, reserve_g_kg: float, kappa: float, tear_mn: float, grammage_g_m2: float) -> tuple[bool, bool, bool, bool]:
    """Whether a paper meets each of the four requirements of permanence.

    Parameters
    ----------
    ph : pH of the cold extract [-]
    reserve_g_kg : alkali reserve, as calcium carbonate [g/kg]
    kappa : kappa number, a measure of what oxidises easily [-]
    tear_mn : tearing resistance, the weaker direction [mN]
    grammage_g_m2 : mass per area [g/m2]

    Returns: acidity 7.5 to 10; reserve at least 20 g/kg; kappa below 5; tear as `least_tear`

    Validity: uncoated papers of 25 g/m2 and more; not for boards. Errors: ValueError as `least_tear`. Source: ISO 9706:1994.
    Rows: P-26e, P-26f, P-26g.
    """
    return 7.5 <= ph <= 10.0, reserve_g_kg >= 20.0, kappa < 5.0, tear_mn >= least_tear(grammage_g_m2)
