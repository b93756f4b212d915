"""Damage: loose paint, tears, holes, a loose frame, and marks that stay."""

import math

from hangworthy.contract import (
    CAUTION_MOULD,
    CAUTION_WEIGHT,
    COMMON_PRACTICE,
    OWN_POLICY,
    Check,
    Effect,
    Undecided,
    Words,
    at_most,
    fact,
    holds,
    rule,
)

from .facts import Fault, Faults
from .faults import DECLARED, named, present, seen_by, strays
from .limits import ConditionLimits

_DECLARED, _FOUND = fact("condition.faults", optional=True), fact("condition.found_faults", optional=True)
_CRACKS = {True: "lifting", False: "lying flat"}


@rule(
    "paint-holds",
    effect=Effect.REPAIR,
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
    declared: Faults | None = _DECLARED,
    found: Faults | None = _FOUND,
    lifting: bool | None = fact("condition.cracks_lift", optional=True),
) -> Check | Undecided:
    """Does the paint hold?

    Flaking or lifting paint fails. Cracks that lie flat pass: whether their edges stand up is asked only where there are cracks.
    """
    faults = present(declared, found)
    if faults is None or strays(lifting, frozenset(("flaking", "cracked")), declared, found):
        return Undecided((DECLARED,))
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
def whole(declared: Faults | None = _DECLARED, found: Faults | None = _FOUND) -> Check | Undecided:
    """Is it without tears and holes?

    Declared, or found on the bench. A tear or a hole of any size is mended at a bench: tape from the back stains and pulls.
    """
    return _without({"torn", "hole"}, declared, found)


def _without(these: set[Fault], declared: Faults | None, found: Faults | None) -> Check | Undecided:
    """Return the check that none of these faults is there, naming those that are."""
    faults = present(declared, found)
    if faults is None:
        return Undecided((DECLARED,))
    return holds(not faults & these, found=named(faults & these) or "none")


@rule(
    "tear-travels",
    effect=Effect.PREPARE,
    source=OWN_POLICY,
    uses=["long_tear_mm"],
    words=Words(
        measure="Longest tear",
        met="{note}",
        unmet="The tear is {value} long. Above {limit} it needs a board before it is moved.",
        remedy="Lay it face up on a stiff board larger than itself, and carry it flat.",
        better="Hold a ruler beside the tear, without touching it, and read it once more in good light.",
    ),
)
def tear_travels(
    limits: ConditionLimits,
    declared: Faults | None = _DECLARED,
    found: Faults | None = _FOUND,
    tear: float | None = fact("condition.tear_mm", optional=True),
    width: float | None = fact("width_mm", optional=True),
    height: float | None = fact("height_mm", optional=True),
) -> Check | Undecided:
    """If there is a tear, is it short enough to travel without a board?

    Its length passes up to the limit; asked only where there is a tear. A tear of no length, or longer than the work, is asked for again.
    """
    faults = present(declared, found)
    if faults is None or strays(tear, frozenset(("torn",)), declared, found):
        return Undecided((DECLARED,))
    if "torn" not in faults:
        return at_most(0.0, limits.long_tear_mm, unit="mm", note="There is no tear to support.")
    longest = math.hypot(width, height) if width and height else math.inf
    if not tear or tear > longest:
        return Undecided(("condition.tear_mm",))
    return at_most(tear, limits.long_tear_mm, unit="mm", note="The tear is short enough to travel well wrapped.")


@rule(
    "frame-holds",
    effect=Effect.REPAIR,
    source=COMMON_PRACTICE,
    cautions=[CAUTION_WEIGHT],
    words=Words(
        measure="Loose frame",
        met="The frame holds, or there is none.",
        unmet="The frame is loose or cracked, and could come apart on the wall.",
        remedy="Carry it flat on both hands, and have a framer glue the corners or fit a new frame.",
        bench="Loose frame: {seen}.",
    ),
)
def frame_holds(declared: Faults | None = _DECLARED, found: Faults | None = _FOUND) -> Check | Undecided:
    """Does the frame hold?

    Declared, or found on the bench: corners that open, or cracks in the frame, fail.
    """
    faults = present(declared, found)
    return Undecided((DECLARED,)) if faults is None else holds("loose-frame" not in faults, seen=seen_by("loose-frame", declared, found))


@rule(
    "unmarked",
    effect=Effect.ADVISE,
    source=COMMON_PRACTICE,
    cautions=[CAUTION_MOULD],
    words=Words(
        measure="Marks that stay",
        met="It has no dents, scratches or stains.",
        unmet="It has {found}. It can hang with them.",
        remedy="Photograph each mark beside a ruler and send us the pictures, so that nobody takes it for new damage.",
        bench="Marks for the record: {found}.",
    ),
)
def unmarked(declared: Faults | None = _DECLARED, found: Faults | None = _FOUND) -> Check | Undecided:
    """Is it without dents, scratches and stains?

    Declared, or found on the bench. Such marks stay and the work can hang; they go on record with a picture, so that they are not taken
    for damage done at the venue. Stains may hide mould.
    """
    return _without({"dented", "scratched", "stained"}, declared, found)


DAMAGE_RULES = (paint_holds, whole, tear_travels, frame_holds, unmarked)
