"""One person or two: the NIOSH lifting equation and the HSE filter, both as screening."""

from typing import NamedTuple

from hangworthy.contract import (
    CAUTION_WEIGHT,
    Check,
    Effect,
    Stage,
    Undecided,
    Words,
    at_most,
    fact,
    published,
    rule,
)

from .facts import Grip, Zone
from .formulas import filter_adjusted, filter_weight, frequency_multiplier, grip_multiplier, recommended_weight
from .limits import HangingLimits
from .size import HANGS
from .weight import Layers, Weight, by_weight

_LIFT = Words(
    measure="Weight against what one person should lift",
    met="One person can hang it.",
    unmet="At {value} it takes two people: one should lift no more than {limit} here.",
    remedy="Come with a second person, or tell your coordinator, who will send two.",
    better="Weigh the work once more on a finer scale, and give the weight with its ±.",
    bench="Weight {weight}; screening by {how}: one person up to {limit}. A screening value, not a limit.",
)


class Lift(NamedTuple):
    """How the work is lifted onto its hooks, as far as it is known."""

    reach: float | None = fact("hanging.lift_reach_mm", optional=True)
    start: float | None = fact("hanging.lift_from_mm", optional=True)
    twist: float | None = fact("hanging.lift_twist_deg", optional=True)
    grip: Grip | None = fact("hanging.grip", optional=True)


@rule(
    "two-to-lift",
    by="equation",
    effect=Effect.ADVISE,
    source=published("NIOSH 94-110 (rev. 2021)", "revised lifting equation; frequency and coupling tables", from_memory=True),
    due=Stage.HANGING,
    applies=HANGS,
    uses=["lift_reach_mm", "lift_from_mm", "lifts_per_min", "lift_hours", "centre_mm"],
    cautions=[CAUTION_WEIGHT],
    words=_LIFT,
)
def two_by_equation(limits: HangingLimits, layers: Layers, lift: Lift) -> Check | Undecided:
    """Does it take two people to hang it?

    The NIOSH lifting equation gives the weight that one person should lift, at the start and at the height of the middle of the work, where
    it has to be held with care; the smaller counts. Reach, start, twist and grip that are not given are the programme's usual ones: no
    twist, and fingers bent under the frame. A screening value, not a limit.
    """
    start = limits.lift_from_mm if lift.start is None else lift.start
    reach = limits.lift_reach_mm if lift.reach is None else lift.reach
    travel = abs(limits.centre_mm - start)

    def at(hands: float) -> float:
        often = frequency_multiplier(limits.lifts_per_min, limits.lift_hours, hands)
        return recommended_weight(reach, hands, travel, lift.twist or 0.0, often, grip_multiplier(lift.grip or "fair", hands))

    most = min(at(start), at(limits.centre_mm))
    how = "the lifting equation of NIOSH"
    return by_weight(layers, lambda weight: at_most(weight.kg, most, unit="kg", weight=weight.text, how=how))


@rule(
    "two-to-lift",
    by="filter",
    prefer=1,
    effect=Effect.ADVISE,
    source=published("HSE INDG143 / L23", "lifting and lowering filter", from_memory=True),
    due=Stage.HANGING,
    applies=HANGS,
    uses=["lifts_per_min"],
    cautions=[CAUTION_WEIGHT],
    words=_LIFT,
)
def two_by_filter(
    limits: HangingLimits,
    layers: Layers,
    zones: tuple[Zone, ...] = fact("hanging.lift_zones"),
    close: bool = fact("hanging.lift_close"),
    men: bool | None = fact("hanging.lift_men", optional=True),
    twist: float | None = fact("hanging.lift_twist_deg", optional=True),
) -> Check | Undecided:
    """Does it take two people to hang it?

    The HSE filter gives a weight for each zone that the hands pass through, of which the smallest counts, lowered for how often one lifts
    and how far one twists. The lower of its two columns, and the widest twist, count until they are known. A screening value, not a limit.
    """
    if not zones:
        return Undecided(("hanging.lift_zones",))
    often = limits.lifts_per_min
    least = filter_adjusted(filter_weight(zones, close, bool(men)), often, 180.0 if twist is None else twist)
    most = filter_adjusted(filter_weight(zones, close, men is not False), often, twist or 0.0)
    missing = {"hanging.lift_men": men, "hanging.lift_twist_deg": twist}
    ask = tuple(path for path, value in missing.items() if value is None)

    def judge(weight: Weight) -> Check | Undecided:
        if least < weight.kg <= most:
            return Undecided(ask)
        figure = least if weight.kg <= least else most
        return at_most(weight.kg, figure, unit="kg", weight=weight.text, how="the lifting filter of HSE")

    return by_weight(layers, judge)


@rule(
    "carried-far",
    effect=Effect.ADVISE,
    source=published("HSE INDG143 / L23", "lifting and lowering filter: carrying"),
    due=Stage.HANGING,
    applies=HANGS,
    uses=["carry_m"],
    cautions=[CAUTION_WEIGHT],
    words=Words(
        measure="Carrying distance",
        met="It is carried no further than a lift allows for.",
        unmet="It is carried {value} by hand; beyond {limit} the figures for lifting no longer hold.",
        remedy="Your coordinator will plan a trolley, a rest on the way, or a second person.",
    ),
)
def carried_far(limits: HangingLimits, distance: float = fact("hanging.carry_m")) -> Check:
    """Is it carried only a short way by hand?

    The figures for lifting hold for a carry against the body up to the limit; beyond it the carry needs a closer look.
    """
    return at_most(distance, limits.carry_m, unit="m")


LIFT_RULES = (two_by_equation, two_by_filter, carried_far)
