"""Surface and smell: clean, dry, and with nothing sharp on it."""

from hangworthy.contract import CAUTION_MOULD, COMMON_PRACTICE, Check, Effect, Undecided, Words, fact, holds, published, rule

from .facts import Faults, Smell
from .faults import DECLARED, present, strays, suspected

_DECLARED, _FOUND = fact("condition.faults", optional=True), fact("condition.found_faults", optional=True)
_MOULD = published("CCI Technical Bulletin 26", "drying what is wet; isolating what may be mouldy")
_BRUSH = {
    True: "Dust the back and the edges with a soft, dry brush, and leave the front alone.",
    False: "Dust it with a soft, dry brush: front, back and edges. Use no water and no cleaner.",
    None: "Dust back and edges with a soft, dry brush; the front only if it sheds no powder.",
}


def loose_front(friable: bool | None, declared: Faults | None, found: Faults | None) -> bool | None:
    """Return whether the front sheds powder or flakes, so that nobody but a conservator may clean it; None where it is not known."""
    return True if "flaking" in (present(declared, found) or ()) else friable


@rule(
    "clean",
    effect=Effect.PREPARE,
    source=COMMON_PRACTICE,
    words=Words(
        measure="Dust and dirt",
        met="It is clean.",
        unmet="There is dust or dirt on it, and light from the side will show it.",
        remedy="{brush}",
    ),
)
def clean(
    declared: Faults | None = _DECLARED,
    found: Faults | None = _FOUND,
    friable: bool | None = fact("friable", optional=True),
) -> Check | Undecided:
    """Are front, back and edges clean?

    Declared, or found on the bench. It is dusted with a soft, dry brush; how far depends on the surface, about which another rule asks.
    """
    faults = present(declared, found)
    if faults is None:
        return Undecided((DECLARED,))
    return holds("dusty" not in faults, brush=_BRUSH[loose_front(friable, declared, found)])


@rule(
    "safe-to-dust",
    effect=Effect.REPAIR,
    source=COMMON_PRACTICE,
    words=Words(
        measure="Dust on a loose surface",
        met="{note}",
        unmet="There is dust on a surface that sheds or flakes. Brushing would take the colour with it.",
        remedy="Leave the front alone, cover it without touching it, and ask a conservator to clean it.",
    ),
)
def safe_to_dust(
    declared: Faults | None = _DECLARED,
    found: Faults | None = _FOUND,
    friable: bool | None = fact("friable", optional=True),
) -> Check | Undecided:
    """If there is dust, may it be brushed off?

    Not from a surface that sheds powder or flakes: a conservator cleans that. Whether it sheds is asked only where there is dust.
    """
    faults = present(declared, found)
    if faults is None:
        return Undecided((DECLARED,))
    if "dusty" not in faults:
        return holds(True, note="There is no dust to brush off.")
    loose = loose_front(friable, declared, found)
    return Undecided(("friable",)) if loose is None else holds(not loose, note="The surface holds, so it can be dusted.")


@rule(
    "not-sticky",
    effect=Effect.PREPARE,
    source=COMMON_PRACTICE,
    words=Words(
        measure="Wet or sticky surface",
        met="The surface is dry.",
        unmet="The surface is wet or sticky: dust and wrapping would cling to it.",
        remedy="Let it dry face up, away from dust. If it stays sticky for months, ask a conservator.",
    ),
)
def not_sticky(declared: Faults | None = _DECLARED, found: Faults | None = _FOUND) -> Check | Undecided:
    """Is the surface dry?

    Declared, or found on the bench. What sticks to a fingertip sticks to dust and wrapping; old paint that sticks is for a conservator.
    """
    faults = present(declared, found)
    return Undecided((DECLARED,)) if faults is None else holds("sticky" not in faults)


@rule(
    "not-damp",
    effect=Effect.PREPARE,
    source=_MOULD,
    words=Words(
        measure="Damp",
        met="It is dry through.",
        unmet="It is damp, and mould can start within days.",
        remedy="Let it dry in moving air, away from heaters. Wrap it only for the way.",
    ),
)
def not_damp(declared: Faults | None = _DECLARED, found: Faults | None = _FOUND) -> Check | Undecided:
    """Is it free of damp?

    Declared, or found on the bench. A damp work is never sealed in a bag for long: it dries first.
    """
    faults = present(declared, found)
    return Undecided((DECLARED,)) if faults is None else holds("damp" not in faults)


@rule(
    "no-smell",
    effect=Effect.PREPARE,
    source=COMMON_PRACTICE,
    words=Words(
        measure="Smell",
        met="It does not smell.",
        unmet="It smells, and people will sit near it.",
        remedy="Let it air unwrapped in a dry room, away from dust and other works, until the smell has gone.",
    ),
)
def no_smell(declared: Faults | None = _DECLARED, found: Faults | None = _FOUND) -> Check | Undecided:
    """Is it free of smell?

    Declared, or found on the bench. Smoke and solvent air out; another rule asks whether it smells musty.
    """
    faults = present(declared, found)
    return Undecided((DECLARED,)) if faults is None else holds("smells" not in faults)


@rule(
    "not-musty",
    effect=Effect.REFUSE,
    source=_MOULD,
    cautions=[CAUTION_MOULD],
    words=Words(
        measure="Musty smell",
        met="It does not smell musty.",
        unmet="It smells musty, so mould may be hidden in it.",
        remedy="Keep it apart from other works, dry and unbrushed, and ask a conservator to look for mould.",
    ),
)
def not_musty(
    declared: Faults | None = _DECLARED,
    found: Faults | None = _FOUND,
    smell: Smell | None = fact("condition.smell", optional=True),
) -> Check | Undecided:
    """If it smells, is it of something other than mould?

    A musty smell may come from hidden mould, and airing it takes nothing away: declared or smelt on the bench, such a work is kept apart
    until a conservator has looked. What it smells of is asked only where it smells.
    """
    faults = suspected(declared, found)
    if faults is None or strays(smell == "musty", frozenset(("smells",)), declared, found):
        return Undecided((DECLARED,))
    if "smells" not in faults:
        return holds(True)
    return Undecided(("condition.smell",)) if smell is None else holds(smell != "musty")


@rule(
    "nothing-sharp",
    effect=Effect.PREPARE,
    source=COMMON_PRACTICE,
    words=Words(
        measure="Sharp hardware",
        met="Nothing sharp stands out.",
        unmet="Something sharp stands out. It scratches hands, walls and other works.",
        remedy="Take it out, press it flush or cover it with tape, and bend wire ends inward.",
    ),
)
def nothing_sharp(declared: Faults | None = _DECLARED, found: Faults | None = _FOUND) -> Check | Undecided:
    """Is it free of sharp hardware?

    Declared, or found on the bench: screw points, wire ends, nails, staples that stand out.
    """
    faults = present(declared, found)
    return Undecided((DECLARED,)) if faults is None else holds("sharp-hardware" not in faults)


SURFACE_RULES = (clean, safe_to_dust, not_sticky, not_damp, no_smell, not_musty, nothing_sharp)
