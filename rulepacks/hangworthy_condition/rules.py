"""All rules of the pack, in the order of the modules that hold them."""

from .rules_bench import BENCH_RULES
from .rules_compare import COMPARE_RULES
from .rules_damage import DAMAGE_RULES
from .rules_details import DETAIL_RULES
from .rules_found import FOUND_RULES
from .rules_hazards import HAZARD_RULES
from .rules_surface import SURFACE_RULES

RULES = (*HAZARD_RULES, *DAMAGE_RULES, *SURFACE_RULES, *DETAIL_RULES, *BENCH_RULES, *FOUND_RULES, *COMPARE_RULES)
