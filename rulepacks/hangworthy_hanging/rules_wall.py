"""The wall: does its fixing suit it, does it hold, and does the work fit on it?"""

import math
from collections.abc import Mapping
from typing import Final, NamedTuple

from hangworthy.contract import (
    CAUTION_WEIGHT,
    COMMON_PRACTICE,
    OWN_POLICY,
    Check,
    Effect,
    Stage,
    Step,
    Undecided,
    WallBuild,
    Words,
    at_least,
    at_most,
    fact,
    holds,
    published,
    rule,
    where,
)

from .facts import Fixing, RatingIs
from .formulas import derated, pull_out
from .hung import Fittings, Hooks, angle_by_drop, share_per_hook
from .limits import HangingLimits
from .size import HANGS, Depth, Size, at_least_outer, outer, outer_depth

_SUITS: Final[Mapping[str, tuple[str, ...]]] = {
    "plasterboard": ("toggle", "hollow-wall-anchor"),
    "plasterboard-on-studs": ("screw-in-stud", "toggle", "hollow-wall-anchor"),
    "brick": ("screw-in-plug",),
    "concrete": ("screw-in-plug",),
    "wood": ("screw", "screw-in-stud"),
    "glass": (),
    "rail": ("rail-hook",),
}
_SAID: Final[Mapping[str, str]] = {
    "nail": "a nail",
    "screw": "a screw",
    "screw-in-stud": "a screw in a stud",
    "screw-in-plug": "a screw in a plug",
    "hollow-wall-anchor": "a hollow-wall anchor",
    "toggle": "a toggle",
    "rail-hook": "a rail hook",
    "adhesive": "adhesive",
}
_WALLS: Final[Mapping[str, str]] = {
    "plasterboard": "plasterboard",
    "plasterboard-on-studs": "plasterboard on studs",
    "brick": "brick",
    "concrete": "concrete",
    "wood": "wood",
    "glass": "glass",
    "rail": "a picture rail",
}


class WireRise(NamedTuple):
    """The facts that tell the angle of a wire over two hooks, and the lever of the pull away from the wall."""

    hook_spacing: float | None = fact("hanging.hook_spacing_mm", optional=True)
    ring_spacing: float | None = fact("hanging.ring_spacing_mm", optional=True)
    ring_drop: float | None = fact("hanging.ring_drop_mm", optional=True)
    drop: float | None = fact("fittings.drop_mm", optional=True)


@rule(
    "fixing-suits",
    effect=Effect.REPAIR,
    step=Step.HANG,
    source=COMMON_PRACTICE,
    due=Stage.HANGING,
    applies=(*HANGS, where("wall.build", *_SUITS)),
    cautions=[CAUTION_WEIGHT],
    words=Words(
        measure="Fixing in the wall",
        met="The fixing suits the wall.",
        unmet="The wall is {wall}, and {fixing} is not the right fixing for it.",
        remedy="We have it hung on {right}.",
        bench="Wall: {wall}; fixing: {fixing}; right would be {right}.",
    ),
)
def fixing_suits(build: WallBuild = fact("wall.build"), fixing: Fixing = fact("hanging.fixing")) -> Check:
    """Does the fixing suit the wall?

    Plasterboard alone is weak: it takes toggles and hollow-wall anchors, and screws only into the studs behind it. Masonry takes plugs,
    wood takes screws, a rail its own hooks. Nails, adhesive, and anything on glass do not pass.
    """
    right = _SUITS[build]
    said = " or ".join(_SAID[one] for one in right) or "another wall"
    return holds(fixing in right, wall=_WALLS[build], fixing=_SAID[fixing], right=said)


@rule(
    "wall-holds",
    effect=Effect.REPAIR,
    step=Step.HANG,
    source=published(
        "Makers' guidance for wall fixings", "working loads; a quarter of the breaking load in plasterboard", from_memory=True
    ),
    due=Stage.HANGING,
    applies=HANGS,
    uses=["board_share", "breaking_share", "hook_standoff_mm"],
    cautions=[CAUTION_WEIGHT],
    words=Words(
        measure="Load on one fixing",
        met="The wall fixings are strong enough for it.",
        unmet="Each fixing in the wall would carry {value}, and {limit} is the most for it.",
        remedy="We have stronger fixings or more of them set before it goes up.",
        better="Weigh the work once more on a finer scale, and give the weight with its ±.",
        bench="One fixing: {value} ({pull} of it away from the wall), {limit} allowed; weight {weight}.",
    ),
)
def wall_holds(
    limits: HangingLimits,
    size: Size,
    depth: Depth,
    wire: WireRise,
    mass: float = fact("mass_kg"),
    points: int = fact("hanging.points"),
    fitted: Fittings = fact("fittings.kind"),
    build: WallBuild = fact("wall.build"),
    rating: float = fact("hanging.fixing_rating_kg"),
    means: RatingIs = fact("hanging.fixing_rating_is", try_each=True),
) -> Check | Undecided:
    """Does the wall hold it?

    What each fixing carries along the wall, and the pull away from it because the middle of the work stands off the wall, are added up and
    pass up to the maker's working load. Of a breaking load only a part counts. Two hooks on a wire are taken to be drawn together as hard
    as they ever can, unless its angle matters. An estimate of the weight is not enough.
    """
    share = 1.0 if means == "working-load" else limits.board_share if "plasterboard" in build else limits.breaking_share
    allowed = derated(rating, share)
    pull, angle = _pull(limits, size, depth, wire.drop), _angle(wire, fitted, points)
    away = 0.0 if isinstance(pull, Undecided) else pull * mass / points
    load = share_per_hook(fitted, None if isinstance(angle, Undecided) else angle, points) * mass + away
    if mass / points + away <= allowed:  # else it fails whatever else is found out
        if isinstance(pull, Undecided):
            return pull
        if isinstance(angle, Undecided) and load > allowed:
            return angle
    return at_most(load, allowed, unit="kg", pull=(away, "kg"), weight=(mass, "kg"))


def _angle(wire: WireRise, fitted: Fittings, points: int) -> float | Undecided | None:
    """Return the angle of a wire over two hooks [°], what would tell it, or None where it does not matter."""
    if fitted != "wire" or points == 1:
        return None
    named = {"hanging.hook_spacing_mm": wire.hook_spacing, "hanging.ring_spacing_mm": wire.ring_spacing}
    named |= {"hanging.ring_drop_mm": wire.ring_drop, "fittings.drop_mm": wire.drop}
    missing = tuple(path for path, value in named.items() if value is None)
    if missing or wire.ring_spacing is None or wire.ring_drop is None or wire.drop is None:
        return Undecided(missing)
    return angle_by_drop(wire.ring_spacing, wire.ring_drop, wire.drop, Hooks(points, wire.hook_spacing))


def _pull(limits: HangingLimits, size: Size, depth: Depth, drop: float | None) -> float | Undecided:
    """Return the pull away from the wall as a share of the weight, or what would tell it."""
    found, deep = outer(size), outer_depth(depth)
    if isinstance(found, Undecided):
        return found
    if isinstance(deep, Undecided):
        return deep
    if drop is None or drop >= found.height:
        return Undecided(("fittings.drop_mm",))
    return pull_out(1.0, limits.hook_standoff_mm + deep / 2.0, found.height - drop)


@rule(
    "fits-wall",
    effect=Effect.REFUSE,
    step=Step.HANG,
    source=OWN_POLICY,
    due=Stage.HANGING,
    applies=HANGS,
    uses=["clearance_mm"],
    cautions=[CAUTION_WEIGHT],
    words=Words(
        measure="Free wall on each side",
        met="It fits on the wall.",
        unmet="It is too {way} for this wall: it measures {size}, and at most {most} fits.",
        remedy="We look for a larger wall.",
        better="Measure the frame and the free wall once more with one steel tape.",
    ),
)
def fits_wall(
    limits: HangingLimits, size: Size, wall_width: float = fact("wall.width_mm"), wall_height: float = fact("wall.height_mm")
) -> Check | Undecided:
    """Does it fit on the wall?

    Half of what the work or its frame leaves free of the wall, in the direction that is tighter, passes from the clearance up. What is too
    large without a frame is too large with one, so that no frame need be known then.
    """
    found = outer(size)
    width, height = at_least_outer(size) if isinstance(found, Undecided) else found
    sides = (("wide", width, wall_width), ("high", height, wall_height))
    ways = [((wall - own) / 2.0, way, own, wall) for way, own, wall in sides if own is not None]
    free, way, own, wall = min(ways, default=(math.inf, "", 0.0, 0.0))
    if isinstance(found, Undecided) and free >= limits.clearance_mm:
        return found
    most = max(0.0, wall - 2.0 * limits.clearance_mm)
    return at_least(free, limits.clearance_mm, unit="mm", way=way, size=(own, "mm"), most=(most, "mm"))


WALL_RULES = (fixing_suits, wall_holds, fits_wall)
