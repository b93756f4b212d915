"""Surface and smell: clean, dry, and with nothing sharp on it."""

from hangworthy.contract import CAUTION_MOULD, COMMON_PRACTICE, Check, Effect, Step, Undecided, Words, fact, holds, published, rule, where

from .facts import Faults, Smell
from .faults import DECLARED, Hints, settled_faults, told, untouchable

_MOULD = published("CCI Technical Bulletin 26", "drying what is wet; isolating what may be mouldy")
_BRUSH = {
    True: "Dust the back and the edges with a soft, dry brush, and leave the front alone.",
    False: "Dust it with a soft, dry brush: front, back and edges. Use no water and no cleaner.",
    None: "Dust back and edges with a soft, dry brush; the front only if it sheds no powder.",
}

_DRYING = {True: "Let it dry in a room of its own, without a fan or heater.", False: "Let it dry in moving air, away from heaters."}
_AIRING = "Let it air unwrapped in a dry room, away from dust and other works, until the smell has gone."
LEAVE_IT = "Do not brush or air it before a conservator has seen to the hazard, and then do as they say."


def loose_front(friable: bool | None, declared: Faults | None) -> bool | None:
    """Return whether the front sheds powder or flakes, so that nobody but a conservator may clean it; None where it is not known."""
    return True if "flaking" in (declared or ()) else friable


@rule(
    "clean",
    effect=Effect.PREPARE,
    step=Step.CLEAN,
    tools=["torch", "soft-brush"],
    source=COMMON_PRACTICE,
    words=Words(
        measure="Dust and dirt",
        met="It is clean.",
        unmet="There is dust or dirt on it, and light from the side will show it.",
        remedy="{brush}",
        bench="Dust and dirt: {seen}.",
    ),
)
def clean(
    hints: Hints,
    declared: Faults = fact("condition.faults"),
    friable: bool | None = fact("friable", optional=True),
) -> Check | Undecided:
    """Are front, back and edges clean?

    Declared. It is dusted with a soft, dry brush; how far depends on the surface, about which another rule asks.
    """
    faults = settled_faults(declared)
    if isinstance(faults, Undecided):
        return faults
    brush = LEAVE_IT if untouchable(declared, hints) else _BRUSH[loose_front(friable, declared)]
    return holds("dusty" not in faults, brush=brush, seen=told("dusty", declared))


@rule(
    "safe-to-dust",
    effect=Effect.REPAIR,
    step=Step.CLEAN,
    source=COMMON_PRACTICE,
    applies=[where(DECLARED, "dusty")],
    words=Words(
        measure="Dust on a loose surface",
        met="The surface holds, so it can be dusted.",
        unmet="There is dust on a surface that sheds or flakes. Brushing would take the colour with it.",
        remedy="Leave the front alone, cover it without touching it, and ask a conservator to clean it.",
        bench="Dust on a loose surface: {loose}.",
    ),
)
def safe_to_dust(
    declared: Faults = fact("condition.faults"),
    friable: bool | None = fact("friable", optional=True),
    lifting: bool | None = fact("condition.cracks_lift", optional=True),
) -> Check | Undecided:
    """If there is dust, may it be brushed off?

    Not from a surface that sheds powder, flakes, or lifts along its cracks: a conservator cleans that. Whether it does is asked only where
    there is dust.
    """
    faults = settled_faults(declared)
    if isinstance(faults, Undecided):
        return faults
    if loose_front(friable, declared) or lifting:
        return holds(False, loose="dust, and it sheds or flakes")
    missing = ("friable",) * (friable is None) + ("condition.cracks_lift",) * ("cracked" in faults and lifting is None)
    return Undecided(missing) if missing else holds(True, loose="it holds")


@rule(
    "not-sticky",
    effect=Effect.PREPARE,
    step=Step.DRY,
    source=COMMON_PRACTICE,
    words=Words(
        measure="Wet or sticky surface",
        met="The surface is dry.",
        unmet="The surface is wet or sticky: dust and wrapping would cling to it.",
        remedy="Let it dry face up, away from dust. If it stays sticky for months, ask a conservator.",
        bench="Wet or sticky surface: {seen}.",
    ),
)
def not_sticky(declared: Faults = fact("condition.faults")) -> Check | Undecided:
    """Is the surface dry?

    Declared. What sticks to a fingertip sticks to dust and wrapping; old paint that sticks is for a conservator.
    """
    faults = settled_faults(declared)
    return faults if isinstance(faults, Undecided) else holds("sticky" not in faults, seen=told("sticky", declared))


@rule(
    "not-damp",
    effect=Effect.PREPARE,
    step=Step.DRY,
    source=_MOULD,
    words=Words(
        measure="Damp",
        met="It is not damp.",
        unmet="It is damp, and mould can start within days.",
        remedy="{dry} Wrap it only for the way.",
        bench="Damp: {seen}.",
    ),
)
def not_damp(hints: Hints, declared: Faults = fact("condition.faults")) -> Check | Undecided:
    """Is it free of damp?

    Declared. A damp work is never sealed in a bag for long: it dries first, without a fan where that would spread
    mould.
    """
    faults = settled_faults(declared)
    if isinstance(faults, Undecided):
        return faults
    return holds("damp" not in faults, dry=_DRYING[untouchable(declared, hints)], seen=told("damp", declared))


@rule(
    "no-smell",
    effect=Effect.PREPARE,
    step=Step.DRY,
    source=COMMON_PRACTICE,
    words=Words(
        measure="Smell",
        met="It does not smell.",
        unmet="It smells, and people will sit near it.",
        remedy="{air}",
        bench="Smell: {seen}.",
    ),
)
def no_smell(
    hints: Hints,
    declared: Faults = fact("condition.faults"),
    smell: Smell | None = fact("condition.smell", optional=True),
) -> Check | Undecided:
    """Is it free of smell?

    Declared. Smoke and solvent air out; what smells musty, or holds another hazard, is left as it is.
    Another rule asks what it smells of.
    """
    faults = settled_faults(declared, smell=smell)
    if isinstance(faults, Undecided):
        return faults
    air = LEAVE_IT if smell == "musty" or untouchable(declared, hints) else _AIRING
    return holds("smells" not in faults, air=air, seen=told("smells", declared))


@rule(
    "not-musty",
    effect=Effect.REFUSE,
    step=Step.ISOLATE,
    tools=["gloves", "mask", "plastic-bag"],
    source=_MOULD,
    applies=[where(DECLARED, "smells")],
    cautions=[CAUTION_MOULD],
    words=Words(
        measure="Musty smell",
        met="It does not smell musty.",
        unmet="It smells musty, so mould may be hidden in it.",
        remedy="Keep it apart from other works, dry and unbrushed, and ask a conservator to look for mould.",
        bench="Musty smell: {musty}.",
    ),
)
def not_musty(
    smell: Smell = fact("condition.smell"),
) -> Check:
    """If it smells, is it of something other than mould?

    A musty smell may come from hidden mould, and airing it takes nothing away: such a work is kept apart
    until a conservator has looked. What it smells of is asked only where it smells.
    """
    return holds(smell != "musty", musty=f"it smells, kind “{smell}”")


@rule(
    "nothing-sharp",
    effect=Effect.PREPARE,
    step=Step.FIT,
    tools=["pliers", "gloves"],
    source=COMMON_PRACTICE,
    words=Words(
        measure="Sharp hardware",
        met="Nothing sharp stands out.",
        unmet="Something sharp stands out. It scratches hands, walls and other works.",
        remedy="Take it out, press it flush or cover it with tape, and bend wire ends inward.",
        bench="Sharp hardware: {seen}.",
    ),
)
def nothing_sharp(declared: Faults = fact("condition.faults")) -> Check | Undecided:
    """Is it free of sharp hardware?

    Declared: screw points, wire ends, nails, staples that stand out.
    """
    faults = settled_faults(declared)
    return faults if isinstance(faults, Undecided) else holds("sharp-hardware" not in faults, seen=told("sharp-hardware", declared))


SURFACE_RULES = (clean, safe_to_dust, not_sticky, not_damp, no_smell, not_musty, nothing_sharp)
