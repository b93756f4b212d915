"""All rules of the pack, in the order of the modules that hold them."""

from .rules_air import AIR_RULES
from .rules_control import CONTROL_RULES
from .rules_movement import MOVEMENT_RULES
from .rules_place import PLACE_RULES
from .rules_wall import WALL_RULES

RULES = (*WALL_RULES, *AIR_RULES, *CONTROL_RULES, *PLACE_RULES, *MOVEMENT_RULES)
