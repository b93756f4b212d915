"""The mat and the rebate: borders, overlap, bottom weight, room and depth. All of it is advice."""

from hangworthy.contract import (
    COMMON_PRACTICE,
    OWN_POLICY,
    Check,
    Effect,
    Four,
    Pair,
    Stage,
    Undecided,
    Words,
    at_least,
    at_most,
    fact,
    given,
    holds,
    rule,
    show,
    show_apart,
    where,
)

from . import words
from .formulas import depth_stack, exact_difference, largest_contents, mat_borders, window_opening
from .limits import PaperLimits
from .rules_frames import LOOSE, SMALLEST, STOCK_LIMITS, TOO_SMALL, Sheet, search, too_small
from .rules_materials import FRAMED
from .stock import NOTHING, Fit, Sides, best, both, worth_asking

GLAZED = where("glazing.material", "float-glass", "toughened-glass", "laminated-glass", "acrylic", "polycarbonate")
_RULE = "Measure once more with a steel rule, to half a millimetre."


def stock_window(limits: PaperLimits, found: Fit) -> Sides:
    """Return the window of the mat in a stock frame: that of the frame's own mat, or one cut to lap over what is shown."""
    inner, shown = found.opening.inner, found.shown
    window = found.opening.mat or window_opening(*shown, min(limits.overlap_least_mm, min(shown) / 4))
    return min(window[0], inner[0]), min(window[1], inner[1])


@rule(
    "mat-proportions",
    effect=Effect.ADVISE,
    source=OWN_POLICY,
    applies=LOOSE,
    uses=["border_mm", "bottom_weight_mm", *STOCK_LIMITS, *SMALLEST],
    words=Words(
        measure="Narrowest border of the mat",
        met="{note}",
        unmet="In {frame} the mat would be only {value} wide at its narrowest.",
        remedy="It can hang so; for a wider mat, bring it in a larger frame of your own.",
        better=_RULE,
        bench="{bench}",
    ),
)
def mat_proportions(
    limits: PaperLimits,
    offered: Sheet,
) -> Check | Undecided:
    """Is the mat in the stock frame well proportioned?

    For the frame that the sheet goes into: the window laps over each side of the sheet, the rest is border, equal at the sides and wider at
    the bottom, with the total height kept. The narrowest border passes from the limit up; the coordinator reads all four for the drawing.
    """
    if too_small(limits, offered):
        return holds(True, note=TOO_SMALL, frame="", bench="Smaller than the smallest size shown, so no mat.")
    consent, margins = offered.consent, offered.margins
    ways, sheet = search(limits, offered)
    found = best(limits, ways, sheet, both(consent or NOTHING, margins))
    if found is None:
        if consent is None and worth_asking(limits, ways, sheet, margins) is not None:
            return Undecided(("paper.crop_consent_mm",))
        return holds(True, note="It needs no mat from us.", frame="", bench="No stock frame, so no mat.")
    frame = words.frame(found.opening)
    if not found.matted:
        return holds(True, note="It fills its frame and needs no mat.", frame=frame, bench="It fills its frame; no mat.")
    inner, window = found.opening.inner, stock_window(limits, found)
    borders = mat_borders(*inner, *window, min(limits.bottom_weight_mm, inner[1] - window[1]))
    top, right, bottom, left = (show(one, "mm") for one in borders)
    outside = f"frame “{found.opening.frame.name}”, {words.size(inner)}"
    bench = f"Mat for {outside}: window {words.size(window)}; top {top}, right {right}, bottom {bottom}, left {left}."
    return at_least(min(borders), limits.border_mm, unit="mm", note=f"It hangs in {frame} behind a mat.", frame=frame, bench=bench)


@rule(
    "mat-holds-sheet",
    effect=Effect.ADVISE,
    source=COMMON_PRACTICE,
    due=Stage.ARRIVAL,
    applies=(*FRAMED, given("paper.window_mm")),
    uses=["overlap_least_mm"],
    words=Words(
        measure="Overlap of the mat on each side of the sheet",
        met="The mat laps far enough over the sheet.",
        unmet="{trouble}",
        remedy="Ask a framer for a window of {most} or less, or to float the sheet with all its edges in view.",
        better=_RULE,
    ),
)
def mat_holds_sheet(
    limits: PaperLimits,
    window: Pair = fact("paper.window_mm"),
    width: float = fact("width_mm"),
    height: float = fact("height_mm"),
) -> Check:
    """Does the mat lap over the sheet on all sides?

    Half of what the sheet is larger than the window, in the direction where that is less, passes from the limit up.
    """
    lap, least = min(exact_difference(width, window[0]), exact_difference(height, window[1])) / 2, limits.overlap_least_mm
    own, needed = show_apart(lap, least, "mm")
    trouble = f"The mat laps over the sheet by {own} on a side; with less than {needed} it can slip through."
    if lap < 0:
        trouble = "The window of the mat is larger than the sheet, so the sheet can slip through."
    most = [max(0.0, min(opening, side - 2 * least)) for opening, side in zip(window, (width, height), strict=True)]
    return at_least(lap, least, unit="mm", trouble=trouble, most=words.size((most[0], most[1])))


@rule(
    "window-shows-image",
    effect=Effect.ADVISE,
    source=COMMON_PRACTICE,
    due=Stage.ARRIVAL,
    applies=(*FRAMED, given("paper.window_mm", "paper.image_mm")),
    uses=["overlap_most_mm"],
    words=Words(
        measure="Image covered on each side by the mat",
        met="The mat shows the image.",
        unmet="The mat covers {value} of the image on each side; at most {limit} should be covered.",
        remedy="Ask a framer for a window of {least} or more.",
        better=_RULE,
    ),
)
def window_shows_image(
    limits: PaperLimits,
    window: Pair = fact("paper.window_mm"),
    image: Pair = fact("paper.image_mm"),
    width: float = fact("width_mm"),
    height: float = fact("height_mm"),
) -> Check | Undecided:
    """Does the mat show the whole image?

    Half of what the image is larger than the window, in the direction where that is more, passes up to the limit; 3 to 5 mm are usual. An
    image larger than its sheet is a slip, and is asked for again.
    """
    if image[0] > width or image[1] > height:
        return Undecided(("paper.image_mm",))
    covered = max(exact_difference(image[0], window[0]), exact_difference(image[1], window[1])) / 2
    least = [max(opening, side - 2 * limits.overlap_most_mm) for opening, side in zip(window, image, strict=True)]
    return at_most(covered, limits.overlap_most_mm, unit="mm", least=words.size((least[0], least[1])))


@rule(
    "bottom-weighted",
    effect=Effect.ADVISE,
    source=COMMON_PRACTICE,
    due=Stage.ARRIVAL,
    applies=(*FRAMED, given("paper.mat_borders_mm")),
    uses=["lean_mm"],
    words=Words(
        measure="Bottom border of the mat less its top border",
        met="The mat is not narrower at the bottom than at the top.",
        unmet="The mat is narrower at the bottom than it should be beside the top, so the work seems to sink.",
        remedy="See whether the mat is upside down; else a framer can cut it with the window higher up.",
        better=_RULE,
    ),
)
def bottom_weighted(limits: PaperLimits, borders: Four = fact("paper.mat_borders_mm")) -> Check:
    """Is the mat at least as wide at the bottom as at the top?

    By convention the bottom border is a little wider, because a window in the very middle seems to sink. Bottom less top passes from the
    limit up.
    """
    return at_least(exact_difference(borders[2], borders[0]), limits.lean_mm, unit="mm")


@rule(
    "room-in-rebate",
    effect=Effect.ADVISE,
    source=COMMON_PRACTICE,
    due=Stage.ARRIVAL,
    applies=(*FRAMED, given("paper.contents_mm")),
    uses=["rebate_room_mm"],
    words=Words(
        measure="Room between rebate and contents",
        met="Mat and backing have room to move in the frame.",
        unmet="Mat and backing have {value} of room in the frame; with less than {limit} they can buckle when it is damp.",
        remedy="Ask a framer to trim mat and backing to at most {most}.",
        better=_RULE,
    ),
)
def room_in_rebate(
    limits: PaperLimits,
    contents: Pair = fact("paper.contents_mm"),
    rebate_width: float = fact("frame.rebate_width_mm"),
    rebate_height: float = fact("frame.rebate_height_mm"),
) -> Check | Undecided:
    """Have mat and backing room in the rebate?

    What the rebate is larger than its contents, in the direction where that is less, passes from the limit up: an eighth of an inch in all.
    Contents larger than the rebate that holds them are a slip, and are asked for again.
    """
    room = min(exact_difference(rebate_width, contents[0]), exact_difference(rebate_height, contents[1]))
    if room < 0:
        return Undecided(("paper.contents_mm",))
    most = [largest_contents(side, min(limits.rebate_room_mm, side / 2)) for side in (rebate_width, rebate_height)]
    return at_least(room, limits.rebate_room_mm, unit="mm", most=words.size((most[0], most[1])))


@rule(
    "rebate-deep-enough",
    effect=Effect.ADVISE,
    source=COMMON_PRACTICE,
    due=Stage.ARRIVAL,
    applies=(*FRAMED, GLAZED, given("paper.backing_mm")),
    words=Words(
        measure="Depth of pane, mat, sheet and backing",
        met="Pane, mat, sheet and backing fit into the depth of the frame.",
        unmet="Pane, mat, sheet and backing are {value} deep, but the rebate is {limit}, so the back stands out.",
        remedy="Ask a framer for a thinner backing, or for a strip that deepens the frame at the back.",
        better="Measure each layer at its edge with a caliper.",
    ),
)
def rebate_deep_enough(
    pane: float = fact("glazing.thickness_mm"),
    gap: float = fact("glazing.gap_mm"),
    sheet: float = fact("paper.thickness_mm"),
    backing: float = fact("paper.backing_mm"),
    rebate: float = fact("frame.rebate_depth_mm"),
) -> Check:
    """Do pane, mat, sheet and backing fit into the depth of the rebate?

    Their thicknesses added up pass up to the depth of the rebate; the mat or spacer is as thick as the air between pane and work.
    """
    return at_most(exact_difference(depth_stack((pane, gap, sheet, backing)), 0.0), rebate, unit="mm")


MAT_RULES = (mat_proportions, mat_holds_sheet, window_shows_image, bottom_weighted, room_in_rebate, rebate_deep_enough)
