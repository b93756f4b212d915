"""How a work hangs: the angle of its wire, how many hooks share it, and what it is hung by."""

from typing import Literal, NamedTuple

from hangworthy.contract import Undecided, fact, where

from .formulas import hook_load, wire_angle, wire_angle_from_length
from .size import HANGS

Fittings = Literal["none", "d-rings", "wire", "hanger-strip", "security-plates", "other"]
WIRED = (*HANGS, where("fittings.kind", "wire"))
FLATTEST_DEG = 1.0  # a wire flatter than this pulls at least 28 times its share; how much more does not matter


class Hooks(NamedTuple):
    """The hooks that a work hangs on."""

    points: int | None = fact("hanging.points", optional=True)
    spacing: float | None = fact("hanging.hook_spacing_mm", optional=True)


def between(hooks: Hooks) -> float | Undecided:
    """Return the distance between the outer hooks [mm], 0 for one hook, or what would tell it."""
    if hooks.points is None:
        return Undecided(("hanging.points",))
    if hooks.points == 1:
        return 0.0
    return Undecided(("hanging.hook_spacing_mm",)) if hooks.spacing is None else hooks.spacing


def rise_of(ring_drop: float, drop: float) -> float | Undecided:
    """Return how far the hooks sit above the rings [mm]; below them would be a slip of the tape."""
    return Undecided(("hanging.ring_drop_mm", "fittings.drop_mm")) if drop > ring_drop else ring_drop - drop


def angle_by_drop(ring_spacing: float, ring_drop: float, drop: float, hooks: Hooks) -> float | Undecided:
    """Return the angle of the wire at the rings [°] from how far the hooks lift it, or what would tell it."""
    apart, rise = _apart(ring_spacing, hooks), rise_of(ring_drop, drop)
    if isinstance(apart, Undecided):
        return apart
    return rise if isinstance(rise, Undecided) else wire_angle(ring_spacing, rise, apart)


def angle_by_length(ring_spacing: float, length: float, hooks: Hooks) -> float | Undecided:
    """Return the angle of the wire at the rings [°] from its length, or what would tell it."""
    apart = _apart(ring_spacing, hooks)
    if isinstance(apart, Undecided):
        return apart
    if length < ring_spacing:
        return Undecided(("hanging.wire_length_mm", "hanging.ring_spacing_mm"))
    return wire_angle_from_length(ring_spacing, length, apart)


def _apart(ring_spacing: float, hooks: Hooks) -> float | Undecided:
    """Return the distance between the outer hooks [mm], which must be less than that between the rings."""
    apart = between(hooks)
    if isinstance(apart, Undecided) or apart < ring_spacing:
        return apart
    return Undecided(("hanging.hook_spacing_mm", "hanging.ring_spacing_mm"))


def share_per_hook(fitted: Fittings, angle: float | None, points: int) -> float:
    """Return what one hook carries, as a share of the weight.

    A wire over two hooks also pulls them towards each other; where its angle is not known, as hard as it ever can.
    """
    if fitted != "wire" or points == 1:
        return 1.0 / points
    return hook_load(1.0, 90.0 if angle is None else max(angle, FLATTEST_DEG), 2)
