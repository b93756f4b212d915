"""Into which stock frames a sheet goes, for plans that share them out."""

from hangworthy.contract import COMMON_PRACTICE, Four, FrameFit, StockFrame, frame_fits

from .formulas import exact_difference
from .limits import PaperLimits
from .rules_frames import LOOSE, STOCK_LIMITS, Sheet
from .stock import DEFAULT_STOCK, NOTHING, Fit, Sides, best, both, fine, openings, worth_asking


@frame_fits(source=COMMON_PRACTICE, applies=LOOSE, uses=STOCK_LIMITS)
def fits(limits: PaperLimits, offered: Sheet) -> tuple[FrameFit, ...]:
    """Into which stock frames does the sheet go?

    By the geometry of the rules: whole, behind a mat or within the agreed crop, sparing what must stay where that is known. A size that
    takes it only with more crop than is agreed is listed with what more would go, where that is worth asking for.
    """
    sheet = fine((offered.width, offered.height))
    frames = DEFAULT_STOCK if offered.frames is None else offered.frames
    found = (_into(limits, frame, sheet, offered.consent or NOTHING, offered.margins) for frame in frames)
    return tuple(one for one in found if one is not None)


def _into(limits: PaperLimits, frame: StockFrame, sheet: Sides, consent: Four, margins: Four | None) -> FrameFit | None:
    """Return the best way into frames of one size: as agreed, or else with the least crop that is worth asking for."""
    ways = openings(limits, (frame,))
    agreed = best(limits, ways, sheet, both(consent, margins))
    asked = worth_asking(limits, ways, sheet, margins) if agreed is None else None
    found = agreed or asked
    return None if found is None else _said(found, sheet, both(consent, margins), NOTHING if agreed else _beyond(found.crop, consent))


def _beyond(crop: Four, consent: Four) -> Four:
    top, right, bottom, left = (max(0.0, exact_difference(goes, agreed)) for goes, agreed in zip(crop, consent, strict=True))
    return top, right, bottom, left


def _said(found: Fit, sheet: Sides, most: Four, more: Four) -> FrameFit:
    way = found.opening
    takes = (way.nominal[0] + way.free[0], way.nominal[1] + way.free[1])
    return FrameFit(
        frame=way.frame.name, turned=way.turned, matted=found.matted, crop_mm=found.crop, most_mm=most, more_mm=more,
        whole_mm=sheet, shown_mm=found.shown, inner_mm=way.inner, takes_mm=takes,
    )  # fmt: skip
