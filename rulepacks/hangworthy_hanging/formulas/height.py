"""Heights: where the hooks go, what stands out into a walkway, and how much of a wall is covered."""

import math
from collections.abc import Sequence

from hangworthy_handbook.checks import positive, within


def hook_height(centre: float, height: float, drop: float) -> float:
    """Height of the hooks above the floor, so that the middle of the work hangs at a given height.

    Parameters
    ----------
    centre : height of the work's middle above the floor [any unit]
    height : height of the work or its frame [same unit]
    drop : how far below its top edge the hooks sit [same unit]

    Returns: centre + height / 2 - drop [same unit]

    Validity: any work. Errors: ValueError for a centre or height not above 0, or a drop below 0.
    Source: common hanging practice.
    Rows: K-18a, K-18b, K-18c.
    """
    positive("centre", centre)
    positive("height", height)
    within("drop", drop, 0.0, math.inf)
    return centre + height / 2.0 - drop


def walkway_excess(bottom_mm: float, depth_mm: float, low_mm: float, high_mm: float, most_mm: float) -> float:
    """How much further a work stands out into a walkway than an object with its lower edge at that height may.

    Parameters
    ----------
    bottom_mm : height of its lower edge above the floor [mm]
    depth_mm : how far it stands out from the wall [mm]
    low_mm, high_mm : above the first and up to the second height a person without sight may walk into it [mm]
    most_mm : how far it may stand out between them [mm]

    Returns: excess, 0 where there is none [mm]

    Validity: wall-mounted objects along circulation paths; with its own limit also post-mounted ones. Errors: ValueError below 0.
    Source: ADA Standards (2010), section 307.2 (27 in, 80 in, 4 in); 307.3 for posts (12 in).
    Rows: K-14a, K-14b, K-14c, K-14d, K-16a, K-16b.
    """
    for name, value in (("bottom_mm", bottom_mm), ("depth_mm", depth_mm), ("most_mm", most_mm)):
        within(name, value, 0.0, math.inf)
    within("low_mm", low_mm, 0.0, high_mm)
    return max(0.0, depth_mm - most_mm) if low_mm < bottom_mm <= high_mm else 0.0


def covered_share(areas_m2: Sequence[float], wall_m2: float) -> float:
    """Share of a wall that works cover.

    Parameters
    ----------
    areas_m2 : area of each work or its frame [m2]
    wall_m2 : area of the wall [m2]

    Returns: share [%]

    Validity: one wall; shares of several walls are not pooled. Errors: ValueError for an area below 0 or a wall not above 0.
    Source: geometry.
    Rows: COVER-1.
    """
    positive("wall_m2", wall_m2)
    for area in areas_m2:
        within("an area in m2", area, 0.0, math.inf)
    return 100.0 * math.fsum(areas_m2) / wall_m2


def most_covered(wall_m2: float, share_percent: float) -> float:
    """Area that works may cover of a wall.

    Parameters
    ----------
    wall_m2 : area of the wall [m2]
    share_percent : share that may be covered: 20 without sprinklers, 30 with, 50 in small patient rooms with sprinklers [%]

    Returns: area [m2]

    Validity: combustible decorations in health-care occupancies, one wall. Errors: ValueError for a wall not above 0, or a share
    outside 0 to 100. Source: NFPA 101 (2012), 18/19.7.5.6(4).
    Rows: K-20a, K-20b, K-20c.
    """
    positive("wall_m2", wall_m2)
    within("share_percent", share_percent, 0.0, 100.0)
    return wall_m2 * share_percent / 100.0
