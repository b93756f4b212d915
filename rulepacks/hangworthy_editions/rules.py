"""All rules of the pack, in the order of the modules that hold them."""

from .rules_basis import BASIS_RULES
from .rules_caps import CAP_RULES
from .rules_copies import COPY_RULES
from .rules_images import IMAGE_RULES
from .rules_law import LAW_RULES
from .rules_line import LINE_RULES
from .rules_numbers import NUMBER_RULES
from .rules_prices import PRICE_RULES
from .rules_resale import RESALE_RULES
from .rules_sharp import SHARP_RULES
from .rules_walls import WALL_RULES

RULES = (
    *BASIS_RULES,
    *NUMBER_RULES,
    *CAP_RULES,
    *IMAGE_RULES,
    *COPY_RULES,
    *PRICE_RULES,
    *LINE_RULES,
    *WALL_RULES,
    *LAW_RULES,
    *RESALE_RULES,
    *SHARP_RULES,
)
