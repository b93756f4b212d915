"""Light doses: what a wall gives in a stay or a year, and how long a budget of light lasts."""

from typing import Final

from hangworthy_handbook.checks import positive, within

HOURS_A_DAY: Final = 24.0
DAYS_A_YEAR: Final = 365.0
SUN_LX: Final = 80_000.0


def dose(illuminance_lx: float, hours_a_day: float, days: float) -> float:
    """Light dose of a stay: illuminance times time (reciprocity).

    Parameters
    ----------
    illuminance_lx : light on the wall while it is lit [lx]
    hours_a_day : hours of light on a lit day [h]
    days : lit days [d]

    Returns: dose [lx h]

    Validity: the same dose does the same harm however it is spread, which holds at the levels of rooms.
    Errors: ValueError for a negative figure, or hours above 24. Source: CIE 157:2004.
    Rows: L-01a, L-01b, WE-5a, WE-5b, WE-5c, WE-5d, WE-5e.
    """
    within("illuminance_lx", illuminance_lx, 0.0, 1e6)
    within("hours_a_day", hours_a_day, 0.0, HOURS_A_DAY)
    within("days", days, 0.0, 1e6)
    return illuminance_lx * hours_a_day * days


def sun_dose(sun_hours_a_day: float, days: float) -> float:
    """Light dose of direct sun through a window.

    Parameters
    ----------
    sun_hours_a_day : hours of direct sun on a day [h]
    days : days with sun [d]

    Returns: dose [lx h]

    Validity: 80,000 lx of sun indoors, an order of size. Errors: ValueError for a negative figure, or hours above 24.
    Source: Padfield's proposal of an environmental standard.
    Rows: L-14.
    """
    return dose(SUN_LX, sun_hours_a_day, days)


def days_until(budget_lx_h: float, dose_a_day_lx_h: float, most: float = 1e6) -> float:
    """Days until a budget of light is spent.

    Parameters
    ----------
    budget_lx_h : light that may still be spent; a negative one is spent already [lx h]
    dose_a_day_lx_h : light of one day [lx h]
    most : the answer where there is no end in sight [d]

    Returns: days, 0 when nothing is left, and at most `most` [d]

    Validity: any. Errors: ValueError for a negative dose. Source: CIE 157:2004, dose as illuminance times time.
    Rows: WE-5f, WE-5g.
    """
    within("dose_a_day_lx_h", dose_a_day_lx_h, 0.0, float("inf"))
    if budget_lx_h <= 0.0:
        return 0.0
    return min(most, budget_lx_h / dose_a_day_lx_h) if dose_a_day_lx_h * most > budget_lx_h else most


def hours_until(budget_lx_h: float, illuminance_lx: float) -> float:
    """Hours of light that a budget allows at one level.

    Parameters
    ----------
    budget_lx_h : light that may be spent [lx h]
    illuminance_lx : light on the wall [lx]

    Returns: hours [h]

    Validity: as `dose`. Errors: ValueError for figures that are not above 0.
    Source: CIE 157:2004.
    Rows: L-03g, L-03h.
    """
    positive("budget_lx_h", budget_lx_h)
    positive("illuminance_lx", illuminance_lx)
    return budget_lx_h / illuminance_lx
