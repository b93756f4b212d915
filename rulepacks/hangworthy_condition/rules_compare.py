"""What differs between form and bench: width, height and weight, each against what two honest measurements may differ by."""

import math

from hangworthy.contract import (
    CAUTION_WEIGHT,
    OWN_POLICY,
    Check,
    Effect,
    Stage,
    Step,
    Words,
    at_most,
    fact,
    given,
    published,
    rule,
    where,
)

from .formulas import size_tolerance, weight_tolerance
from .limits import ConditionLimits

_TAPES = published("Directive 2014/32/EU", "annex X (MI-008) chapter I")
_CLASSES = ("I", "II", "III")


def _size_words(side: str, adjective: str) -> Words:
    """Return the words for a side of the work or of its frame."""
    return Words(
        measure=f"Difference in {side} between form and bench",
        met=f"The {side} is as you gave it.",
        unmet=f"You gave {{told}} as the {side}, and it is {{found}} {adjective}. Two tapes differ by {{limit}} at most.",
        remedy=f"{{swapped}}Correct the {side} in the form, so that frame, hooks and wall are worked out again.",
        better="Measure it again with a steel tape, from its end hook, in two places.",
        bench=f"{side.capitalize()}: declared {{told}}, found {{found}}; {{value}} apart, {{limit}} allowed.",
    )


def _same_size(limits: ConditionLimits, told: float, found: float, other: float | None) -> Check:
    """Compare what was declared with what was found; ``other`` is the declared other side, in case the two were swapped."""
    accuracy = _CLASSES[math.ceil(limits.tape_class) - 1]  # between two classes the coarser, which accuses nobody wrongly
    most = size_tolerance(max(told, found), accuracy, limits.reading_mm)
    swapped = other is not None and abs(found - other) <= most < abs(told - other)
    hint = "Width and height may be swapped. " if swapped else ""
    return at_most(abs(found - told), most, unit="mm", told=(told, "mm"), found=(found, "mm"), swapped=hint)


@rule(
    "width-as-declared",
    by="the work",
    prefer=1,
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=_TAPES,
    due=Stage.ARRIVAL,
    applies=[where("framed", False), given("width_mm")],
    uses=["tape_class", "reading_mm"],
    words=_size_words("width", "wide"),
)
def width_as_declared(
    limits: ConditionLimits,
    told: float = fact("width_mm"),
    found: float = fact("condition.found_width_mm"),
    other: float | None = fact("height_mm", optional=True),
) -> Check:
    """Is the width as it was declared?

    The difference passes up to what two tapes may honestly differ by: the permissible error of each from its hook, and each reading.
    """
    return _same_size(limits, told, found, other)


@rule(
    "width-as-declared",
    by="the frame",
    prefer=2,
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=_TAPES,
    due=Stage.ARRIVAL,
    applies=[where("framed", True), given("frame.width_mm")],
    uses=["tape_class", "reading_mm"],
    words=_size_words("width", "wide"),
)
def frame_width_as_declared(
    limits: ConditionLimits,
    told: float = fact("frame.width_mm"),
    found: float = fact("condition.found_width_mm"),
    other: float | None = fact("frame.height_mm", optional=True),
) -> Check:
    """Is the width as it was declared?

    As for an unframed work, by the outside of the frame: what is inside cannot be measured on the bench.
    """
    return _same_size(limits, told, found, other)


@rule(
    "height-as-declared",
    by="the work",
    prefer=1,
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=_TAPES,
    due=Stage.ARRIVAL,
    applies=[where("framed", False), given("height_mm")],
    uses=["tape_class", "reading_mm"],
    words=_size_words("height", "high"),
)
def height_as_declared(
    limits: ConditionLimits,
    told: float = fact("height_mm"),
    found: float = fact("condition.found_height_mm"),
    other: float | None = fact("width_mm", optional=True),
) -> Check:
    """Is the height as it was declared?

    As for the width.
    """
    return _same_size(limits, told, found, other)


@rule(
    "height-as-declared",
    by="the frame",
    prefer=2,
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=_TAPES,
    due=Stage.ARRIVAL,
    applies=[where("framed", True), given("frame.height_mm")],
    uses=["tape_class", "reading_mm"],
    words=_size_words("height", "high"),
)
def frame_height_as_declared(
    limits: ConditionLimits,
    told: float = fact("frame.height_mm"),
    found: float = fact("condition.found_height_mm"),
    other: float | None = fact("frame.width_mm", optional=True),
) -> Check:
    """Is the height as it was declared?

    As for the width, by the outside of the frame.
    """
    return _same_size(limits, told, found, other)


@rule(
    "weight-as-declared",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    tools=["scale"],
    source=OWN_POLICY,
    due=Stage.ARRIVAL,
    applies=[given("mass_kg")],
    uses=["weight_share_percent", "weight_least_kg"],
    cautions=[CAUTION_WEIGHT],
    words=Words(
        measure="Difference in weight between form and bench",
        met="It weighs what you gave.",
        unmet="You gave {told} as its weight, and it weighs {found}. Up to {limit} apart counts as the same.",
        remedy="Correct the weight in the form, so that hooks and wall fixings are worked out again.",
        better="Weigh it again on a parcel scale, as it will hang.",
        bench="Weight: declared {told}, found {found}; {value} apart, {limit} allowed.",
    ),
)
def weight_as_declared(limits: ConditionLimits, told: float = fact("mass_kg"), found: float = fact("condition.found_mass_kg")) -> Check:
    """Is the weight as it was declared?

    The difference passes up to a share of what was declared, or up to what a bathroom scale cannot tell, whichever is more.
    """
    most = weight_tolerance(told, limits.weight_share_percent, limits.weight_least_kg)
    return at_most(abs(found - told), most, unit="kg", told=(told, "kg"), found=(found, "kg"))


COMPARE_RULES = (width_as_declared, frame_width_as_declared, height_as_declared, frame_height_as_declared, weight_as_declared)
