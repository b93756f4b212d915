"""Sentences about frames and crops, put together from figures."""

import math

from hangworthy.contract import Four, show

from .formulas import smallest_frame
from .stock import Fit, Measure, Opening, Sides


def tenths(length_mm: float) -> str:
    """Return a length to a tenth of a millimetre, rounded up: whoever agrees to what is shown has agreed to enough."""
    return f"{math.ceil(round(length_mm * 10, 4)) / 10:g} mm"


def size(sides: Sides) -> str:
    """Return a size in words, to a tenth of a millimetre: “420 × 594 mm”."""
    return f"{round(sides[0], 1):g} × {round(sides[1], 1):g} mm"


def crop(sides: Four) -> str:
    """Return what goes from which side; sides that lose the same share a figure, and those that lose nothing are left out."""
    top, right, bottom, left = sides
    parts = []
    for (one, other), names in zip(((left, right), (top, bottom)), (("left", "right"), ("top", "bottom")), strict=True):
        if one == other:
            parts += [f"{tenths(one)} {names[0]} and {names[1]}"] if one else []
        else:
            parts += [f"{tenths(length)} {name}" for length, name in zip((one, other), names, strict=True) if length]
    return ", ".join(parts)


def frame(opening: Opening) -> str:
    """Return a frame by its name, and whether it is turned, as it stands inside a sentence."""
    return f"our frame “{opening.frame.name}”{', turned on its side,' if opening.turned else ''}"


def fits(found: Fit) -> str:
    """Return how a sheet goes into a frame, for the artist."""
    if any(found.crop):
        return f"It fits {frame(found.opening)} with the crop you agreed to. This goes: {crop(found.crop)}."
    return f"It fits {frame(found.opening)} {'behind a mat' if found.matted else 'as it is'}."


def fits_bench(found: Fit) -> str:
    """Return how a sheet goes into a frame, for the coordinator."""
    way = "turned" if found.opening.turned else "upright"
    how = "behind a mat" if found.matted else "whole"
    if not any(found.crop):
        return f"frame “{found.opening.frame.name}”, {way}, {how}, no crop"
    top, right, bottom, left = (show(one, "mm") for one in found.crop)
    sides = f"top {top}, right {right}, bottom {bottom}, left {left}"
    return f"frame “{found.opening.frame.name}”, {way}, {how}, crop {sides}: {show(found.lost, '%')} lost"


def decides(found: Measure) -> str:
    """Return the side that decides against what it must keep, in the frame that a sheet misses by least."""
    side = f"{round(found.value, 1):g} mm where"
    if found.high is None:
        return f"{side} {round(found.low or 0, 1):g} mm or more are needed"
    return f"{side} {round(found.high, 1):g} mm or less go in"


def own_frame(sheet: Sides) -> str:
    """Return the advice to bring a work framed, with the ready-made frame that would hold it, if there is one."""
    ready = smallest_frame(*sheet, "retail-cm")
    if not ready:
        return "Please bring it in a frame made for it."
    return f"Please bring it in a frame of your own; a ready-made one of {size((ready[0], ready[1]))} would hold it."
