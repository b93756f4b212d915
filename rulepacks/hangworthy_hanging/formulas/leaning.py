"""How far a work leans off the wall: equilibrium of a body that hangs by its rings and rests against the wall at its lower edge."""

import math
from collections.abc import Callable
from typing import Final, NamedTuple

from hangworthy_handbook.checks import positive, within

_STEEPEST: Final = math.radians(80.0)


class Lean(NamedTuple):
    """How it hangs: tilt, outwards at the top [deg]; the gap behind its top edge [mm]; how far its front stands out [mm]; and the push of
    its lower edge on the wall, as a share of its weight [ratio].
    """

    tilt_deg: float
    top_gap_mm: float
    reach_mm: float
    push: float


def lean(height_mm: float, depth_mm: float, ring_drop_mm: float, rise_mm: float, standoff_mm: float, spacer_mm: float = 0.0) -> Lean:
    """Tilt of a hung work, and what follows from it.

    Seen from the side, a link (the wire, as long as its rise) runs from the hook to the rings on the back. Its pull, the weight and the
    push of the smooth wall on the lower edge balance when, with u the height of the rings above that edge and p the tilt, the link leans by
    tan q = depth / (2 u) - (1 - height / (2 u)) tan p; and it reaches from hook to ring when u sin p = standoff - spacer + rise sin q.
    The first falls and the second rises with p, so that there is one answer. A work that would swing clear of the wall hangs freely.

    Parameters
    ----------
    height_mm, depth_mm : the work or its frame, its mass spread evenly [mm]
    ring_drop_mm : rings below the top edge [mm]
    rise_mm : hooks above the rings, 0 where rings sit on hooks [mm]
    standoff_mm : back of the work from the wall at the hooks [mm]
    spacer_mm : thickness of spacers at the lower edge [mm]

    Returns: `Lean`, four numbers in the order of its fields

    Validity: rings above the middle; below it the work topples. Errors: ValueError for that, or for figures out of range.
    Source: statics; at no tilt the push is W e / h.
    Rows: LEAN-1, LEAN-2, LEAN-3, LEAN-4.
    """
    positive("height_mm", height_mm)
    within("ring_drop_mm", ring_drop_mm, 0.0, math.inf)
    for name, value in (("depth_mm", depth_mm), ("rise_mm", rise_mm), ("standoff_mm", standoff_mm), ("spacer_mm", spacer_mm)):
        within(name, value, 0.0, math.inf)
    u = height_mm - ring_drop_mm
    if u <= height_mm / 2.0:
        raise ValueError("the rings sit at or below the middle: it would topple. Move them up to a third below the top edge.")

    def leaning(tilt: float) -> float:
        return math.atan(depth_mm / (2.0 * u) - (1.0 - height_mm / (2.0 * u)) * math.tan(tilt))

    free = math.atan2(depth_mm / 2.0, u - height_mm / 2.0)
    if u * math.sin(free) <= standoff_mm - spacer_mm:
        tilt, link = free, 0.0
        top = standoff_mm + ring_drop_mm * math.sin(tilt)
    else:
        tilt = _balance(lambda p: u * math.sin(p) - rise_mm * math.sin(leaning(p)) - standoff_mm + spacer_mm, min(free, _STEEPEST))
        tilt = max(tilt, -math.asin(min(1.0, spacer_mm / height_mm)))  # leaning back, the top edge meets the wall
        link = leaning(tilt)
        top = max(0.0, spacer_mm + height_mm * math.sin(tilt))
    front = max(top, top - height_mm * math.sin(tilt)) + depth_mm * math.cos(tilt)
    return Lean(math.degrees(tilt), top, front, math.tan(link))


def spacer_needed(height_mm: float, depth_mm: float, ring_drop_mm: float, rise_mm: float, standoff_mm: float, tilt_deg: float) -> float:
    """How thick spacers at the lower edge must be for a hung work to lean out no further than a tilt.

    The two conditions of `lean`, solved for the spacer at a tilt that is given; thicker spacers make it lean less.

    Parameters
    ----------
    height_mm, depth_mm : the work or its frame, its mass spread evenly [mm]
    ring_drop_mm : rings below the top edge [mm]
    rise_mm : hooks above the rings, 0 where rings sit on hooks [mm]
    standoff_mm : back of the work from the wall at the hooks [mm]
    tilt_deg : the tilt that is allowed, outwards at the top [deg]

    Returns: thickness, 0 where none is needed [mm]

    Validity: as `lean`, for a work that leans further without them. Errors: as `lean`; ValueError for a tilt below 0.
    Source: statics.
    Rows: SPACER-1, SPACER-2.
    """
    within("tilt_deg", tilt_deg, 0.0, math.inf)
    if lean(height_mm, depth_mm, ring_drop_mm, rise_mm, standoff_mm).tilt_deg <= tilt_deg:
        return 0.0
    u, tilt = height_mm - ring_drop_mm, math.radians(tilt_deg)
    link = math.atan(depth_mm / (2.0 * u) - (1.0 - height_mm / (2.0 * u)) * math.tan(tilt))
    return max(0.0, standoff_mm + rise_mm * math.sin(link) - u * math.sin(tilt))


def _balance(short: Callable[[float], float], steepest: float) -> float:
    """Return the tilt at which a rising function is nought, by halving [rad]."""
    low, high = -_STEEPEST, steepest
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (middle, high) if short(middle) < 0.0 else (low, middle)
    return (low + high) / 2.0
