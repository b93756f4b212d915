"""The NIOSH lifting equation: a weight that most healthy adults may lift by hand. A screening value, not a limit."""

import math
from collections.abc import Sequence
from typing import Final

from hangworthy_handbook.checks import positive, within

LOAD_CONSTANT: Final = 23.0  # [kg]
NEAREST_MM: Final = 250.0  # a shorter reach lifts no more
_HIGH_MM: Final = 750.0  # hands at or above it count as high in both tables
# Lifts per minute -> multiplier for up to 1, 2 and 8 hours, each with the hands below 75 cm and from 75 cm up.
_FREQUENCY: Final[tuple[tuple[float, tuple[float, ...]], ...]] = (
    (0.2, (1.00, 1.00, 0.95, 0.95, 0.85, 0.85)),
    (0.5, (0.97, 0.97, 0.92, 0.92, 0.81, 0.81)),
    (1, (0.94, 0.94, 0.88, 0.88, 0.75, 0.75)),
    (2, (0.91, 0.91, 0.84, 0.84, 0.65, 0.65)),
    (3, (0.88, 0.88, 0.79, 0.79, 0.55, 0.55)),
    (4, (0.84, 0.84, 0.72, 0.72, 0.45, 0.45)),
    (5, (0.80, 0.80, 0.60, 0.60, 0.35, 0.35)),
    (6, (0.75, 0.75, 0.50, 0.50, 0.27, 0.27)),
    (7, (0.70, 0.70, 0.42, 0.42, 0.22, 0.22)),
    (8, (0.60, 0.60, 0.35, 0.35, 0.18, 0.18)),
    (9, (0.52, 0.52, 0.30, 0.30, 0.00, 0.15)),
    (10, (0.45, 0.45, 0.26, 0.26, 0.00, 0.13)),
    (11, (0.41, 0.41, 0.00, 0.23, 0.00, 0.00)),
    (12, (0.37, 0.37, 0.00, 0.21, 0.00, 0.00)),
    (13, (0.00, 0.34, 0.00, 0.00, 0.00, 0.00)),
    (14, (0.00, 0.31, 0.00, 0.00, 0.00, 0.00)),
    (15, (0.00, 0.28, 0.00, 0.00, 0.00, 0.00)),
)
_GRIP: Final = {"good": (1.00, 1.00), "fair": (0.95, 1.00), "poor": (0.90, 0.90)}


def horizontal_multiplier(reach_mm: float) -> float:
    """Multiplier for how far the hands are in front of the ankles.

    Parameters
    ----------
    reach_mm : horizontal distance from the ankles to the hands [mm]

    Returns: 250 / reach, 1 below 250 mm, 0 above 630 mm [ratio]

    Validity: two-handed lifts. Errors: ValueError for a reach below 0.
    Source: NIOSH 94-110 (rev. 2021).
    Rows: Z-06a, Z-06b, WE-9a.
    """
    within("reach_mm", reach_mm, 0.0, math.inf)
    return 0.0 if reach_mm > 630.0 else NEAREST_MM / max(reach_mm, NEAREST_MM)


def vertical_multiplier(hands_mm: float) -> float:
    """Multiplier for the height of the hands above the floor.

    Parameters
    ----------
    hands_mm : height of the hands [mm]

    Returns: 1 - 0.003 per cm away from 75 cm, 0 above 1750 mm [ratio]

    Validity: two-handed lifts. Errors: ValueError for a height below 0.
    Source: NIOSH 94-110 (rev. 2021).
    Rows: Z-06c, WE-9b.
    """
    within("hands_mm", hands_mm, 0.0, math.inf)
    return 0.0 if hands_mm > 1750.0 else 1.0 - 0.003 * abs(hands_mm / 10.0 - 75.0)


def distance_multiplier(travel_mm: float) -> float:
    """Multiplier for how far up or down the hands travel.

    Parameters
    ----------
    travel_mm : vertical travel of the hands [mm]

    Returns: 0.82 + 4.5 / travel in cm, 1 below 250 mm, 0 above 1750 mm [ratio]

    Validity: two-handed lifts. Errors: ValueError for a travel below 0.
    Source: NIOSH 94-110 (rev. 2021).
    Rows: Z-06d, WE-9c.
    """
    within("travel_mm", travel_mm, 0.0, math.inf)
    return 0.0 if travel_mm > 1750.0 else 0.82 + 45.0 / max(travel_mm, 250.0)


def twist_multiplier(twist_deg: float) -> float:
    """Multiplier for how far the body twists.

    Parameters
    ----------
    twist_deg : angle of the load from straight ahead [deg]

    Returns: 1 - 0.0032 per degree, 0 above 135 degrees [ratio]

    Validity: two-handed lifts. Errors: ValueError for an angle below 0.
    Source: NIOSH 94-110 (from memory).
    Rows: Z-02, Z-06e.
    """
    within("twist_deg", twist_deg, 0.0, math.inf)
    return 0.0 if twist_deg > 135.0 else 1.0 - 0.0032 * twist_deg


def frequency_multiplier(lifts_per_min: float, hours: float, hands_mm: float) -> float:
    """Multiplier for how often and for how long one lifts; between two printed frequencies the higher one counts.

    Parameters
    ----------
    lifts_per_min : lifts a minute, averaged over 15 minutes [1/min]
    hours : how long, with rest after it [h]
    hands_mm : height of the hands [mm]

    Returns: multiplier [ratio]

    Validity: up to 8 hours. Errors: ValueError beyond it, or for figures below 0.
    Source: NIOSH 94-110, table of frequency multipliers (from memory).
    Rows: FM-01, FM-02, FM-03, FM-04, FM-05, FM-06, FM-07, FM-08, FM-09, FM-10.
    """
    within("lifts_per_min", lifts_per_min, 0.0, math.inf)
    within("hours", hours, 0.0, 8.0)
    within("hands_mm", hands_mm, 0.0, math.inf)
    column = (0 if hours <= 1.0 else 2 if hours <= 2.0 else 4) + (hands_mm >= _HIGH_MM)
    return next((factors[column] for most, factors in _FREQUENCY if lifts_per_min <= most), 0.0)


def grip_multiplier(grip: str, hands_mm: float) -> float:
    """Multiplier for how well the hands hold the load.

    Parameters
    ----------
    grip : good (handles), fair (fingers bent under it) or poor
    hands_mm : height of the hands [mm]

    Returns: multiplier [ratio]

    Validity: two-handed lifts. Errors: ValueError for another grip, or a height below 0.
    Source: NIOSH 94-110, table of coupling multipliers (from memory).
    Rows: CM-01, CM-02, CM-03, CM-04, CM-05.
    """
    if grip not in _GRIP:
        raise ValueError(f"grip should be good, fair or poor, but is {grip!r}.")
    within("hands_mm", hands_mm, 0.0, math.inf)
    return _GRIP[grip][hands_mm >= _HIGH_MM]


def recommended_weight(
    reach_mm: float, hands_mm: float, travel_mm: float, twist_deg: float, frequency: float = 1.0, grip: float = 1.0
) -> float:
    """Recommended weight limit at one end of a lift.

    Parameters
    ----------
    reach_mm : horizontal distance from the ankles to the hands [mm]
    hands_mm : height of the hands above the floor [mm]
    travel_mm : vertical travel of the hands [mm]
    twist_deg : angle of the load from straight ahead [deg]
    frequency : multiplier for how often [ratio]
    grip : multiplier for the hold [ratio]

    Returns: weight, 0 outside of the equation's range [kg]

    Validity: standing, two hands, a load that does not shift; a screening value. Errors: as its multipliers.
    Source: NIOSH 94-110 (rev. 2021).
    Rows: Z-01, Z-06f, WE-9d.
    """
    shape = horizontal_multiplier(reach_mm) * vertical_multiplier(hands_mm) * distance_multiplier(travel_mm)
    return LOAD_CONSTANT * shape * twist_multiplier(twist_deg) * frequency * grip


def weight_from_multipliers(constant: float, multipliers: Sequence[float]) -> float:
    """Recommended weight limit from multipliers as printed.

    Parameters
    ----------
    constant : load constant, 23 kg or 51 lb [any unit]
    multipliers : as a worksheet lists them [ratio]

    Returns: weight [same unit]

    Validity: multipliers from 0 to 1. Errors: ValueError outside of it, or for a constant not above 0.
    Source: NIOSH 94-110, worksheets.
    Rows: Z-05a, Z-05c.
    """
    positive("constant", constant)
    for one in multipliers:
        within("a multiplier", one, 0.0, 1.0)
    return constant * math.prod(multipliers)


def lifting_index(weight: float, recommended: float) -> float:
    """Weight over the recommended weight limit: above 1 the lift needs a second person, or another way.

    Parameters
    ----------
    weight : weight lifted [any unit]
    recommended : recommended weight limit [same unit]

    Returns: index [ratio]

    Validity: as `recommended_weight`. Errors: ValueError for figures not above 0.
    Source: NIOSH 94-110 (rev. 2021).
    Rows: Z-05b, Z-05d, WE-9e.
    """
    positive("weight", weight)
    positive("recommended", recommended)
    return weight / recommended
