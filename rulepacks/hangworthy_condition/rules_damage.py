"""Damage: loose paint, tears, holes, a loose frame, and marks that stay."""

from typing import Any

from hangworthy.contract import (
    CAUTION_WEIGHT,
    COMMON_PRACTICE,
    OWN_POLICY,
    Check,
    Effect,
    Step,
    Undecided,
    Words,
    at_most,
    fact,
    holds,
    rule,
    where,
)

from .facts import Fault, Faults
from .faults import DECLARED, faults_in, named, settled_faults, told
from .limits import ConditionLimits

_LOOK = "Look closely at the stains: if one is furry or smells musty, add mould to your list. "
_FRAME = {True: "The frame holds.", False: "There is no frame that could be loose.", None: "No loose frame was seen."}
_CRACKS = {True: "lifting", False: "lying flat"}


@rule(
    "paint-holds",
    effect=Effect.REPAIR,
    step=Step.ISOLATE,  # each touch takes more of it off
    source=COMMON_PRACTICE,
    words=Words(
        measure="Hold of the paint",
        met="{note}",
        unmet="Paint is coming loose, and more comes off each time it is moved.",
        remedy="Lay it face up with nothing on the paint, keep any flakes, and ask a conservator before it travels.",
        bench="Paint: {found}.",
    ),
)
def paint_holds(
    declared: Faults = fact("condition.faults"),
    lifting: bool | None = fact("condition.cracks_lift", optional=True),
) -> Check | Undecided:
    """Does the paint hold?

    Flaking or lifting paint fails, and nothing else is done to the work before a conservator has seen to it. Cracks that lie flat pass:
    whether their edges stand up is asked only where there are cracks.
    """
    faults = settled_faults(declared, cracks_lift=lifting)
    if isinstance(faults, Undecided):
        return faults
    if "flaking" in faults:
        return holds(False, found="flaking")
    if "cracked" not in faults:
        return holds(True, note="The paint holds.", found="no cracks, no flaking")
    if lifting is None:
        return Undecided(("condition.cracks_lift",))
    return holds(not lifting, note="The cracks lie flat; photograph them for the record.", found=f"cracks, {_CRACKS[lifting]}")


@rule(
    "whole",
    effect=Effect.REPAIR,
    source=COMMON_PRACTICE,
    words=Words(
        measure="Tears and holes",
        met="It has no tears and no holes.",
        unmet="It has {found}. Handling makes such damage worse.",
        remedy="Put no tape on it, keep any loose pieces in an envelope, and ask a conservator to mend it.",
        bench="Tears and holes: {found}.",
    ),
)
def whole(
    declared: Faults = fact("condition.faults"),
    tear: float | None = fact("condition.tear_mm", optional=True),
) -> Check | Undecided:
    """Is it without tears and holes?

    Declared. A tear or a hole of any size is mended at a bench: tape from the back stains and pulls. The length of a tear that nobody
    named makes the list doubtful.
    """
    return _without({"torn", "hole"}, declared, tear_mm=tear)


def _without(these: set[Fault], declared: Faults, look: str = "", **details: Any) -> Check | Undecided:
    """Return the check that none of these is there, naming those that are, which no detail makes doubtful; ``look`` opens the remedy."""
    there = (faults_in(declared) or frozenset()) & these
    faults = settled_faults(declared, **details)
    if isinstance(faults, Undecided) and not there:
        return faults
    return holds(not there, found=named(there) or "none", look=look)


@rule(
    "tear-travels",
    effect=Effect.PREPARE,
    step=Step.MEND,
    source=OWN_POLICY,
    uses=["long_tear_mm"],
    applies=[where(DECLARED, "torn")],
    words=Words(
        measure="Longest tear",
        met="The tear is short enough to travel well wrapped.",
        unmet="The tear is {value} long. Above {limit} it needs a board before it is moved.",
        remedy="Lay it face up on a stiff board larger than itself, and carry it flat.",
        better="Hold a ruler beside the tear, without touching it, and read it once more in good light.",
    ),
)
def tear_travels(limits: ConditionLimits, tear: float = fact("condition.tear_mm")) -> Check | Undecided:
    """If there is a tear, is it short enough to travel without a board?

    Its length passes up to the limit; asked only where there is a tear. A tear of no length is asked for again.
    """
    return at_most(tear, limits.long_tear_mm, unit="mm") if tear else Undecided(("condition.tear_mm",))


@rule(
    "frame-holds",
    effect=Effect.REPAIR,
    step=Step.MEND,
    source=COMMON_PRACTICE,
    cautions=[CAUTION_WEIGHT],
    words=Words(
        measure="Loose frame",
        met="{note}",
        unmet="The frame is loose or cracked, and could come apart on the wall.",
        remedy="Carry it flat on both hands, and have a framer glue the corners or fit a new frame.",
        bench="Loose frame: {seen}.",
    ),
)
def frame_holds(
    declared: Faults = fact("condition.faults"),
    framed: bool | None = fact("framed", optional=True),
) -> Check | Undecided:
    """Does the frame hold?

    Declared: corners that open, or cracks in the frame, fail.
    """
    faults = settled_faults(declared)
    if isinstance(faults, Undecided):
        return faults
    return holds("loose-frame" not in faults, note=_FRAME[framed], seen=told("loose-frame", declared))


@rule(
    "unmarked",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=COMMON_PRACTICE,
    words=Words(
        measure="Marks that stay",
        met="It has no dents, scratches or stains.",
        unmet="It has {found}. It can hang with them.",
        remedy="{look}Photograph each mark beside a ruler and send us the pictures, so that nobody takes it for new damage.",
        bench="Marks for the record: {found}.",
    ),
)
def unmarked(declared: Faults = fact("condition.faults")) -> Check | Undecided:
    """Is it without dents, scratches and stains?

    Declared. Such marks stay and the work can hang; they go on record with a picture, so that they are not taken
    for damage done at the venue. Stains may hide mould, so the artist looks once more; till then the list stands.
    """
    return _without({"dented", "scratched", "stained"}, declared, _LOOK if "stained" in declared else "")


DAMAGE_RULES = (paint_holds, whole, tear_travels, frame_holds, unmarked)
