"""The frame under the canvas: flat, straight and square."""

from hangworthy.contract import (
    CAUTION_BARS,
    OWN_POLICY,
    Check,
    Effect,
    Four,
    Pair,
    Stage,
    Step,
    Undecided,
    Words,
    at_most,
    fact,
    rule,
    where,
)

from .formulas import bow_per_metre, out_of_square, resting_gaps
from .limits import CanvasLimits

CANVAS = (where("kind", "stretched-canvas"),)
_SIDES = ("top", "right", "bottom", "left")
_TABLE = "Measure once more on a stone or glass top, with feeler gauges, and turn the frame to check the table itself."


def worst_corner(gaps: Four) -> tuple[int, float]:
    """Return the number (from 1) and the gap [mm] of the corner that stays off when three rest."""
    resting = resting_gaps(gaps)
    gap = max(resting)
    return resting.index(gap) + 1, gap


@rule(
    "lies-flat",
    effect=Effect.REPAIR,
    step=Step.MEND,
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
    corner, gap = worst_corner(gaps)
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
    corner, gap = worst_corner(gaps)
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
        unmet="The {side} bar curves by {bow}; {most} is the most for its length.",
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
    side = found.index(worst)
    bow, most = (bows[side], "mm"), (limits.bow_mm_per_m * lengths[side] / 1000, "mm")
    return at_most(worst, limits.bow_mm_per_m, unit="mm/m", side=_SIDES[side], bow=bow, most=most)


@rule(
    "square",
    effect=Effect.ADVISE,
    step=Step.FIT,
    tools=["steel-tape", "hammer"],
    source=OWN_POLICY,
    due=Stage.ARRIVAL,
    applies=CANVAS,
    uses=["out_of_square_deg"],
    words=Words(
        measure="Corner angle out of square",
        met="Your canvas is square.",
        unmet="The corners are {value} out of square, which shows beside a door or another work.",
        remedy="Tap the keys, if it has any, evenly, or have a framer square the stretcher; hang it away from straight edges meanwhile.",
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


FRAME_RULES = (lies_flat, casts_no_shadow, straight_bars, square)
