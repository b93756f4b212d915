"""Reflections: does the pane mirror a window instead of showing the work?"""

from hangworthy.contract import (
    OWN_POLICY,
    Check,
    Effect,
    GlazingMaterial,
    Stage,
    Step,
    Undecided,
    Words,
    at_most,
    fact,
    holds,
    rule,
)

from .formulas import coated_reflectance, pane_property, pane_reflectance, surface_reflectance
from .limits import GlazingLimits
from .panes import PANE


def _percent(material: GlazingMaterial, coated: bool) -> float:
    """Return the share of light that a pane throws back straight on [%]."""
    index = pane_property(material, "refractive_index")
    return 100.0 * pane_reflectance(coated_reflectance(index) if coated else surface_reflectance(index))


@rule(
    "reflections",
    effect=Effect.ADVISE,
    step=Step.HANG,
    source=OWN_POLICY,
    due=Stage.HANGING,
    applies=PANE,
    uses=["reflected_percent"],
    words=Words(
        measure="Light that the pane mirrors",
        met="Reflections will not hide your work there.",
        unmet="On this wall the pane mirrors a window or a lamp: {value} of its light comes back.",
        remedy="We look for a wall beside the window, or shade the lamp. Anti-reflective glazing would help as well.",
        bench="Light that the pane mirrors, seen straight on: {share}; a window or lamp opposite: {opposite}.",
    ),
)
def reflections(
    limits: GlazingLimits,
    material: GlazingMaterial = fact("glazing.material"),
    coated: bool | None = fact("glazing.anti_reflective", optional=True),
    opposite: bool | None = fact("wall.mirror_shows_light", optional=True),
) -> Check | Undecided:
    """Do reflections hide the work?

    Each bare surface throws back ((n - 1) / (n + 1))² of the light, and the two of a pane together, with all that goes to and fro between
    them, 2 R / (1 + R): 7 to 10 percent. A coating of one layer brings it below 3. It matters only on a wall where a mirror would show a
    window or a lamp, and the coating is asked for only there.
    """
    if opposite is False:
        return holds(True, share=_share(_percent(material, bool(coated))), opposite="no")
    possible = [_percent(material, one) for one in ((False, True) if coated is None else (coated,))]
    fails = [one > limits.reflected_percent for one in possible]
    if any(fails) and opposite is None:
        return Undecided(("wall.mirror_shows_light",))
    if any(fails) and not all(fails):
        return Undecided(("glazing.anti_reflective",))
    worst = max(possible)
    return at_most(worst, limits.reflected_percent, unit="%", share=_share(worst), opposite="yes" if opposite else "not known")


def _share(percent: float) -> str:
    return f"{percent:.1f} %"


LIGHT_RULES = (reflections,)
