"""The HSE lifting filter: figures below which a lift needs no closer look. A screening value, not a limit."""

import math
from collections.abc import Mapping, Sequence
from typing import Final

from hangworthy_handbook.checks import positive, within

# Zone of the hands -> (held close, at arm's length) [kg], for men and for women.
_MEN: Final[Mapping[str, tuple[float, float]]] = {
    "above-shoulder": (10.0, 5.0),
    "elbow-to-shoulder": (20.0, 10.0),
    "knuckle-to-elbow": (25.0, 15.0),
    "shin-to-knuckle": (20.0, 10.0),
    "below-shin": (10.0, 5.0),
}
_WOMEN: Final[Mapping[str, tuple[float, float]]] = {
    "above-shoulder": (7.0, 3.0),
    "elbow-to-shoulder": (13.0, 7.0),
    "knuckle-to-elbow": (16.0, 10.0),
    "shin-to-knuckle": (13.0, 7.0),
    "below-shin": (7.0, 3.0),
}


def filter_weight(zones: Sequence[str], close: bool, men: bool) -> float:
    """Figure of the filter for a lift; where the hands pass through several zones the smallest counts.

    Parameters
    ----------
    zones : above-shoulder, elbow-to-shoulder, knuckle-to-elbow, shin-to-knuckle, below-shin
    close : whether the load is held close to the body, else at arm's length
    men : the higher column of the two, else the lower, which fits any adult

    Returns: weight [kg]

    Validity: up to 30 lifts an hour, a stable body, a load that is easy to hold; carries up to about 10 m. Errors: ValueError for no
    zone or another one. Source: HSE INDG143 / L23, lifting and lowering filter.
    Rows: Z-07a, Z-07b, Z-07c, Z-07d, Z-07e, Z-07f, Z-07g, Z-07h, Z-07i, Z-07j, Z-07k, Z-08a, Z-08b, Z-08c, Z-08d, Z-08e, Z-08f,
        Z-08g, Z-08h, Z-08i, Z-08j.
    """
    table = _MEN if men else _WOMEN
    if not zones:
        raise ValueError("zones should name at least one zone.")
    for zone in zones:
        if zone not in table:
            raise ValueError(f"a zone should be one of {', '.join(table)}, but is {zone!r}.")
    return min(table[zone][0 if close else 1] for zone in zones)


def filter_adjusted(weight_kg: float, lifts_per_min: float, twist_deg: float) -> float:
    """Figure of the filter, lowered for how often one lifts and how far one twists.

    Up to 30 lifts an hour the figure stands. The guidance names 1 to 2, 5 to 8 and more than 12 lifts a minute; between them the stricter
    step is taken.

    Parameters
    ----------
    weight_kg : figure of the filter [kg]
    lifts_per_min : lifts a minute [1/min]
    twist_deg : angle of the load from straight ahead [deg]

    Returns: weight [kg]

    Validity: as `filter_weight`. Errors: ValueError for a figure not above 0, or others below 0.
    Source: HSE INDG143 / L23.
    Rows: Z-09a, Z-09b, Z-09c, Z-09d, Z-09e, Z-09f.
    """
    positive("weight_kg", weight_kg)
    within("lifts_per_min", lifts_per_min, 0.0, math.inf)
    within("twist_deg", twist_deg, 0.0, 180.0)
    often = 1.0 if lifts_per_min <= 0.5 else 0.7 if lifts_per_min <= 2.0 else 0.5 if lifts_per_min <= 8.0 else 0.2
    twisted = 0.8 if twist_deg > 90.0 else 0.9 if twist_deg > 45.0 else 1.0
    return weight_kg * often * twisted
