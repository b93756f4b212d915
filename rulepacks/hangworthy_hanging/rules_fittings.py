"""Fittings: is there something to hang it by, is it strong enough, and does it sit where it should?"""

from typing import Any, NamedTuple

from hangworthy.contract import (
    CAUTION_WEIGHT,
    COMMON_PRACTICE,
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
    holds,
    rule,
    show,
    where,
)

from .facts import RingKind
from .formulas import leg_load
from .hung import FLATTEST_DEG, Fittings, Hooks, Wire, angle_of, share_per_hook
from .limits import HangingLimits
from .size import HANGS, Size, outer
from .weight import SHEETS, Layers, Weight, by_weight

_NEW = {"one ring": "rings or hangers", "the wire": "a wire"}


@rule(
    "has-fittings",
    effect=Effect.PREPARE,
    source=COMMON_PRACTICE,
    due=Stage.HANGING,
    applies=HANGS,
    cautions=[CAUTION_WEIGHT],
    words=Words(
        measure="Fittings",
        met="There is something to hang it by.",
        unmet="There is nothing on the back to hang it by.",
        remedy="Screw two D-rings to the sides of the frame, a third of the way down, before you bring it.",
    ),
)
def has_fittings(
    kind: Kind = fact("kind"), fitted: Fittings = fact("fittings.kind"), framed: bool | None = fact("framed", optional=True)
) -> Check | Undecided:
    """Is there something to hang it by?

    Declared. A loose sheet needs nothing: it hangs by the frame that it goes into.
    """
    if fitted == "none" and kind in SHEETS:
        return Undecided(("framed",)) if framed is None else holds(not framed)
    return holds(fitted != "none")


class Ratings(NamedTuple):
    """What makers allow for the parts that a work hangs by."""

    ring: float | None = fact("hanging.ring_rating_kg", optional=True)
    wire: float | None = fact("hanging.wire_rating_kg", optional=True)
    hook: float | None = fact("hanging.hook_rating_kg", optional=True)


class Part(NamedTuple):
    """One part of the load path: its name, the fact with its rating, the rating [kg], and its share of the weight."""

    name: str
    path: str
    rating: float | None
    share: float


def _parts(fitted: Fittings, ratings: Ratings, angle: float | None, points: int) -> list[Part]:
    """Return the parts that carry the work, from the frame to the hook; plates are screwed on and have no hook."""
    ring, hook = 1.0 / points, Part("one hook", "hanging.hook_rating_kg", ratings.hook, share_per_hook(fitted, angle, points))
    wire = []
    if angle is not None:
        ring = leg_load(1.0, max(angle, FLATTEST_DEG))
        wire = [Part("the wire", "hanging.wire_rating_kg", ratings.wire, ring)]
    rings = Part("one ring", "hanging.ring_rating_kg", ratings.ring, ring)
    return [rings, *wire] if fitted == "security-plates" else [rings, *wire, hook]


@rule(
    "fittings-hold",
    effect=Effect.PREPARE,
    source=OWN_POLICY,
    due=Stage.HANGING,
    applies=(*HANGS, where("fittings.kind", "d-rings", "wire", "hanger-strip", "security-plates", "other")),
    uses=["safety_factor", "wire_angle_deg"],
    cautions=[CAUTION_WEIGHT],
    words=Words(
        measure="Rating of the weakest part over its load",
        met="Rings, wire and hooks are strong enough, with the weakest part at {value} times its load.",
        unmet="The weakest part is {part}: it carries {load} and is rated for {rating}, where {needed} is needed.",
        remedy="{remedy}",
        better="Weigh the work once more on a finer scale, and give the weight with its ±.",
        bench="Weakest part, {part}: carries {load}, rated {rating}, factor {value}, {limit} needed; weight {weight}.",
    ),
)
def fittings_hold(
    limits: HangingLimits, layers: Layers, wire: Wire, hooks: Hooks, ratings: Ratings, fitted: Fittings = fact("fittings.kind")
) -> Check | Undecided:
    """Are rings, wire and hooks strong enough?

    The load is followed from part to part. Without a wire, rings and hooks share the weight; a wire pulls with weight / (2 sin angle), on
    its rings as well, and draws two hooks together. The maker's rating over the load of each part passes from the factor up; the weakest
    part decides. A part that fails settles it; ratings that are missing are asked for only while all others hold.
    """
    if hooks.points is None:
        return Undecided(("hanging.points",))
    angle = angle_of(wire, hooks) if fitted == "wire" else None
    if isinstance(angle, Undecided):
        return angle
    parts = _parts(fitted, ratings, angle, hooks.points)
    known = [(one.rating / one.share, one) for one in parts if one.rating is not None]
    missing = tuple(one.path for one in parts if one.rating is None)

    def judge(weight: Weight) -> Check | Undecided:
        if not known:
            return Undecided(missing)
        factor, part = min(known, key=lambda one: one[0])
        if factor / weight.kg >= limits.safety_factor and missing:
            return Undecided(missing)
        load = part.share * weight.kg
        named: dict[str, Any] = {"load": (load, "kg"), "rating": (part.rating, "kg"), "needed": (load * limits.safety_factor, "kg")}
        flat = angle is not None and angle < limits.wire_angle_deg
        remedy = _remedy(part.name, show(load * limits.safety_factor, "kg"), flat)
        return at_least(factor / weight.kg, limits.safety_factor, unit="", part=part.name, remedy=remedy, weight=weight.text, **named)

    return by_weight(layers, judge)


def _remedy(part: str, needed: str, flat: bool) -> str:
    """Return what to do about a part that is too weak: hooks are the coordinator's, and a flat wire is let out first."""
    if part not in _NEW:
        return f"Your coordinator will use hooks rated for {needed} or more."
    change = f"hange to {_NEW[part]} rated for {needed} or more"
    if flat:
        return f"Let the wire out, since a flat one pulls much harder. Or c{change}."
    return f"C{change}, or give us the maker's own figure."


@rule(
    "rings-not-eyes",
    effect=Effect.ADVISE,
    source=COMMON_PRACTICE,
    due=Stage.HANGING,
    applies=(*HANGS, where("fittings.kind", "wire", "other")),
    cautions=[CAUTION_WEIGHT],
    words=Words(
        measure="Kind of rings",
        met="The rings are of a kind that holds well.",
        unmet="Screw eyes bend and work loose, and hold the frame off the wall.",
        remedy="Change them for D-rings, each with a screw that goes well into the wood.",
    ),
)
def rings_not_eyes(ring: RingKind = fact("hanging.ring_kind")) -> Check:
    """Are the rings of a kind that holds?

    Declared, where it is not known already. D-rings lie flat and pull along the frame; screw eyes stand out and bend.
    """
    return holds(ring != "screw-eyes")


@rule(
    "rings-high",
    effect=Effect.PREPARE,
    source=COMMON_PRACTICE,
    due=Stage.HANGING,
    applies=(*HANGS, where("fittings.kind", "d-rings", "wire", "other")),
    uses=["ring_drop_percent"],
    cautions=[CAUTION_WEIGHT],
    words=Words(
        measure="Rings below the top edge, of the height",
        met="The rings sit high enough.",
        unmet="The rings sit {drop} below the top edge, so that the top tips forward; {most} is the most.",
        remedy="Move the rings up to {most} below the top edge or less.",
    ),
)
def rings_high(
    limits: HangingLimits,
    size: Size,
    fitted: Fittings = fact("fittings.kind"),
    ring_drop: float | None = fact("hanging.ring_drop_mm", optional=True),
    hook_drop: float | None = fact("fittings.drop_mm", optional=True),
) -> Check | Undecided:
    """Do the rings sit high enough?

    Their distance from the top edge, as a share of the height, passes up to the limit. Low rings let the top lean out, and rings below the
    middle let the work topple. Rings that sit on hooks are where the hooks are. Rings below the lower edge are a slip of the tape.
    """
    drop, path = (hook_drop, "fittings.drop_mm") if ring_drop is None and fitted == "d-rings" else (ring_drop, "hanging.ring_drop_mm")
    if drop is None:
        return Undecided((path,))
    found = outer(size)
    if isinstance(found, Undecided):
        return found
    if drop > found.height:
        return Undecided((path,))
    most = found.height * limits.ring_drop_percent / 100.0
    return at_most(100.0 * drop / found.height, limits.ring_drop_percent, unit="%", drop=(drop, "mm"), most=(most, "mm"))


FITTINGS_RULES = (has_fittings, fittings_hold, rings_not_eyes, rings_high)
