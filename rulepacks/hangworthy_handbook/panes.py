"""Panes in front of works: what they weigh."""

from typing import Final

from .checks import positive

# [kg/m3]; glass EN 572-1, acrylic ISO 7823-1 with ISO 1183, polycarbonate from memory. Laminated glass is glass, but for its thin film.
PANE_DENSITY: Final[dict[str, float]] = {
    "float-glass": 2500.0,
    "toughened-glass": 2500.0,
    "laminated-glass": 2500.0,
    "acrylic": 1190.0,
    "polycarbonate": 1200.0,
}


def pane_density(material: str) -> float:
    """Density of a pane's material.

    Parameters
    ----------
    material : float-glass, toughened-glass, laminated-glass, acrylic or polycarbonate

    Returns: density [kg/m3]

    Validity: solid sheets at room temperature. Errors: ValueError for another material.
    Source: glass EN 572-1; acrylic ISO 7823-1 with ISO 1183; polycarbonate from memory.
    Rows: G-01a, G-07a, G-08 of the packs that weigh panes.
    """
    if material not in PANE_DENSITY:
        raise ValueError(f"material should be one of {', '.join(PANE_DENSITY)}, but is {material!r}.")
    return PANE_DENSITY[material]


def pane_mass(width_mm: float, height_mm: float, thickness_mm: float, density_kg_m3: float) -> float:
    """Mass of a flat rectangular pane.

    Parameters
    ----------
    width_mm, height_mm, thickness_mm : the sides and the thickness [mm]
    density_kg_m3 : the material's density [kg/m3]

    Returns: mass [kg]

    Validity: solid sheets. Errors: ValueError for a figure that is not above 0.
    Source: density times volume; 2.5 kg per m2 and mm for glass, EN 572-1.
    Rows: G-01, G-02, G-07 of the packs that weigh panes.
    """
    positive("width_mm", width_mm)
    positive("height_mm", height_mm)
    positive("thickness_mm", thickness_mm)
    positive("density_kg_m3", density_kg_m3)
    return width_mm * height_mm * thickness_mm * density_kg_m3 / 1e9
