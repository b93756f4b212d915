"""The light pack's formulas: numbers in, numbers out. Each says its units, its range, its source and its rows."""

from .colour import colour_difference, fade_difference, grey_scale_step
from .dose import days_until, dose, hours_until, sun_dose
from .fading import fade_dose, fade_years, step_ratio, uv_filter_gain, uv_share
from .responsivity import first_to_fade, illuminance_limit, responsivity_from_rating, yearly_limit
from .spectrum import damage_at, damage_ratio

__all__ = [
    "colour_difference",
    "damage_at",
    "damage_ratio",
    "days_until",
    "dose",
    "fade_difference",
    "fade_dose",
    "fade_years",
    "first_to_fade",
    "grey_scale_step",
    "hours_until",
    "illuminance_limit",
    "responsivity_from_rating",
    "step_ratio",
    "sun_dose",
    "uv_filter_gain",
    "uv_share",
    "yearly_limit",
]
