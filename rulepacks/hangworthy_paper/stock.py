"""The venue's stock of frames, and which of them a sheet goes into: whole, behind a mat, or cropped."""

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from hangworthy.contract import Four, StockFrame

from .formulas import crop_window, frame_tolerance, image_lost, micrometres
from .limits import PaperLimits

DEFAULT_STOCK = (
    StockFrame(name="A3", width_mm=297, height_mm=420),
    StockFrame(name="A2", width_mm=420, height_mm=594),
    StockFrame(name="A1", width_mm=594, height_mm=841),
    StockFrame(name="600 × 900 mm", width_mm=600, height_mm=900),
)
NOTHING: Four = (0.0, 0.0, 0.0, 0.0)
# All lengths here are whole micrometres, and sums of a few differ from one by far less than half: so half decides nothing by rounding.
_HALF = 0.0005

Sides = tuple[float, float]


class Opening(NamedTuple):
    """One way to use a frame: along width and height the sheet that it is made for, how much larger one still goes in, and the least.

    ``mat`` is the window of the frame's own mat, None where there is none or it is taken out.
    """

    frame: StockFrame
    turned: bool
    inner: Sides
    nominal: Sides
    free: Sides
    least: Sides
    mat: Sides | None


class Fit(NamedTuple):
    """A sheet in an opening: what goes at top, right, bottom and left, and the share of the sheet that is lost [%]."""

    opening: Opening
    crop: Four
    lost: float
    shown: Sides
    matted: bool


class Measure(NamedTuple):
    """The side that decides whether a sheet fits, and what it must keep. ``margin`` is how well it is kept [mm]."""

    margin: float
    value: float
    low: float | None
    high: float | None


def stock_of(frames: tuple[StockFrame, ...] | None) -> tuple[StockFrame, ...]:
    """Return the frames that there are: the venue's, or the default stock where it lists none; a frame counted 0 is not there."""
    return DEFAULT_STOCK if frames is None else tuple(frame for frame in frames if frame.count)


@lru_cache(maxsize=64)
def openings(limits: PaperLimits, frames: tuple[StockFrame, ...]) -> tuple[Opening, ...]:
    """Return every way to use the frames, each upright and turned.

    A frame that lists no window takes a smaller sheet behind a mat cut for it. A frame with a window takes a sheet that fills it, without
    its mat, or one that its mat laps over as far as mats do. Kept, since a venue's frames and limits are the same for every work.
    """
    found: list[Opening] = []
    for frame in frames:
        for turned in (False, True) if frame.width_mm != frame.height_mm or _window(frame) else (False,):
            found += _ways(limits, frame, turned)
    return tuple(found)


def _window(frame: StockFrame) -> Sides | None:
    if frame.window_width_mm is None and frame.window_height_mm is None:
        return None
    return frame.window_width_mm or frame.width_mm, frame.window_height_mm or frame.height_mm


def _turn(sides: Sides, turned: bool) -> Sides:
    return fine((sides[1], sides[0]) if turned else sides)


def _fine(length: float) -> float:
    return max(1, micrometres(length)) / 1000


def fine(sides: Sides) -> Sides:
    """Return lengths to the micrometre, never nought: between such, no sum or difference is decided by how floats round."""
    return _fine(sides[0]), _fine(sides[1])


def _ways(limits: PaperLimits, frame: StockFrame, turned: bool) -> list[Opening]:
    inner = _turn((frame.width_mm, frame.height_mm), turned)
    tolerance = frame_tolerance(*inner)
    window = _window(frame)
    if window is None:
        return [Opening(frame, turned, inner, inner, tolerance, (0.0, 0.0), None)]
    mat = _turn(window, turned)
    slack = micrometres(limits.whole_slack_mm) / 1000
    bare = Opening(frame, turned, inner, inner, tolerance, (inner[0] - slack, inner[1] - slack), None)
    laps = [micrometres(one) / 1000 for one in (limits.overlap_least_mm, limits.overlap_most_mm)]
    low, high = 2 * laps[0], 2 * max(laps)
    return [bare, Opening(frame, turned, inner, mat, (high, high), (mat[0] + low, mat[1] + low), mat)]


def rooms(most: Four) -> Sides:
    """Return what may go along the width and along the height, as a whole number of micrometres [mm]."""
    top, right, bottom, left = most
    return (micrometres(left) + micrometres(right)) / 1000, (micrometres(top) + micrometres(bottom)) / 1000


def measure(opening: Opening, sheet: Sides, room: Sides) -> Measure:
    """Return the side of a sheet that decides whether it goes into an opening where so much may go along its width and height."""
    found = Measure(math.inf, 0.0, None, None)
    for along in (0, 1):
        side, least = sheet[along], opening.least[along]
        high = opening.nominal[along] + max(opening.free[along], room[along])
        if high - side < found.margin:
            found = Measure(high - side, side, None, high)
        if least > 0 and side - least < found.margin:
            found = Measure(side - least, side, least, None)
    return found


def fit(limits: PaperLimits, opening: Opening, sheet: Sides, most: Four) -> Fit | None:
    """Return how a sheet goes into an opening with at most this crop, the least lost and then centred; None where it does not."""
    return _fit(limits, opening, sheet, most, rooms(most))


def _fit(limits: PaperLimits, opening: Opening, sheet: Sides, most: Four, room: Sides) -> Fit | None:
    if measure(opening, sheet, room).margin < -_HALF:
        return None
    taken = [
        nominal if side > nominal + free + _HALF else max(side, nominal)
        for side, nominal, free in zip(sheet, opening.nominal, opening.free, strict=True)
    ]
    crop = crop_window(sheet[0], sheet[1], taken[0], taken[1], most)
    shown = (sheet[0] - crop[1] - crop[3], sheet[1] - crop[0] - crop[2])
    slack = max(inner - side for inner, side in zip(opening.inner, shown, strict=True))
    matted = opening.mat is not None or slack > limits.whole_slack_mm + _HALF
    return Fit(opening, crop, image_lost(*sheet, crop), shown, matted)


def _area(sides: Sides) -> int:
    return micrometres(sides[0]) * micrometres(sides[1])


def _rank(one: Fit) -> tuple[int, int, bool, int, bool]:
    """Order fits: most image shown, then centred, then without a mat, then the smallest frame, then upright; ties as listed.

    All fits are of one sheet, so the most shown is the least lost, and the smallest frame the least wasted.
    """
    top, right, bottom, left = one.crop
    off = micrometres(2 * abs(left - right)) + micrometres(2 * abs(top - bottom))
    return -_area(one.shown), off, one.matted, _area(one.opening.inner), one.opening.turned


def best(limits: PaperLimits, ways: Sequence[Opening], sheet: Sides, most: Four) -> Fit | None:
    """Return the best of all fits with at most this crop, or None."""
    room = rooms(most)
    fits = [found for way in ways if (found := _fit(limits, way, sheet, most, room)) is not None]
    return min(fits, key=_rank, default=None)


def nearest(ways: Sequence[Opening], sheet: Sides, most: Four) -> Measure:
    """Return what decides for the opening that a sheet fits best, or misses by least. There must be one."""
    room = rooms(most)
    return max((measure(way, sheet, room) for way in ways), key=lambda one: one.margin)


def anything(sheet: Sides) -> Four:
    """Return a crop that leaves nothing of a sheet to be asked about: more than may ever go."""
    return sheet[1], sheet[0], sheet[1], sheet[0]


def worth_asking(limits: PaperLimits, ways: Sequence[Opening], sheet: Sides, margins: Four | None) -> Fit | None:
    """Return the best crop that spares what must stay and loses no more than an artist is asked to give up, or None."""
    found = best(limits, ways, sheet, margins or anything(sheet))
    return found if found is not None and found.lost <= limits.ask_crop_percent else None


def both(consent: Four, margins: Four | None) -> Four:
    """Return what may go on each side: what is agreed, and no more than is free of marks."""
    if margins is None:
        return consent
    return (
        min(consent[0], margins[0]),
        min(consent[1], margins[1]),
        min(consent[2], margins[2]),
        min(consent[3], margins[3]),
    )
