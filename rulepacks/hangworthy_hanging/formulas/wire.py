"""Statics of a picture wire: its angle, its pull, and what hooks and rings carry."""

import math
from typing import Final

from hangworthy_handbook.checks import positive, within

GRAVITY: Final = 9.80665  # standard gravity [m/s2]
_FLATTEST_DEG: Final = 0.01


def _angle(angle_deg: float) -> float:
    within("angle_deg", angle_deg, _FLATTEST_DEG, 90.0)
    return math.radians(angle_deg)


def sling_factor(angle_deg: float) -> float:
    """How many times more than its share a leg pulls because it is not upright.

    Parameters
    ----------
    angle_deg : angle of the leg from the horizontal [deg]

    Returns: 1 / sin of the angle [ratio]

    Validity: 0.01 to 90 degrees; below 30 degrees slings are not to be used. Errors: ValueError outside of it.
    Source: statics; the load-angle table of ASME B30.9 practice.
    Rows: K-02a, K-02b, K-02c, K-02d, K-02e.
    """
    return 1.0 / math.sin(_angle(angle_deg))


def leg_load(load: float, angle_deg: float) -> float:
    """Pull in each of two equal legs that carry a load together.

    Parameters
    ----------
    load : the load [any unit]
    angle_deg : angle of the legs from the horizontal [deg]

    Returns: pull in one leg [same unit]

    Validity: as `sling_factor`. Errors: as it; ValueError for a load not above 0.
    Source: statics, T = W / (2 sin angle).
    Rows: K-03a, K-03b, K-03c.
    """
    positive("load", load)
    return load / 2.0 * sling_factor(angle_deg)


def wire_tension(mass_kg: float, angle_deg: float) -> float:
    """Pull in a picture wire.

    Parameters
    ----------
    mass_kg : mass that hangs on it [kg]
    angle_deg : angle of the wire from the horizontal, at the rings [deg]

    Returns: tension [N]

    Validity: a wire that runs freely over its hooks; any number of them, by symmetry. Errors: as `leg_load`.
    Source: statics, T = W / (2 sin angle).
    Rows: K-01a, K-01b, K-01c, K-06b.
    """
    return leg_load(mass_kg * GRAVITY, angle_deg)


def ring_pull(mass_kg: float, angle_deg: float) -> float:
    """Sideways pull of a wire on each ring, towards the middle of the frame.

    Parameters
    ----------
    mass_kg : mass that hangs on it [kg]
    angle_deg : angle of the wire from the horizontal, at the rings [deg]

    Returns: horizontal pull [N]

    Validity: as `wire_tension`. Errors: as it.
    Source: statics, W / (2 tan angle).
    Rows: K-06c, K-01d.
    """
    return wire_tension(mass_kg, angle_deg) * math.cos(_angle(angle_deg))


def _run(ring_spacing_mm: float, hook_spacing_mm: float) -> float:
    positive("ring_spacing_mm", ring_spacing_mm)
    if not 0.0 <= hook_spacing_mm < ring_spacing_mm:
        raise ValueError(f"hook_spacing_mm should be at least 0 and below ring_spacing_mm, but is {hook_spacing_mm!r}.")
    return (ring_spacing_mm - hook_spacing_mm) / 2.0


def wire_angle(ring_spacing_mm: float, rise_mm: float, hook_spacing_mm: float = 0.0) -> float:
    """Angle of a wire from how far the hooks lift it above the rings.

    Parameters
    ----------
    ring_spacing_mm : distance between the two rings [mm]
    rise_mm : height of the hooks above the rings [mm]
    hook_spacing_mm : distance between the two hooks, 0 for one hook in the middle [mm]

    Returns: angle from the horizontal [deg]

    Validity: hooks placed in the middle, wire thin. Errors: ValueError for a rise below 0, or hooks as far apart as the rings.
    Source: geometry.
    Rows: K-06a, WIRE-2H.
    """
    within("rise_mm", rise_mm, 0.0, math.inf)
    return math.degrees(math.atan2(rise_mm, _run(ring_spacing_mm, hook_spacing_mm)))


def wire_rise(ring_spacing_mm: float, length_mm: float, hook_spacing_mm: float = 0.0) -> float:
    """How far the hooks lift a wire of a given length above the rings.

    Parameters
    ----------
    ring_spacing_mm : distance between the two rings [mm]
    length_mm : length of the wire from ring to ring [mm]
    hook_spacing_mm : distance between the two hooks, 0 for one hook in the middle [mm]

    Returns: rise [mm]

    Validity: a wire that does not stretch. Errors: ValueError for a wire shorter than the distance between the rings.
    Source: geometry.
    Rows: K-07a.
    """
    run = _run(ring_spacing_mm, hook_spacing_mm)
    within("length_mm", length_mm, ring_spacing_mm, math.inf)
    leg = (length_mm - hook_spacing_mm) / 2.0
    return math.sqrt(max(0.0, (leg - run) * (leg + run)))


def wire_angle_from_length(ring_spacing_mm: float, length_mm: float, hook_spacing_mm: float = 0.0) -> float:
    """Angle of a wire from its length.

    Parameters
    ----------
    ring_spacing_mm : distance between the two rings [mm]
    length_mm : length of the wire from ring to ring [mm]
    hook_spacing_mm : distance between the two hooks, 0 for one hook in the middle [mm]

    Returns: angle from the horizontal [deg]

    Validity and errors: as `wire_rise`. Source: geometry.
    Rows: K-07b.
    """
    return wire_angle(ring_spacing_mm, wire_rise(ring_spacing_mm, length_mm, hook_spacing_mm), hook_spacing_mm)


def hook_load(mass_kg: float, angle_deg: float, hooks: int) -> float:
    """What each hook carries, as the mass that would pull as hard.

    One hook carries all. Each of two is pulled by the leg outside of it and by the level piece of wire between them.

    Parameters
    ----------
    mass_kg : mass that hangs on the wire [kg]
    angle_deg : angle of the wire from the horizontal, at the rings [deg]
    hooks : 1 or 2

    Returns: resultant pull on one hook [kg]

    Validity: a wire that runs freely, hooks level. Errors: ValueError for another number of hooks; as `leg_load`.
    Source: statics: two equal pulls T meet at the hook, 2 T sin(angle / 2).
    Rows: HOOK-1, HOOK-2, HOOK-3.
    """
    if hooks not in (1, 2):
        raise ValueError(f"hooks should be 1 or 2, but is {hooks!r}.")
    tension = leg_load(mass_kg, angle_deg)
    return mass_kg if hooks == 1 else 2.0 * tension * math.sin(_angle(angle_deg) / 2.0)


def required_break(load: float, factor: float) -> float:
    """Breaking strength that a wire needs.

    Parameters
    ----------
    load : what it carries: its tension for wire rope, the frame's weight in the picture trade's own rule [any unit]
    factor : design factor: 5 for wire rope slings; in the picture trade 4 (galvanised), 3 (coated stainless) [ratio]

    Returns: breaking strength [same unit]

    Validity: new wire, made fast as its maker says. Errors: ValueError for figures not above 0.
    Source: OSHA 29 CFR 1926.251 practice; picture wire trade.
    Rows: K-08, K-09a, K-09b.
    """
    positive("load", load)
    positive("factor", factor)
    return load * factor


def break_over_tension(weight_factor: float, angle_deg: float) -> float:
    """What is left of a factor on the weight when it is held against the tension.

    Parameters
    ----------
    weight_factor : breaking strength over the frame's weight [ratio]
    angle_deg : angle of the wire from the horizontal, at the rings [deg]

    Returns: breaking strength over tension [ratio]

    Validity: as `sling_factor`. Errors: as it; ValueError for a factor not above 0.
    Source: statics.
    Rows: K-09c.
    """
    positive("weight_factor", weight_factor)
    return weight_factor / leg_load(1.0, angle_deg)
