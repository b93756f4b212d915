"""The type of climate control that a room keeps over a logged year, and what of the year misses the one that a work needs."""

from typing import Any, NamedTuple

from hangworthy.contract import Check, Effect, Kind, Stage, Step, Undecided, Words, at_most, fact, given, rule, show

from .facts import Support
from .formulas import control_type
from .formulas.bands import TYPES
from .limits import ASHRAE, ClimateLimits
from .sensitivity import for_all
from .slowing import STEADIER, slower_for

_YEAR = ("wall.rh_year_low_percent", "wall.rh_year_high_percent", "wall.rh_day_swing_percent",
         "wall.temp_year_low_c", "wall.temp_year_high_c", "wall.temp_day_swing_k")  # fmt: skip


class _Year(NamedTuple):
    """A logged year, as `control_type` takes it."""

    rh_low: float
    rh_high: float
    rh_swing: float
    temp_low: float
    temp_high: float
    temp_swing: float


_STILL = _Year(50.0, 50.0, 0.0, 20.0, 20.0, 0.0)  # keeps the strictest type


def _too_much(year: _Year, needed: float) -> list[str]:
    """Return what of a year alone misses a type of control; where only the humidity of year and day together do, both."""
    humidity = f"humidity from {show(year.rh_low, '%')} to {show(year.rh_high, '%')}"
    by_day = f"daily humidity swings of {show(year.rh_swing, '%')}"
    parts = {
        humidity: _STILL._replace(rh_low=year.rh_low, rh_high=year.rh_high),
        by_day: _STILL._replace(rh_swing=year.rh_swing),
        f"temperatures from {show(year.temp_low, '°C')} to {show(year.temp_high, '°C')}": _STILL._replace(
            temp_low=year.temp_low, temp_high=year.temp_high
        ),
        f"daily temperature swings of {show(year.temp_swing, 'K')}": _STILL._replace(temp_swing=year.temp_swing),
    }
    return [text for text, alone in parts.items() if control_type(*alone) > needed] or [humidity, by_day]


@rule(
    "control",
    effect=Effect.ADVISE,
    step=Step.FIT,
    source=ASHRAE,
    due=Stage.HANGING,
    applies=[given(*_YEAR)],
    uses=["strict_type", "medium_type", "wide_type"],
    words=Words(
        measure="Type of climate control",
        met="The room's air is kept as well as your work needs.",
        unmet="The air changes too much for your work: {worst}.",
        remedy=STEADIER,
        bench="Type of climate control over the year: {reached}; {needed} or better suits this work{much}.",
    ),
)
def control(
    limits: ClimateLimits,
    rh_low: float = fact("wall.rh_year_low_percent"),
    rh_high: float = fact("wall.rh_year_high_percent"),
    rh_swing: float = fact("wall.rh_day_swing_percent"),
    temp_low: float = fact("wall.temp_year_low_c"),
    temp_high: float = fact("wall.temp_year_high_c"),
    temp_swing: float = fact("wall.temp_day_swing_k"),
    kind: Kind = fact("kind"),
    support: Support | None = fact("climate.support", optional=True),
    framed: bool | None = fact("framed", optional=True),
) -> Check | Undecided:
    """Is the room's air kept as well as the work needs, over a logged year?

    The strictest type of control (AA, A1, A2, B, C, D) that the year keeps, counted from 0 for AA, against the type that suits the
    material; it passes up to the limit. Asked only where the whole year is logged. Lows above highs are asked for again.
    """
    if rh_low > rh_high:
        return Undecided(_YEAR[:2])
    if temp_low > temp_high:
        return Undecided(_YEAR[3:5])
    year = _Year(rh_low, rh_high, rh_swing, temp_low, temp_high, temp_swing)
    reached, slower = control_type(*year), slower_for(kind, framed)
    needed = (limits.wide_type, limits.medium_type, limits.strict_type)

    def judged(one: int) -> Check:
        much = _too_much(year, needed[one]) if reached > needed[one] else []
        named: dict[str, Any] = {
            "worst": " and ".join(much[:2]),
            "much": f"; too much: {' and '.join(much)}" if much else "",
            "slower": slower,
        }
        return at_most(float(reached), needed[one], unit="", reached=TYPES[reached], needed=TYPES[int(needed[one])], **named)

    return for_all(kind, support, judged)


CONTROL_RULES = (control,)
