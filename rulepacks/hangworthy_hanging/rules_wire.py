"""The wire: is it steep enough, by either way of measuring, and do the two agree?"""

import math

from hangworthy.contract import (
    CAUTION_WEIGHT,
    OWN_POLICY,
    Check,
    Effect,
    Source,
    Stage,
    Step,
    Undecided,
    Words,
    at_least,
    at_most,
    fact,
    given,
    published,
    rule,
)

from .formulas import wire_angle, wire_rise
from .hung import WIRED, Hooks, angle_by_drop, angle_by_length, between, rise_of
from .limits import HangingLimits

_SLINGS: Source = published("ASME B30.9 practice and 29 CFR 1910.184", "angles below 30° from the horizontal are not to be used")
_STEEP = Words(
    measure="Angle of the wire from the horizontal",
    met="The wire is steep enough.",
    unmet="The wire is too flat and pulls hard on its rings: it rises {rise} above them and should rise {needed}.",
    remedy="Let the wire out until, pulled up, it stands {needed} above the rings; or move the rings closer together.",
    better="Pull the wire up with a finger in the middle and measure once more, to the millimetre.",
)


def _steep(limits: HangingLimits, spacing: float, rise: float, hooks: Hooks) -> Check | Undecided:
    """Return the check of a wire's angle. One hook makes the flattest wire, so that what it passes needs no more to be known."""
    apart = between(hooks)
    undecided = apart if isinstance(apart, Undecided) else None
    wide = 0.0 if isinstance(apart, Undecided) else apart
    if wide >= spacing:
        return Undecided(("hanging.hook_spacing_mm", "hanging.ring_spacing_mm"))
    angle = wire_angle(spacing, rise, wide)
    if angle < limits.wire_angle_deg and undecided:
        return undecided
    needed = (spacing - wide) / 2.0 * math.tan(math.radians(limits.wire_angle_deg))
    return at_least(angle, limits.wire_angle_deg, unit="°", rise=(rise, "mm"), needed=(needed, "mm"))


@rule(
    "wire-steep",
    by="drop",
    effect=Effect.PREPARE,
    source=_SLINGS,
    due=Stage.HANGING,
    applies=WIRED,
    uses=["wire_angle_deg"],
    cautions=[CAUTION_WEIGHT],
    words=_STEEP,
)
def steep_by_drop(
    limits: HangingLimits,
    hooks: Hooks,
    spacing: float = fact("hanging.ring_spacing_mm"),
    ring_drop: float = fact("hanging.ring_drop_mm"),
    drop: float = fact("fittings.drop_mm"),
) -> Check | Undecided:
    """Is the wire steep enough?

    How far the hook lifts the wire above the rings, over half the distance between them, gives its angle, which passes from the limit up:
    a flat wire pulls many times harder than the work weighs. Two hooks make it steeper. A hook below the rings is a slip of the tape.
    """
    rise = rise_of(ring_drop, drop)
    return rise if isinstance(rise, Undecided) else _steep(limits, spacing, rise, hooks)


@rule(
    "wire-steep",
    by="length",
    prefer=1,
    effect=Effect.PREPARE,
    source=_SLINGS,
    due=Stage.HANGING,
    applies=WIRED,
    uses=["wire_angle_deg"],
    cautions=[CAUTION_WEIGHT],
    words=_STEEP,
)
def steep_by_length(
    limits: HangingLimits,
    hooks: Hooks,
    spacing: float = fact("hanging.ring_spacing_mm"),
    length: float = fact("hanging.wire_length_mm"),
) -> Check | Undecided:
    """Is the wire steep enough?

    The length of the wire and the distance between the rings give its rise, and so its angle. A wire that is shorter than that distance is
    a slip of the tape.
    """
    if length < spacing:
        return Undecided(("hanging.wire_length_mm", "hanging.ring_spacing_mm"))
    apart = between(hooks)
    wide = 0.0 if isinstance(apart, Undecided) or apart >= spacing else apart
    return _steep(limits, spacing, wire_rise(spacing, length, wide), hooks)


@rule(
    "wire-agrees",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    tools=["steel-tape"],
    source=OWN_POLICY,
    due=Stage.HANGING,
    applies=(*WIRED, given("hanging.ring_spacing_mm", "hanging.ring_drop_mm", "fittings.drop_mm", "hanging.wire_length_mm")),
    uses=["wire_angle_differs_deg"],
    cautions=[CAUTION_WEIGHT],
    words=Words(
        measure="Difference between the wire's angle by drop and by length",
        met="The figures for the wire fit each other.",
        unmet="The length of the wire and its place below the top edge do not fit: they differ by {value}.",
        remedy="Pull the wire up in the middle and measure its length and both distances from the top edge once more.",
    ),
)
def wire_agrees(
    limits: HangingLimits,
    hooks: Hooks,
    spacing: float = fact("hanging.ring_spacing_mm"),
    ring_drop: float = fact("hanging.ring_drop_mm"),
    drop: float = fact("fittings.drop_mm"),
    length: float = fact("hanging.wire_length_mm"),
) -> Check | Undecided:
    """Do the two ways of finding the wire's angle agree?

    The angle from the rise and the angle from the length differ by no more than the limit.
    """
    by_drop, by_length = angle_by_drop(spacing, ring_drop, drop, hooks), angle_by_length(spacing, length, hooks)
    if isinstance(by_drop, Undecided):
        return by_drop
    if isinstance(by_length, Undecided):
        return by_length
    return at_most(abs(by_drop - by_length), limits.wire_angle_differs_deg, unit="°")


WIRE_RULES = (steep_by_drop, steep_by_length, wire_agrees)
