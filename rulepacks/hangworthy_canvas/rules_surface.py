"""Paint, edges and the journey: has it dried, is nothing proud, will it arrive taut?"""

from hangworthy.contract import (
    COMMON_PRACTICE,
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
    rule,
    show,
)

from .facts import EdgeFault
from .formulas import canvas_slack_from_movement, emc, longitudinal_movement, movement
from .limits import CanvasLimits
from .rules_frame import CANVAS


def _dry_after(limits: CanvasLimits, technique: Technique) -> float:
    """Return the days until a technique is dry; mixed media may hold oil and are treated so [d]."""
    days = {
        "acrylic": limits.dry_acrylic_days,
        "oil": limits.dry_oil_days,
        "mixed": limits.dry_oil_days,
        "thick-oil": limits.dry_thick_oil_days,
    }
    return days.get(technique, limits.dry_other_days)


@rule(
    "dry",
    effect=Effect.PREPARE,
    step=Step.DRY,
    source=OWN_POLICY,
    applies=CANVAS,
    uses=["dry_acrylic_days", "dry_oil_days", "dry_thick_oil_days", "dry_other_days"],
    words=Words(
        measure="Days since it was finished",
        met="The paint has had time to dry.",
        unmet="The paint is {value} old and needs {limit} before it can be wrapped.",
        remedy="Leave it to dry {wait} longer, face up and free of dust, before it is wrapped.",
        better="Give the day of the last coat of paint or varnish.",
    ),
)
def dry(limits: CanvasLimits, technique: Technique = fact("technique"), age: float = fact("canvas.age_days")) -> Check:
    """Has the paint dried?

    Days since the last coat against the programme's own figure for the technique: acrylic, oil, thick oil, others.
    Mixed media count as oil.
    """
    needed = _dry_after(limits, technique)
    return at_least(age, needed, unit="d", wait=(max(0.0, needed - age), "d"))


_FAULTS = {
    "loose-keys": "loose keys",
    "proud-staples": "staples that stand proud",
    "screw-points": "screw points",
    "wire-ends": "wire ends",
    "torn-edge": "a torn edge",
}
_STANDS_OUT = "what stands out scratches walls and other works"
_HARMS = {
    "loose-keys": "loose keys slip behind the canvas and dent it",
    "proud-staples": _STANDS_OUT,
    "screw-points": _STANDS_OUT,
    "wire-ends": _STANDS_OUT,
    "torn-edge": "a torn edge tears on",
}


@rule(
    "edges",
    effect=Effect.PREPARE,
    step=Step.FIT,
    tools=["screwdriver", "pliers"],
    source=COMMON_PRACTICE,
    applies=CANVAS,
    words=Words(
        measure="Edges and back",
        met="Edges and back are clear.",
        unmet="Edges or back have {found}. Left so, {harm}.",
        remedy="Press staples flush, secure the keys with a thread or tape, cover points and wire ends; mend a torn edge.",
        bench="Edges and back declared: {found}.",
    ),
)
def edges(faults: tuple[EdgeFault, ...] = fact("canvas.edge_faults")) -> Check | Undecided:
    """Are keys secured, staples flush, and is nothing proud at the back?

    Declared. Anything but none fails; an empty list says nothing and is asked for again.
    """
    if not faults:
        return Undecided(("canvas.edge_faults",))
    seen = [one for one in faults if one != "none"]
    found, harms = [_FAULTS[one] for one in seen], dict.fromkeys(_HARMS[one] for one in seen)
    return holds(not found, found=" and ".join(found) or "nothing proud", harm="; ".join(harms))


@rule(
    "travels",
    effect=Effect.ADVISE,
    step=Step.HANG,
    source=OWN_POLICY,
    due=Stage.HANGING,
    applies=CANVAS,
    uses=["billow_mm_per_m", "wood_change_per_percent", "key_travel_mm", "air_temp_c"],
    words=Words(
        measure="Belly per metre after the move",
        met="The canvas should stay taut in the venue's air.",
        unmet="The venue's air may change the bars of your canvas: {note}.",
        remedy="We let it rest wrapped at the venue for two days, and tap the keys, if it has any, should it go slack.",
        better="Log the humidity of both places for a week and give the means with their ±.",
        bench="Move from studio to venue air: {note}.",
    ),
)
def travels(
    limits: CanvasLimits,
    studio_rh: float = fact("from_rh_percent"),
    venue_rh: float = fact("wall.rh_percent"),
    bar_width: float = fact("canvas.bar_width_mm"),
    width: float = fact("width_mm"),
    height: float = fact("height_mm"),
    keyed: bool = fact("canvas.keyed", try_each=True),
) -> Check | Undecided:
    """Will it arrive taut?

    Relative humidity of studio and venue give the wood's moisture before and after (two-hydrate sorption, as the Wood Handbook tabulates
    it). The bars' movement across and along the grain gives the slack that the keys cannot take up, and the belly that it would make.
    Where the moisture leaves the 6 to 14 percent for which movement is published, that alone is said.
    Bars that would fill the whole canvas are a slip, and their width is asked for again.
    """
    before, after = emc(limits.air_temp_c, studio_rh), emc(limits.air_temp_c, venue_rh)
    if not (6 <= before <= 14 and 6 <= after <= 14):
        return holds(False, note="the two places differ more than can be worked out")
    span = min(width, height)
    if 2 * bar_width >= span:
        return Undecided(("canvas.bar_width_mm",))
    across = movement(bar_width, limits.wood_change_per_percent, before, after)
    moved = canvas_slack_from_movement(span, across, longitudinal_movement(span, before, after), limits.key_travel_mm if keyed else 0.0)
    note = f"its belly may grow by {show(moved.billow_mm, 'mm')}"
    return at_most(moved.billow_mm / span * 1000, limits.billow_mm_per_m, unit="mm/m", note=note)


SURFACE_RULES = (dry, edges, travels)
