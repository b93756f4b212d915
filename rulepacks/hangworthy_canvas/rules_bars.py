"""The bars under the canvas: sound, braced and stiff enough."""

from hangworthy.contract import (
    CAUTION_BARS,
    CAUTION_MOULD,
    COMMON_PRACTICE,
    OWN_POLICY,
    Check,
    Effect,
    Stage,
    Undecided,
    Words,
    at_most,
    fact,
    holds,
    rule,
)

from .facts import BarFault
from .formulas import inward_bow_bracket
from .limits import CanvasLimits
from .rules_frame import CANVAS

_SOUND_BARS = "sound-bars"


@rule(
    _SOUND_BARS,
    by="stains",
    effect=Effect.REPAIR,
    source=COMMON_PRACTICE,
    applies=CANVAS,
    cautions=[CAUTION_MOULD, CAUTION_BARS],
    words=Words(
        measure="Condition of the bars (stains)",
        met="Your stretcher bars show no water stains.",
        unmet="The stretcher bars are stained: water has been in them, and mould may be.",
        remedy="Keep it apart and dry, and ask a framer or conservator to repair or replace the bars.",
        bench="Bars declared: {found}.",
    ),
)
def dry_bars(condition: tuple[BarFault, ...] = fact("canvas.bar_condition")) -> Check | Undecided:
    """Are the bars free of water damage, swelling, splits and loose joints?

    Stains, as declared: only they may hide mould. An empty list says nothing and is asked for again.
    """
    return _without(condition, "no stains", "stained")


@rule(
    _SOUND_BARS,
    by="joints",
    effect=Effect.REPAIR,
    source=COMMON_PRACTICE,
    applies=CANVAS,
    cautions=[CAUTION_BARS],
    words=Words(
        measure="Condition of the bars (wood and joints)",
        met="Your stretcher bars are whole, and their joints hold.",
        unmet="The stretcher bars are {found}, so the canvas cannot be relied on to stay flat.",
        remedy="Ask a framer or conservator to repair or replace the bars.",
        bench="Bars declared: {found}.",
    ),
)
def firm_bars(condition: tuple[BarFault, ...] = fact("canvas.bar_condition")) -> Check | Undecided:
    """Are the bars free of water damage, swelling, splits and loose joints?

    Swelling, splits and loose joints, as declared. An empty list says nothing and is asked for again.
    """
    return _without(condition, "sound", "swollen", "split", "loose")


def _without(condition: tuple[BarFault, ...], well: str, *these: BarFault) -> Check | Undecided:
    """Return the check that none of these faults is declared, naming those that are, or else how well they are."""
    if not condition:
        return Undecided(("canvas.bar_condition",))
    faults = [one for one in dict.fromkeys(condition) if one in these]
    return holds(not faults, found=" and ".join(faults) or well)


def longest_free(width: float, height: float, across: int, down: int, corner: float) -> float:
    """Return the longest length of bar between corners, cross bars and corner braces [mm]."""
    free = []
    for length, braces in ((width, down), (height, across)):
        ends = min(corner, length / 2)
        free.append(length / (braces + 1) - ends if braces else length - 2 * ends)
    return max(free)


@rule(
    "braced",
    effect=Effect.REPAIR,
    source=COMMON_PRACTICE,
    applies=CANVAS,
    uses=["free_bar_mm"],
    cautions=[CAUTION_BARS],
    words=Words(
        measure="Longest bar without a brace",
        met="The bars are short enough, or braced.",
        unmet="A bar runs {value} without a brace; {limit} is the most that stays straight.",
        remedy="Have a framer fit a cross bar in the middle, or corner braces; this can be done in place.",
    ),
)
def braced(
    limits: CanvasLimits,
    width: float = fact("width_mm"),
    height: float = fact("height_mm"),
    across: int | None = fact("canvas.horizontal_braces", optional=True),
    down: int | None = fact("canvas.vertical_braces", optional=True),
    corner: float | None = fact("canvas.corner_brace_mm", optional=True),
) -> Check | Undecided:
    """Is the span supported?

    The longest length of bar between corners, cross bars and corner braces passes up to the limit. Braces are asked for only when the work
    is too large to do without; a vertical brace meets the top and bottom bars.
    """
    free = longest_free(width, height, across or 0, down or 0, corner or 0.0)
    named = {"canvas.vertical_braces": down, "canvas.horizontal_braces": across, "canvas.corner_brace_mm": corner}
    missing = tuple(path for path, value in named.items() if value is None)
    if free > limits.free_bar_mm and missing:
        return Undecided(missing)
    return at_most(free, limits.free_bar_mm, unit="mm")


def _inward(limits: CanvasLimits, bar: tuple[float, float], sides: tuple[float, float], braces: tuple[int, int]) -> tuple[float, float]:
    """Return the inward bow per metre of span with held ends and with freely giving ends, the worse of the two directions [mm/m]."""
    held, free = [], []
    for length, count in zip(sides, braces, strict=True):
        least, most = inward_bow_bracket(limits.pull_n_m, length, bar[0], bar[1], limits.bar_moe_mpa, count)
        span = length / (count + 1) / 1000
        held.append(least / span)
        free.append(most / span)
    return max(held), max(free)


@rule(
    "bars-hold",
    effect=Effect.REPAIR,
    source=OWN_POLICY,
    due=Stage.ARRIVAL,
    applies=CANVAS,
    uses=["inward_mm_per_m", "pull_n_m", "bar_moe_mpa"],
    cautions=[CAUTION_BARS],
    words=Words(
        measure="Inward bow of a bar with stiff corners",
        met="The bars are stiff enough for the pull of the canvas.",
        unmet="The bars are too slender: the canvas pulls them inward even with stiff corners.",
        remedy="Have a framer fit stronger bars or a cross brace.",
    ),
)
def bars_hold(
    limits: CanvasLimits,
    bar_width: float = fact("canvas.bar_width_mm"),
    bar_depth: float = fact("canvas.bar_depth_mm"),
    width: float = fact("width_mm"),
    height: float = fact("height_mm"),
    across: int = fact("canvas.horizontal_braces"),
    down: int = fact("canvas.vertical_braces"),
) -> Check:
    """Do the bars hold against the pull of the canvas?

    A keyed corner holds a bar in part, so the truth lies between held and freely giving ends. Here the milder end of that bracket: what
    fails with held ends fails whatever the corners do. A brace makes two spans of one. The bow per metre of span passes up to the limit.
    """
    held, _ = _inward(limits, (bar_width, bar_depth), (width, height), (down, across))
    return at_most(held, limits.inward_mm_per_m, unit="mm/m")


@rule(
    "bars-stay-straight",
    effect=Effect.ADVISE,
    source=OWN_POLICY,
    due=Stage.ARRIVAL,
    applies=CANVAS,
    uses=["inward_mm_per_m", "pull_n_m", "bar_moe_mpa"],
    words=Words(
        measure="Inward bow of a bar with loose corners",
        met="The bars would stay straight even with loose corners.",
        unmet="With loose corners the canvas could pull the bars inward.",
        remedy="Keep the corner joints tight; a cross brace would settle it.",
        bench="Inward bow between {held} (stiff corners) and {value} (loose corners); at most {limit} allowed.",
    ),
)
def bars_stay_straight(
    limits: CanvasLimits,
    bar_width: float = fact("canvas.bar_width_mm"),
    bar_depth: float = fact("canvas.bar_depth_mm"),
    width: float = fact("width_mm"),
    height: float = fact("height_mm"),
    across: int = fact("canvas.horizontal_braces"),
    down: int = fact("canvas.vertical_braces"),
) -> Check:
    """Would the bars stay straight even if the corners gave way?

    The severe end of the same bracket: ends that give freely, as in a worn stretcher. Above the limit it is worth a brace.
    """
    held, free = _inward(limits, (bar_width, bar_depth), (width, height), (down, across))
    return at_most(free, limits.inward_mm_per_m, unit="mm/m", held=(held, "mm/m"))


BAR_RULES = (dry_bars, firm_bars, braced, bars_hold, bars_stay_straight)
