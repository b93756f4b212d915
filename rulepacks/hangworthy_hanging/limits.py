"""The thresholds of this pack. Weights and fixings: makers' ratings, local codes and licensed practice come first."""

from hangworthy.contract import COMMON_PRACTICE, OWN_POLICY, Limits, Means, limit, published

_ADA = published("ADA Standards (2010)", "section 307.2")
_NFPA = published("NFPA 101 (2012)", "18/19.7.5.6(4)")
_SLINGS = published("ASME B30.9 practice and 29 CFR 1910.184", "angles below 30° from the horizontal are not to be used")
_ANCHORS = published("Makers' guidance for plasterboard anchors", from_memory=True)
_TEAM = published("HSE L23", "guidance on team handling: two people, two thirds of the sum of what each can; an approximate guide")
_HSE = published("HSE INDG143 / L23", "lifting and lowering filter: carrying")


class HangingLimits(Limits):
    """Limits of the hanging pack."""

    unweighed_kg: float = limit(5, "kg", OWN_POLICY, "the most a work may weigh by estimate and need no scale", lo=0, hi=1_000)
    weight_slack_percent: float = limit(10, "%", OWN_POLICY, "how far a weight may lie outside of what its layers come to", lo=0, hi=100)
    safety_factor: float = limit(4, "", OWN_POLICY, "rating of a part over what it carries", lo=1, hi=20)
    wire_angle_deg: float = limit(30, "°", _SLINGS, "the flattest wire, from the horizontal", lo=5, hi=80)
    wire_angle_differs_deg: float = limit(5, "°", OWN_POLICY, "the most by which two ways of finding the angle may differ", lo=0.5, hi=45)
    one_hook_kg: float = limit(10, "kg", OWN_POLICY, "the heaviest work on one hook", lo=0.1, hi=200, means=Means.ONE_HOOK_KG)
    one_hook_mm: float = limit(900, "mm", OWN_POLICY, "the widest work on one hook", lo=50, hi=10_000, means=Means.ONE_HOOK_MM)
    ring_drop_percent: float = limit(100 / 3, "%", COMMON_PRACTICE, "rings below the top edge, of the height", lo=5, hi=49)
    tilt_deg: float = limit(2, "°", OWN_POLICY, "the most that a work may lean off the wall", lo=0.2, hi=45)
    hook_standoff_mm: float = limit(5, "mm", OWN_POLICY, "how far hooks hold the back of a work off the wall", lo=0, hi=100)
    centre_mm: float = limit(
        1450, "mm", COMMON_PRACTICE, "height of a work's middle above the floor", lo=500, hi=3_000, means=Means.CENTRE_HEIGHT
    )
    above_floor_mm: float = limit(
        200, "mm", OWN_POLICY, "the least height of a work's lower edge above the floor", lo=0, hi=2_000, means=Means.ABOVE_FLOOR
    )
    clearance_mm: float = limit(50, "mm", OWN_POLICY, "the least free wall on each side of a work", lo=0, hi=5_000, means=Means.BELOW_TOP)
    row_end_mm: float = limit(50, "mm", OWN_POLICY, "the least free wall at each end of a row", lo=0, hi=5_000, means=Means.ROW_END)
    protrusion_mm: float = limit(100, "mm", _ADA, "how far a work may stand out into a walkway", lo=10, hi=1_000)
    cane_low_mm: float = limit(685, "mm", _ADA, "a lower edge up to this height is found with a cane", lo=0, hi=1_500)
    cane_high_mm: float = limit(2030, "mm", _ADA, "a lower edge above this height is above heads", lo=1_500, hi=4_000)
    covered_percent: float = limit(20, "%", _NFPA, "share of a wall covered, without sprinklers", lo=0, hi=100)
    covered_sprinklered_percent: float = limit(30, "%", _NFPA, "share of a wall covered, with sprinklers", lo=0, hi=100)
    covered_patient_percent: float = limit(50, "%", _NFPA, "share covered in small patient rooms with sprinklers", lo=0, hi=100)
    small_room_sleepers: float = limit(4, "", _NFPA, "patients in a small patient room, at most", lo=1, hi=50)
    board_share: float = limit(0.25, "", _ANCHORS, "part of a breaking load to be used in plasterboard", lo=0.01, hi=1)
    breaking_share: float = limit(0.25, "", OWN_POLICY, "part of a breaking load to be used in other walls", lo=0.01, hi=1)
    lift_reach_mm: float = limit(400, "mm", OWN_POLICY, "reach of a lift when it is not known", lo=250, hi=630)
    lift_from_mm: float = limit(600, "mm", OWN_POLICY, "height of the hands at the start of a lift when it is not known", lo=0, hi=1_750)
    lifts_per_min: float = limit(0.2, "", OWN_POLICY, "lifts a minute on a hanging day", lo=0, hi=15)
    lift_hours: float = limit(1, "h", OWN_POLICY, "hours of lifting on a hanging day", lo=0.1, hi=8)
    team_share: float = limit(2 / 3, "", _TEAM, "what two may lift together, as part of the sum of what each may alone", lo=0.5, hi=1)
    carry_m: float = limit(10, "m", _HSE, "the longest carry that needs no closer look", lo=1, hi=1_000)
