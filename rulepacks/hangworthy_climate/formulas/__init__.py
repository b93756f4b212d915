"""The climate pack's formulas: numbers in, numbers out. Each says its units, its range, its source and its rows."""

from hangworthy_handbook.wood import emc, movement, movement_from_shrinkage

from .air import (
    coldest_surface,
    dew_point,
    humidity_at,
    saturated_at,
    saturation_pressure,
    surface_temperature,
    temperature_factor,
    vapour_pressure,
)
from .bands import control_type, in_museum_band
from .panels import panel_movement, sheet_movement
from .series import TargetBand, central_means, percentile, target_band

__all__ = [
    "TargetBand",
    "central_means",
    "coldest_surface",
    "control_type",
    "dew_point",
    "emc",
    "humidity_at",
    "in_museum_band",
    "movement",
    "movement_from_shrinkage",
    "panel_movement",
    "percentile",
    "saturated_at",
    "saturation_pressure",
    "sheet_movement",
    "surface_temperature",
    "target_band",
    "temperature_factor",
    "vapour_pressure",
]
