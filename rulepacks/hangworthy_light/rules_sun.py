"""Sun and ultraviolet."""

from hangworthy.contract import (
    COMMON_PRACTICE,
    Check,
    Effect,
    Stage,
    Step,
    Undecided,
    Words,
    at_most,
    fact,
    holds,
    rule,
    show,
)

from .limits import ULTRAVIOLET, LightLimits
from .materials import Known, Material, decide, material_of
from .ultraviolet import Ultraviolet


@rule(
    "sun",
    effect=(Effect.PREPARE, Effect.REFUSE),
    step=Step.HANG,
    source=COMMON_PRACTICE,
    due=Stage.HANGING,
    words=Words(
        measure="Direct sun",
        met="Your work hangs out of direct sun, or does not mind it.",
        unmet="The sun falls on this wall, which is too much {words} colours like yours.",
        remedy={
            Effect.PREPARE: "We look for another wall, or for a blind that stays down while the sun is on it.",
            Effect.REFUSE: "We look for another wall: colours like yours do not stand any sun.",
        },
        bench="Direct sun: {note}.",
    ),
)
def sun(
    known: Known,
    direct_sun: bool | None = fact("wall.direct_sun", optional=True),
    sun_hours: float | None = fact("wall.sun_hours", optional=True),
) -> Check | Undecided:
    """Does it hang out of direct sun?

    Declared for the wall, or told by the hours of sun. Sun indoors is about 80,000 lx: an hour of it is sixteen working days of office
    light. A work of the highest class is refused there, others need another wall or a blind; class R0 does not mind.
    """
    if direct_sun is not None and sun_hours is not None and direct_sun != (sun_hours > 0):
        return Undecided(("wall.direct_sun", "wall.sun_hours"))
    shines = sun_hours > 0 if direct_sun is None and sun_hours is not None else direct_sun
    if shines is None:
        return Undecided(("wall.direct_sun",))
    if not shines:
        return holds(True, note="none")
    span = material_of(known)
    return span if isinstance(span, Undecided) else decide(span, _in_the_sun)


def _in_the_sun(material: Material) -> Check:
    """Return what sun means for a class."""
    effect = Effect.REFUSE if material.responsivity == 3 else Effect.PREPARE
    words = f"{'even for' if material.responsivity == 1 else 'for'} {material.words}"
    return holds(not material.responsivity, effect=effect, words=words, note=f"yes, on a work of class {material.code}")


@rule(
    "ultraviolet",
    effect=Effect.ADVISE,
    step=Step.HANG,
    source=ULTRAVIOLET,
    due=Stage.HANGING,
    uses=["uv_uw_lm"],
    words=Words(
        measure="Ultraviolet in the light",
        met="There is little ultraviolet in the light that reaches your work.",
        unmet="The light on this wall holds much ultraviolet, which yellows and weakens paper, cloth and varnish.",
        remedy="We ask for filter film or filtering glass; it does not make brighter light harmless.",
        bench="Ultraviolet in the light: {note}.",
    ),
)
def ultraviolet(
    limits: LightLimits,
    uv: Ultraviolet,
) -> Check | Undecided:
    """Is there little ultraviolet in the light?

    The content measured at the wall passes up to the limit. Light declared as filtered, and a work behind a filtering pane, pass without a
    measurement; a reading above the limit behind a declared filter contradicts it, and both are asked for again. Whether the pane filters
    is asked for only where the light is too rich.
    """
    content, filtered, glazing = uv
    if filtered and content is not None and content > limits.uv_uw_lm:
        return Undecided(("wall.uv_uw_lm", "wall.uv_filtered"))
    if glazing:
        return holds(True, note="filtered by the pane")
    if content is None:
        return holds(True, note="declared as filtered") if filtered else Undecided(("wall.uv_uw_lm",))
    if content > limits.uv_uw_lm and glazing is None:
        return Undecided(("light.uv_glazing",))
    return at_most(content, limits.uv_uw_lm, unit="µW/lm", note=f"{show(content, 'µW/lm')}, at most {show(limits.uv_uw_lm, 'µW/lm')}")


SUN_RULES = (sun, ultraviolet)
