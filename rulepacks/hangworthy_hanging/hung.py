"""How a work hangs: the angle of its wire, how many hooks share it, and what it is hung by."""

from typing import Literal, NamedTuple

from hangworthy.contract import Undecided, fact

from .formulas import hook_load, wire_angle, wire_angle_from_length

Fittings = Literal["none", "d-rings", "wire", "hanger-strip", "security-plates", "other"]
FLATTEST_DEG = 1.0  # a wire flatter than this pulls at least 28 times its share; how much more does not matter


class Hooks(NamedTuple):
    """The hooks that a work hangs on."""

    points: int | None = fact("hanging.points", optional=True)
    spacing: float | None = fact("hanging.hook_spacing_mm", optional=True)


class Wire(NamedTuple):
    """The facts that the angle of a wire is read from: rings, wire, and where the hook lifts it to."""

    ring_spacing: float | None = fact("hanging.ring_spacing_mm", optional=True)
    ring_drop: float | None = fact("hanging.ring_drop_mm", optional=True)
    drop: float | None = fact("fittings.drop_mm", optional=True)
    length: float | None = fact("hanging.wire_length_mm", optional=True)


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


def angle_of(wire: Wire, hooks: Hooks) -> float | Undecided:
    """Return the angle of the wire at the rings [°], from the rise or else from its length, or what would tell it."""
    apart = between(hooks)
    if isinstance(apart, Undecided):
        return apart
    if wire.ring_spacing is None:
        return Undecided(("hanging.ring_spacing_mm",))
    if apart >= wire.ring_spacing:
        return Undecided(("hanging.hook_spacing_mm", "hanging.ring_spacing_mm"))
    if wire.ring_drop is not None and wire.drop is not None:
        rise = rise_of(wire.ring_drop, wire.drop)
        return rise if isinstance(rise, Undecided) else wire_angle(wire.ring_spacing, rise, apart)
    if wire.length is not None:
        if wire.length < wire.ring_spacing:
            return Undecided(("hanging.wire_length_mm", "hanging.ring_spacing_mm"))
        return wire_angle_from_length(wire.ring_spacing, wire.length, apart)
    missing = {"hanging.ring_drop_mm": wire.ring_drop, "fittings.drop_mm": wire.drop}
    return Undecided(tuple(path for path, value in missing.items() if value is None))


def share_per_hook(fitted: Fittings, angle: float | None, points: int) -> float:
    """Return what one hook carries, as a share of the weight.

    A wire over two hooks also pulls them towards each other; where its angle is not known, as hard as it ever can.
    """
    if fitted != "wire" or points == 1:
        return 1.0 / points
    return hook_load(1.0, 90.0 if angle is None else max(angle, FLATTEST_DEG), 2)
