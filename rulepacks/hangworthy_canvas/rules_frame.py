"""The frame under the canvas: flat, straight, square, sound and stiff enough."""

from hangworthy.contract import (
    CAUTION_BARS,
    CAUTION_MOULD,
    COMMON_PRACTICE,
    OWN_POLICY,
    Check,
    Effect,
    Four,
    Pair,
    Stage,
    Undecided,
    Words,
    at_most,
    fact,
    holds,
    rule,
    show,
    where,
)

from .facts import BarFault
from .formulas import bow_per_metre, inward_bow_bracket, out_of_square, resting_gaps
from .limits import CanvasLimits

CANVAS = (where("kind", "stretched-canvas"),)
_SIDES = ("top", "right", "bottom", "left")
_TABLE = "Measure once more on a stone or glass top, with feeler gauges, and turn the frame to check the table itself."


def _worst_corner(gaps: Four) -> tuple[int, float]:
    """Return the number (from 1) and the gap [mm] of the corner that stays off when three rest."""
    resting = resting_gaps(gaps)
    gap = max(resting)
    return resting.index(gap) + 1, gap


@rule(
    "lies-flat",
    effect=Effect.REPAIR,
    source=OWN_POLICY,
    applies=CANVAS,
    uses=["corner_gap_mm"],
    cautions=[CAUTION_BARS],
    words=Words(
        measure="Gap of the corner that stays off when three rest",
        met="Your canvas sits flush: no corner stands more than {value} off the wall.",
        unmet="Corner {corner} would stand {value} off the wall; {limit} is the most that hangs well.",
        remedy="Have a framer true or replace the stretcher, then measure the four corners again.",
        better=_TABLE,
    ),
)
def lies_flat(limits: CanvasLimits, gaps: Four = fact("canvas.corner_gaps_mm")) -> Check:
    """Does the frame sit flush on a flat wall?

    The gaps under the four corners, in order round the frame, give the twist |z1 - z2 + z3 - z4|: a rigid frame rests on three corners
    and the fourth stays off by all of it, whatever its proportions. It passes up to the limit. A twisted stretcher is trued or replaced.
    """
    corner, gap = _worst_corner(gaps)
    return at_most(gap, limits.corner_gap_mm, unit="mm", corner=corner)


@rule(
    "casts-no-shadow",
    effect=Effect.ADVISE,
    source=OWN_POLICY,
    applies=CANVAS,
    uses=["flush_gap_mm"],
    words=Words(
        measure="Gap behind the worst corner",
        met="No shadow will show behind the corners.",
        unmet="A shadow may show behind corner {corner}, which stands {value} off the wall.",
        remedy="Put felt dots behind the other corners, or fix corner {corner} to the wall with a security plate.",
        better=_TABLE,
    ),
)
def casts_no_shadow(limits: CanvasLimits, gaps: Four = fact("canvas.corner_gaps_mm")) -> Check:
    """Do all corners come close enough to the wall to cast no shadow?

    The same gap as for lying flat, against a smaller limit: it hangs as it is, and looks better with the gap evened out.
    """
    corner, gap = _worst_corner(gaps)
    return at_most(gap, limits.flush_gap_mm, unit="mm", corner=corner)


@rule(
    "straight-bars",
    effect=Effect.REPAIR,
    source=OWN_POLICY,
    applies=CANVAS,
    uses=["bow_mm_per_m"],
    cautions=[CAUTION_BARS],
    words=Words(
        measure="Worst bow of a bar",
        met="Your stretcher bars are straight.",
        unmet="The {side} bar curves by {value}; {limit} is the most that hangs well.",
        remedy="Have a framer replace the {side} bar or brace it, then measure the bow again.",
        better="Measure once more against a metal rule or a tight thread, and read the gap with feeler gauges.",
    ),
)
def straight_bars(
    limits: CanvasLimits,
    bows: Four = fact("canvas.edge_bow_mm"),
    width: float = fact("width_mm"),
    height: float = fact("height_mm"),
) -> Check | Undecided:
    """Are the bars straight?

    Each bar's largest distance from a straightedge, per metre of its length: top and bottom along the width, right and left along the
    height. The worst passes up to the limit. A bow of more than half the bar is a slip of the tape, and is asked for again.
    """
    lengths = (width, height, width, height)
    if any(bow > length / 2 for bow, length in zip(bows, lengths, strict=True)):
        return Undecided(("canvas.edge_bow_mm",))
    found = [bow_per_metre(bow, length) for bow, length in zip(bows, lengths, strict=True)]
    worst = max(found)
    return at_most(worst, limits.bow_mm_per_m, unit="mm/m", side=_SIDES[found.index(worst)])


@rule(
    "square",
    effect=Effect.ADVISE,
    source=OWN_POLICY,
    due=Stage.ARRIVAL,
    applies=CANVAS,
    uses=["out_of_square_deg"],
    words=Words(
        measure="Corner angle out of square",
        met="Your canvas is square.",
        unmet="The corners are {value} out of square, which shows beside a door or another work.",
        remedy="Tap the keys evenly, or have a framer square the stretcher; hang it away from straight edges meanwhile.",
        better="Measure both diagonals and both sides once more with one steel tape, from the same corners.",
    ),
)
def square(
    limits: CanvasLimits,
    diagonals: Pair = fact("canvas.diagonals_mm"),
    width: float = fact("width_mm"),
    height: float = fact("height_mm"),
) -> Check | Undecided:
    """Is it square?

    The corner angle from the two diagonals by the law of cosines; its difference from a right angle passes up to the limit. Diagonals that
    cannot close with the two sides are a slip of the tape, and are asked for again.
    """
    try:
        angle = out_of_square(*diagonals, width, height)
    except ValueError:
        return Undecided(("canvas.diagonals_mm",))
    return at_most(angle, limits.out_of_square_deg, unit="°")


@rule(
    "sound-bars",
    effect=Effect.REPAIR,
    source=COMMON_PRACTICE,
    applies=CANVAS,
    cautions=[CAUTION_MOULD, CAUTION_BARS],
    words=Words(
        measure="Condition of the bars",
        met="Your stretcher bars are sound.",
        unmet="The stretcher bars are {found}, so the canvas cannot be relied on to stay flat.",
        remedy="Keep it apart and dry, and ask a framer or conservator to repair or replace the bars.",
        bench="Bars declared: {found}.",
    ),
)
def sound_bars(condition: tuple[BarFault, ...] = fact("canvas.bar_condition")) -> Check | Undecided:
    """Are the bars free of water damage, swelling, splits and loose joints?

    Declared. Anything but sound fails; stains may hide mould. An empty list says nothing and is asked for again.
    """
    if not condition:
        return Undecided(("canvas.bar_condition",))
    faults = [one for one in condition if one != "sound"]
    return holds(not faults, found=" and ".join(faults) or "sound")


def _longest_free(width: float, height: float, across: int, down: int, corner: float) -> float:
    """Return the longest length of bar between corners, cross bars and corner braces [mm]."""
    free = []
    for length, braces in ((width, down), (height, across)):
        ends = min(corner, length / 2)
        free.append(length / (braces + 1) - ends if braces else length - 2 * ends)
    return max(free)


@rule(
    "braced",
    effect=Effect.PREPARE,
    source=COMMON_PRACTICE,
    applies=CANVAS,
    uses=["free_bar_mm"],
    cautions=[CAUTION_BARS],
    words=Words(
        measure="Longest bar without a brace",
        met="The bars are short enough, or braced.",
        unmet="A bar runs {value} without a brace; {limit} is the most that stays straight.",
        remedy="Fit a cross bar in the middle, or corner braces, before you bring it; a framer can do it in place.",
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
    free = _longest_free(width, height, across or 0, down or 0, corner or 0.0)
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
        unmet="The bars are too slender: the canvas pulls them inward by {value} even with stiff corners.",
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
        unmet="With loose corners the bars could bow inward by {value}.",
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
    return at_most(free, limits.inward_mm_per_m, unit="mm/m", held=show(held, "mm/m"))


FRAME_RULES = (lies_flat, casts_no_shadow, straight_bars, square, sound_bars, braced, bars_hold, bars_stay_straight)
