"""The paper pack's formulas: numbers in, numbers out. Each says its units, its range, its source and its rows."""

from .crop import crop_split, crop_window, exact_difference, image_lost, micrometres
from .mats import board_ph, depth_stack, largest_contents, mat_borders, window_opening
from .permanence import least_tear, permanent_paper
from .rolling import bending_strain, least_core
from .sizes import frame_tolerance, is_trimmed_size, iso_size, named_size, smallest_frame, trimmed_tolerance

__all__ = [
    "bending_strain",
    "board_ph",
    "crop_split",
    "crop_window",
    "depth_stack",
    "exact_difference",
    "frame_tolerance",
    "image_lost",
    "is_trimmed_size",
    "iso_size",
    "largest_contents",
    "least_core",
    "least_tear",
    "mat_borders",
    "micrometres",
    "named_size",
    "permanent_paper",
    "smallest_frame",
    "trimmed_tolerance",
    "window_opening",
]
