"""Heat and damp: has the pane room to grow, and does it bow onto the work?"""

import math
from collections.abc import Callable
from typing import NamedTuple

from hangworthy.contract import (
    Check,
    Effect,
    GlazingMaterial,
    Pair,
    Stage,
    Step,
    Undecided,
    Words,
    at_least,
    at_most,
    fact,
    published,
    rule,
    show,
    where,
)

from .formulas import bow_curvature, held_bow, loose_bow, moisture_growth, pane_growth, pane_property
from .limits import GlazingLimits
from .panes import PANE, REBATE, Measured, Sides, pane_size

_GROWTH = published("Makers' handbooks of acrylic sheet; EN 572-1 for glass", "thermal and moisture expansion")
_PLAY = "glazing.play_mm"
_SLIP_MM = 5.0  # a pane that seems larger than its rebate by less than this is a matter of the tape, by more a slip of the pen

_THICKEST_MM = 8.0  # beyond it acrylic in front of a picture is neither sold nor carried

MaybeSides = tuple[float | None, float | None]


def _growth(limits: GlazingLimits, material: GlazingMaterial, sides: Sides) -> Sides:
    """Return the room that a pane needs across and up [mm]."""
    alpha, swells = pane_property(material, "expansion_per_k"), material == "acrylic"
    swing = (limits.warming_k, limits.fitted_rh_percent, limits.damp_rh_percent, swells)
    return pane_growth(sides[0], alpha, *swing), pane_growth(sides[1], alpha, *swing)


def _play(gauged: Pair | None, pane: MaybeSides, rebate: MaybeSides) -> Sides | Undecided:
    """Return the play across and up [mm]: gauged, or else the rebate less the pane."""
    if gauged is not None:
        return gauged
    (across, up), (wide, high) = pane, rebate
    if across is None or up is None or wide is None or high is None:
        return Undecided((_PLAY,))
    found = (wide - across, high - up)
    slips = tuple(path for path, one in zip(REBATE, found, strict=True) if one < -_SLIP_MM)
    return Undecided(slips) if slips else found


def _compare(play: Sides, least: Sides, most: Sides) -> Check | Undecided:
    """Return the check of play against growth in the direction with less to spare."""
    for need, met in ((least, False), (most, True)):
        tight = 0 if play[0] - need[0] <= play[1] - need[1] else 1
        if (play[tight] >= need[tight]) is met:
            room, way = show(max(0.0, play[tight]), "mm"), ("across", "upwards")[tight]
            note = f"it can slide {room} {way} and may grow by {show(need[tight], 'mm')}"
            needed = math.ceil(2.0 * need[tight]) / 2.0  # to the half millimetre that a framer can cut
            return at_least(play[tight], need[tight], unit="mm", way=way, room=room, note=note, needed=(needed, "mm"))
    return Undecided(REBATE)


@rule(
    "room-to-move",
    effect=Effect.ADVISE,
    step=Step.MEND,
    source=_GROWTH,
    due=Stage.ARRIVAL,
    applies=PANE,
    uses=["warming_k", "fitted_rh_percent", "damp_rh_percent", "sure_play_mm", "border_mm"],
    words=Words(
        measure="Room for the pane in its rebate",
        met="The pane has room to grow when it gets warm and damp.",
        unmet="The pane can slide {room} {way}; in warm and damp air it needs {needed}.",
        remedy="Have a framer trim the pane or widen the rebate, until the pane can slide {needed} {way}.",
        better="Gauge the play of the pane from the back with feeler gauges, in the middle of each side.",
        bench="Pane in its rebate: {note}.",
    ),
)
def room_to_move(
    limits: GlazingLimits,
    measured: Measured,
    material: GlazingMaterial = fact("glazing.material"),
    gauged: Pair | None = fact("glazing.play_mm", optional=True),
    pane_width: float | None = fact("glazing.pane_width_mm", optional=True),
    pane_height: float | None = fact("glazing.pane_height_mm", optional=True),
) -> Check | Undecided:
    """Has the pane room to grow in its rebate?

    The growth by heat, and for acrylic by damp, over the pane's size and the venue's swing, against its play: gauged, or the rebate less
    the pane. What grows less than any pane can slide is passed unseen, as most glass is. A tight acrylic pane buckles, or opens the
    frame's corners.
    """
    pane, rebate = (pane_width, pane_height), measured.rebate
    size = pane_size(rebate if None in pane else pane, measured.work, limits.border_mm)
    if size is None:
        return Undecided(REBATE)
    least, most = _growth(limits, material, size.least), _growth(limits, material, size.most)
    if max(most) <= limits.sure_play_mm:
        note = f"it may grow by {show(max(most), 'mm')}, less than any pane can slide"
        return at_most(max(most), limits.sure_play_mm, unit="mm", note=note)
    play = _play(gauged, pane, rebate)
    return play if isinstance(play, Undecided) else _compare(play, least, most)


def _strain(limits: GlazingLimits, outer: bool) -> float:
    """Return by how much of its length the inner face of acrylic may be longer: warmer and damper together [ratio]."""
    damper = limits.cold_wall_rh_percent if outer else limits.faces_rh_percent
    heat = pane_property("acrylic", "expansion_per_k") * limits.faces_k
    return heat + moisture_growth(1.0, limits.damp_rh_percent, limits.damp_rh_percent + damper)


def _held(curvature: float, sides: Sides) -> float:
    return held_bow(curvature, *sides, pane_property("acrylic", "poisson"))


def _loose(curvature: float, sides: Sides) -> float:
    return loose_bow(curvature, *sides)


def _depth(bow: Callable[[float, Sides], float], strain: float, thickness: float, sides: Sides) -> float | None:
    """Return the depth of a bow [mm]; None where the sheet would curl beyond what a pane can."""
    try:
        return bow(bow_curvature(strain, thickness), sides)
    except ValueError:
        return None


class Bending(NamedTuple):
    """What bends a pane, and the room it has, as facts."""

    thickness: float = fact("glazing.thickness_mm")
    gap: float = fact("glazing.gap_mm")
    outer: bool | None = fact("wall.outer_wall", optional=True)


def _bows(limits: GlazingLimits, bow: Callable[[float, Sides], float], measured: Measured, pane: Bending) -> Check | Undecided:
    """Return the check of a bow against the air gap, between what the unknown size and the unknown wall leave open."""
    size, (thickness, gap, outer) = pane_size(measured.rebate, measured.work, limits.border_mm), pane
    if size is None:
        return Undecided(REBATE)
    strains = [_strain(limits, one) for one in ((False, True) if outer is None else (outer,))]
    least, most = _depth(bow, min(strains), thickness, size.least), _depth(bow, max(strains), thickness, size.most)
    if least is None:
        return Undecided(("glazing.thickness_mm",))
    if least <= gap and (most is None or most > gap):
        missing = (*(REBATE if size.least != size.most else ()), *(("wall.outer_wall",) if outer is None else ()))
        return Undecided(missing)
    depth = least if most is None or least > gap else most
    spacer = math.ceil(2 * depth) / 2
    return at_most(depth, gap, unit="mm", spacer=(spacer, "mm"), thicker=_thicker(thickness, depth, gap))


def _thicker(thickness: float, depth: float, gap: float) -> str:
    """Return the thickness that would do instead, where such a pane is sold: the bow goes down as the thickness goes up."""
    needed = thickness * depth / gap if gap > 0 else math.inf
    return f", or a pane {show(math.ceil(needed), 'mm')} thick" if needed <= _THICKEST_MM else ""


_ACRYLIC = (*PANE, where("glazing.material", "acrylic"))
_BOWS = ["faces_k", "faces_rh_percent", "cold_wall_rh_percent", "damp_rh_percent", "border_mm"]
_THICKNESS = "Measure the pane's thickness at its edge with a caliper, and the air gap with a stack of card."


@rule(
    "bows-inward",
    effect=Effect.ADVISE,
    step=Step.MEND,
    source=_GROWTH,
    due=Stage.HANGING,
    applies=_ACRYLIC,
    uses=_BOWS,
    words=Words(
        measure="Bow of the pane towards the work, its edges held flat",
        met="Even when it bows, the pane stays off your work.",
        unmet="Acrylic bows towards its warmer, damper side: here up to {value} towards your work, and the air gap is {limit}.",
        remedy="Have a framer put in spacers of {spacer} or more{thicker}; or use glass.",
        better=_THICKNESS,
    ),
)
def bows_inward(
    limits: GlazingLimits,
    measured: Measured,
    pane: Bending,
) -> Check | Undecided:
    """Can an acrylic pane bow onto the work?

    Acrylic bows towards its warmer or damper face: inward when the air behind it is damper, as on a cold outer wall. The strain between
    the faces over the thickness is the curvature; with edges that the frame holds flat, the middle moves as a membrane does, and passes up
    to the air gap. The least that a pane does in a frame that holds it well.
    """
    return _bows(limits, _held, measured, pane)


@rule(
    "bows-inward-if-loose",
    effect=Effect.ADVISE,
    step=Step.MEND,
    source=_GROWTH,
    due=Stage.HANGING,
    applies=_ACRYLIC,
    uses=_BOWS,
    words=Words(
        measure="Bow of the pane towards the work, over the diagonal of a loose pane",
        met="Even if it sat loosely, the pane would stay off your work.",
        unmet="If it sits loosely, the pane can bow {value} towards your work, and the air gap is {limit}.",
        remedy="Have a framer check that the frame holds the pane flat all round. If not: spacers of {spacer} or more{thicker}.",
        better=_THICKNESS,
    ),
)
def bows_inward_if_loose(
    limits: GlazingLimits,
    measured: Measured,
    pane: Bending,
) -> Check | Undecided:
    """Would an acrylic pane stay off the work even in a loose frame?

    The same curvature over the diagonal of a pane that rests on its corners, D² κ / 8: the most that it can do. Between this and the bow
    with held edges lies what a real frame lets it do.
    """
    return _bows(limits, _loose, measured, pane)


ROOM_RULES = (room_to_move, bows_inward, bows_inward_if_loose)
