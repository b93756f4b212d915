"""What the bench found: hazards, loose paint, damage, what is left to do, and how it compares with what was declared.

What is to be done here is done by the programme, at whose bench the work is (`ours`); the artist reads that it will be.
"""

from typing import Any

from hangworthy.contract import (
    CAUTION_GLASS,
    CAUTION_MOULD,
    Check,
    Effect,
    Stage,
    Step,
    Undecided,
    Words,
    fact,
    given,
    holds,
    published,
    rule,
)

from .facts import DustPlace, Fault, Faults, Touch
from .faults import DECLARED, FOUND, HAZARDS, LOOSE_PAINT, faults_in, named, settled_faults

_NEWCOMERS = published("The National Archives (UK)", "isolating and examining what comes in")
_RECORDING = published("EN 16095, condition recording for movable cultural heritage", from_memory=True)


def _found(these: frozenset[Fault], found: Faults, **details: Any) -> Check | Undecided:
    """Return the check that the bench found none of these faults, naming those that it did, which no detail makes doubtful.

    An empty list is asked for again, and so is one that a detail goes against.
    """
    there = (faults_in(found) or frozenset()) & these
    seen = settled_faults(found, FOUND, **details)
    if isinstance(seen, Undecided) and not there:
        return seen
    return holds(not there, brief=named(there, 3), found=named(there) or "none")


@rule(
    "bench-no-hazard",
    effect=Effect.REFUSE,
    step=Step.ISOLATE,
    tools=["gloves", "mask", "plastic-bag"],
    source=_NEWCOMERS,
    ours=True,
    due=Stage.ARRIVAL,
    cautions=[CAUTION_MOULD, CAUTION_GLASS],
    words=Words(
        measure="Hazards on the bench",
        met="The bench found no mould, no live insects and no broken glass.",
        unmet="On the bench we found {brief}. It has to be kept apart.",
        remedy=(
            "We seal the work in a bag against mould or insects, if it is dry, and lay broken glass flat. "
            "Nobody should brush it before a conservator or framer has seen it."
        ),
        bench="Hazards on the bench: {found}.",
    ),
)
def bench_no_hazard(found: Faults = fact("condition.found_faults")) -> Check | Undecided:
    """Is it free of hazards on the bench?

    Mould, live insects and broken glass, as found by whoever examined it. What was declared is judged by rules of its own.
    """
    return _found(HAZARDS, found)


@rule(
    "bench-paint-holds",
    effect=Effect.REPAIR,
    step=Step.ISOLATE,
    source=_RECORDING,
    ours=True,
    due=Stage.ARRIVAL,
    words=Words(
        measure="Loose paint on the bench",
        met="The bench found no flaking paint.",
        unmet="On the bench we found flaking paint, and more comes off each time it is moved.",
        remedy="We leave it lying face up and keep the flakes. Please agree with us which conservator will fix the paint.",
        bench="Loose paint on the bench: {found}.",
    ),
)
def bench_paint_holds(found: Faults = fact("condition.found_faults")) -> Check | Undecided:
    """Does the paint hold on the bench?

    Flaking paint, as found by whoever examined it. Nothing else is done to the work before a conservator has seen to it.
    """
    return _found(frozenset((LOOSE_PAINT,)), found)


@rule(
    "bench-whole",
    effect=Effect.REPAIR,
    source=_RECORDING,
    ours=True,
    due=Stage.ARRIVAL,
    words=Words(
        measure="Damage on the bench",
        met="The bench found it whole.",
        unmet="On the bench we found {brief}. It has to be mended before it can hang.",
        remedy=("We leave it lying face up, with no tape on it. Please agree with us which conservator or framer will mend it."),
        bench="Damage on the bench: {found}.",
    ),
)
def bench_whole(found: Faults = fact("condition.found_faults")) -> Check | Undecided:
    """Is it whole on the bench?

    Tears, holes and a loose frame, as found by whoever examined it.
    """
    return _found(frozenset(("torn", "hole", "loose-frame")), found)


@rule(
    "bench-ready",
    effect=Effect.PREPARE,
    step=Step.DRY,
    source=_RECORDING,
    ours=True,
    due=Stage.ARRIVAL,
    words=Words(
        measure="What is still to do on the bench",
        met="Nothing is left to do on the bench.",
        unmet="On the bench we found {brief}. It can be put right before it hangs.",
        remedy="We let it dry and air, cover sharp ends and dust what is firm. If there is a hazard, that waits.",
        bench="Still to do on the bench: {found}.",
    ),
)
def bench_ready(
    found: Faults = fact("condition.found_faults"),
    dust: tuple[DustPlace, ...] | None = fact("condition.dust_on", optional=True),
    touch: Touch | None = fact("condition.touch", optional=True),
) -> Check | Undecided:
    """Is it ready on the bench?

    Dust, damp, a sticky surface, a smell and sharp hardware, as found by whoever examined it. Dust in raking light, or a surface that
    sticks, makes a list without them doubtful.
    """
    return _found(frozenset(("dusty", "damp", "sticky", "smells", "sharp-hardware")), found, dust_on=dust, touch=touch)


@rule(
    "faults-as-declared",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=_RECORDING,
    due=Stage.ARRIVAL,
    applies=[given("condition.faults")],
    words=Words(
        measure="Faults found against faults declared",
        met="It came in the condition that you described.",
        unmet="{brief}",
        remedy="Compare it with your own pictures, and correct your list where something has changed since.",
        bench="Found but not declared: {new}. Declared but not found: {gone}.",
    ),
)
def faults_as_declared(declared: Faults = fact("condition.faults"), found: Faults = fact("condition.found_faults")) -> Check | Undecided:
    """Is its condition as it was declared?

    Each fault that the bench found and nobody declared, and each that was declared and is not there, is named. What a new fault means is
    said by the rules of the bench; one that is gone counts until the list is corrected. An empty list says nothing and is asked for again.
    """
    told, seen = faults_in(declared), faults_in(found)
    if told is None or seen is None:
        return Undecided((DECLARED if told is None else FOUND,))
    new, gone = seen - told, told - seen
    parts = [f"On the bench we found {named(new, 3)}, which you did not name."] if new else []
    parts += [f"We did not find {named(gone, 3)}, which you named."] if gone else []
    return holds(not parts, brief=" ".join(parts), new=named(new) or "none", gone=named(gone) or "none")


FOUND_RULES = (bench_no_hazard, bench_paint_holds, bench_whole, bench_ready, faults_as_declared)
