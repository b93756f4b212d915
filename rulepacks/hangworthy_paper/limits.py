"""The thresholds of this pack."""

from hangworthy.contract import COMMON_PRACTICE, OWN_POLICY, Limits, limit, published

_CCI_MATS = published("CCI Notes 11/5", "window mat board")
_NPS_TUBES = published("NPS Conserve O Gram 13/5 (rev. 2024)", "tubes for large paper")


class PaperLimits(Limits):
    """Limits of the paper pack."""

    smallest_short_mm: float = limit(297, "mm", COMMON_PRACTICE, "the short side of the smallest size shown", lo=10, hi=5_000)
    smallest_long_mm: float = limit(420, "mm", COMMON_PRACTICE, "the long side of the smallest size shown", lo=10, hi=5_000)
    whole_slack_mm: float = limit(6, "mm", OWN_POLICY, "how much smaller than a frame a sheet may be and need no mat", lo=0, hi=50)
    overlap_least_mm: float = limit(3, "mm", COMMON_PRACTICE, "how far a mat must lap over each side of a sheet", lo=0, hi=50)
    overlap_most_mm: float = limit(5, "mm", COMMON_PRACTICE, "how far a mat may lap over each side and be no crop", lo=0, hi=50)
    ask_crop_percent: float = limit(10, "%", OWN_POLICY, "the largest share of a sheet that an artist is asked to give up", lo=0, hi=100)
    tube_mm: float = limit(101.6, "mm", _NPS_TUBES, "the narrowest tube for a rolled sheet, 4 inches", lo=20, hi=1_000)
    tube_spare_mm: float = limit(20, "mm", OWN_POLICY, "how much longer than the rolled sheet its tube must be", lo=0, hi=500)
    strain_percent: float = limit(0.5, "%", OWN_POLICY, "the largest strain in the faces of a rolled sheet", lo=0.01, hi=5)
    gap_mm: float = limit(3.2, "mm", COMMON_PRACTICE, "the least air between pane and work, an eighth of an inch", lo=0, hi=100)
    powdery_gap_mm: float = limit(6.4, "mm", OWN_POLICY, "the least air between pane and a powdery surface", lo=0, hi=100)
    buffered_ph_low: float = limit(7.5, "", _CCI_MATS, "the lowest pH of a buffered mat", lo=4, hi=10)
    unbuffered_ph_low: float = limit(7.0, "", _CCI_MATS, "the lowest pH of an unbuffered mat", lo=4, hi=10)
    ph_high: float = limit(8.5, "", _CCI_MATS, "the highest pH of a mat", lo=7, hi=12)
    border_mm: float = limit(25, "mm", OWN_POLICY, "the narrowest border of a mat that looks meant", lo=0, hi=500)
    bottom_weight_mm: float = limit(6, "mm", OWN_POLICY, "how much wider the bottom border of a mat is cut than the top", lo=0, hi=200)
    lean_mm: float = limit(0, "mm", COMMON_PRACTICE, "how much wider the bottom border must at least be than the top", lo=0, hi=200)
    rebate_room_mm: float = limit(3.2, "mm", COMMON_PRACTICE, "the least room between rebate and contents in all", lo=0, hi=50)
