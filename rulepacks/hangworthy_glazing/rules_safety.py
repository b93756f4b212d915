"""Above people: what a pane breaks into, against where it hangs."""

from hangworthy.contract import (
    CAUTION_GLASS,
    OWN_POLICY,
    Check,
    Effect,
    GlazingMaterial,
    RoomKind,
    Stage,
    Step,
    Undecided,
    Words,
    fact,
    holds,
    published,
    rule,
    show,
    where,
)

from .formulas import breakage_mode, drop_energy, drop_height, parse_classification
from .formulas.safety import PIECES
from .limits import GlazingLimits
from .panes import PANE, PLASTICS

ROOMS_OF_CARE = ("patient-room", "clinic", "school")
_MODES = published("EN 12600:2002", "modes of breakage; for pictures an equivalent only, since no glazing code covers them")
# A class that its material cannot have is a slip of the pen.
_POSSIBLE = {"float-glass": "AB", "toughened-glass": "BC", "laminated-glass": "BC"}
_FILM, _CLASS = "glazing.film", "glazing.safety_class"


def _needed(above: bool | None, room: RoomKind | None) -> bool | None:
    """Return whether people must be safe below a wall; None when that is not known."""
    if above or room in ROOMS_OF_CARE:
        return True
    return None if above is None or room is None else False


def _mode(material: GlazingMaterial, film: bool | None, stamped: str | None) -> str:
    """Return the mode in which a pane of glass breaks: held by film, or else as stamped, or else as usual."""
    if film or stamped is None:
        return breakage_mode(material, bool(film))
    return parse_classification(stamped).mode


def _slip(material: GlazingMaterial, film: bool | None, stamped: str | None) -> bool:
    """Return whether a stamp cannot be right: a mode that the material has not, or float glass that holds together without film."""
    if stamped is None:
        return False
    mode = parse_classification(stamped).mode
    return mode not in _POSSIBLE[material] or (material == "float-glass" and mode == "B" and film is False)


def _safe(material: GlazingMaterial, film: bool | None, stamped: str | None, least: float) -> bool | Undecided:
    """Return whether a pane of glass breaks safely, or what would tell."""
    if _slip(material, film, stamped):
        return Undecided((_CLASS,))
    if _mode(material, film, stamped) == "A":
        return Undecided((_FILM,)) if film is None else False
    if stamped is None or parse_classification(stamped).mode == "A":  # the stamp of the bare glass says nothing of it under film
        return True if least >= 3 else Undecided((_CLASS,))
    return parse_classification(stamped).drop_class <= least


def _note(material: GlazingMaterial, film: bool | None, stamped: str | None) -> str:
    """Return what the coordinator reads of a pane: how it breaks, and from what blow."""
    name = material.replace("-", " ")
    if material in PLASTICS:
        return f"{name} gives few blunt pieces or none; EN 12600 does not classify it"
    mode = _mode(material, film, stamped)
    text = f"{name}{' with film' if film else ''} gives {PIECES[mode]} (mode {mode} of EN 12600)"
    if stamped is None:
        return text
    height = drop_height(parse_classification(stamped).drop_class)
    return f"{text}, stamped {''.join(stamped.split()).upper()}: 50 kg from {show(height, 'mm')}, {show(drop_energy(height), 'J')}"


def _trouble(mode: str, stamped: str | None, least: float) -> tuple[str, str, str]:
    """Return what is wrong with a pane above people, what the artist can do, and what is needed."""
    todo = f"Have a framer fit acrylic, or laminated glass of class {least:g} or better; or ask us for another wall."
    if mode == "A" or stamped is None:
        if least >= 3:  # which any laminated glass, and any under film, reaches
            todo = "Have a framer fit acrylic or laminated glass, or cover the whole pane with safety film; or ask us for another wall."
        return f"If it broke, your pane would fall as {PIECES[mode]}; on this wall people must be safe from that.", todo, "yes"
    own = parse_classification(stamped).drop_class
    return f"Your pane is of safety class {own}, and on this wall class {least:g} or better is needed.", todo, f"class {least:g} or better"


@rule(
    "safe-overhead",
    effect=Effect.REPAIR,
    source=_MODES,
    due=Stage.HANGING,
    applies=PANE,
    uses=["safety_class"],
    cautions=[CAUTION_GLASS],
    words=Words(
        measure="Pane above people",
        met="The pane is safe where your work will hang.",
        unmet="{trouble}",
        remedy="{todo}",
        bench="Pane: {note}. Needed on this wall: {needed}. An equivalent, not a code's demand on pictures.",
    ),
)
def safe_overhead(
    limits: GlazingLimits,
    material: GlazingMaterial = fact("glazing.material"),
    film: bool | None = fact("glazing.film", optional=True),
    stamped: str | None = fact("glazing.safety_class", optional=True),
    above: bool | None = fact("wall.above_people", optional=True),
    room: RoomKind | None = fact("wall.room", optional=True),
) -> Check | Undecided:
    """Is the pane safe above people?

    Above heads, beds and seats, and in clinics and schools, a pane must not fall as sharp pieces: plastics, laminated and toughened glass
    and glass under film pass; plain glass does not. A stamped class of EN 12600 must be of mode B or C and reach the venue's class. Picture
    glass is outside the codes for doors and windows: they serve as an equivalent only. The wall is asked for only where it matters.
    """
    needed = _needed(above, room)
    safe = True if material in PLASTICS else _safe(material, film, stamped, limits.safety_class)
    if needed is not False and safe is not True:
        if isinstance(safe, Undecided) or needed is None:
            wall = {"wall.above_people": above, "wall.room": room} if needed is None else {}
            missing = safe.missing if isinstance(safe, Undecided) else ()
            return Undecided((*missing, *(path for path, value in wall.items() if value is None)))
        trouble, todo, asked = _trouble(_mode(material, film, stamped), stamped, limits.safety_class)
        return holds(False, trouble=trouble, todo=todo, note=_note(material, film, stamped), needed=asked)
    words = {True: "yes", False: "no", None: "not known, and not asked of this pane"}
    return holds(True, note=_note(material, film, stamped), needed=words[needed])


@rule(
    "holds-together",
    effect=Effect.ADVISE,
    step=Step.MEND,
    source=OWN_POLICY,
    due=Stage.HANGING,
    applies=(*PANE, where("glazing.material", "toughened-glass"), where("wall.above_people", True)),
    cautions=[CAUTION_GLASS],
    words=Words(
        measure="Toughened pane above people",
        met="The pane would stay together if it broke.",
        unmet="Toughened glass falls as small dice; above a bed or a seat, one that stays together is better.",
        remedy="Ask a framer for laminated glass, acrylic, or a safety film over the whole pane; or us for another wall.",
        bench="Toughened pane above people: {note}.",
    ),
)
def holds_together(
    film: bool | None = fact("glazing.film", optional=True),
    stamped: str | None = fact("glazing.safety_class", optional=True),
) -> Check | Undecided:
    """Would a toughened pane stay together above people?

    Toughened glass breaks into dice that do not cut, but still fall on a head or into a bed: under a film, or stamped with mode B, it stays
    together.
    """
    material: GlazingMaterial = "toughened-glass"
    if _slip(material, film, stamped):
        return Undecided((_CLASS,))
    mode = _mode(material, film, stamped)
    if mode != "B" and film is None:
        return Undecided((_FILM,))
    return holds(mode == "B", note=_note(material, film, stamped))


SAFETY_RULES = (safe_overhead, holds_together)
