"""All rules of the pack, in the order of the modules that hold them."""

from .rules_light import LIGHT_RULES
from .rules_pane import PANE_RULES
from .rules_room import ROOM_RULES
from .rules_safety import SAFETY_RULES

RULES = (*PANE_RULES, *SAFETY_RULES, *ROOM_RULES, *LIGHT_RULES)
