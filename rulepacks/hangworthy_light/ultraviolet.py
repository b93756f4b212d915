"""How rich in ultraviolet the light is that reaches a work, between the least and the most that the known facts allow."""

from typing import NamedTuple

from hangworthy.contract import fact

from .formulas import uv_share
from .limits import LightLimits


class Ultraviolet(NamedTuple):
    """The ultraviolet as facts; None where it is not known."""

    uw_lm: float | None = fact("wall.uv_uw_lm", optional=True)
    filtered: bool | None = fact("wall.uv_filtered", optional=True)
    glazing: bool | None = fact("light.uv_glazing", optional=True)


def uv_range(limits: LightLimits, known: Ultraviolet) -> tuple[float, float, tuple[str, ...]]:
    """Return the least and the most share of rich daylight's ultraviolet, and the facts that would bring the two together.

    A measurement says more than a declared filter; a filter in the pane takes the rest away.
    """
    if known.glazing or (known.filtered and known.uw_lm is None):
        return 0.0, 0.0, ()
    if known.uw_lm is None:
        return 0.0, 1.0, ("wall.uv_uw_lm",)
    share = uv_share(known.uw_lm, limits.uv_rich_uw_lm)
    return (share, share, ()) if known.glazing is False or not share else (0.0, share, ("light.uv_glazing",))
