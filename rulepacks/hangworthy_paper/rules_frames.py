"""The sheet and the frame: is it large enough, which frame takes it, and what does that cost the image?"""

from collections.abc import Sequence
from typing import Any, NamedTuple

from hangworthy.contract import (
    COMMON_PRACTICE,
    Check,
    Effect,
    Four,
    Stage,
    Step,
    StockFrame,
    Undecided,
    Words,
    at_least,
    at_most,
    fact,
    holds,
    rule,
    where,
)

from . import words
from .formulas import trimmed_tolerance
from .limits import PaperLimits
from .stock import NOTHING, Opening, Sides, anything, best, both, fine, fit, nearest, openings, stock_of, worth_asking

Frames = tuple[StockFrame, ...]

PAPER = (where("kind", "work-on-paper", "original-print", "photograph", "reproduction"),)
LOOSE = (*PAPER, where("framed", False))
_CONSENT, _MARGINS = "paper.crop_consent_mm", "paper.free_margin_mm"
SMALLEST = ("smallest_short_mm", "smallest_long_mm")
STOCK_LIMITS = ("whole_slack_mm", "overlap_least_mm", "overlap_most_mm", "ask_crop_percent")
TOO_SMALL = "No frame is chosen, since a larger work is asked for."
_SHEET = "Lay the sheet flat and measure it in two places with a steel rule, to half a millimetre."


@rule(
    "big-enough",
    effect=Effect.REFUSE,
    source=COMMON_PRACTICE,
    applies=PAPER,
    uses=SMALLEST,
    words=Words(
        measure="Area of the sheet",
        met="Your sheet is large enough.",
        unmet="At {sheet} your sheet is smaller than the smallest size shown, {smallest}.",
        remedy="Check the size and its unit: “60 cm”, not 60. If it is right, please offer a larger work; the smallest is {smallest}.",
        better=_SHEET,
        bench="Area of the sheet, {sheet}: {value}, at least {limit} needed for {smallest}.",
    ),
)
def big_enough(limits: PaperLimits, width: float = fact("width_mm"), height: float = fact("height_mm")) -> Check:
    """Is it at least the smallest size shown?

    The area of the sheet against that of the smallest size, A3, cut as small as the tolerance of trimmed sheets (ISO 216) allows: so a
    square or a long sheet of the same area passes. Measured unframed, whatever frame it is in. Below, a larger work is asked for.
    """
    smallest = words.size((limits.smallest_short_mm, limits.smallest_long_mm))
    return at_least(width * height / 100, _smallest_cm2(limits), unit="cm2", sheet=words.size((width, height)), smallest=smallest)


def _smallest_cm2(limits: PaperLimits) -> float:
    """Return the area of the smallest size shown, cut as small as its tolerance allows [cm2]."""
    short, long = (side - trimmed_tolerance(side) for side in (limits.smallest_short_mm, limits.smallest_long_mm))
    return short * long / 100


class Sheet(NamedTuple):
    """A sheet, the frames there are, and what may go of it, as facts; None where it is not known."""

    width: float = fact("width_mm")
    height: float = fact("height_mm")
    frames: Frames | None = fact("venue.frames", optional=True)
    consent: Four | None = fact("paper.crop_consent_mm", optional=True)
    margins: Four | None = fact("paper.free_margin_mm", optional=True)


def too_small(limits: PaperLimits, offered: Sheet) -> bool:
    """Return whether a sheet is refused for its size: then no frame is looked for, and nothing is said of how it would hang in one."""
    return offered.width * offered.height / 100 < _smallest_cm2(limits)


def search(limits: PaperLimits, offered: Sheet) -> tuple[Sequence[Opening], Sides]:
    """Return every way to use the stock, and the sheet to the micrometre."""
    return openings(limits, stock_of(offered.frames)), fine((offered.width, offered.height))


def _decided(ways: Sequence[Opening], sheet: Sides, most: Four, met: bool, named: dict[str, Any]) -> Check:
    """Return a check on the side that decides; with no frames there is nothing to measure. What does not fit says by how much."""
    if not ways:
        return holds(met, **named)
    found = nearest(ways, sheet, most)
    if not met:
        named["bench"] += f"; {words.decides(found)}"
    return Check(met, found.value, found.low, found.high, "mm", None, named)


def _trouble(limits: PaperLimits, ways: Sequence[Opening], sheet: Sides, consent: Four, margins: Four | None) -> tuple[str, str]:
    """Return why no frame takes a loose sheet, and what the artist can do."""
    own = words.own_frame(sheet)
    if not ways:
        return "This venue has no stock frames.", own
    asked = worth_asking(limits, ways, sheet, margins)
    if asked is not None:
        text = f"It fits {words.frame(asked.opening)} only with more crop than you agreed to. This would go: {words.crop(asked.crop)}."
        return text, "Agree to this crop, or bring it in a frame of your own."
    if margins is not None and best(limits, ways, sheet, consent) is not None:
        return "It fits our frames only with a crop that takes a signature, number, plate mark or edge.", own
    return "It fits none of our frames, even with a small crop.", own


@rule(
    "has-a-frame",
    effect=Effect.PREPARE,
    source=COMMON_PRACTICE,
    applies=PAPER,
    uses=(*STOCK_LIMITS, *SMALLEST),
    words=Words(
        measure="Side of the sheet that decides about the frame",
        met="{how}",
        unmet="{trouble}",
        remedy="{todo}",
        better=_SHEET,
        bench="Sheet {sheet}: {bench}.",
    ),
)
def has_a_frame(
    limits: PaperLimits,
    offered: Sheet,
    framed: bool = fact("framed", try_each=True),
) -> Check | Undecided:
    """Is it framed, or does it fit a stock frame whole, matted or within the agreed crop?

    The sheet, upright or turned, against each frame's inner size, with the tolerance of trimmed A and B sheets (ISO 216), and against its
    window where it has a mat. The least image lost wins, then the best centred crop, then no mat, then the smallest frame. A crop must be
    agreed side by side and, where the free margins are known, spare what must stay. It is asked for only where no frame takes the sheet as
    it is and a small crop would do; else the work comes in a frame of its own. Of a sheet that is refused for its size no frame is named.
    """
    consent, margins = offered.consent, offered.margins
    sheet_text = words.size((offered.width, offered.height))
    if framed:
        return holds(True, how="It comes in a frame of its own.", trouble="", todo="", sheet=sheet_text, bench="in its own frame")
    ways, sheet = search(limits, offered)
    most = both(consent or NOTHING, margins)
    found = best(limits, ways, sheet, most)
    if found is not None:
        how = TOO_SMALL if too_small(limits, offered) else words.fits(found)
        named = {"how": how, "trouble": "", "todo": "", "sheet": sheet_text, "bench": words.fits_bench(found)}
        return _decided(ways, sheet, most, True, named)
    asked = worth_asking(limits, ways, sheet, margins)
    if consent is None and asked is not None:
        return Undecided((_CONSENT,))
    trouble, todo = _trouble(limits, ways, sheet, consent or NOTHING, margins)
    todo = TOO_SMALL if too_small(limits, offered) else todo
    bench = "no frame of the stock" if asked is None else f"not agreed: {words.fits_bench(asked)}"
    return _decided(ways, sheet, most, False, {"how": "", "trouble": trouble, "todo": todo, "sheet": sheet_text, "bench": bench})


@rule(
    "crop-decided",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    tools=["steel-rule"],
    source=COMMON_PRACTICE,
    applies=LOOSE,
    uses=(*STOCK_LIMITS, *SMALLEST),
    words=Words(
        measure="Side of the sheet that decides whether it must be cropped",
        met="{note}",
        unmet="{note}",
        remedy="Tell us how much may go on each side, or bring it in a frame of your own.",
        better=_SHEET,
        bench="Crop: {bench}.",
    ),
)
def crop_decided(
    limits: PaperLimits,
    offered: Sheet,
) -> Check:
    """Does it fit a stock frame uncropped, or is it decided what may go?

    While the artist has not decided, the smallest crop that would do is named, side by side, so that there are figures to decide about.
    """
    if offered.consent is not None:
        return holds(True, note="You have told us what may be cropped.", bench="decided by the artist")
    if too_small(limits, offered):
        return holds(True, note=TOO_SMALL, bench="smaller than the smallest size shown")
    ways, sheet = search(limits, offered)
    found = best(limits, ways, sheet, NOTHING)
    if found is not None:
        return _decided(ways, sheet, NOTHING, True, {"note": words.fits(found), "bench": words.fits_bench(found)})
    asked = worth_asking(limits, ways, sheet, offered.margins)
    if asked is None:
        return holds(True, note="No small crop would make it fit our frames, so we ask for none.", bench="none would help")
    note = f"It would fit {words.frame(asked.opening)} with a crop. This would go: {words.crop(asked.crop)}."
    return _decided(ways, sheet, NOTHING, False, {"note": note, "bench": f"not decided; the least is {words.fits_bench(asked)}"})


@rule(
    "crop-keeps-marks",
    effect=Effect.PREPARE,
    step=Step.PAPERS,
    tools=["steel-rule"],
    source=COMMON_PRACTICE,
    due=Stage.ARRIVAL,
    applies=LOOSE,
    uses=STOCK_LIMITS,
    words=Words(
        measure="Crop beyond what is agreed and free of marks",
        met="{note}",
        unmet="The agreed crop would take {value} too much: a signature, number, plate mark or edge would go.",
        remedy="{todo}",
        better="Measure the free margins once more with a steel rule, to half a millimetre.",
    ),
)
def crop_keeps_marks(
    limits: PaperLimits,
    offered: Sheet,
) -> Check | Undecided:
    """Does the crop spare signature, number, plate mark and deckle?

    The free margin of a side is how far its edge is from the first thing that must stay. Of all frames that the agreed crop allows, the one
    that needs least beyond the free margins counts; nought or less passes. The margins are asked for only where a crop is agreed and
    needed.
    """
    consent, margins = offered.consent, offered.margins
    ways, sheet = search(limits, offered)
    if best(limits, ways, sheet, NOTHING) is not None:
        return holds(True, note="Nothing has to be cropped.")
    if consent is None and best(limits, ways, sheet, anything(sheet)) is not None:
        return Undecided((_CONSENT,))  # also where no crop is worth asking for: whoever agrees to one all the same may lose a mark by it
    agreed = [way for way in ways if fit(limits, way, sheet, consent or NOTHING) is not None]
    if not agreed:
        return holds(True, note="Nothing will be cropped.")
    if margins is None:
        return Undecided((_MARGINS,))
    found, spares = nearest(agreed, sheet, both(consent or NOTHING, margins)), worth_asking(limits, ways, sheet, margins)
    todo = words.own_frame(sheet)
    if spares is not None:
        todo = f"Agree to another crop, which spares them: {words.crop(spares.crop)}. Or bring it in a frame of your own."
    return at_most(-found.margin, 0.0, unit="mm", note="The agreed crop spares what must stay in view.", todo=todo)


FRAME_RULES = (big_enough, has_a_frame, crop_decided, crop_keeps_marks)
