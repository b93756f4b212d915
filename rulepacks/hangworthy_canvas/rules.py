"""All rules of the pack, in the order of the modules that hold them."""

from .rules_bars import BAR_RULES
from .rules_frame import FRAME_RULES
from .rules_surface import SURFACE_RULES
from .rules_tautness import TAUTNESS_RULES

RULES = (*FRAME_RULES, *BAR_RULES, *TAUTNESS_RULES, *SURFACE_RULES)
