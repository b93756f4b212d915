"""Weight: is it known, and does the scale agree with what the layers weigh?"""

from typing import Any

from hangworthy.contract import (
    CAUTION_WEIGHT,
    COMMON_PRACTICE,
    OWN_POLICY,
    Check,
    Effect,
    Stage,
    Undecided,
    Words,
    at_most,
    fact,
    given,
    rule,
    show,
    within,
)

from .limits import HangingLimits
from .size import HANGS, Size, outer
from .weight import Layers, Weight, by_weight, estimate, roughly

_SCALE = "Weigh yourself with it and without it on a bathroom scale; give the difference."


@rule(
    "weighed",
    effect=Effect.ADVISE,
    source=OWN_POLICY,
    due=Stage.ARRIVAL,
    applies=HANGS,
    uses=["unweighed_kg"],
    cautions=[CAUTION_WEIGHT],
    words=Words(
        measure="Weight",
        met="We know well enough what it weighs.",
        unmet="It may weigh as much as {value}, so please weigh it.",
        remedy=_SCALE,
        bench="Weight: {weight}.",
    ),
)
def weighed(limits: HangingLimits, layers: Layers) -> Check | Undecided:
    """Is its weight known well enough?

    A work that was weighed passes. Else its layers are added up, each as a range of density times volume, and the most that they can weigh
    passes up to the limit; above it, and where too little is known of the layers, it has to be weighed.
    """
    if layers.mass is not None:
        return Check(True, layers.mass, unit="kg", named={"weight": show(layers.mass, "kg")})
    found = estimate(layers)
    if found is None:
        return Undecided(("mass_kg",))
    return at_most(found.high_kg, limits.unweighed_kg, unit="kg", weight=f"by estimate {roughly(found)}")


@rule(
    "weight-agrees",
    effect=Effect.ADVISE,
    source=OWN_POLICY,
    due=Stage.ARRIVAL,
    applies=(*HANGS, given("mass_kg", "width_mm", "height_mm", "framed")),
    uses=["weight_slack_percent"],
    cautions=[CAUTION_WEIGHT],
    words=Words(
        measure="Weight against what it is made of",
        met="The weight fits what it is made of.",
        unmet="A weight of {value} does not fit its size and materials, which come to {between}.",
        remedy="Please weigh it once more, check the unit, and look at size, frame and pane again.",
        better=_SCALE,
        bench="Weighed {value}; layers {estimate}.",
    ),
)
def weight_agrees(limits: HangingLimits, layers: Layers) -> Check | Undecided:
    """Does the weight fit what it is made of?

    The scale passes while it lies between the sums of the least and of the most that the layers can weigh, with some slack. Where the
    layers are not known well enough to be added up there is nothing to compare, and the weight stands.
    """
    found, mass = estimate(layers), layers.mass or 0.0
    if found is None:
        return Check(True, mass, unit="kg", named={"estimate": "not known", "between": "an unknown weight"})
    slack, between = limits.weight_slack_percent / 100.0, f"{show(found.low_kg, 'kg')} to {show(found.high_kg, 'kg')}"
    return within(mass, found.low_kg * (1.0 - slack), found.high_kg * (1.0 + slack), unit="kg", estimate=roughly(found), between=between)


_TWO_HOOKS = Words(
    measure="Work on one hook",
    met="The number of hooks is right for it.",
    unmet="It is too {much} for one hook: {value}, and {limit} is the most.",
    remedy="Fit two rings well apart and let it hang on two hooks.",
    better="Weigh it, or measure it, once more, and give the figure with its ±.",
    bench="{hooks}: {weight}; one hook takes up to {most}.",
)


@rule(
    "two-hooks-heavy",
    effect=Effect.PREPARE,
    source=COMMON_PRACTICE,
    due=Stage.HANGING,
    applies=HANGS,
    uses=["one_hook_kg"],
    cautions=[CAUTION_WEIGHT],
    words=_TWO_HOOKS,
)
def two_hooks_heavy(limits: HangingLimits, layers: Layers, points: int | None = fact("hanging.points", optional=True)) -> Check | Undecided:
    """Is it light enough for the number of its hooks?

    Up to the limit one hook will do; above it there must be two or more. How many there are is only asked for when it matters.
    """

    def judge(weight: Weight) -> Check | Undecided:
        named: dict[str, Any] = {"much": "heavy", "hooks": _hooks(points), "weight": weight.text, "most": (limits.one_hook_kg, "kg")}
        if points is not None and points > 1:
            return Check(True, weight.kg, unit="kg", named=named)
        if points is None and weight.kg > limits.one_hook_kg:
            return Undecided(("hanging.points",))
        return at_most(weight.kg, limits.one_hook_kg, unit="kg", **named)

    return by_weight(layers, judge)


@rule(
    "two-hooks-wide",
    effect=Effect.PREPARE,
    source=COMMON_PRACTICE,
    due=Stage.HANGING,
    applies=HANGS,
    uses=["one_hook_mm"],
    cautions=[CAUTION_WEIGHT],
    words=_TWO_HOOKS,
)
def two_hooks_wide(limits: HangingLimits, size: Size, points: int | None = fact("hanging.points", optional=True)) -> Check | Undecided:
    """Is it narrow enough for the number of its hooks?

    A wide work on one hook swings out of level. Up to the limit one hook will do; above it there must be two or more.
    """
    found = outer(size)
    if isinstance(found, Undecided):
        return found
    named: dict[str, Any] = {
        "much": "wide",
        "hooks": _hooks(points),
        "weight": f"{show(found.width, 'mm')} wide",
        "most": (limits.one_hook_mm, "mm"),
    }
    if points is not None and points > 1:
        return Check(True, found.width, unit="mm", named=named)
    if points is None and found.width > limits.one_hook_mm:
        return Undecided(("hanging.points",))
    return at_most(found.width, limits.one_hook_mm, unit="mm", **named)


def _hooks(points: int | None) -> str:
    return "Hooks not known" if points is None else "One hook" if points == 1 else f"{points} hooks"


WEIGHT_RULES = (weighed, weight_agrees, two_hooks_heavy, two_hooks_wide)
