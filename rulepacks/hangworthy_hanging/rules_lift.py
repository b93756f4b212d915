"""One person, two, or neither: the NIOSH lifting equation and the HSE filter, both as screening."""

from functools import lru_cache
from typing import Any

from hangworthy.contract import (
    CAUTION_WEIGHT,
    Check,
    Effect,
    Stage,
    Step,
    Undecided,
    Words,
    at_most,
    fact,
    published,
    rule,
    show_apart,
)

from .facts import Grip, Zone
from .formulas import filter_adjusted, filter_weight, frequency_multiplier, grip_multiplier, recommended_weight
from .formulas.niosh import LOAD_CONSTANT, NEAREST_MM
from .limits import HangingLimits
from .size import HANGS
from .weight import Layers, by_estimate

_LIFT = Words(
    measure="Weight against what one person should lift",
    met="One person can hang it.",
    unmet="{told}",
    remedy="{todo}",
    better="Weigh the work once more on a finer scale, and give the weight with its ±.",
    bench="Weight {weight}; screening by {how}: {alone}; two at best up to {best}. A screening value, not a limit.",
)


_NIOSH = published("NIOSH 94-110 (rev. 2021)", "revised lifting equation; frequency and coupling tables", from_memory=True)
_BY_USUAL = "the usual lift and the equation of NIOSH"
_TWO = "We send two people to hang it."
_PLANNED = "We send two people and plan the lift: hold it close, start from a table, keep the way free."
_CARRIERS = "We send a lift or trained carriers; please leave it where it is until then."
_USUAL = ["lift_reach_mm", "lift_from_mm", "lifts_per_min", "lift_hours", "centre_mm", "team_share"]


@lru_cache(maxsize=64)  # the programme's usual lift is the same for every work
def _most(limits: HangingLimits, reach: float, start: float, twist: float = 0.0, grip: Grip = "fair") -> float:
    """Return what one person should lift [kg]: the smaller of the start and the hook, where the work has to be held with care."""

    def at(hands: float) -> float:
        often = frequency_multiplier(limits.lifts_per_min, limits.lift_hours, hands)
        return recommended_weight(reach, hands, abs(limits.centre_mm - start), twist, often, grip_multiplier(grip, hands))

    return min(at(start), at(limits.centre_mm))


@lru_cache(maxsize=64)
def _best(limits: HangingLimits) -> float:
    """Return what one person should lift to the hook in the best of ways [kg]: held close, by handles, from a table, seldom.

    Too high for the equation, that is what one should lift in the best of all places.
    """
    return recommended_weight(NEAREST_MM, limits.centre_mm, 0.0, 0.0) or LOAD_CONSTANT


def _screened(limits: HangingLimits, mass: float, most: float, how: str, weight: Any) -> Check:
    """Return the check of a weight against what one person should lift; outside of a method's range that is nothing at all [kg].

    What two may lift is less than twice as much, since neither bears just half of it. Above that the lift has to be planned, as screening
    values ask for a closer look and forbid nothing; two are only ruled out by what they should not lift in the best of ways.
    """
    together = 2.0 * limits.team_share * most
    end = max(together, 2.0 * limits.team_share * _best(limits))
    (own, limit), (heavy, two), (high, best) = (show_apart(mass, one, "kg") for one in (most, together, end))
    if mass > end:
        said = f"At {high} two people are not enough by this screening: at best, two should lift no more than {best} here."
        said, todo = f"{said} It takes a lift or trained carriers.", _CARRIERS
    elif most <= 0.0:
        said, todo = f"At {own} it takes two people: lifted in this way, one alone should lift nothing.", _PLANNED
    elif mass > together:
        said = f"At {heavy} it takes two people who plan the lift: without a plan, two should lift no more than {two} here."
        todo = _PLANNED
    else:
        said, todo = f"At {own} it takes two people: one should lift no more than {limit} here.", _TWO
    alone = f"one person up to {limit}, two up to {two}" if most > 0.0 else "nothing for one person, since it is outside of the range"
    return at_most(mass, most, unit="kg", weight=weight, how=how, told=said, todo=todo, alone=alone, best=best)


@rule(
    "two-to-lift",
    by="usual lift",
    effect=Effect.ADVISE,
    step=Step.HANG,
    source=_NIOSH,
    due=Stage.HANGING,
    applies=HANGS,
    uses=_USUAL,
    cautions=[CAUTION_WEIGHT],
    words=_LIFT,
)
def two_usually(limits: HangingLimits, mass: float = fact("mass_kg")) -> Check:
    """Does it take two people to hang it?

    The NIOSH lifting equation gives the weight that one person should lift, at the start and at the height of the middle of the work; the
    smaller counts. Reach and start are the programme's usual ones; no twist, fingers bent under the frame. Two may lift a share of twice as
    much; above that they plan the lift, up to what they may lift to the hook in the best of ways: held close, from a table. Beyond that it
    takes a lift or trained carriers. A screening value, not a limit: local rules and training come first.
    """
    most = _most(limits, limits.lift_reach_mm, limits.lift_from_mm)
    return _screened(limits, mass, most, _BY_USUAL, (mass, "kg"))


@rule(
    "two-to-lift",
    by="estimate",
    prefer=1,
    effect=Effect.ADVISE,
    step=Step.HANG,
    source=_NIOSH,
    due=Stage.HANGING,
    applies=HANGS,
    uses=_USUAL,
    cautions=[CAUTION_WEIGHT],
    words=_LIFT,
)
def two_by_estimate(limits: HangingLimits, layers: Layers) -> Check | Undecided:
    """Does it take two people to hang it?

    The same, where the outermost weights of its layers agree on the answer.
    """
    most = _most(limits, limits.lift_reach_mm, limits.lift_from_mm)
    return by_estimate(layers, lambda kg, text: _screened(limits, kg, most, _BY_USUAL, text))


@rule(
    "two-to-lift",
    by="equation",
    prefer=2,
    effect=Effect.ADVISE,
    step=Step.HANG,
    source=_NIOSH,
    due=Stage.HANGING,
    applies=HANGS,
    uses=["lifts_per_min", "lift_hours", "centre_mm", "team_share"],
    cautions=[CAUTION_WEIGHT],
    words=_LIFT,
)
def two_by_equation(
    limits: HangingLimits,
    mass: float = fact("mass_kg"),
    reach: float = fact("hanging.lift_reach_mm"),
    start: float = fact("hanging.lift_from_mm"),
    twist: float = fact("hanging.lift_twist_deg"),
    grip: Grip = fact("hanging.grip"),
) -> Check:
    """Does it take two people to hang it?

    The same equation with reach, start, twist and grip as measured. A screening value, not a limit.
    """
    most = _most(limits, reach, start, twist, grip)
    return _screened(limits, mass, most, "the equation of NIOSH", (mass, "kg"))


@rule(
    "two-to-lift",
    by="filter",
    prefer=3,
    effect=Effect.ADVISE,
    step=Step.HANG,
    source=published("HSE INDG143 / L23", "lifting and lowering filter", from_memory=True),
    due=Stage.HANGING,
    applies=HANGS,
    uses=["lifts_per_min", "team_share"],
    cautions=[CAUTION_WEIGHT],
    words=_LIFT,
)
def two_by_filter(
    limits: HangingLimits,
    mass: float = fact("mass_kg"),
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

    if least < mass <= most:
        return Undecided(ask)
    return _screened(limits, mass, least if mass <= least else most, "the lifting filter of HSE", (mass, "kg"))


@rule(
    "carried-far",
    effect=Effect.ADVISE,
    step=Step.HANG,
    source=published("HSE INDG143 / L23", "lifting and lowering filter: carrying"),
    due=Stage.HANGING,
    applies=HANGS,
    uses=["carry_m"],
    cautions=[CAUTION_WEIGHT],
    words=Words(
        measure="Carrying distance",
        met="It is carried no further than a lift allows for.",
        unmet="It is carried {value} by hand; beyond {limit} the figures for lifting no longer hold.",
        remedy="We plan a trolley, a rest on the way, or a second person.",
    ),
)
def carried_far(limits: HangingLimits, distance: float = fact("hanging.carry_m")) -> Check:
    """Is it carried only a short way by hand?

    The figures for lifting hold for a carry against the body up to the limit; beyond it the carry needs a closer look.
    """
    return at_most(distance, limits.carry_m, unit="m")


LIFT_RULES = (two_usually, two_by_estimate, two_by_equation, two_by_filter, carried_far)
