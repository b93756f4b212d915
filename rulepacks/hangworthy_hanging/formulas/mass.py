"""What a work weighs, from its layers: each layer as a range, and the sum with its uncertainty."""

import math
from collections.abc import Mapping, Sequence
from typing import Final, NamedTuple

from hangworthy_handbook.checks import positive, within

# Least and most [kg/m3]. Wood at 12 % moisture is its specific gravity times 1.12: 0.31 (white cedar) to 0.53 (larch) for the softwoods
# of stretchers, to 0.70 (oak) for frames: Wood Handbook, from memory. Boards and plastics: trade ranges.
DENSITY: Final[Mapping[str, tuple[float, float]]] = {
    "softwood": (350.0, 600.0),
    "wood": (350.0, 800.0),
    "panel": (400.0, 1050.0),
    "mdf": (600.0, 850.0),
    "aluminium": (2700.0, 2700.0),
    "plastic": (300.0, 1100.0),
}
# How much of the box round a moulding's profile is solid: rebate and profile take from wood, aluminium is a hollow extrusion.
FILL: Final[Mapping[str, tuple[float, float]]] = {"aluminium": (0.08, 0.25)}
_SOLID: Final = (0.5, 0.9)
# Least and most [kg/m2]; trade ranges, paper from 60 to 700 g/m2.
AREAL: Final[Mapping[str, tuple[float, float]]] = {
    "paper": (0.06, 0.7),
    "canvas": (0.3, 1.5),
    "thick-canvas": (0.6, 5.0),
    "mat": (0.1, 2.5),
    "card": (0.3, 1.5),
    "foam-board": (0.3, 1.0),
    "hardboard": (1.8, 3.5),
    "mdf": (1.8, 5.0),
    "plywood": (1.2, 4.0),
}
_ROOT_12: Final = math.sqrt(12.0)


class Estimate(NamedTuple):
    """A mass that was put together: the middle [kg], its standard uncertainty [kg], and the lower and upper side [kg]."""

    kg: float
    u_kg: float
    low_kg: float
    high_kg: float


def _range(name: str, key: str, table: Mapping[str, tuple[float, float]]) -> tuple[float, float]:
    if key not in table:
        raise ValueError(f"{name} should be one of {', '.join(table)}, but is {key!r}.")
    return table[key]


def density(material: str) -> tuple[float, float]:
    """Least and most density of a solid material.

    Parameters
    ----------
    material : softwood, wood, panel, mdf, aluminium or plastic

    Returns: least and most density [kg/m3]

    Validity: air-dry, indoors. Errors: ValueError for another material.
    Source: woods from their specific gravities in the Wood Handbook, FPL-GTR-190 (2010) (from memory); others trade ranges.
    Rows: DENS-AL.
    """
    return _range("material", material, DENSITY)


def wood_density(specific_gravity: float, moisture_percent: float) -> float:
    """Density of wood from its specific gravity.

    Parameters
    ----------
    specific_gravity : oven-dry mass over the volume at that moisture, relative to water [ratio]
    moisture_percent : moisture content [%MC]

    Returns: density [kg/m3]

    Validity: 0.1 to 1.3, up to 30 %MC. Errors: ValueError outside of it.
    Source: Wood Handbook, FPL-GTR-190 (2010) (from memory).
    Rows: DENS-W1, DENS-W2.
    """
    within("specific_gravity", specific_gravity, 0.1, 1.3)
    within("moisture_percent", moisture_percent, 0.0, 30.0)
    return 1000.0 * specific_gravity * (1.0 + moisture_percent / 100.0)


def solid_density(material: str) -> tuple[float, float]:
    """Least and most mass per volume of the box round a moulding's profile: density times what of the box is solid.

    Parameters
    ----------
    material : wood, mdf, aluminium or plastic

    Returns: least and most [kg/m3]

    Validity: picture frames. Errors: ValueError for another material.
    Source: `density`, with trade ranges of what is solid.
    No row: the ranges are the programme's own.
    """
    low, high = _range("material", material, DENSITY)
    least, most = FILL.get(material, _SOLID)
    return low * least, high * most


def areal_mass(material: str) -> tuple[float, float]:
    """Least and most mass per area of a sheet material.

    Parameters
    ----------
    material : paper, canvas, thick-canvas (impasto), mat, card, foam-board, hardboard, mdf or plywood

    Returns: least and most [kg/m2]

    Validity: the sheets that works are made of and backed with. Errors: ValueError for another material.
    Source: trade ranges.
    No row: the ranges are the programme's own.
    """
    return _range("material", material, AREAL)


def sheet_mass(width_mm: float, height_mm: float, areal_kg_m2: float) -> float:
    """Mass of a sheet.

    Parameters
    ----------
    width_mm, height_mm : the sides [mm]
    areal_kg_m2 : mass per area [kg/m2]

    Returns: mass [kg]

    Validity: any sheet. Errors: ValueError for a side that is not above 0 or a mass per area below 0.
    Source: grammage as ISO 536 defines it.
    Rows: SHEET-A0, SHEET-A4.
    """
    positive("width_mm", width_mm)
    positive("height_mm", height_mm)
    within("areal_kg_m2", areal_kg_m2, 0.0, 1000.0)
    return width_mm * height_mm * areal_kg_m2 / 1e6


def moulding_mass(width_mm: float, height_mm: float, moulding_mm: float, depth_mm: float, density_kg_m3: float) -> float:
    """Mass of four mitred bars: density times section times the length of the line through the middle of the section.

    Parameters
    ----------
    width_mm, height_mm : outer size of the frame [mm]
    moulding_mm : width of the bars, seen from the front; bars that would meet fill the frame [mm]
    depth_mm : depth of the bars [mm]
    density_kg_m3 : mass per volume of the box round the section [kg/m3]

    Returns: mass [kg]

    Validity: rectangular sections, or a density that is lowered for the profile. Errors: ValueError for a figure not above 0.
    Source: geometry.
    Rows: MOULD-1, MOULD-2, MOULD-3.
    """
    for name, value in (("width_mm", width_mm), ("height_mm", height_mm), ("moulding_mm", moulding_mm)):
        positive(name, value)
    positive("depth_mm", depth_mm)
    positive("density_kg_m3", density_kg_m3)
    bar = min(moulding_mm, width_mm / 2.0, height_mm / 2.0)
    middle_line = 2.0 * (width_mm + height_mm) - 4.0 * bar
    return middle_line * bar * depth_mm * density_kg_m3 / 1e9


def layered_mass(lows_kg: Sequence[float], highs_kg: Sequence[float]) -> Estimate:
    """Sum of layers of which only the least and the most mass is known, with its uncertainty.

    Each layer may be anything in its range (rectangular, u = range / sqrt(12)); layers are independent. The sides are the sums of the least
    and of the most: whoever relies on a weight that nobody measured must not rely on luck.

    Parameters
    ----------
    lows_kg, highs_kg : least and most mass of each layer, in one order [kg]

    Returns: middle, standard uncertainty, lower and upper side [kg]

    Validity: layers whose ranges are honest. Errors: ValueError for no layer, lists of two lengths, or a range that is turned round.
    Source: JCGM 100 (GUM), rectangular distribution.
    Rows: LAYER-1, LAYER-2.
    """
    if not lows_kg or len(lows_kg) != len(highs_kg):
        raise ValueError("lows_kg and highs_kg should hold one figure per layer, and at least one.")
    for low, high in zip(lows_kg, highs_kg, strict=True):
        within("a layer's least mass in kg", low, 0.0, high)
    least, most = math.fsum(lows_kg), math.fsum(highs_kg)
    middle = (least + most) / 2.0
    u = math.hypot(*((high - low) / _ROOT_12 for low, high in zip(lows_kg, highs_kg, strict=True)))
    return Estimate(middle, u, least, most)
