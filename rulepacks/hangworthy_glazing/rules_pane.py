"""The pane itself: clean on both faces, whole, not too heavy, and drawing no powder off the work."""

from hangworthy.contract import (
    CAUTION_GLASS,
    CAUTION_WEIGHT,
    COMMON_PRACTICE,
    OWN_POLICY,
    Check,
    Effect,
    GlazingMaterial,
    Stage,
    Step,
    Technique,
    Undecided,
    Words,
    at_most,
    fact,
    holds,
    rule,
    show,
    where,
)

from .facts import PaneDamage
from .formulas import pane_density, pane_mass
from .limits import GlazingLimits
from .panes import BOARD_KINDS, FRAMED, PANE, PAPER_KINDS, PLASTICS, REBATE, Measured, PaneSize, pane_size

_CLOTH = "Spray a soft cloth, never the pane, and use no ammonia on plastic."
_WIPE = {
    "outside": f"Wipe the outside and look along it from the side. {_CLOTH}",
    "inside": f"Open the back, or let a framer do it, and wipe the inside of the pane. {_CLOTH}",
    "outside and inside": f"Open the back, or let a framer do it, and wipe both faces. {_CLOTH}",
}


@rule(
    "clean-both-sides",
    effect=Effect.PREPARE,
    step=Step.CLEAN,
    tools=["glass-cloth"],
    source=COMMON_PRACTICE,
    due=Stage.ARRIVAL,
    applies=PANE,
    words=Words(
        measure="Faces of the pane",
        met="The pane is clean on both sides.",
        unmet="The pane is not clean on the {side}, which shows from an angle and in photographs.",
        remedy="{wipe}",
        bench="Pane, soiled faces: {side}.",
    ),
)
def clean_both_sides(
    outside: bool | None = fact("glazing.outside_clean", optional=True),
    inside: bool | None = fact("glazing.inside_clean", optional=True),
) -> Check | Undecided:
    """Is the pane clean inside and outside?

    Declared, each face for itself: what a cloth takes off is outside, what it leaves is inside, and there the frame has to be opened.
    One soiled face is enough to fail; both must be known to be clean to pass.
    """
    faces = {"outside": outside, "inside": inside}
    soiled = " and ".join(side for side, clean in faces.items() if clean is False)
    if soiled:
        return holds(False, side=soiled, wipe=_WIPE[soiled])
    missing = tuple(f"glazing.{side}_clean" for side, clean in faces.items() if clean is None)
    return Undecided(missing) if missing else holds(True, side="none")


@rule(
    "unbroken",
    effect=Effect.REFUSE,
    step=Step.ISOLATE,
    tools=["gloves"],
    source=COMMON_PRACTICE,
    due=Stage.ARRIVAL,
    applies=PANE,
    cautions=[CAUTION_GLASS],
    words=Words(
        measure="Damage to the pane",
        met="The pane is whole.",
        unmet="The pane is {found}, so the work cannot be hung or carried about as it is.",
        remedy="Set it apart, lying face up, where nobody passes. Have a framer fit a new pane, then offer it again.",
        bench="Pane declared: {found}.",
    ),
)
def unbroken(damage: tuple[PaneDamage, ...] = fact("glazing.damage")) -> Check | Undecided:
    """Is the pane free of cracks and chips?

    Declared. A break, a crack, a chip or tape across the pane fails: a crack runs on when the frame is lifted. An empty list says nothing
    and is asked for again, and so does “none” beside a fault.
    """
    found = [one if one != "taped" else "taped across" for one in dict.fromkeys(damage) if one != "none"]
    if not damage or (found and "none" in damage):
        return Undecided(("glazing.damage",))
    return holds(not found, found=" and ".join(found) or "whole")


def _lighter(material: str, kg: float) -> str:
    """Return what to do about a heavy pane."""
    if material in PLASTICS:
        return "Tell us: we plan two people, and fixings for the whole weight."
    kilos = show(kg * pane_density("acrylic") / pane_density(material), "kg")
    return f"In acrylic of the same thickness it would weigh about {kilos}. Else we plan two people and stronger fixings."


@rule(
    "weight",
    effect=Effect.ADVISE,
    source=OWN_POLICY,
    due=Stage.ARRIVAL,
    applies=PANE,
    uses=["pane_kg", "border_mm"],
    cautions=[CAUTION_WEIGHT],
    words=Words(
        measure="Weight of the pane",
        met="The pane weighs {about}; that is not too heavy here.",
        unmet="The pane alone weighs {about}; above {limit} a work needs two people, and fixings chosen for its weight.",
        remedy="{lighter}",
        bench="Weight of the pane: {about}; above {limit} plan two people, and fixings for the whole weight.",
        better="Measure the pane's thickness at its edge with a caliper, and the rebate with a steel tape.",
    ),
)
def weight(
    limits: GlazingLimits,
    measured: Measured,
    material: GlazingMaterial = fact("glazing.material"),
    thickness: float = fact("glazing.thickness_mm"),
) -> Check | Undecided:
    """What does the pane weigh?

    Density times volume, from the rebate. Where only the work was measured, the pane is at least as large, and at most larger by a mat's
    border all round: the rebate is asked for only when that leaves the answer open. Advice; the whole work is weighed elsewhere.
    """
    size = pane_size(measured.rebate, measured.work, limits.border_mm)
    if size is None:
        return Undecided(REBATE)
    light, heavy = _masses(size, thickness, pane_density(material))
    if light <= limits.pane_kg < heavy:
        return Undecided(REBATE)
    shown = heavy if heavy <= limits.pane_kg else light
    bound = "" if light == heavy else "at most " if shown == heavy else "at least "
    return at_most(shown, limits.pane_kg, unit="kg", about=bound + show(shown, "kg"), lighter=_lighter(material, shown))


def _masses(size: PaneSize, thickness: float, density: float) -> tuple[float, float]:
    """Return the least and the most that a pane may weigh [kg]."""
    return pane_mass(*size.least, thickness, density), pane_mass(*size.most, thickness, density)


_STATIC = Words(
    measure="Powder and static",
    met="Nothing in front of your work draws powder off it.",
    unmet="Your pane holds a static charge, which lifts powder off pastel, charcoal and chalk.",
    remedy="Have a framer fit glass, or plastic with an antistatic coating. Do not rub the pane meanwhile.",
    bench="Powdery work behind a pane with static: {found}.",
)


def _powdery(friable: bool | None, technique: Technique | None) -> bool | None:
    """Return whether a work sheds powder; None when neither its surface nor its technique tells."""
    if friable is not None:
        return friable
    if technique in ("pastel", "charcoal"):
        return True
    return None if technique in (None, "mixed", "other") else False


def _static(friable: bool | None, technique: Technique | None, material: GlazingMaterial | None, lifts: bool | None) -> Check | Undecided:
    """Return whether a pane draws powder off a work."""
    powdery = _powdery(friable, technique)
    if powdery is False or lifts is False or (material is not None and material not in PLASTICS):
        return holds(True, found="no")
    if powdery is None:
        return Undecided(("friable",))
    return Undecided(("glazing.lifts_tissue",)) if lifts is None else holds(False, found="yes")


@rule(
    "static",
    by="paper",
    effect=Effect.REPAIR,
    source=COMMON_PRACTICE,
    applies=(where("kind", *PAPER_KINDS), FRAMED),
    words=_STATIC,
)
def static_on_paper(
    friable: bool | None = fact("friable", optional=True),
    technique: Technique | None = fact("technique", optional=True),
    material: GlazingMaterial | None = fact("glazing.material", optional=True),
    lifts: bool | None = fact("glazing.lifts_tissue", optional=True),
) -> Check | Undecided:
    """Is a powdery work kept away from a pane with static?

    Rubbed plastic lifts powder off unfixed pastel and charcoal. Glass passes, and so does a pane that lifts no scrap of tissue; whether it
    does is asked only of powdery works, since everything else is safe behind anything.
    """
    return _static(friable, technique, material, lifts)


@rule(
    "static",
    by="board and cloth",
    effect=Effect.REPAIR,
    source=COMMON_PRACTICE,
    due=Stage.ARRIVAL,
    applies=(where("kind", *BOARD_KINDS), FRAMED, where("glazing.material", *PLASTICS)),
    words=_STATIC,
)
def static_on_board(
    friable: bool | None = fact("friable", optional=True),
    technique: Technique | None = fact("technique", optional=True),
    material: GlazingMaterial | None = fact("glazing.material", optional=True),
    lifts: bool | None = fact("glazing.lifts_tissue", optional=True),
) -> Check | Undecided:
    """Is a powdery work kept away from a pane with static?

    The same for panels, canvases and textiles, which are seldom behind a pane: asked at the bench, and only behind plastic.
    """
    return _static(friable, technique, material, lifts)


PANE_RULES = (clean_both_sides, unbroken, weight, static_on_paper, static_on_board)
