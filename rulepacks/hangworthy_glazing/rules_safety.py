"""Above people: what a pane breaks into, against where it hangs."""

from hangworthy.contract import (
    CAUTION_GLASS,
    OWN_POLICY,
    Check,
    Effect,
    GlazingMaterial,
    RoomKind,
    Stage,
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


def _safe(material: GlazingMaterial, film: bool | None, stamped: str | None, least: float) -> bool | Undecided:
    """Return whether a pane of glass breaks safely, or what would tell."""
    if stamped is not None:
        drop, mode, _ = parse_classification(stamped)
        if mode not in _POSSIBLE[material] or (material == "float-glass" and mode == "B" and film is False):
            return Undecided((_CLASS,))
        return mode != "A" and drop <= least
    if material == "float-glass" and film is None:
        return Undecided((_FILM,))
    if breakage_mode(material, bool(film)) == "A":
        return False
    return True if least >= 3 else Undecided((_CLASS,))


def _mode(material: GlazingMaterial, film: bool | None, stamped: str | None) -> str:
    """Return the mode in which a pane of glass breaks, as stamped or else as usual."""
    return parse_classification(stamped).mode if stamped else breakage_mode(material, bool(film))


def _note(material: GlazingMaterial, film: bool | None, stamped: str | None) -> str:
    """Return what the coordinator reads of a pane: how it breaks, and from what blow."""
    name = material.replace("-", " ")
    if material in PLASTICS:
        return f"{name} gives few blunt pieces or none; EN 12600 does not classify it"
    mode = _mode(material, film, stamped)
    text = f"{name}{' with film' if film else ''} gives {PIECES[mode]} (mode {mode} of EN 12600)"
    if not stamped:
        return text
    height = drop_height(parse_classification(stamped).drop_class)
    return f"{text}, struck by 50 kg from {show(height, 'mm')}, {show(drop_energy(height), 'J')}"


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
        unmet="If it broke, your pane would fall as {pieces}; on this wall people must be safe from that.",
        remedy="Have a framer fit acrylic or laminated glass, or cover the whole pane with safety film; or choose another wall.",
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
        pieces = PIECES[_mode(material, film, stamped)]
        return holds(False, pieces=pieces, note=_note(material, film, stamped), needed="yes")
    words = {True: "yes", False: "no", None: "not known, and not asked of this pane"}
    return holds(True, note=_note(material, film, stamped), needed=words[needed])


@rule(
    "holds-together",
    effect=Effect.ADVISE,
    source=OWN_POLICY,
    due=Stage.HANGING,
    applies=(*PANE, where("glazing.material", "toughened-glass"), where("wall.above_people", True)),
    cautions=[CAUTION_GLASS],
    words=Words(
        measure="Toughened pane above people",
        met="The pane would stay together if it broke.",
        unmet="Toughened glass falls as small dice; above a bed or a seat, one that stays together is better.",
        remedy="Ask a framer for laminated glass, acrylic, or a safety film over the whole pane; or choose another wall.",
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
    if stamped is None and film is None:
        return Undecided((_FILM,))
    mode = _mode(material, film, stamped)
    if mode not in _POSSIBLE[material]:
        return Undecided((_CLASS,))
    return holds(mode == "B", note=_note(material, film, stamped))


SAFETY_RULES = (safe_overhead, holds_together)
