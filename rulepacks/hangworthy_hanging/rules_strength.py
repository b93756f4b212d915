"""Strength: the load followed from the frame to the hooks, and the weakest part of the way."""

from typing import Any, NamedTuple

from hangworthy.contract import (
    CAUTION_WEIGHT,
    OWN_POLICY,
    Check,
    Effect,
    Stage,
    Step,
    Undecided,
    Words,
    at_least,
    fact,
    rule,
    show_apart,
    where,
)

from .formulas import leg_load
from .hung import FLATTEST_DEG, WIRED, Fittings, Hooks, angle_by_drop, angle_by_length, share_per_hook
from .limits import HangingLimits
from .size import HANGS

_RINGS = {"security-plates": "one plate", "hanger-strip": "one hanger", "other": "one hanger"}
_NEW = {"one ring": "rings", "one plate": "plates", "one hanger": "hangers", "the wire": "a wire"}


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
    rings = Part(_RINGS.get(fitted, "one ring"), "hanging.ring_rating_kg", ratings.ring, ring)
    return [rings, *wire] if fitted == "security-plates" else [rings, *wire, hook]


def _words(parts: str) -> Words:
    return Words(
        measure="Rating of the weakest part over its load",
        met=f"{parts} strong enough, with the weakest part at {{value}} times its load.",
        unmet="The weakest part is {part}: it carries {load} and is rated for {rating}, where {needed} is needed.",
        remedy="{remedy}",
        better="Weigh the work once more on a finer scale, and give the weight with its ±.",
        bench="Weakest part, {part}: carries {load}, rated {rating}, factor {value}, {limit} needed; weight {weight}.",
    )


_HOLDS, _WIRE_HOLDS = _words("What it hangs by is"), _words("Rings, wire and hooks are")


def _holds(limits: HangingLimits, mass: float, parts: list[Part], angle: float | None = None) -> Check | Undecided:
    """Return the check of the weakest part that is rated; ratings that are missing matter only while it holds."""
    known = [(one.rating / (one.share * mass), one) for one in parts if one.rating is not None]
    missing = tuple(one.path for one in parts if one.rating is None)
    if missing and all(factor >= limits.safety_factor for factor, _ in known):
        return Undecided(missing)
    factor, part = min(known, key=lambda one: one[0])
    load = part.share * mass
    rating, needed = show_apart(part.rating or 0.0, load * limits.safety_factor, "kg")
    named: dict[str, Any] = {"load": (load, "kg"), "rating": rating, "needed": needed, "weight": (mass, "kg")}
    remedy = _remedy(part.name, needed, angle, limits.wire_angle_deg)
    return at_least(factor, limits.safety_factor, unit="", part=part.name, remedy=remedy, **named)


@rule(
    "fittings-hold",
    effect=Effect.PREPARE,
    step=Step.FIT,
    tools=["screwdriver"],
    source=OWN_POLICY,
    due=Stage.HANGING,
    applies=(*HANGS, where("fittings.kind", "d-rings", "hanger-strip", "security-plates", "other")),
    uses=["safety_factor"],
    cautions=[CAUTION_WEIGHT],
    words=_HOLDS,
)
def fittings_hold(
    limits: HangingLimits,
    ratings: Ratings,
    mass: float = fact("mass_kg"),
    points: int = fact("hanging.points"),
    fitted: Fittings = fact("fittings.kind"),
) -> Check | Undecided:
    """Are rings and hooks strong enough?

    Rings and hooks share the weight. The maker's rating over the load of each part passes from the factor up; the weakest part decides. A
    part that fails settles it; ratings that are missing are asked for only while all others hold. An estimate of the weight is not enough.
    """
    return _holds(limits, mass, _parts(fitted, ratings, None, points))


def _wire_holds(limits: HangingLimits, mass: float, ratings: Ratings, angle: float | Undecided, points: int) -> Check | Undecided:
    """Return the check of rings, wire and hooks at the angle of the wire."""
    return angle if isinstance(angle, Undecided) else _holds(limits, mass, _parts("wire", ratings, angle, points), angle)


@rule(
    "fittings-hold",
    by="drop",
    effect=Effect.PREPARE,
    source=OWN_POLICY,
    due=Stage.HANGING,
    applies=WIRED,
    uses=["safety_factor", "wire_angle_deg"],
    cautions=[CAUTION_WEIGHT],
    words=_WIRE_HOLDS,
)
def wire_holds_by_drop(
    limits: HangingLimits,
    ratings: Ratings,
    mass: float = fact("mass_kg"),
    points: int = fact("hanging.points"),
    hook_spacing: float | None = fact("hanging.hook_spacing_mm", optional=True),
    ring_spacing: float = fact("hanging.ring_spacing_mm"),
    ring_drop: float = fact("hanging.ring_drop_mm"),
    drop: float = fact("fittings.drop_mm"),
) -> Check | Undecided:
    """Are rings, wire and hooks strong enough?

    The load is followed from part to part: a wire pulls with weight / (2 sin angle), on its rings as well, and draws two hooks together.
    The angle is read from how far the hooks lift the wire above the rings. Else as for fittings without a wire.
    """
    angle = angle_by_drop(ring_spacing, ring_drop, drop, Hooks(points, hook_spacing))
    return _wire_holds(limits, mass, ratings, angle, points)


@rule(
    "fittings-hold",
    by="length",
    prefer=1,
    effect=Effect.PREPARE,
    source=OWN_POLICY,
    due=Stage.HANGING,
    applies=WIRED,
    uses=["safety_factor", "wire_angle_deg"],
    cautions=[CAUTION_WEIGHT],
    words=_WIRE_HOLDS,
)
def wire_holds_by_length(
    limits: HangingLimits,
    ratings: Ratings,
    mass: float = fact("mass_kg"),
    points: int = fact("hanging.points"),
    hook_spacing: float | None = fact("hanging.hook_spacing_mm", optional=True),
    ring_spacing: float = fact("hanging.ring_spacing_mm"),
    length: float = fact("hanging.wire_length_mm"),
) -> Check | Undecided:
    """Are rings, wire and hooks strong enough?

    The same, with the angle read from the length of the wire.
    """
    return _wire_holds(limits, mass, ratings, angle_by_length(ring_spacing, length, Hooks(points, hook_spacing)), points)


def _remedy(part: str, needed: str, angle: float | None, steep: float) -> str:
    """Return what to do about a part that is too weak: hooks are ours, and a wire that is not steep is let out first."""
    if part not in _NEW:
        return f"We use hooks rated for {needed} or more."
    change = f"hange to {_NEW[part]} rated for {needed} or more"
    if angle is None or angle >= steep:
        return f"C{change}, or give us the maker's own figure."
    let_out = "Let the wire out, since a flat one pulls much harder."
    # No part is sold that carries what the flattest wire pulls, and none need be.
    return let_out if angle <= FLATTEST_DEG else f"{let_out} Or c{change}."


STRENGTH_RULES = (fittings_hold, wire_holds_by_drop, wire_holds_by_length)
