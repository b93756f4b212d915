"""What a stay spends, between the least and the most that the known facts allow."""

from datetime import date
from typing import NamedTuple

from hangworthy.contract import Undecided, show

from .formulas import days_until, dose
from .formulas.dose import DAYS_A_YEAR, HOURS_A_DAY

AGES = "ten years or more"
_LONG = 3650.0


class Light(NamedTuple):
    """The light on the wall as facts; None where it is not known."""

    lx: float
    hours: float
    lit_days: float | None
    direct_sun: bool | None
    sun_hours: float | None
    sun_lx: float


class Spending(NamedTuple):
    """Light of a calendar day, the least and the most that it may be, and the facts that would bring the two together."""

    least: float
    most: float
    missing: tuple[str, ...]


def days_hung(first: date, last: date) -> int | Undecided:
    """Return the days of a stay, both ends counted; dates in the wrong order are asked for again."""
    days = (last - first).days + 1
    return days if days > 0 else Undecided(("hang_from", "hang_until"))


def spending(light: Light) -> Spending | Undecided:
    """Return what a calendar day spends. Unlit days thin out the lamps, not the sun.

    No sun with hours of sun, or sun with none, contradict each other and are asked for again.
    """
    sun = light.sun_hours
    if light.direct_sun is not None and sun is not None and light.direct_sun != (sun > 0):
        return Undecided(("wall.direct_sun", "wall.sun_hours"))
    missing: list[str] = []
    lamps, low, high = dose(light.lx, light.hours, 1.0), 1.0, 1.0
    if light.lit_days is None:
        low = 0.0
        missing += ["wall.lit_days_per_year"] if lamps else []
    else:
        low = high = min(1.0, light.lit_days / DAYS_A_YEAR)
    sun_low = sun_high = 0.0 if light.direct_sun is False else sun
    if sun_low is None or sun_high is None:
        sun_low, sun_high = 0.0, HOURS_A_DAY
        missing.append("wall.direct_sun" if light.direct_sun is None else "wall.sun_hours")
    return Spending(lamps * low + light.sun_lx * sun_low, lamps * high + light.sun_lx * sun_high, tuple(missing))


def lasting(budget: float, a_day: float) -> str:
    """Return how long a budget lasts, in words; whole days, rounded down."""
    days = days_until(budget, a_day, _LONG)
    if days >= _LONG:
        return AGES
    return show(float(int(days)), "d") if days >= 1 else "less than a day"


def chance(budget: float, a_day: float) -> str:
    """Return the offer of a shorter stay, to stand before another one; nothing where not even a day is left."""
    return f"hang it here for {lasting(budget, a_day)} at most, or " if days_until(budget, a_day, _LONG) >= 1 else ""
