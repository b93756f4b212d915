"""Fittings: is there something to hang it by, is it of a kind that holds, and does it sit where it should?"""

from hangworthy.contract import (
    CAUTION_WEIGHT,
    COMMON_PRACTICE,
    Check,
    Effect,
    Kind,
    Stage,
    Step,
    Undecided,
    Words,
    at_most,
    fact,
    holds,
    rule,
    where,
)

from .facts import RingKind
from .hung import Fittings
from .limits import HangingLimits
from .size import HANGS, Size, outer
from .weight import SHEETS


@rule(
    "has-fittings",
    effect=Effect.PREPARE,
    step=Step.FIT,
    tools=["screwdriver"],
    source=COMMON_PRACTICE,
    due=Stage.HANGING,
    applies=HANGS,
    cautions=[CAUTION_WEIGHT],
    words=Words(
        measure="Fittings",
        met="There is something to hang it by.",
        unmet="There is nothing on the back to hang it by.",
        remedy="Screw two D-rings to the sides of the frame, a third of the way down.",
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


@rule(
    "rings-not-eyes",
    effect=Effect.ADVISE,
    step=Step.FIT,
    tools=["screwdriver"],
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
    step=Step.FIT,
    tools=["screwdriver"],
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
    drop, path = (hook_drop, "fittings.drop_mm") if fitted == "d-rings" else (ring_drop, "hanging.ring_drop_mm")
    if drop is None:
        return Undecided((path,))
    found = outer(size)
    if isinstance(found, Undecided):
        return found
    if drop > found.height:
        return Undecided((path,))
    most = found.height * limits.ring_drop_percent / 100.0
    return at_most(100.0 * drop / found.height, limits.ring_drop_percent, unit="%", drop=(drop, "mm"), most=(most, "mm"))


FITTINGS_RULES = (has_fittings, rings_not_eyes, rings_high)
