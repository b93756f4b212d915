"""The glazing pack's formulas: numbers in, numbers out. Each says its units, its range, its source and its rows."""

from hangworthy_handbook.panes import pane_density, pane_mass

from .bow import bow_curvature, bow_depth, exact_bow_depth, held_bow, loose_bow
from .growth import expansion_from_fahrenheit, moisture_growth, moisture_strain, pane_growth, thermal_growth
from .mirror import coated_reflectance, pane_reflectance, surface_reflectance
from .properties import pane_property
from .safety import (
    Classification,
    breakage_mode,
    drop_energy,
    drop_height,
    joules_from_foot_pounds,
    parse_classification,
)

__all__ = [
    "Classification",
    "bow_curvature",
    "bow_depth",
    "breakage_mode",
    "coated_reflectance",
    "drop_energy",
    "drop_height",
    "exact_bow_depth",
    "expansion_from_fahrenheit",
    "held_bow",
    "joules_from_foot_pounds",
    "loose_bow",
    "moisture_growth",
    "moisture_strain",
    "pane_density",
    "pane_growth",
    "pane_mass",
    "pane_property",
    "pane_reflectance",
    "parse_classification",
    "surface_reflectance",
    "thermal_growth",
]
