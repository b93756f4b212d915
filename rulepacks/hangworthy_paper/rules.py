"""All rules of the pack, in the order of the modules that hold them."""

from .rules_frames import FRAME_RULES
from .rules_materials import MATERIAL_RULES
from .rules_mats import MAT_RULES
from .rules_rolling import ROLLING_RULES

RULES = (*FRAME_RULES, *ROLLING_RULES, *MATERIAL_RULES, *MAT_RULES)
