"""The thresholds of this pack. Doses and levels of the classes are from memory: set your own edition's figures at the venue."""

from hangworthy.contract import OWN_POLICY, Limits, limit, published

from .formulas import illuminance_limit, yearly_limit
from .formulas.colour import JUST_NOTICEABLE
from .formulas.dose import SUN_LX

CIE_157 = published("CIE 157:2004", "limiting illuminance and exposure by responsivity", from_memory=True)
ULTRAVIOLET = published("Museum lighting practice (CIBSE, CCI)", "traditional limit of ultraviolet content", from_memory=True)
GREY_SCALE = published("ISO 105-A02", "grey scale step 4, as a colour difference")
_SUN = published("Padfield, environmental standard proposal", "direct sun indoors")
PRINT_GUILD = published("Fine Art Trade Guild print standard, used with BS 7876:1996", "lightfastness of printed areas")


class LightLimits(Limits):
    """Limits of the light pack."""

    low_lx_h: float = limit(yearly_limit(1), "lx h", CIE_157, "light in a year for class R1", lo=1_000, hi=1e8)
    medium_lx_h: float = limit(yearly_limit(2), "lx h", CIE_157, "light in a year for class R2", lo=1_000, hi=1e8)
    high_lx_h: float = limit(yearly_limit(3), "lx h", CIE_157, "light in a year for class R3", lo=1_000, hi=1e8)
    low_lx: float = limit(illuminance_limit(1), "lx", CIE_157, "brightest light for class R1", lo=10, hi=10_000)
    medium_lx: float = limit(illuminance_limit(2), "lx", CIE_157, "brightest light for class R2", lo=10, hi=10_000)
    high_lx: float = limit(illuminance_limit(3), "lx", CIE_157, "brightest light for class R3", lo=10, hi=10_000)
    fade_steps: float = limit(1, "", OWN_POLICY, "just-noticeable fades that one stay may spend", lo=0.01, hi=20)
    fade_steps_in_all: float = limit(1, "", OWN_POLICY, "just-noticeable fades that a work may spend in all", lo=0.01, hi=50)
    uv_uw_lm: float = limit(
        75, "µW/lm", ULTRAVIOLET, "the most ultraviolet in the light; 10 is reached with filters or LED", lo=1, hi=1_000
    )
    uv_rich_uw_lm: float = limit(400, "µW/lm", OWN_POLICY, "ultraviolet that counts as rich, as in daylight through glass", lo=50, hi=5_000)
    sun_lx: float = limit(SUN_LX, "lx", _SUN, "direct sun indoors", lo=1_000, hi=150_000)
    colour_change: float = limit(JUST_NOTICEABLE, "", GREY_SCALE, "colour difference that is just noticed (CIEDE2000)", lo=0.1, hi=20)
    print_rating: float = limit(6, "", PRINT_GUILD, "least Blue Wool step of all printed areas", lo=1, hi=8)

    def yearly(self, responsivity: int) -> float:
        """Return the light that a class may have in a year [lx h]."""
        return (self.low_lx_h, self.medium_lx_h, self.high_lx_h)[responsivity - 1]

    def brightest(self, responsivity: int) -> float:
        """Return the brightest light for a class [lx]."""
        return (self.low_lx, self.medium_lx, self.high_lx)[responsivity - 1]
