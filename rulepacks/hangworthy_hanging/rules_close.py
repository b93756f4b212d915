"""How it stands on the wall: how high its hooks go, how far it leans, and what stands out into a walkway."""

import math
from typing import Any, Final, NamedTuple

from hangworthy.contract import (
    CAUTION_WEIGHT,
    COMMON_PRACTICE,
    OWN_POLICY,
    Check,
    Effect,
    Stage,
    Step,
    Undecided,
    Words,
    at_least,
    at_most,
    fact,
    holds,
    published,
    rule,
    show,
    show_apart,
    where,
)

from .formulas import Lean, hook_height, lean, spacer_needed, walkway_excess
from .hung import Fittings, rise_of
from .limits import HangingLimits
from .size import HANGS, Depth, Outer, Size, outer, outer_depth

CAUTION_WALKWAY: Final = "This informs and gives no legal advice. Local law and codes decide; ask the building's own access officer."


def hung_middle(limits: HangingLimits, height: float) -> float:
    """Return the height of a work's middle above the floor [mm]: as high as all, unless its lower edge would come too low."""
    return max(limits.centre_mm, limits.above_floor_mm + height / 2.0)


@rule(
    "hook-heights",
    effect=Effect.ADVISE,
    step=Step.HANG,
    source=COMMON_PRACTICE,
    due=Stage.HANGING,
    applies=HANGS,
    uses=["centre_mm", "above_floor_mm"],
    cautions=[CAUTION_WEIGHT],
    words=Words(
        measure="Height of the hooks above the floor",
        met="Hooks {value} above the floor put the middle of your work at eye height.",
        unmet="With its middle at eye height, your work would come within {bottom} of the floor.",
        remedy="We set the hooks {limit} above the floor instead.",
        bench="Hooks {value} above the floor put the middle at {centre}; {limit} or more keeps the lower edge {least} off the floor.",
    ),
)
def hook_heights(limits: HangingLimits, size: Size, drop: float = fact("fittings.drop_mm")) -> Check | Undecided:
    """How high do the hooks go?

    The centre height plus half the height less the drop. It passes while the lower edge stays clear of the floor; a taller work is hung
    higher. A drop of more than the height is a slip of the tape.
    """
    found = outer(size)
    if isinstance(found, Undecided):
        return found
    if drop > found.height:
        return Undecided(("fittings.drop_mm",))
    hook = hook_height(limits.centre_mm, found.height, drop)
    least = limits.above_floor_mm + found.height - drop
    bottom = max(0.0, limits.centre_mm - found.height / 2.0)
    named: dict[str, Any] = {"centre": (limits.centre_mm, "mm"), "least": (limits.above_floor_mm, "mm"), "bottom": (bottom, "mm")}
    return at_least(hook, least, unit="mm", **named)


class Hung(NamedTuple):
    """What decides how a work leans: height and depth, its rings below the top edge, and its hooks above the rings [mm]."""

    height: float
    depth: float
    rings: float
    rise: float

    @property
    def topples(self) -> bool:
        """Return whether it is held at or below its middle."""
        return self.rings >= self.height / 2.0

    def lean(self, limits: HangingLimits, spacer: float) -> Lean:
        """Return how it leans on spacers of a thickness [mm]."""
        return lean(*self, limits.hook_standoff_mm, spacer)


def _hung(found: Outer, deep: float, fitted: Fittings, drop: float, ring_drop: float | None) -> Hung | Undecided:
    """Return how a work hangs, or what would tell it. Without a wire, rings are where the hooks are."""
    rings, rise = drop, 0.0
    if fitted == "wire":
        if ring_drop is None:
            return Undecided(("hanging.ring_drop_mm",))
        lift = rise_of(ring_drop, drop)
        if isinstance(lift, Undecided):
            return lift
        rings, rise = ring_drop, lift
    if rings > found.height:
        return Undecided(("hanging.ring_drop_mm",) if fitted == "wire" else ("fittings.drop_mm",))
    return Hung(found.height, deep, rings, rise)


def _topples(hung: Hung, fitted: Fittings) -> Check:
    """Return the check of a work that is held too low."""
    third = show(hung.height / 3.0, "mm")
    if fitted in ("d-rings", "wire"):
        how = "it would topple forward, since its rings sit at or below its middle"
        return holds(False, how=how, remedy=f"Move the rings up, to {third} below the top edge or less.")
    how = "it would topple forward, since its fittings sit at or below its middle"
    return holds(False, how=how, remedy=f"Move the fittings up, to {third} below the top edge or less.")


@rule(
    "hangs-close",
    effect=Effect.PREPARE,
    step=Step.FIT,
    tools=["screwdriver"],
    source=OWN_POLICY,
    due=Stage.HANGING,
    applies=(*HANGS, where("fittings.kind", "d-rings", "wire", "hanger-strip", "other")),
    uses=["tilt_deg", "hook_standoff_mm"],
    cautions=[CAUTION_WEIGHT],
    words=Words(
        measure="Lean off the wall",
        met="It will hang close to the wall.",
        unmet="Hung like this, {how}.",
        remedy="{remedy}",
        better="Measure from the top edge to the rings and to the pulled-up wire once more, to the millimetre.",
        bench="Lean off the wall: {how}.",
    ),
)
def hangs_close(
    limits: HangingLimits,
    size: Size,
    depth: Depth,
    fitted: Fittings = fact("fittings.kind"),
    drop: float = fact("fittings.drop_mm"),
    ring_drop: float | None = fact("hanging.ring_drop_mm", optional=True),
    spacer: float | None = fact("hanging.spacer_mm", optional=True),
) -> Check | Undecided:
    """Does it hang close to the wall?

    Weight, pull of the wire and push of the wall on the lower edge balance at one tilt, which passes up to the limit. Leaning back does no
    harm. Spacers at the lower corners stand it up; they are only asked for when it leans without, and how thick they must be is worked
    out. A shorter wire would lean less and pull harder, so that it is never advised. Rings at or below the middle let it topple.
    """
    found, deep = outer(size), outer_depth(depth)
    if isinstance(found, Undecided):
        return found
    if isinstance(deep, Undecided):
        return deep
    hung = _hung(found, deep, fitted, drop, ring_drop)
    if isinstance(hung, Undecided):
        return hung
    if hung.topples:
        return _topples(hung, fitted)
    leaning = hung.lean(limits, spacer or 0.0)
    tilt = max(0.0, leaning.tilt_deg)
    if tilt > limits.tilt_deg and spacer is None:
        return Undecided(("hanging.spacer_mm",))
    out, remedy = show_apart(tilt, limits.tilt_deg, "°")[0], ""
    how = f"its top leans out by {out}, {show(leaning.top_gap_mm, 'mm')} off the wall"
    if tilt > limits.tilt_deg:
        thick = math.ceil(spacer_needed(*hung, limits.hook_standoff_mm, limits.tilt_deg))
        remedy = f"Put spacers of felt, cork or wood behind both lower corners, {thick} mm thick in all."
    return at_most(tilt, limits.tilt_deg, unit="°", how=how, remedy=remedy)


@rule(
    "walkway-clear",
    effect=Effect.ADVISE,
    step=Step.HANG,
    source=published("ADA Standards (2010)", "section 307.2"),
    due=Stage.HANGING,
    applies=(*HANGS, where("wall.walkway", True)),
    uses=["protrusion_mm", "cane_low_mm", "cane_high_mm", "centre_mm", "above_floor_mm", "hook_standoff_mm"],
    cautions=[CAUTION_WALKWAY],
    words=Words(
        measure="How far it stands out into the walkway",
        met="It stands out little enough for people to walk past.",
        unmet="It stands out {value} into a walkway, where somebody who cannot see it may walk into it.",
        remedy="We look for a wall that nobody walks along, or for a shallower frame.",
        bench="Stands out {value} into the walkway, lower edge {bottom} above the floor{zone}.",
    ),
)
def walkway_clear(
    limits: HangingLimits,
    size: Size,
    depth: Depth,
    fitted: Fittings = fact("fittings.kind"),
    drop: float = fact("fittings.drop_mm"),
    ring_drop: float | None = fact("hanging.ring_drop_mm", optional=True),
    spacer: float = fact("hanging.spacer_mm"),
) -> Check | Undecided:
    """Can people walk past it?

    Depth, spacers and lean together, for a work whose lower edge hangs above what a cane finds and not above heads, pass up to the limit.
    This informs; it is no legal advice.
    """
    found, deep = outer(size), outer_depth(depth)
    if isinstance(found, Undecided):
        return found
    if isinstance(deep, Undecided):
        return deep
    bottom, most = hung_middle(limits, found.height) - found.height / 2.0, limits.protrusion_mm
    if walkway_excess(bottom, most + 1.0, limits.cane_low_mm, limits.cane_high_mm, most) == 0.0:
        return Check(True, deep, unit="mm", named={"bottom": (bottom, "mm"), "zone": ", where no depth is in the way"})
    hung = None if fitted in ("none", "security-plates") else _hung(found, deep, fitted, drop, ring_drop)
    if isinstance(hung, Undecided):
        return hung
    # What topples has to be hung another way first.
    reach = deep + max(limits.hook_standoff_mm, spacer) if hung is None or hung.topples else hung.lean(limits, spacer).reach_mm
    return at_most(reach, most, unit="mm", bottom=(bottom, "mm"), zone=f", {show(most, 'mm')} allowed")


CLOSE_RULES = (hook_heights, hangs_close, walkway_clear)
