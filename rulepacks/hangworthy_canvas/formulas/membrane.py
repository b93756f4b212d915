"""A taut canvas as a prestressed rectangular membrane: tap test and sag.

The membrane carries load by its tension alone: T * laplacian(w) = -pressure, w = 0 at the bars.
"""

import math
from typing import Final

from hangworthy_handbook.checks import positive, sides
from hangworthy_handbook.membrane import sag_coefficient

GRAVITY: Final = 9.80665  # [m/s^2], standard acceleration of free fall
AIR_DENSITY: Final = 1.2  # [kg/m^3], air at 20 degC and sea level


def natural_frequency(width_mm: float, height_mm: float, tension_n_m: float, areal_mass_kg_m2: float, m: int = 1, n: int = 1) -> float:
    """Natural frequency of a canvas under even tension.

    Parameters
    ----------
    width_mm : free width between the bars [mm]
    height_mm : free height between the bars [mm]
    tension_n_m : tension, the same in both directions [N/m]
    areal_mass_kg_m2 : mass per area, with the air carried along (see `air_carried_mass`) where wanted [kg/m^2]
    m : half waves along the width, 1 or more [-]
    n : half waves along the height, 1 or more [-]

    Returns: frequency [Hz]

    Validity: bending stiffness and damping small; stiff thick paint raises the frequency.
    Errors: ValueError for sizes, tension or mass that are not above 0, or for fewer than one half wave.
    Source: Rayleigh, The Theory of Sound.
    Rows: C-01, C-02a, C-02b, C-02c.
    """
    sides(width_mm, height_mm)
    positive("tension_n_m", tension_n_m)
    positive("areal_mass_kg_m2", areal_mass_kg_m2)
    if m < 1 or n < 1:
        raise ValueError(f"m and n count half waves and should be 1 or more, but are {m!r} and {n!r}.")
    return 500.0 * math.sqrt(tension_n_m / areal_mass_kg_m2) * math.hypot(m / width_mm, n / height_mm)


def tension_from_tap(frequency_hz: float, width_mm: float, height_mm: float, areal_mass_kg_m2: float) -> float:
    """Tension from the lowest note of a tapped canvas.

    With the canvas's own mass it is a lower bound, since air moves with the canvas; adding `air_carried_mass` makes it
    an upper one.

    Parameters
    ----------
    frequency_hz : frequency of the lowest note [Hz]
    width_mm : free width between the bars [mm]
    height_mm : free height between the bars [mm]
    areal_mass_kg_m2 : mass per area that moves [kg/m^2]

    Returns: tension, as if the same in both directions [N/m]

    Validity: as `natural_frequency`; no cross bar touching the canvas. Errors: ValueError for numbers not above 0.
    Source: Rayleigh, The Theory of Sound, solved for the tension.
    Rows: C-03.
    """
    sides(width_mm, height_mm)
    positive("frequency_hz", frequency_hz)
    positive("areal_mass_kg_m2", areal_mass_kg_m2)
    waves = 1.0 / (width_mm * width_mm) + 1.0 / (height_mm * height_mm)
    return 4e-6 * areal_mass_kg_m2 * frequency_hz * frequency_hz / waves


def air_carried_mass(width_mm: float, height_mm: float, air_density_kg_m3: float = AIR_DENSITY) -> float:
    """Mass per area of the air that moves with an open-backed canvas, at most.

    That of a rigid disc of the same area, 8/3 rho r^3: a canvas moves less near its bars, so it carries less. Over a
    metre it is as much as the canvas itself weighs, so a tap test that leaves it out reads low.

    Parameters
    ----------
    width_mm : free width between the bars [mm]
    height_mm : free height between the bars [mm]
    air_density_kg_m3 : density of the air [kg/m^3]

    Returns: areal mass to add, as an upper bound [kg/m^2]

    Validity: sound waves long against the canvas (below about 100 Hz for 1 m), sides no more than 2:1, open back.
    Errors: ValueError for numbers not above 0. Source: Lamb, Hydrodynamics, a disc moving broadside on (from memory).
    Rows: C-03b.
    """
    sides(width_mm, height_mm)
    positive("air_density_kg_m3", air_density_kg_m3)
    radius_m = math.sqrt(width_mm * height_mm / math.pi) / 1000.0
    return 8.0 / (3.0 * math.pi) * air_density_kg_m3 * radius_m


def self_weight_sag(width_mm: float, height_mm: float, areal_mass_kg_m2: float, tension_n_m: float) -> float:
    """Sag at the centre of a taut canvas that lies flat, under its own weight. Upright, it does not sag out of plane.

    Parameters
    ----------
    width_mm : free width between the bars [mm]
    height_mm : free height between the bars [mm]
    areal_mass_kg_m2 : mass per area [kg/m^2]
    tension_n_m : tension, the same in both directions [N/m]

    Returns: sag [mm]

    Validity: sag small against the sides, so that it does not raise the tension itself.
    Errors: ValueError for numbers not above 0. Source: Timoshenko, membrane and torsion analogy.
    Rows: C-05.
    """
    short, long = sides(width_mm, height_mm)
    positive("areal_mass_kg_m2", areal_mass_kg_m2)
    positive("tension_n_m", tension_n_m)
    return sag_coefficient(long / short) * areal_mass_kg_m2 * GRAVITY * short * short / tension_n_m / 1000.0


def strip_sag(span_mm: float, areal_mass_kg_m2: float, tension_n_m: float) -> float:
    """Sag of a strip under its own weight: what a rectangle of this short side can never exceed.

    Parameters
    ----------
    span_mm : short free side [mm]
    areal_mass_kg_m2 : mass per area [kg/m^2]
    tension_n_m : tension along the span [N/m]

    Returns: q a^2 / (8 T) [mm]

    Validity: as `self_weight_sag`. Errors: ValueError for numbers not above 0.
    Source: statics of a string.
    Rows: C-05b.
    """
    positive("span_mm", span_mm)
    positive("areal_mass_kg_m2", areal_mass_kg_m2)
    positive("tension_n_m", tension_n_m)
    return areal_mass_kg_m2 * GRAVITY * span_mm * span_mm / (8.0 * tension_n_m) / 1000.0
