"""At the bench: examined apart, clean in raking light, and dry to the touch.

What is to be done here is done by the programme, at whose bench the work is (`ours`); the artist reads that it will be.
"""

from hangworthy.contract import (
    COMMON_PRACTICE,
    Check,
    Effect,
    Stage,
    Step,
    Undecided,
    Words,
    fact,
    holds,
    published,
    rule,
)

from .facts import DustPlace, Faults, Touch
from .faults import Hints, untouchable
from .rules_surface import loose_front

_NEWCOMERS = published("The National Archives (UK)", "isolating and examining what comes in")


@rule(
    "kept-apart",
    effect=Effect.PREPARE,
    step=Step.ISOLATE,
    source=_NEWCOMERS,
    ours=True,
    due=Stage.ARRIVAL,
    words=Words(
        measure="Examined apart from the other works",
        met="It was examined on its own before it joined the other works.",
        unmet="It has not been examined on its own yet.",
        remedy="We take it aside and examine front, back and edges before it joins the other works.",
        bench="Examined apart from the other works: {apart}.",
    ),
)
def kept_apart(apart: bool = fact("condition.kept_apart")) -> Check:
    """Was it examined before it joined the other works?

    Every work that comes in may bring insects or mould: it is unpacked and examined on a table of its own first.
    """
    return holds(apart, apart="yes" if apart else "no")


@rule(
    "clean-in-raking-light",
    effect=(Effect.PREPARE, Effect.REPAIR),
    step=Step.CLEAN,
    tools=["torch", "soft-brush"],
    source=COMMON_PRACTICE,
    ours=True,
    due=Stage.ARRIVAL,
    words=Words(
        measure="Dust and dirt in raking light",
        met="It is clean, also in light from the side.",
        unmet="Light from the side shows dust or dirt on the {places}.",
        remedy={
            Effect.PREPARE: "{brush}",
            Effect.REPAIR: "We leave the front alone, since its surface is loose. A conservator has to clean it.",
        },
        either="{either}",
        bench="Dust and dirt in raking light: {places}.",
    ),
)
def clean_in_raking_light(
    hints: Hints,
    dust: tuple[DustPlace, ...] = fact("condition.dust_on"),
    friable: bool = fact("friable", try_each=True),
    declared: Faults | None = fact("condition.faults", optional=True),
) -> Check | Undecided:
    """Is it clean in raking light?

    A torch held flat along the surface shows what the room hides. Dust on back and edges is brushed off; on the front only where nothing
    sheds or flakes. Due at arrival: an artist cannot know what the journey leaves on it. An empty list says nothing and is asked for again.
    """
    if not dust:
        return Undecided(("condition.dust_on",))
    places = [place for place in ("front", "back", "edges") if place in dust]
    effect = Effect.REPAIR if "front" in places and loose_front(friable, (*(declared or ()), *(hints.found or ()))) else Effect.PREPARE
    where_to = " and ".join(places) or "none"
    brush = f"We dust the {where_to} with a soft, dry brush, without water or cleaner."
    either = "We dust it with a soft, dry brush, without water or cleaner; the front only if it sheds no powder."
    if untouchable(declared, hints):
        brush = either = "We do not brush it: the hazard comes first, and a conservator says what to do."
    return holds(not places, effect=effect, places=where_to, brush=brush, either=either)


@rule(
    "dry-to-the-touch",
    effect=Effect.PREPARE,
    step=Step.DRY,
    source=COMMON_PRACTICE,
    ours=True,
    due=Stage.ARRIVAL,
    words=Words(
        measure="Touch test",
        met="The surface is dry to the touch.",
        unmet="The surface is still {touch}: dust and wrapping would cling to it.",
        remedy="We unwrap it, let it dry face up and away from dust, and try the edge again in a week.",
        bench="Touch test: {touch}.",
    ),
)
def dry_to_the_touch(touch: Touch = fact("condition.touch")) -> Check:
    """Is the surface dry to the touch?

    A dry fingertip, gloved, near an edge: it passes when nothing sticks and nothing comes off.
    """
    return holds(touch == "dry", touch=touch)


BENCH_RULES = (kept_apart, clean_in_raking_light, dry_to_the_touch)
