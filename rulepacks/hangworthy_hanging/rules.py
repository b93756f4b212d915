"""All rules of the pack, in the order of the modules that hold them."""

from .rules_close import CLOSE_RULES
from .rules_fittings import FITTINGS_RULES
from .rules_frame import FRAME_RULES
from .rules_lift import LIFT_RULES
from .rules_row import ROW_RULES
from .rules_strength import STRENGTH_RULES
from .rules_wall import WALL_RULES
from .rules_weight import WEIGHT_RULES
from .rules_wire import WIRE_RULES

RULES = (*WEIGHT_RULES, *FITTINGS_RULES, *STRENGTH_RULES, *WIRE_RULES, *WALL_RULES, *CLOSE_RULES, *ROW_RULES, *LIFT_RULES, *FRAME_RULES)
