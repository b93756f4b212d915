"""Fading: the dose that makes a just-noticeable fade, by Blue Wool step and by how much ultraviolet comes with the light."""

import math
from typing import Final

from hangworthy_handbook.checks import positive, within

# Mlx h to a just-noticeable fade of the ISO Blue Wools 1 to 8.
UV_REMOVED: Final = (0.3, 1.0, 3.0, 10.0, 30.0, 100.0, 300.0, 1100.0)
UV_RICH: Final = (0.22, 0.6, 1.5, 3.5, 8.0, 20.0, 50.0, 120.0)
SLOWEST: Final = 8.0


def _between(table: tuple[float, ...], rating: float) -> float:
    """Return the table's figure; between two steps in proportion of their logarithms, since each step is a factor."""
    within("rating", rating, 1.0, SLOWEST)
    lower = min(int(rating), len(table) - 1)
    low, high = table[lower - 1], table[lower]
    return high if rating == SLOWEST else low * math.pow(high / low, rating - lower)


def fade_dose(rating: float, uv_share: float = 0.0) -> float:
    """Dose that makes a just-noticeable fade.

    Parameters
    ----------
    rating : step on the Blue Wool scale, 1 (fades first) to 8; between two steps by their logarithms [-]
    uv_share : 0 where ultraviolet is removed, 1 where it is as rich as in daylight through glass; between, the rates of
        fading are added in proportion [ratio]

    Returns: dose [lx h]

    Validity: ISO Blue Wools; a work's colours only as far as their step is known, and each step is a factor of 2 to 3.
    Errors: ValueError for a rating outside 1 to 8 or a share outside 0 to 1.
    Source: CCI, Agent of deterioration: light, Table 3 (from memory).
    Rows: L-07a, L-07b, L-07c, L-07d, L-07e, L-07f, L-07g, L-07h, L-08a, L-08b, L-08c, L-08d, L-08e, L-08f, L-08g,
        L-08h, L-06a, L-06b.
    """
    within("uv_share", uv_share, 0.0, 1.0)
    removed, rich = _between(UV_REMOVED, rating), _between(UV_RICH, rating)
    return 1e6 * removed / (1.0 - uv_share + uv_share * removed / rich)


def fade_years(dose_a_year_lx_h: float, rating: float, uv_share: float = 0.0) -> float:
    """Years until a just-noticeable fade.

    Parameters
    ----------
    dose_a_year_lx_h : light of a year [lx h]
    rating : step on the Blue Wool scale [-]
    uv_share : as in `fade_dose` [ratio]

    Returns: years [yr]

    Validity, source: as `fade_dose`. Errors: as it, and ValueError for a dose that is not above 0.
    Rows: WE-5-museum, WE-5-office, WE-5-clinic, WE-5-lobby, WE-5-museum-2, WE-5-office-2, WE-5-clinic-2, WE-5-lobby-2,
        WE-5-museum-3, WE-5-office-3, WE-5-clinic-3, WE-5-lobby-3, WE-5-museum-4, WE-5-office-4, WE-5-clinic-4,
        WE-5-lobby-4, WE-5-museum-6, WE-5-office-6, WE-5-clinic-6, WE-5-lobby-6.
    """
    positive("dose_a_year_lx_h", dose_a_year_lx_h)
    return fade_dose(rating, uv_share) / dose_a_year_lx_h


def uv_filter_gain(rating: float) -> float:
    """How many times longer a colour lasts when the ultraviolet of daylight is removed.

    Parameters
    ----------
    rating : step on the Blue Wool scale [-]

    Returns: gain, above 1 [ratio]

    Validity, errors: as `fade_dose`. It is small where colours are fugitive: filtering is no licence for more light.
    Source: ratio of the two columns of `fade_dose` (from memory).
    Rows: L-09a, L-09b, L-09c.
    """
    return fade_dose(rating, 0.0) / fade_dose(rating, 1.0)


def step_ratio(rating: float, uv_share: float = 0.0) -> float:
    """How many times the dose of a Blue Wool step the next step takes.

    Parameters
    ----------
    rating : the lower step, 1 to 7 [-]
    uv_share : as in `fade_dose` [ratio]

    Returns: ratio [ratio]

    Validity, errors: as `fade_dose`. Source: CCI, Agent of deterioration: light: a factor of 2 to 3.
    Rows: L-05a, L-05b, L-05c.
    """
    return fade_dose(rating + 1.0, uv_share) / fade_dose(rating, uv_share)


def uv_share(uv_uw_lm: float, rich_uw_lm: float) -> float:
    """Where light stands between no ultraviolet and that of daylight through glass.

    Parameters
    ----------
    uv_uw_lm : ultraviolet content of the light [uW/lm]
    rich_uw_lm : content that counts as rich [uW/lm]

    Returns: share, 1 at most [ratio]

    Validity: a linear reading between two points. Errors: ValueError for a negative content, or a rich one not above 0.
    Source: own policy. No row: no published scale between the two columns exists.
    """
    within("uv_uw_lm", uv_uw_lm, 0.0, float("inf"))
    positive("rich_uw_lm", rich_uw_lm)
    return min(1.0, uv_uw_lm / rich_uw_lm)
