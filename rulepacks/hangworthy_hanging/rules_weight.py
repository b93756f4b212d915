"""Weight: is it known, and does the scale agree with what the layers weigh?"""

from typing import Any

from hangworthy.contract import (
    CAUTION_WEIGHT,
    COMMON_PRACTICE,
    OWN_POLICY,
    Check,
    Effect,
    Stage,
    Step,
    Undecided,
    Words,
    at_most,
    fact,
    given,
    rule,
    show,
    where,
    within,
)

from .limits import HangingLimits
from .size import HANGS, Size, outer
from .weight import LAYERED, Layers, by_estimate, estimate, roughly

_SCALE = "Weigh yourself with it and without it on a bathroom scale; give the difference."


@rule(
    "weighed",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    tools=["scale"],
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
    if isinstance(found, Undecided):
        return Undecided(("mass_kg",))
    return at_most(found.high_kg, limits.unweighed_kg, unit="kg", weight=f"by estimate {roughly(found)}")


_AGREES = Words(
    measure="Weight against what it is made of",
    met="The weight fits what it is made of.",
    unmet="A weight of {value} does not fit its size and materials, which allow {between}.",
    remedy="Please weigh it once more, check the unit, and look at size, frame and pane again.",
    better=_SCALE,
    bench="Weighed {value}; layers {estimate}; with {slack} more or less {between}.",
)


def _agrees(limits: HangingLimits, layers: Layers) -> Check | Undecided:
    """Return the check of a weight against the sums of the least and of the most that the layers can weigh, with slack.

    Artist and bench read the same two figures: those that decide.
    """
    found, slack = estimate(layers), limits.weight_slack_percent / 100.0
    if isinstance(found, Undecided):
        return found
    low, high = found.low_kg * (1.0 - slack), found.high_kg * (1.0 + slack)
    named: dict[str, Any] = {"between": f"{show(low, 'kg')} to {show(high, 'kg')}", "slack": (limits.weight_slack_percent, "%")}
    return within(layers.mass or 0.0, low, high, unit="kg", estimate=roughly(found), **named)


@rule(
    "weight-agrees",
    by="work alone",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=OWN_POLICY,
    due=Stage.ARRIVAL,
    applies=(where("kind", *LAYERED), where("framed", False), given("mass_kg", "width_mm", "height_mm", "framed")),
    uses=["weight_slack_percent"],
    cautions=[CAUTION_WEIGHT],
    words=_AGREES,
)
def weight_agrees_bare(limits: HangingLimits, layers: Layers) -> Check | Undecided:
    """Does the weight fit what it is made of?

    The scale passes while it lies between the sums of the least and of the most that the layers of the work can weigh, with some slack.
    """
    return _agrees(limits, layers)


@rule(
    "weight-agrees",
    by="with its frame",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=OWN_POLICY,
    due=Stage.ARRIVAL,
    applies=(
        where("kind", *LAYERED),
        where("framed", True),
        where("frame.material", "wood", "mdf", "aluminium", "plastic"),
        given("mass_kg", "width_mm", "height_mm", "framed", "frame.width_mm", "frame.height_mm", "frame.depth_mm", "frame.material"),
        given("hanging.moulding_width_mm", "hanging.backing", "glazing.material"),
    ),
    uses=["weight_slack_percent"],
    cautions=[CAUTION_WEIGHT],
    words=_AGREES,
)
def weight_agrees_framed(limits: HangingLimits, layers: Layers) -> Check | Undecided:
    """Does the weight fit what it is made of?

    The same, with moulding, pane, mat and backing among the layers.
    """
    return _agrees(limits, layers)


_TWO_HOOKS = Words(
    measure="Work on one hook",
    met="The number of hooks is right for it.",
    unmet="It is too {much} for one hook: {value}, and {limit} is the most.",
    remedy="Fit two rings well apart and let it hang on two hooks.",
    better="Weigh it, or measure it, once more, and give the figure with its ±.",
    bench="{hooks}: {weight}; one hook takes up to {most}.",
)


def _heavy(limits: HangingLimits, kg: float, text: str, points: int | None) -> Check:
    """Return the check of a weight on so many hooks; hooks that are not known count as one."""
    named: dict[str, Any] = {"much": "heavy", "hooks": _hooks(points), "weight": text, "most": (limits.one_hook_kg, "kg")}
    if points is not None and points > 1:
        return Check(True, kg, unit="kg", named=named)
    return at_most(kg, limits.one_hook_kg, unit="kg", **named)


@rule(
    "two-hooks-heavy",
    by="scale",
    effect=Effect.PREPARE,
    source=COMMON_PRACTICE,
    due=Stage.HANGING,
    applies=HANGS,
    uses=["one_hook_kg"],
    cautions=[CAUTION_WEIGHT],
    words=_TWO_HOOKS,
)
def two_hooks_heavy(
    limits: HangingLimits, mass: float = fact("mass_kg"), points: int | None = fact("hanging.points", optional=True)
) -> Check | Undecided:
    """Is it light enough for the number of its hooks?

    Up to the limit one hook will do; above it there must be two or more. How many there are is only asked for when it matters.
    """
    check = _heavy(limits, mass, show(mass, "kg"), points)
    return check if check.met or points is not None else Undecided(("hanging.points",))


@rule(
    "two-hooks-heavy",
    by="estimate",
    prefer=1,
    effect=Effect.PREPARE,
    source=COMMON_PRACTICE,
    due=Stage.HANGING,
    applies=HANGS,
    uses=["one_hook_kg"],
    cautions=[CAUTION_WEIGHT],
    words=_TWO_HOOKS,
)
def two_hooks_heavy_by_estimate(
    limits: HangingLimits, layers: Layers, points: int | None = fact("hanging.points", optional=True)
) -> Check | Undecided:
    """Is it light enough for the number of its hooks?

    The same, where the outermost weights of its layers agree on the answer.
    """
    check = by_estimate(layers, lambda kg, text: _heavy(limits, kg, text, points))
    return check if isinstance(check, Undecided) or check.met or points is not None else Undecided(("hanging.points",))


@rule(
    "two-hooks-wide",
    effect=Effect.PREPARE,
    step=Step.FIT,
    tools=["screwdriver"],
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


WEIGHT_RULES = (weighed, weight_agrees_bare, weight_agrees_framed, two_hooks_heavy, two_hooks_heavy_by_estimate, two_hooks_wide)
