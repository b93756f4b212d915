"""The journey in a tube: may the sheet be rolled at all, and is the tube wide and long enough for it?"""

import math

from hangworthy.contract import (
    OWN_POLICY,
    Check,
    Effect,
    Stage,
    Step,
    Technique,
    Undecided,
    Words,
    at_least,
    at_most,
    fact,
    holds,
    published,
    rule,
)

from .facts import SheetFault
from .formulas import bending_strain, exact_difference, least_core
from .limits import PaperLimits
from .rules_frames import LOOSE
from .words import tenths

_NPS = published("NPS Conserve O Gram 13/5 (rev. 2024)", "rolled storage of large paper")
_NEDCC = published("NEDCC technical leaflet", "rolled storage of large paper")
_FLAT = "It comes flat."
_FLAT_INSTEAD = "Send it flat between two stiff boards that are larger than the sheet."
_RISKS = {
    "powdery": "powdery",
    "brittle": "brittle",
    "rigid": "rigid",
    "torn": "torn",
    "thick-paint": "thick with paint",
}
_BY_TECHNIQUE = {"pastel": "powdery", "charcoal": "powdery", "thick-oil": "thick-paint"}


@rule(
    "may-be-rolled",
    effect=Effect.PREPARE,
    source=_NPS,
    applies=LOOSE,
    words=Words(
        measure="Sheet safe to roll",
        met="{note}",
        unmet="It must not be rolled, because it is {found}.",
        remedy=_FLAT_INSTEAD,
        bench="Declared about rolling: {found}.",
    ),
)
def may_be_rolled(
    tube: float = fact("paper.tube_diameter_mm"),
    faults: tuple[SheetFault, ...] | None = fact("paper.sheet_faults", optional=True),
    friable: bool | None = fact("friable", optional=True),
    technique: Technique | None = fact("technique", optional=True),
) -> Check | Undecided:
    """May the sheet be rolled?

    Powdery, brittle, rigid or torn sheets and thick paint are never rolled; pastel and charcoal count as powdery, thick oil as thick paint.
    What comes flat passes. The sheet's risks are asked for only when it is to be rolled and nothing forbids it already.
    """
    if tube == 0:
        return holds(True, note=_FLAT, found="it comes flat")
    risks: list[str] = [one for one in faults or () if one != "none"]
    risks += ["powdery"] if friable else []
    risks += [_BY_TECHNIQUE[technique]] if technique in _BY_TECHNIQUE else []
    found = list(dict.fromkeys(_RISKS[one] for one in risks))
    if not found and not faults:
        return Undecided(("paper.sheet_faults",))
    return holds(not found, note="It may come rolled.", found=" and ".join(found) or "nothing against it")


def _tube_for(limits: PaperLimits, thickness: float | None) -> str:
    """Return the diameter of a tube that is wide enough and bends the sheet gently, in words: one figure to buy by, for both rules."""
    gentle = 0.0 if thickness is None else least_core(thickness, limits.strain_percent)
    return tenths(max(limits.tube_mm, gentle))


@rule(
    "travels-in-tube",
    effect=Effect.PREPARE,
    step=Step.FIT,
    tools=["tissue"],
    source=_NPS,
    applies=LOOSE,
    uses=["tube_mm"],
    words=Words(
        measure="Diameter of the tube",
        met="{note}",
        unmet="A tube of {wide} is too narrow; your sheet needs {need} or more.",
        remedy="Send it flat. If it may be rolled: loosely, with acid-free tissue, on a tube at least {need} wide.",
        better="Measure the tube once more, across the middle, with a rule.",
        bench="Diameter of the tube: {wide}; {least} or more needed, or flat.",
    ),
)
def travels_in_tube(
    limits: PaperLimits,
    tube: float = fact("paper.tube_diameter_mm"),
    thickness: float | None = fact("paper.thickness_mm", optional=True, as_given=True),
) -> Check:
    """May it come rolled in this tube?

    The diameter of the tube passes from the limit up, 4 inches; 0 says that it comes flat, which passes. The tube that is asked for
    instead is one that also bends the sheet gently enough, where its thickness is known.
    """
    need, least = _tube_for(limits, thickness), tenths(limits.tube_mm)
    if tube == 0:
        return holds(True, note=_FLAT, wide="none", need=need, least=least)
    wide = f"{tube:.4g} mm"
    return at_least(tube, limits.tube_mm, unit="mm", note="The tube is wide enough.", wide=wide, need=need, least=least)


@rule(
    "tube-long-enough",
    effect=Effect.PREPARE,
    source=_NEDCC,
    due=Stage.ARRIVAL,
    applies=LOOSE,
    uses=["tube_spare_mm"],
    words=Words(
        measure="Length of the tube beyond the sheet",
        met="{note}",
        unmet="The tube is too short for your sheet, whose ends would be crushed.",
        remedy="Use a tube at least {need} long inside, with the short side of the sheet along it.",
        better="Measure the tube inside, from cap to cap, and the short side of the sheet once more.",
    ),
)
def tube_long_enough(
    limits: PaperLimits,
    width: float = fact("width_mm"),
    height: float = fact("height_mm"),
    tube: float = fact("paper.tube_diameter_mm"),
    length: float | None = fact("paper.tube_length_mm", optional=True),
) -> Check | Undecided:
    """Is the tube longer than the rolled sheet?

    The length of the tube less the short side of the sheet, which lies along it, passes from the limit up. Asked for only when it is
    rolled.
    """
    if tube == 0:
        return holds(True, note=_FLAT, need=(0.0, "mm"))
    if length is None:
        return Undecided(("paper.tube_length_mm",))
    short = min(width, height)
    need = (math.ceil(short + limits.tube_spare_mm), "mm")
    return at_least(exact_difference(length, short), limits.tube_spare_mm, unit="mm", note="The tube is long enough.", need=need)


@rule(
    "bends-gently",
    effect=Effect.PREPARE,
    source=OWN_POLICY,
    due=Stage.ARRIVAL,
    applies=LOOSE,
    uses=["strain_percent"],
    words=Words(
        measure="Strain in the rolled sheet",
        met="{note}",
        unmet="The sheet is {thick} thick, and this tube bends it too sharply.",
        remedy="Use a tube at least {need} wide, or send it flat between two stiff boards.",
        better="Measure ten sheets of the same paper together, with a caliper, and divide by ten.",
    ),
)
def bends_gently(
    limits: PaperLimits,
    tube: float = fact("paper.tube_diameter_mm"),
    thickness: float | None = fact("paper.thickness_mm", optional=True),
) -> Check | Undecided:
    """Does the tube bend the sheet gently?

    The strain in the faces of the rolled sheet, its thickness over tube and thickness together, passes up to the limit. Gesso is reported
    to crack from 0.2 to 0.4 percent; paper without thick paint bears more. Asked for only when it is rolled.
    """
    if tube == 0:
        return holds(True, note=_FLAT, thick="", need="")
    if thickness is None:
        return Undecided(("paper.thickness_mm",))
    need = _tube_for(limits, thickness)
    strain = bending_strain(thickness, tube)
    return at_most(strain, limits.strain_percent, unit="%", note="The tube bends the sheet gently.", thick=(thickness, "mm"), need=need)


ROLLING_RULES = (may_be_rolled, travels_in_tube, tube_long_enough, bends_gently)
