"""The room's air: its mean, its swing within a day, and its extremes of the year."""

from hangworthy.contract import (
    OWN_POLICY,
    Check,
    Effect,
    Kind,
    Stage,
    Step,
    Undecided,
    Words,
    at_least,
    at_most,
    fact,
    given,
    rule,
    within,
)

from .facts import Support
from .limits import ASHRAE, PADFIELD, ClimateLimits
from .sensitivity import for_all
from .slowing import STEADIER, slower_for


@rule(
    "air",
    effect=Effect.ADVISE,
    step=Step.FIT,
    source=OWN_POLICY,
    due=Stage.HANGING,
    uses=["strict_low_rh", "strict_high_rh", "medium_low_rh", "medium_high_rh", "wide_low_rh", "wide_high_rh"],
    words=Words(
        measure="Mean humidity of the room",
        met="The room's air suits your work.",
        unmet="The room is too {how} for your work: its humidity is {value}, and {limit} suits it.",
        remedy="{slower} Ask us for another wall if it has cracked or cockled before.",
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
    slower = slower_for(kind, framed)
    return for_all(kind, support, lambda one: within(rh, *bands[one], unit="%", how="dry" if rh < bands[one][0] else "damp", slower=slower))


@rule(
    "steady",
    effect=Effect.ADVISE,
    step=Step.FIT,
    source=ASHRAE,
    due=Stage.HANGING,
    applies=[given("wall.rh_day_swing_percent")],
    uses=["steady_strict_rh", "steady_rh"],
    words=Words(
        measure="Swing of humidity within a day",
        met="The room's humidity is steady enough for your work.",
        unmet="The room's humidity swings by {value} within a day, and {limit} is the most that suits your work.",
        remedy=STEADIER,
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
    most, slower = (limits.steady_rh, limits.steady_rh, limits.steady_strict_rh), slower_for(kind, framed)
    return for_all(kind, support, lambda one: at_most(swing, most[one], unit="%", slower=slower))


@rule(
    "never-too-dry",
    effect=Effect.ADVISE,
    step=Step.FIT,
    source=PADFIELD,
    due=Stage.HANGING,
    applies=[given("wall.rh_year_low_percent")],
    uses=["wide_low_rh"],
    words=Words(
        measure="Lowest humidity of the year",
        met="The room never gets so dry that layers of paint or glue would split.",
        unmet="At times the room gets as dry as {value}; below {limit} paint, wood and glued layers can split.",
        remedy="{slower} Ask us for another place while the air is so dry.",
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
    return at_least(lowest, limits.wide_low_rh, unit="%", slower=slower_for(kind, framed))


@rule(
    "temperature",
    effect=Effect.ADVISE,
    step=Step.HANG,
    source=OWN_POLICY,
    due=Stage.HANGING,
    uses=["cool_c", "warm_c"],
    words=Words(
        measure="Mean temperature of the room",
        met="The room is neither too warm nor too cold for your work.",
        unmet="The room is too {how} for your work: it has {value}, and {limit} suits it.",
        remedy="We look for a wall in another room; if there is none, we keep the stay short.",
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
    step=Step.HANG,
    source=ASHRAE,
    due=Stage.HANGING,
    applies=[given("wall.temp_year_high_c")],
    uses=["warmest_c"],
    words=Words(
        measure="Highest temperature of the year",
        met="The room never gets too warm for your work.",
        unmet="The room gets as warm as {value}; above {limit} a work ages faster and glues soften.",
        remedy="We look for a cooler wall, away from windows and machines.",
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


AIR_RULES = (air, steady, never_too_dry, temperature, never_too_warm)
