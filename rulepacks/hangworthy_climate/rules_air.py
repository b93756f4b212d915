"""The room's air: its mean, its swing within a day, its extremes of the year, and the type of control that it keeps."""

from typing import NamedTuple

from hangworthy.contract import (
    OWN_POLICY,
    Check,
    Effect,
    Kind,
    Stage,
    Undecided,
    Words,
    at_least,
    at_most,
    fact,
    given,
    rule,
    show,
    within,
)

from .facts import Support
from .formulas import control_type
from .formulas.bands import TYPES
from .limits import ASHRAE, PADFIELD, ClimateLimits
from .sensitivity import for_all

_STEADIER = "{slower} Or ask your coordinator for a room with steadier air."


def _slower(kind: Kind | None, framed: bool | None) -> str:
    """Return what would slow every change of the air down for a work."""
    if framed:
        return "Close the back of the frame with a board and tape: it slows every change down."
    if kind == "stretched-canvas":
        return "Fix a board to the back of the stretcher: it slows every change down."
    if kind == "sculpture":
        return "A closed display case slows every change down."
    return "A frame with a closed back slows every change down."


@rule(
    "air",
    effect=Effect.ADVISE,
    source=OWN_POLICY,
    due=Stage.HANGING,
    uses=["strict_low_rh", "strict_high_rh", "medium_low_rh", "medium_high_rh", "wide_low_rh", "wide_high_rh"],
    words=Words(
        measure="Mean humidity of the room",
        met="The room's air suits your work.",
        unmet="The room is too {how} for your work: its humidity is {value}, and {limit} suits it.",
        remedy="{slower} Ask for another wall if it has cracked or cockled before.",
    ),
)
def air(
    limits: ClimateLimits,
    rh: float = fact("wall.rh_percent"),
    kind: Kind = fact("kind"),
    support: Support | None = fact("climate.support", optional=True),
    framed: bool | None = fact("framed", optional=True),
) -> Check | Undecided:
    """Does the room's humidity suit the work?

    The mean relative humidity against the band of the material: narrow for solid wood, wider for canvas, paper, boards and cloth, widest
    for metal, glass, stone and the like. Both ends pass. What a panel or a sculpture is made of is asked for only where it decides.
    """
    bands = (
        (limits.wide_low_rh, limits.wide_high_rh),
        (limits.medium_low_rh, limits.medium_high_rh),
        (limits.strict_low_rh, limits.strict_high_rh),
    )
    slower = _slower(kind, framed)
    return for_all(kind, support, lambda one: within(rh, *bands[one], unit="%", how="dry" if rh < bands[one][0] else "damp", slower=slower))


@rule(
    "steady",
    effect=Effect.ADVISE,
    source=ASHRAE,
    due=Stage.HANGING,
    applies=[given("wall.rh_day_swing_percent")],
    uses=["steady_strict_rh", "steady_rh"],
    words=Words(
        measure="Swing of humidity within a day",
        met="The room's humidity is steady enough for your work.",
        unmet="The room's humidity swings by {value} within a day, and {limit} is the most that suits your work.",
        remedy=_STEADIER,
    ),
)
def steady(
    limits: ClimateLimits,
    swing: float = fact("wall.rh_day_swing_percent"),
    kind: Kind = fact("kind"),
    support: Support | None = fact("climate.support", optional=True),
    framed: bool | None = fact("framed", optional=True),
) -> Check | Undecided:
    """Is the room's humidity steady within a day?

    How far it strays from the mean of the day, up or down, where that is logged; narrower for solid wood. It passes up to the limit.
    """
    most, slower = (limits.steady_rh, limits.steady_rh, limits.steady_strict_rh), _slower(kind, framed)
    return for_all(kind, support, lambda one: at_most(swing, most[one], unit="%", slower=slower))


@rule(
    "never-too-dry",
    effect=Effect.ADVISE,
    source=PADFIELD,
    due=Stage.HANGING,
    applies=[given("wall.rh_year_low_percent")],
    uses=["wide_low_rh"],
    words=Words(
        measure="Lowest humidity of the year",
        met="The room never gets so dry that layers of paint or glue would split.",
        unmet="At times the room gets as dry as {value}; below {limit} paint, wood and glued layers can split.",
        remedy="{slower} Ask whether it can hang elsewhere while the air is so dry.",
    ),
)
def never_too_dry(
    limits: ClimateLimits,
    lowest: float = fact("wall.rh_year_low_percent"),
    mean: float | None = fact("wall.rh_percent", optional=True),
    kind: Kind | None = fact("kind", optional=True),
    framed: bool | None = fact("framed", optional=True),
) -> Check | Undecided:
    """Does the room never get too dry?

    The lowest humidity of a logged year, which passes from the limit up: below it layers may split even in a short time. A lowest figure
    above the mean is a slip, and both are asked for again.
    """
    if mean is not None and lowest > mean:
        return Undecided(("wall.rh_year_low_percent", "wall.rh_percent"))
    return at_least(lowest, limits.wide_low_rh, unit="%", slower=_slower(kind, framed))


@rule(
    "temperature",
    effect=Effect.ADVISE,
    source=OWN_POLICY,
    due=Stage.HANGING,
    uses=["cool_c", "warm_c"],
    words=Words(
        measure="Mean temperature of the room",
        met="The room is neither too warm nor too cold for your work.",
        unmet="The room is too {how} for your work: it has {value}, and {limit} suits it.",
        remedy="Ask for a wall in another room; if there is none, keep the stay short.",
    ),
)
def temperature(limits: ClimateLimits, temp: float = fact("wall.temp_c")) -> Check:
    """Is the room's temperature right?

    The mean temperature against one band for all: warmth ages works, and paint turns brittle in the cold. Both ends pass.
    """
    return within(temp, limits.cool_c, limits.warm_c, unit="°C", how="cold" if temp < limits.cool_c else "warm")


@rule(
    "never-too-warm",
    effect=Effect.ADVISE,
    source=ASHRAE,
    due=Stage.HANGING,
    applies=[given("wall.temp_year_high_c")],
    uses=["warmest_c"],
    words=Words(
        measure="Highest temperature of the year",
        met="The room never gets too warm for your work.",
        unmet="The room gets as warm as {value}; above {limit} a work ages faster and glues soften.",
        remedy="Ask for a cooler wall, away from windows and machines.",
    ),
)
def never_too_warm(
    limits: ClimateLimits, warmest: float = fact("wall.temp_year_high_c"), mean: float | None = fact("wall.temp_c", optional=True)
) -> Check | Undecided:
    """Does the room never get too warm?

    The highest temperature of a logged year, which passes up to the limit. A highest figure below the mean is a slip, and both are asked
    for again.
    """
    if mean is not None and warmest < mean:
        return Undecided(("wall.temp_year_high_c", "wall.temp_c"))
    return at_most(warmest, limits.warmest_c, unit="°C")


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
    source=ASHRAE,
    due=Stage.HANGING,
    applies=[given(*_YEAR)],
    uses=["strict_type", "medium_type", "wide_type"],
    words=Words(
        measure="Type of climate control",
        met="The room's air is kept as well as your work needs.",
        unmet="The air changes too much for your work: {worst}.",
        remedy=_STEADIER,
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
    reached, slower = control_type(*year), _slower(kind, framed)
    needed = (limits.wide_type, limits.medium_type, limits.strict_type)

    def judged(one: int) -> Check:
        much = _too_much(year, needed[one]) if reached > needed[one] else []
        named = {"worst": " and ".join(much[:2]), "much": f"; too much: {' and '.join(much)}" if much else "", "slower": slower}
        return at_most(float(reached), needed[one], unit="", reached=TYPES[reached], needed=TYPES[int(needed[one])], **named)

    return for_all(kind, support, judged)


AIR_RULES = (air, steady, never_too_dry, temperature, never_too_warm, control)
