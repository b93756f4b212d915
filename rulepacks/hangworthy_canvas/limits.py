"""The thresholds of this pack. No published acceptance limit exists for twist, bow or slack of a stretched painting: they are policy."""

from hangworthy.contract import COMMON_PRACTICE, OWN_POLICY, Limits, limit, published

_WOOD = published("Wood Handbook, FPL-GTR-190 (2010)", "Table 13-5, Sitka spruce, tangential", from_memory=True)
_STIFFNESS = published("Wood Handbook, FPL-GTR-190 (2010)", "Table 5-3a, eastern white pine", from_memory=True)


class CanvasLimits(Limits):
    """Limits of the canvas pack."""

    corner_gap_mm: float = limit(6, "mm", OWN_POLICY, "the largest gap under the corner that stays off the wall", lo=0.5, hi=50)
    flush_gap_mm: float = limit(3, "mm", OWN_POLICY, "the gap above which a shadow shows behind a corner", lo=0.5, hi=50)
    bow_mm_per_m: float = limit(2, "mm/m", OWN_POLICY, "the largest bow of a bar, per metre of it", lo=0.1, hi=50)
    out_of_square_deg: float = limit(0.5, "°", OWN_POLICY, "the largest difference of a corner from a right angle", lo=0.05, hi=10)
    billow_mm_per_m: float = limit(5, "mm/m", OWN_POLICY, "the deepest belly, per metre of the short side", lo=0.5, hi=50)
    tension_n_m: float = limit(100, "N/m", OWN_POLICY, "the least tension of a taut canvas; low confidence", lo=5, hi=2_000)
    tension_ratio: float = limit(1.5, "", OWN_POLICY, "the largest ratio of two tensions measured on one canvas", lo=1.05, hi=10)
    free_bar_mm: float = limit(1500, "mm", COMMON_PRACTICE, "the longest bar without a brace", lo=300, hi=5_000)
    inward_mm_per_m: float = limit(1000 / 150, "mm/m", OWN_POLICY, "the largest inward bow of a bar, a 150th of its span", lo=0.5, hi=50)
    pull_n_m: float = limit(200, "N/m", OWN_POLICY, "the canvas pull that bars are checked for", lo=10, hi=2_000)
    bar_moe_mpa: float = limit(8500, "MPa", _STIFFNESS, "the stiffness of the bars' wood, along the grain", lo=3_000, hi=25_000)
    wood_change_per_percent: float = limit(0.00263, "", _WOOD, "the bars' change of width per percent of moisture", lo=0.0005, hi=0.01)
    key_travel_mm: float = limit(5, "mm", OWN_POLICY, "how far keys can open the corners of one direction", lo=0, hi=50)
    air_temp_c: float = limit(21, "°C", OWN_POLICY, "the temperature at which moisture in the bars is worked out", lo=0, hi=40)
    dry_acrylic_days: float = limit(3, "d", OWN_POLICY, "days until acrylic is dry enough to pack", lo=0, hi=3_650)
    dry_oil_days: float = limit(30, "d", OWN_POLICY, "days until oil is touch-dry", lo=0, hi=3_650)
    dry_thick_oil_days: float = limit(90, "d", OWN_POLICY, "days until thick oil is touch-dry", lo=0, hi=3_650)
    dry_other_days: float = limit(1, "d", OWN_POLICY, "days until other media are dry", lo=0, hi=3_650)
