"""Tautness, three ways: the belly, the tap note, the press test; and whether they agree."""

from hangworthy.contract import (
    COMMON_PRACTICE,
    OWN_POLICY,
    Check,
    Effect,
    Words,
    at_least,
    at_most,
    fact,
    given,
    holds,
    rule,
)

from .formulas import slack_from_billow, tension_from_press, tension_from_tap
from .limits import CanvasLimits
from .rules_frame import CANVAS

_EFFECTS = (Effect.PREPARE, Effect.REPAIR)
_REMEDY = {
    Effect.PREPARE: "Tap the corner keys in evenly, a little at each corner in turn, until the canvas is taut.",
    Effect.REPAIR: "Have a framer stretch the canvas again; without keys it cannot be tightened in place.",
}
_KEYS_OR_NONE = (
    "If there are wooden keys in the corners, tap them in evenly, a little at each corner in turn. "
    "If there are none, a framer has to stretch the canvas again."
)


def _effect(keyed: bool) -> Effect:
    """Return what slackness means: with keys the artist can put it right, without them it needs the bench."""
    return Effect.PREPARE if keyed else Effect.REPAIR


@rule(
    "taut",
    by="belly",
    prefer=1,
    effect=_EFFECTS,
    source=OWN_POLICY,
    applies=CANVAS,
    uses=["billow_mm_per_m"],
    words=Words(
        measure="Belly per metre of the short side",
        met="The canvas is taut.",
        unmet="The canvas is slack: its belly is {belly} deep, and {most} is the most for this size.",
        remedy=_REMEDY,
        either=_KEYS_OR_NONE,
        bench="Belly per metre of the short side: {value}, at most {limit} allowed; {slack} of extra cloth.",
        better="Measure the belly once more with a stiff metal rule and feeler gauges, in three places.",
    ),
)
def taut_by_belly(
    limits: CanvasLimits,
    billow: float = fact("canvas.billow_mm"),
    width: float = fact("width_mm"),
    height: float = fact("height_mm"),
    keyed: bool = fact("canvas.keyed", try_each=True),
) -> Check:
    """Is the canvas tight?

    The depth of its belly against a straightedge, per metre of the short side, passes up to the limit. The parabola turns it into slack: a
    tenth of a percent already makes a belly of 19 mm on a metre. With keys the artist can take it up; without, it is stretched again.
    """
    span = min(width, height)
    slack = slack_from_billow(min(billow, span / 4), span) * span
    belly, most = (billow, "mm"), (limits.billow_mm_per_m * span / 1000, "mm")
    per_metre, effect = billow / span * 1000, _effect(keyed)
    return at_most(per_metre, limits.billow_mm_per_m, unit="mm/m", effect=effect, belly=belly, most=most, slack=(slack, "mm"))


_TENSION = Words(
    measure="Tension (low confidence)",
    met="The canvas is taut.",
    unmet="The canvas is slack: its tension is {value}, and a taut one has {limit} or more.",
    remedy=_REMEDY,
    either=_KEYS_OR_NONE,
    better="Repeat the test five times and give the mean with its ±; keep hands and bars off the canvas.",
)


@rule("taut", by="tap", prefer=2, effect=_EFFECTS, source=OWN_POLICY, applies=CANVAS, uses=["tension_n_m"], words=_TENSION)
def taut_by_tap(
    limits: CanvasLimits,
    note: float = fact("canvas.tap_hz"),
    areal_mass: float = fact("canvas.areal_mass_kg_m2"),
    width: float = fact("width_mm"),
    height: float = fact("height_mm"),
    keyed: bool = fact("canvas.keyed", try_each=True),
) -> Check:
    """Is the canvas tight?

    The lowest note of the tapped canvas gives its tension, T = 4 σ f² / (1/a² + 1/b²). Air moves with the canvas, so this is a lower bound
    and errs towards slack. It passes from the limit up.
    """
    return at_least(tension_from_tap(note, width, height, areal_mass), limits.tension_n_m, unit="N/m", effect=_effect(keyed))


@rule("taut", by="press", prefer=3, effect=_EFFECTS, source=OWN_POLICY, applies=CANVAS, uses=["tension_n_m"], words=_TENSION)
def taut_by_press(
    limits: CanvasLimits,
    force: float = fact("canvas.press_force_n"),
    depth: float = fact("canvas.press_deflection_mm"),
    patch: float = fact("canvas.press_patch_mm"),
    width: float = fact("width_mm"),
    height: float = fact("height_mm"),
    keyed: bool = fact("canvas.keyed", try_each=True),
) -> Check:
    """Is the canvas tight?

    A known force on a square pad in the middle, and how far it gives: the double series of the rectangular membrane turns both into
    tension. A deep press stretches the canvas and reads high. It passes from the limit up.
    """
    tension = tension_from_press(force, depth, width, height, min(patch, width, height))
    return at_least(tension, limits.tension_n_m, unit="N/m", effect=_effect(keyed))


_DISAGREE = Words(
    measure="Two ways of measuring tautness",
    met="Both ways of measuring agree.",
    unmet="Two measurements of tautness disagree, so one of them is off.",
    remedy="Measure both once more, and check that no bar touches the canvas; believe the belly first.",
)


@rule(
    "tautness-agrees",
    by="tap and press",
    effect=Effect.ADVISE,
    source=OWN_POLICY,
    applies=(
        *CANVAS,
        given("canvas.tap_hz", "canvas.areal_mass_kg_m2", "canvas.press_force_n", "canvas.press_deflection_mm", "canvas.press_patch_mm"),
    ),
    uses=["tension_ratio"],
    words=_DISAGREE,
)
def tap_and_press_agree(
    limits: CanvasLimits,
    note: float = fact("canvas.tap_hz"),
    areal_mass: float = fact("canvas.areal_mass_kg_m2"),
    force: float = fact("canvas.press_force_n"),
    depth: float = fact("canvas.press_deflection_mm"),
    patch: float = fact("canvas.press_patch_mm"),
    width: float = fact("width_mm"),
    height: float = fact("height_mm"),
) -> Check:
    """Do the tap note and the press test tell the same tension?

    The larger tension over the smaller passes up to the limit.
    """
    by_tap = tension_from_tap(note, width, height, areal_mass)
    by_press = tension_from_press(force, depth, width, height, min(patch, width, height))
    return at_most(max(by_tap, by_press) / min(by_tap, by_press), limits.tension_ratio, unit="")


@rule(
    "tautness-agrees",
    by="belly and tap",
    effect=Effect.ADVISE,
    source=COMMON_PRACTICE,
    applies=(*CANVAS, given("canvas.billow_mm", "canvas.tap_hz", "canvas.areal_mass_kg_m2")),
    uses=["billow_mm_per_m", "tension_n_m"],
    words=_DISAGREE,
)
def belly_and_tap_agree(
    limits: CanvasLimits,
    billow: float = fact("canvas.billow_mm"),
    note: float = fact("canvas.tap_hz"),
    areal_mass: float = fact("canvas.areal_mass_kg_m2"),
    width: float = fact("width_mm"),
    height: float = fact("height_mm"),
) -> Check:
    """Do the belly and the tap note give the same verdict?

    They measure different things, slack and tension, so only their verdicts are compared.
    """
    slack = billow / min(width, height) * 1000 > limits.billow_mm_per_m
    return holds(slack == (tension_from_tap(note, width, height, areal_mass) < limits.tension_n_m))


@rule(
    "tautness-agrees",
    by="belly and press",
    effect=Effect.ADVISE,
    source=COMMON_PRACTICE,
    applies=(*CANVAS, given("canvas.billow_mm", "canvas.press_force_n", "canvas.press_deflection_mm", "canvas.press_patch_mm")),
    uses=["billow_mm_per_m", "tension_n_m"],
    words=_DISAGREE,
)
def belly_and_press_agree(
    limits: CanvasLimits,
    billow: float = fact("canvas.billow_mm"),
    force: float = fact("canvas.press_force_n"),
    depth: float = fact("canvas.press_deflection_mm"),
    patch: float = fact("canvas.press_patch_mm"),
    width: float = fact("width_mm"),
    height: float = fact("height_mm"),
) -> Check:
    """Do the belly and the press test give the same verdict?

    They measure different things, slack and tension, so only their verdicts are compared.
    """
    slack = billow / min(width, height) * 1000 > limits.billow_mm_per_m
    tension = tension_from_press(force, depth, width, height, min(patch, width, height))
    return holds(slack == (tension < limits.tension_n_m))


TAUTNESS_RULES = (
    taut_by_belly,
    taut_by_tap,
    taut_by_press,
    tap_and_press_agree,
    belly_and_tap_agree,
    belly_and_press_agree,
)
