"""All rules of the pack, in the order of the modules that hold them."""

from .rules_dose import DOSE_RULES
from .rules_fading import FADING_RULES
from .rules_sun import SUN_RULES

RULES = (*DOSE_RULES, *FADING_RULES, *SUN_RULES)
