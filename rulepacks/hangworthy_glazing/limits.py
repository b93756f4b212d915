"""The thresholds of this pack."""

from hangworthy.contract import OWN_POLICY, Limits, limit, published

_SAFETY_GLASS = published("BS 6262-4", "class 3(β)φ of EN 12600 as the least for safety glass in buildings")


class GlazingLimits(Limits):
    """Limits of the glazing pack."""

    safety_class: float = limit(3, "", _SAFETY_GLASS, "the class of EN 12600 that counts as safe; 1 is the best, 3 the least", lo=1, hi=3)
    pane_kg: float = limit(5, "kg", OWN_POLICY, "the heaviest pane that needs no second person and no stronger fixings", lo=0.1, hi=100)
    border_mm: float = limit(150, "mm", OWN_POLICY, "the widest border that a mat adds on each side of a work", lo=0, hi=1_000)
    warming_k: float = limit(15, "K", OWN_POLICY, "how much warmer a pane may get than when it was fitted", lo=0, hi=60)
    fitted_rh_percent: float = limit(40, "%", OWN_POLICY, "the humidity in which a pane was fitted", lo=0, hi=100)
    damp_rh_percent: float = limit(60, "%", OWN_POLICY, "the highest humidity that lasts for weeks at the venue", lo=0, hi=70)
    sure_play_mm: float = limit(0.5, "mm", OWN_POLICY, "the play that any pane has which could be put in by hand", lo=0, hi=5)
    faces_k: float = limit(1, "K", OWN_POLICY, "the difference of temperature between the faces of a pane", lo=0, hi=20)
    faces_rh_percent: float = limit(5, "%", OWN_POLICY, "the lasting difference of humidity between its faces", lo=0, hi=30)
    cold_wall_rh_percent: float = limit(10, "%", OWN_POLICY, "the same on an outer wall, where the air behind is damper", lo=0, hi=30)
    reflected_percent: float = limit(4, "%", OWN_POLICY, "the most light that a pane may mirror opposite a window or lamp", lo=0.1, hi=50)
