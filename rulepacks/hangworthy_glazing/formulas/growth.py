"""How much a pane grows when it gets warmer and damper."""

from typing import Final

from hangworthy_handbook.checks import positive, within

DARK_FACTOR: Final = 1.4  # dark sheets get hotter in the same light
# Acrylic in balance with the air: from which humidity [%] to which, and how much it grows per percent there [1/%]. The maker prints 0.2 %
# at 60, 0.3 % at 80 and 0.6 % at 100 % RH. The curve bends upwards, so below 60 % the line through 60 and 80 % is the lowest that it can
# be, and movements worked out on it are the largest.
_DAMP: Final = ((20.0, 80.0, 5e-5), (80.0, 100.0, 1.5e-4))


def expansion_from_fahrenheit(expansion_per_f: float) -> float:
    """Thermal expansion per kelvin, from the inches per inch and degree Fahrenheit of makers' tables.

    Parameters
    ----------
    expansion_per_f : expansion [1/degF]

    Returns: expansion [1/K]

    Validity: any number. Errors: none. Source: definition of the degree Fahrenheit, 5/9 K.
    Rows: G-10b, G-13a.
    """
    return expansion_per_f * 1.8


def thermal_growth(length_mm: float, warming_k: float, expansion_per_k: float, dark: bool = False) -> float:
    """Growth of a pane that gets warmer.

    Parameters
    ----------
    length_mm : length [mm]
    warming_k : change of temperature, negative when it cools [K]
    expansion_per_k : thermal expansion of the material [1/K]
    dark : the sheet is dark, and gets hotter in the same light: 1.4 times as much [-]

    Returns: change of length [mm]

    Validity: within 100 K. Errors: ValueError beyond it, or for a length or expansion that is not above 0.
    Source: linear expansion, ISO 11359-2; factor for dark sheets by a maker's table.
    Rows: G-06b, G-10c, G-13b, WE-4a, WE-4b.
    """
    positive("length_mm", length_mm)
    positive("expansion_per_k", expansion_per_k)
    within("warming_k", warming_k, -100.0, 100.0)
    return length_mm * expansion_per_k * warming_k * (DARK_FACTOR if dark else 1.0)


def moisture_strain(rh_percent: float) -> float:
    """Growth of acrylic in balance with damp air, against dry.

    Below 60 % RH the printed curve, which bends upwards from dry, lies between this line and the chord to dry, at most
    0.07 % above it; differences taken here err towards more movement.

    Parameters
    ----------
    rh_percent : relative humidity [%]

    Returns: growth over length [ratio]

    Validity: after weeks at that humidity; a few days reach only the surface. Errors: ValueError outside 0 to 100.
    Source: an extruded acrylic maker's handbook, at 60, 80 and 100 %; straight lines between and below.
    Rows: G-14a, G-14b, G-14c, G-14d.
    """
    within("rh_percent", rh_percent, 0.0, 100.0)
    return sum(slope * min(max(rh_percent - low, 0.0), high - low) for low, high, slope in _DAMP)


def moisture_growth(length_mm: float, rh_from: float, rh_to: float) -> float:
    """Growth of an acrylic sheet when the air stays damper.

    Parameters
    ----------
    length_mm : length [mm]
    rh_from, rh_to : relative humidity before and after [%]

    Returns: change of length, negative when it dries [mm]

    Validity: as `moisture_strain`; glass takes up no moisture. Errors: ValueError outside 0 to 100, or for a length that
    is not above 0. Source: as `moisture_strain`.
    Rows: G-14e, WE-4c.
    """
    positive("length_mm", length_mm)
    return length_mm * (moisture_strain(rh_to) - moisture_strain(rh_from))


def pane_growth(length_mm: float, expansion_per_k: float, warming_k: float, rh_from: float, rh_to: float, swells: bool) -> float:
    """Room that a pane needs along one side, heat and damp together.

    Parameters
    ----------
    length_mm : length of that side [mm]
    expansion_per_k : thermal expansion of the material [1/K]
    warming_k : how much warmer it gets than when it was fitted [K]
    rh_from, rh_to : humidity when it was fitted, and the highest that lasts [%]
    swells : acrylic swells in damp air, glass does not [-]

    Returns: growth, 0 where drying outweighs warming; half of it on each side when the pane sits in the middle [mm]

    Validity: the frame's own growth is left out, which errs towards more room. Errors: as `thermal_growth` and
    `moisture_growth`. Source: their sum.
    Rows: WE-4d, WE-4e.
    """
    heat = thermal_growth(length_mm, warming_k, expansion_per_k)
    return max(0.0, heat + (moisture_growth(length_mm, rh_from, rh_to) if swells else 0.0))
