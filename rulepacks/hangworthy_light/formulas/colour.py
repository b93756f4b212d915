"""Colour difference: how far a colour has moved, and how that looks on the grey scale."""

import math
from collections.abc import Sequence
from typing import Final

from hangworthy_handbook.checks import positive, within

JUST_NOTICEABLE: Final = 1.7
_TO_THE_7: Final = 25.0**7
# Colour difference -> step of the grey scale, 5 no change to 1 the most.
_GREY_SCALE: Final = (
    (0.0, 5.0),
    (0.8, 4.5),
    (1.7, 4.0),
    (2.5, 3.5),
    (3.4, 3.0),
    (4.8, 2.5),
    (6.8, 2.0),
    (9.6, 1.5),
    (13.6, 1.0),
)


def _hue(a: float, b: float) -> float:
    return math.degrees(math.atan2(b, a)) % 360.0


def _weight(chroma: float) -> float:
    return math.sqrt(chroma**7 / (chroma**7 + _TO_THE_7))


def _hue_step(h1: float, h2: float, grey: bool) -> float:
    """Return the way from one hue to the other, the short way round [deg]."""
    if grey:
        return 0.0
    step = h2 - h1
    return step - 360.0 if step > 180.0 else step + 360.0 if step < -180.0 else step


def _mean_hue(h1: float, h2: float, grey: bool) -> float:
    if grey:
        return h1 + h2
    if abs(h1 - h2) <= 180.0:
        return (h1 + h2) / 2.0
    return (h1 + h2 + 360.0) / 2.0 if h1 + h2 < 360.0 else (h1 + h2 - 360.0) / 2.0


def _cos(degrees: float) -> float:
    return math.cos(math.radians(degrees))


def _parts(lightness: float, chroma: float, hue: float, steps: tuple[float, float, float]) -> float:
    """Return the difference from its three parts, weighted where they lie in colour space."""
    t = 1.0 - 0.17 * _cos(hue - 30.0) + 0.24 * _cos(2.0 * hue) + 0.32 * _cos(3.0 * hue + 6.0) - 0.20 * _cos(4.0 * hue - 63.0)
    away = (lightness - 50.0) ** 2
    dl = steps[0] / (1.0 + 0.015 * away / math.sqrt(20.0 + away))
    dc = steps[1] / (1.0 + 0.045 * chroma)
    dh = steps[2] / (1.0 + 0.015 * chroma * t)
    turn = -math.sin(math.radians(60.0 * math.exp(-(((hue - 275.0) / 25.0) ** 2)))) * 2.0 * _weight(chroma)
    return math.sqrt(max(0.0, dl * dl + dc * dc + dh * dh + turn * dc * dh))


def colour_difference(before: Sequence[float], after: Sequence[float]) -> float:
    """Colour difference CIEDE2000 between two CIELAB colours.

    Parameters
    ----------
    before, after : L*, a*, b* [-]

    Returns: difference, unweighted (kL = kC = kH = 1) [-]

    Validity: small differences; L* 0 to 100, a* and b* within 200 of grey. Errors: ValueError outside of it.
    Source: ISO/CIE 11664-6; test pairs of Sharma, Wu and Dalal (2005) (from memory).
    Rows: DE-01, DE-02, DE-04, DE-07, DE-09, DE-13, DE-17, DE-18, DE-19, DE-20, DE-21, DE-25, DE-26, DE-33, DE-34.
    """
    for colour in (before, after):
        within("L*", colour[0], 0.0, 100.0)
        within("a*", colour[1], -200.0, 200.0)
        within("b*", colour[2], -200.0, 200.0)
    (l1, a1, b1), (l2, a2, b2) = before, after
    stretch = 1.5 - 0.5 * _weight((math.hypot(a1, b1) + math.hypot(a2, b2)) / 2.0)
    c1, c2 = math.hypot(a1 * stretch, b1), math.hypot(a2 * stretch, b2)
    h1, h2 = _hue(a1 * stretch, b1), _hue(a2 * stretch, b2)
    grey = c1 * c2 == 0.0
    across = 2.0 * math.sqrt(c1 * c2) * math.sin(math.radians(_hue_step(h1, h2, grey)) / 2.0)
    return _parts((l1 + l2) / 2.0, (c1 + c2) / 2.0, _mean_hue(h1, h2, grey), (l2 - l1, c2 - c1, across))


def grey_scale_step(difference: float) -> float:
    """Step of the grey scale for change of colour that a colour difference looks like.

    Parameters
    ----------
    difference : colour difference [-]

    Returns: 5 (no change) to 1 (the most), in proportion between the printed steps [-]

    Validity: the steps are printed in CIELAB differences; 13.6 and more is 1. Errors: ValueError below 0.
    Source: ISO 105-A02 (from memory, but for step 4).
    Rows: L-11, GS-1, GS-2, GS-3, GS-4, GS-5, GS-6, GS-7, GS-8.
    """
    within("difference", difference, 0.0, math.inf)
    low, upper = _GREY_SCALE[0]
    for high, lower in _GREY_SCALE[1:]:
        if difference <= high:
            return upper + (lower - upper) * (difference - low) / (high - low)
        low, upper = high, lower
    return 1.0


def fade_difference(dose_lx_h: float, fade_dose_lx_h: float) -> float:
    """Colour difference to expect of a dose: as many times the just-noticeable one as the dose is of the fade dose.

    Parameters
    ----------
    dose_lx_h : light [lx h]
    fade_dose_lx_h : dose of a just-noticeable fade [lx h]

    Returns: colour difference [-]

    Validity: the first steps of fading, which is fastest at first; later it slows down and this reads high.
    Errors: ValueError for a negative dose, or a fade dose that is not above 0.
    Source: 1.7 for grey scale 4, ISO 105-A02, as the just-noticeable fade.
    Rows: L-11b, L-11c.
    """
    within("dose_lx_h", dose_lx_h, 0.0, math.inf)
    positive("fade_dose_lx_h", fade_dose_lx_h)
    return JUST_NOTICEABLE * dose_lx_h / fade_dose_lx_h
