"""What a stay spends, between the least and the most that the known facts allow."""

from collections.abc import Callable
from datetime import date
from typing import NamedTuple

from hangworthy.contract import Check, Undecided, fact, show

from .formulas import days_until, dose
from .formulas.dose import DAYS_A_YEAR, HOURS_A_DAY
from .materials import Known, Material, decide, material_of

AGES = "ten years or more"
_LONG = 3650.0


class Stay(NamedTuple):
    """The days of a stay and the light on its wall, as facts; None where it is not known."""

    lx: float = fact("wall.illuminance_lx")
    hours: float = fact("wall.light_hours")
    first: date = fact("hang_from")
    last: date = fact("hang_until")
    lit_days: float | None = fact("wall.lit_days_per_year", optional=True)
    direct_sun: bool | None = fact("wall.direct_sun", optional=True)
    sun_hours: float | None = fact("wall.sun_hours", optional=True)


class Spending(NamedTuple):
    """Light of a calendar day, the least and the most that it may be, and the facts that would bring the two together."""

    least: float
    most: float
    missing: tuple[str, ...]


def days_hung(first: date, last: date) -> int | Undecided:
    """Return the days of a stay, both ends counted; dates in the wrong order are asked for again."""
    days = (last - first).days + 1
    return days if days > 0 else Undecided(("hang_from", "hang_until"))


def over_the_stay(
    stay: Stay, known: Known, sun_lx: float, ask: Callable[[float, Spending, Material], Check | Undecided]
) -> Check | Undecided:
    """Return what a question says of the days of a stay, what each of them spends and the materials, or what would have to be known."""
    span, days, a_day = material_of(known), days_hung(stay.first, stay.last), spending(stay, sun_lx)
    if isinstance(span, Undecided):
        return span
    if isinstance(days, Undecided):
        return days
    if isinstance(a_day, Undecided):
        return a_day
    return decide(span, lambda material: ask(float(days), a_day, material))


def spending(stay: Stay, sun_lx: float) -> Spending | Undecided:
    """Return what a calendar day spends, with ``sun_lx`` [lx] while the sun shines. Unlit days thin out the lamps, not the sun.

    No sun with hours of sun, or sun with none, contradict each other and are asked for again.
    """
    sun = stay.sun_hours
    if stay.direct_sun is not None and sun is not None and stay.direct_sun != (sun > 0):
        return Undecided(("wall.direct_sun", "wall.sun_hours"))
    missing: list[str] = []
    lamps, low, high = dose(stay.lx, stay.hours, 1.0), 1.0, 1.0
    if stay.lit_days is None:
        low = 0.0
        missing += ["wall.lit_days_per_year"] if lamps else []
    else:
        low = high = min(1.0, stay.lit_days / DAYS_A_YEAR)
    sun_low = sun_high = 0.0 if stay.direct_sun is False else sun
    if sun_low is None or sun_high is None:
        sun_low, sun_high = 0.0, HOURS_A_DAY
        missing.append("wall.direct_sun" if stay.direct_sun is None else "wall.sun_hours")
    return Spending(lamps * low + sun_lx * sun_low, lamps * high + sun_lx * sun_high, tuple(missing))


def lasting(budget: float, a_day: float) -> str:
    """Return how long a budget lasts, in words; whole days, rounded down."""
    days = days_until(budget, a_day, _LONG)
    if days >= _LONG:
        return AGES
    return show(float(int(days)), "d") if days >= 1 else "less than a day"


def chance(budget: float, a_day: float) -> str:
    """Return the offer of a shorter stay, to stand before another one; nothing where not even a day is left."""
    days = days_until(budget, a_day, _LONG)
    if days >= _LONG:  # less than the stay, which is longer still
        return "hang it here for ten years at most, or "
    return f"hang it here for {lasting(budget, a_day)} at most, or " if days >= 1 else ""
