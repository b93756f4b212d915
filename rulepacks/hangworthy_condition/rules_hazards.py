"""Hazards: mould, live insects, broken glass. Isolate first."""

from hangworthy.contract import (
    CAUTION_GLASS,
    CAUTION_MOULD,
    COMMON_PRACTICE,
    Check,
    Effect,
    Step,
    Undecided,
    Words,
    fact,
    holds,
    published,
    rule,
    where,
)

from .facts import Faults
from .faults import DECLARED, settled_faults, told
from .formulas import mould_band
from .limits import ConditionLimits

_MOULD = published("CCI Technical Bulletin 26", "isolating what is mouldy; size bands of an outbreak")
_CAUTION_BREATHING = "Anyone with asthma, an allergy or a weak immune system should stay away from mould."
_MOULD_CAUTIONS = [CAUTION_MOULD, _CAUTION_BREATHING]
_NEWCOMERS = published("The National Archives (UK)", "isolating and examining what comes in")
_MOULDY = [where(DECLARED, "mould")]
_AREA = "condition.mould_area_m2"
_BANDS = {1: "small", 2: "medium", 3: "large", 4: "extensive"}
_DUST = {True: "fresh dust falls from them", False: "no fresh dust"}
_MEASURE_AREA = "Photograph it beside a ruler, without touching it, and give length times width with its ±."


@rule(
    "no-mould",
    effect=Effect.REFUSE,
    step=Step.ISOLATE,
    tools=["gloves", "mask", "plastic-bag"],
    source=_MOULD,
    uses=["mould_medium_m2"],
    cautions=_MOULD_CAUTIONS,
    words=Words(
        measure="Mould",
        met="No mould was seen on it.",
        unmet="There is mould on it. Mould spreads to other works and can make people ill.",
        remedy="{wrap} Do not brush or wipe it. Ask a conservator before you touch it again.",
        bench="Mould: {seen}.",
    ),
)
def no_mould(
    limits: ConditionLimits,
    declared: Faults = fact("condition.faults"),
    area: float | None = fact("condition.mould_area_m2", optional=True),
) -> Check | Undecided:
    """Is it free of mould?

    Declared. A dry work is bagged and kept apart; a damp one is only wrapped for the way, since it has to dry first; more than a
    small patch stays where it is. It is never brushed.
    """
    faults = settled_faults(declared, mould_area_m2=area)
    if isinstance(faults, Undecided):
        return faults
    wrap = "Keep it apart and let it dry; wrap it only for the way." if "damp" in faults else "Seal it in a bag and keep it apart."
    if area is not None and area >= limits.mould_medium_m2:
        wrap = "Leave it where it is and close the room."
    return holds("mould" not in faults, wrap=wrap, seen=told("mould", declared))


@rule(
    "mould-small",
    effect=Effect.REFUSE,
    step=Step.ISOLATE,
    tools=["gloves", "mask"],
    source=_MOULD,
    uses=["mould_medium_m2"],
    applies=_MOULDY,
    cautions=_MOULD_CAUTIONS,
    words=Words(
        measure="Visible mould",
        met="The patch of mould is small; keep the work sealed in its bag.",
        unmet="The mould covers {value}. From {limit} on it is more than a small patch.",
        remedy="Leave it where it is, close the room, and ask a conservator before anybody moves it.",
        better=_MEASURE_AREA,
        bench="Visible mould: {value}; small below {limit}.",
    ),
)
def mould_small(
    limits: ConditionLimits,
    area: float = fact(_AREA),
) -> Check | Undecided:
    """If there is mould, is it no more than a small patch?

    The visible growth on the work and around it; small is below the limit, which itself is medium. Asked only where there is mould. A
    small patch can be bagged by its owner; more is left where it is for a conservator. A mould of no size is a slip, and its size is asked
    for again.
    """
    if not area:
        return Undecided((_AREA,))
    return Check(area < limits.mould_medium_m2, area, None, limits.mould_medium_m2, "m2")


@rule(
    "mould-in-house",
    effect=Effect.REFUSE,
    step=Step.ISOLATE,
    tools=["gloves", "mask"],
    source=_MOULD,
    uses=["mould_large_m2", "mould_medium_m2", "mould_extensive_m2"],
    applies=_MOULDY,
    cautions=_MOULD_CAUTIONS,
    words=Words(
        measure="Visible mould",
        met="A conservator can deal with this much mould.",
        unmet="The mould covers {value}. From {limit} on, experts from outside have to deal with it.",
        remedy="Move nothing and keep everybody out. Ask experts for mould in collections to deal with it.",
        better=_MEASURE_AREA,
        bench="Visible mould: {value}, band {band}; experts from outside from {limit} on.",
    ),
)
def mould_in_house(
    limits: ConditionLimits,
    area: float = fact(_AREA),
) -> Check | Undecided:
    """If there is mould, can it be dealt with without experts from outside?

    The same growth in the published bands small, medium, large and extensive: from large on it needs expertise from outside.
    """
    if not area:
        return Undecided((_AREA,))
    number = mould_band(area, limits.mould_medium_m2, limits.mould_large_m2, limits.mould_extensive_m2)
    return Check(area < limits.mould_large_m2, area, None, limits.mould_large_m2, "m2", None, {"band": _BANDS[number]})


@rule(
    "no-insects",
    effect=Effect.REFUSE,
    step=Step.ISOLATE,
    tools=["gloves", "mask", "plastic-bag"],
    source=_NEWCOMERS,
    words=Words(
        measure="Live insects",
        met="{note}",
        unmet="Insects may be alive in it, and they move on to other works.",
        remedy="Seal it in a clear bag, tape it shut and keep it apart. Do not spray it. Ask a conservator.",
        bench="Insects: {seen}.",
    ),
)
def no_insects(
    declared: Faults = fact("condition.faults"),
    fresh: bool | None = fact("condition.fresh_dust", optional=True),
) -> Check | Undecided:
    """Is it free of live insects?

    Declared. Holes alone may be old: fresh dust that falls from them says that they are not, and is
    asked about only where there are holes. What may be alive is sealed in a bag, kept apart, not sprayed, and shown to a conservator.
    """
    faults = settled_faults(declared, fresh_dust=fresh)
    if isinstance(faults, Undecided):
        return faults
    if "live-insects" in faults:
        return holds(False, seen="alive, declared")
    if "insect-holes" not in faults:
        return holds(True, note="No insects were seen on it.", seen="none declared")
    if fresh is None:
        return Undecided(("condition.fresh_dust",))
    return holds(not fresh, note="The insect holes are old: no fresh dust falls from them.", seen=f"holes, {_DUST[fresh]}")


@rule(
    "no-broken-glass",
    effect=Effect.REFUSE,
    step=Step.ISOLATE,
    tools=["gloves"],
    source=COMMON_PRACTICE,
    cautions=[CAUTION_GLASS],
    words=Words(
        measure="Broken glass",
        met="No glass is broken.",
        unmet="The glass is broken. It can cut people and the work behind it.",
        remedy="Lay it flat, face up, and leave the pieces alone. Have a framer take them out and fit a new pane.",
        bench="Broken glass: {seen}.",
    ),
)
def no_broken_glass(
    declared: Faults = fact("condition.faults"),
) -> Check | Undecided:
    """Is the glass whole?

    Declared. Cracked and chipped panes are broken. It lies flat until a framer has taken it out.
    """
    faults = settled_faults(declared)
    if isinstance(faults, Undecided):
        return faults
    return holds("broken-glass" not in faults, seen=told("broken-glass", declared))


HAZARD_RULES = (no_mould, mould_small, mould_in_house, no_insects, no_broken_glass)
