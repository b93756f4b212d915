"""The thresholds of this pack. Bands of climate control are from memory: set your own edition's figures at the venue."""

from hangworthy.contract import OWN_POLICY, Limits, limit, published

CCI = published("CCI, Agent of deterioration: incorrect relative humidity", "damp, over 75 % RH")
MUSEUM = published("Mecklenburg et al. (2004), Smithsonian Institution", "45 ± 8 % RH")
PADFIELD = published("Padfield, environmental standard proposal, citing Ayerst (1969)", "below 25 % RH, weeks above 75 % RH")
ASHRAE = published(
    "ASHRAE Handbook, HVAC Applications, 1999 to 2015", "museums, galleries, archives and libraries, types of control", from_memory=True
)
_WOOD = published("Wood Handbook, FPL-GTR-190 (2010)", "Table 13-5, basswood, tangential")


class ClimateLimits(Limits):
    """Limits of the climate pack."""

    mould_rh: float = limit(75, "%", CCI, "relative humidity above which mould is to be expected", lo=40, hi=100)
    dew_margin_k: float = limit(1, "K", OWN_POLICY, "how much warmer than the dew point a wall has to stay", lo=0, hi=20)
    temperature_factor: float = limit(0.7, "", OWN_POLICY, "how warm an outer wall is taken to stay, 0 outdoors to 1 room", lo=0, hi=1)
    strict_low_rh: float = limit(37, "%", MUSEUM, "lowest mean humidity for wood", lo=0, hi=100)
    strict_high_rh: float = limit(53, "%", MUSEUM, "highest mean humidity for wood", lo=0, hi=100)
    medium_low_rh: float = limit(35, "%", OWN_POLICY, "lowest mean humidity for canvas, paper, boards and cloth", lo=0, hi=100)
    medium_high_rh: float = limit(60, "%", OWN_POLICY, "highest mean humidity for canvas, paper, boards and cloth", lo=0, hi=100)
    wide_low_rh: float = limit(25, "%", PADFIELD, "lowest humidity for anything", lo=0, hi=100)
    wide_high_rh: float = limit(75, "%", PADFIELD, "highest mean humidity for anything", lo=0, hi=100)
    cool_c: float = limit(10, "°C", OWN_POLICY, "lowest mean temperature of a room", lo=-10, hi=25)
    warm_c: float = limit(25, "°C", OWN_POLICY, "highest mean temperature of a room", lo=10, hi=50)
    warmest_c: float = limit(30, "°C", ASHRAE, "highest temperature of the year", lo=0, hi=60)
    steady_strict_rh: float = limit(5, "%", ASHRAE, "swing of humidity within a day, for wood", lo=0.5, hi=50)
    steady_rh: float = limit(10, "%", ASHRAE, "swing of humidity within a day, for anything else", lo=0.5, hi=50)
    strict_type: float = limit(2, "", OWN_POLICY, "type of control for wood: 0 AA, 1 A1, 2 A2, 3 B, 4 C, 5 D", lo=0, hi=6)
    medium_type: float = limit(3, "", OWN_POLICY, "type of control for canvas, paper, boards and cloth", lo=0, hi=6)
    wide_type: float = limit(4, "", OWN_POLICY, "type of control for metal, glass, stone, ceramic and plastic", lo=0, hi=6)
    heat_distance_mm: float = limit(1000, "mm", OWN_POLICY, "least distance from a source of heat", lo=0, hi=10_000)
    step_rh: float = limit(15, "%", OWN_POLICY, "change of humidity that a work takes without a rest", lo=1, hi=100)
    wood_change_per_percent: float = limit(0.0033, "", _WOOD, "a panel's change of width per percent of moisture", lo=0.0005, hi=0.01)
    wood_mm_per_m: float = limit(4, "mm/m", OWN_POLICY, "the most that wood may move across the grain", lo=0.1, hi=100)
    sheet_mm_per_m: float = limit(2, "mm/m", OWN_POLICY, "the most that a sheet or board may move", lo=0.1, hi=100)
    paper_change: float = limit(0.12, "", OWN_POLICY, "movement of paper and card, mm per m and percent of humidity", lo=0.01, hi=1)
    board_change: float = limit(0.08, "", OWN_POLICY, "movement of fibreboard, mm per m and percent of humidity", lo=0.01, hi=1)
    plywood_change: float = limit(0.03, "", OWN_POLICY, "movement of plywood, mm per m and percent of humidity", lo=0.01, hi=1)
    air_temp_c: float = limit(21, "°C", OWN_POLICY, "the temperature at which moisture in wood is worked out", lo=0, hi=40)
