"""How much light a pane throws back, seen straight on."""

from typing import Final

from hangworthy_handbook.checks import within

COATING_INDEX: Final = 1.38  # magnesium fluoride, the commonest single coating
_LOWEST, _HIGHEST = 1.0, 4.0


def surface_reflectance(refractive_index: float) -> float:
    """Share of light that one bare surface throws back.

    Parameters
    ----------
    refractive_index : of the pane, against air [-]

    Returns: ((n - 1) / (n + 1))^2 [ratio]

    Validity: seen straight on; some degrees off change little, grazing light much. Errors: ValueError outside 1 to 4.
    Source: Fresnel; Hecht, Optics (from memory).
    Rows: G-28a, G-28b, G-28c.
    """
    within("refractive_index", refractive_index, _LOWEST, _HIGHEST)
    amplitude = (refractive_index - 1.0) / (refractive_index + 1.0)
    return amplitude * amplitude


def coated_reflectance(refractive_index: float, coating_index: float = COATING_INDEX) -> float:
    """Share of light that a surface with a quarter-wave coating throws back, at the wavelength it is made for.

    Parameters
    ----------
    refractive_index : of the pane, against air [-]
    coating_index : of the coating [-]

    Returns: ((n - c^2) / (n + c^2))^2 [ratio]

    Validity: one layer, seen straight on; panes for museums carry several layers and throw back less. Errors: ValueError for an
    index outside 1 to 4. Source: Born and Wolf, Principles of Optics (from memory).
    Rows: G-29a, G-29b.
    """
    within("refractive_index", refractive_index, _LOWEST, _HIGHEST)
    within("coating_index", coating_index, _LOWEST, _HIGHEST)
    square = coating_index * coating_index
    amplitude = (refractive_index - square) / (refractive_index + square)
    return amplitude * amplitude


def pane_reflectance(surface: float) -> float:
    """Share of light that a whole pane throws back: both surfaces, and all that goes to and fro between them.

    The front gives R; of the rest, each round trip adds (1 - R)^2 R, R^3, R^5 ...: a geometric series.

    Parameters
    ----------
    surface : share that one surface throws back [ratio]

    Returns: 2 R / (1 + R) [ratio]

    Validity: a clear pane that takes up no light, thick against the wavelength. Errors: ValueError outside 0 to 1.
    Source: Born and Wolf, Principles of Optics (from memory); geometric series.
    Rows: G-30a, G-30b, G-30c, G-30d.
    """
    within("surface", surface, 0.0, 1.0)
    return 2.0 * surface / (1.0 + surface)
