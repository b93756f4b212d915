"""What panes are made of: the figures that the other formulas need."""

from typing import Final

_GLASS: Final = {"expansion_per_k": 9e-6, "modulus_gpa": 70.0, "poisson": 0.2, "refractive_index": 1.52}
# Lengths per length, GPa, MPa, percent by mass. Acrylic is cast or extruded sheet; makers' ranges are in the rows.
_TABLE: Final[dict[str, dict[str, float]]] = {
    "float-glass": {**_GLASS, "strength_mpa": 45.0},
    "toughened-glass": {**_GLASS, "strength_mpa": 120.0},
    "heat-strengthened-glass": {**_GLASS, "strength_mpa": 70.0},
    "laminated-glass": _GLASS,
    "acrylic": {
        "expansion_per_k": 7.0e-5,
        "modulus_gpa": 3.05,
        "poisson": 0.37,
        "refractive_index": 1.49,
        "water_in_a_day_percent": 0.3,
        "water_at_most_percent": 0.7,
    },
    "polycarbonate": {"expansion_per_k": 6.8e-5, "refractive_index": 1.586},
}


def pane_property(material: str, name: str) -> float:
    """One property of a pane's material.

    Parameters
    ----------
    material : float-glass, toughened-glass, heat-strengthened-glass, laminated-glass, acrylic or polycarbonate
    name : expansion_per_k [1/K], modulus_gpa [GPa], poisson [-], refractive_index [-], strength_mpa (characteristic, in
        bending) [MPa], water_in_a_day_percent or water_at_most_percent (taken up, by mass) [%]

    Returns: the figure, in the unit of its name

    Validity: room temperature, visible light; laminated glass as its glass, since its film is thin.
    Errors: ValueError for a material or a property that is not held.
    Source: EN 572-1, EN 1863, EN 12150; ISO 11359-2, ISO 527, ASTM D570 in makers' tables; indices and Poisson ratio of
    acrylic, and polycarbonate, from memory.
    Rows: G-03, G-04, G-05a, G-05b, G-05c, G-06a, G-09, G-10a, G-15a, G-15b, G-24a, G-24b, G-24c, G-25, G-26.
    """
    held = _TABLE.get(material, {}).get(name)
    if held is None:
        raise ValueError(f"No {name!r} is held for {material!r}; materials are {', '.join(_TABLE)}.")
    return held
