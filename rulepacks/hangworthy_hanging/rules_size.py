"""The size as it was told: a forgotten unit makes a work of 60 cm one of 60 mm."""

from hangworthy.contract import COMMON_PRACTICE, Check, Effect, Step, Words, at_least, fact, given, rule, show

from .limits import HangingLimits
from .size import HANGS


@rule(
    "sides-usual",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    tools=["steel-tape"],
    source=COMMON_PRACTICE,
    applies=(*HANGS, given("width_mm")),
    uses=["usual_side_mm"],
    words=Words(
        measure="Shorter side of the work",
        met="It is as large as works on walls usually are.",
        unmet="At {side} {way}, it would be smaller than works on walls usually are.",
        remedy="{side} {way}, is that right? If it is {meant}, write “{meant}”; else leave it as it is.",
        better="Measure both sides with a steel tape, and write the unit beside each number.",
    ),
)
def sides_usual(limits: HangingLimits, width: float = fact("width_mm"), height: float = fact("height_mm")) -> Check:
    """Are its sides as long as those of works on walls usually are?

    The shorter side, unframed, against the shortest that is usual. A number without a unit is in millimetres, and whoever measures in
    centimetres forgets to say so; a miniature is as it should be, and nothing else follows from it.
    """
    side, way = (height, "high") if height < width else (width, "wide")
    return at_least(side, limits.usual_side_mm, unit="mm", side=show(side, "mm"), way=way, meant=show(side, "cm"))


SIZE_RULES = (sides_usual,)
