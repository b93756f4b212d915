"""The hanging pack's formulas: numbers in, numbers out. Each says its units, its range, its source and its rows."""

from hangworthy_handbook.panes import pane_density, pane_mass

from .height import covered_share, hook_height, most_covered, walkway_excess
from .hse import filter_adjusted, filter_weight
from .leaning import Lean, lean, spacer_needed
from .load import derated, pull_out
from .mass import Estimate, areal_mass, density, layered_mass, moulding_mass, sheet_mass, solid_density, wood_density
from .niosh import (
    distance_multiplier,
    frequency_multiplier,
    grip_multiplier,
    horizontal_multiplier,
    lifting_index,
    recommended_weight,
    twist_multiplier,
    vertical_multiplier,
    weight_from_multipliers,
)
from .row import Row, hook_places, row_end, row_layout
from .wire import (
    break_over_tension,
    hook_load,
    leg_load,
    required_break,
    ring_pull,
    sling_factor,
    wire_angle,
    wire_angle_from_length,
    wire_rise,
    wire_tension,
)

__all__ = [
    "Estimate",
    "Lean",
    "Row",
    "areal_mass",
    "break_over_tension",
    "covered_share",
    "density",
    "derated",
    "distance_multiplier",
    "filter_adjusted",
    "filter_weight",
    "frequency_multiplier",
    "grip_multiplier",
    "hook_height",
    "hook_load",
    "hook_places",
    "horizontal_multiplier",
    "layered_mass",
    "lean",
    "leg_load",
    "lifting_index",
    "most_covered",
    "moulding_mass",
    "pane_density",
    "pane_mass",
    "pull_out",
    "recommended_weight",
    "required_break",
    "ring_pull",
    "row_end",
    "row_layout",
    "sheet_mass",
    "sling_factor",
    "solid_density",
    "spacer_needed",
    "twist_multiplier",
    "vertical_multiplier",
    "walkway_excess",
    "weight_from_multipliers",
    "wire_angle",
    "wire_angle_from_length",
    "wire_rise",
    "wire_tension",
    "wood_density",
]
