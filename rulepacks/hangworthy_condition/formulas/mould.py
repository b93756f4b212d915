"""How large an outbreak of mould is, in the bands by which a collection decides who deals with it."""

import math

from hangworthy_handbook.checks import within


def mould_band(area_m2: float, medium_from_m2: float = 0.3, large_from_m2: float = 3.0, extensive_above_m2: float = 10.0) -> int:
    """Band of a mould outbreak by its visible growth.

    Parameters
    ----------
    area_m2 : visible growth in all [m2]
    medium_from_m2 : area from which it is medium [m2]
    large_from_m2 : area from which it is large, and needs outside expertise [m2]
    extensive_above_m2 : area above which it is extensive [m2]

    Returns: 1 small, 2 medium, 3 large, 4 extensive [-]

    Validity: visible growth on objects and what stands around them; hidden growth is not counted. Where the printed bands meet,
    at 0.3 and 3 m2, the larger band is taken, and at 10 m2 the smaller, as "> 10" is printed.
    Errors: ValueError for an area below 0.
    Source: CCI Technical Bulletin 26.
    Rows: Z-12a, Z-12b, Z-12c, Z-12d, Z-12e, Z-12f, Z-12g.
    """
    within("area_m2", area_m2, 0.0, math.inf)
    if area_m2 > extensive_above_m2:
        return 4
    if area_m2 >= large_from_m2:
        return 3
    return 2 if area_m2 >= medium_from_m2 else 1
