"""Sizes of sheets and of ready-made frames: the ISO series by their formula, the others by their tables."""

import math
from typing import Final

from hangworthy_handbook.checks import sides, within

_INCH: Final = 25.4  # [mm]
# The power of two of the short side of size 0, in metres; the long side of size n is the short side of size n - 1.
_SERIES: Final = {"A": -1 / 4, "B": 0.0, "C": -1 / 8}
_LARGEST_NUMBER: Final = 10
_UNTRIMMED: Final = {
    "RA0": (860, 1220), "RA1": (610, 860), "RA2": (430, 610), "RA3": (305, 430),
    "SRA0": (900, 1280), "SRA1": (640, 900), "SRA2": (450, 640), "SRA3": (320, 450),
}  # fmt: skip
_INCHES: Final = {
    "ANSI A": (8.5, 11), "ANSI B": (11, 17), "ANSI C": (17, 22), "ANSI D": (22, 34), "ANSI E": (34, 44),
    "ARCH A": (9, 12), "ARCH B": (12, 18), "ARCH C": (18, 24), "ARCH D": (24, 36), "ARCH E1": (30, 42), "ARCH E": (36, 48),
}  # fmt: skip
# Frames: museum mats and frames in inches (CCI Notes 11/5); retail frames in inches and in centimetres (trade custom, from memory).
_MUSEUM: Final = ((8, 10), (10, 12), (14, 18), (16, 22), (22, 28), (28, 36))
_RETAIL_INCHES: Final = ((8, 10), (11, 14), (16, 20), (18, 24), (20, 24), (24, 30), (24, 36))
_RETAIL_CM: Final = ((30, 40), (40, 50), (50, 70), (60, 80), (70, 100))


def _from_inches(short: float, long: float) -> tuple[float, float]:
    return round(short * _INCH, 6), round(long * _INCH, 6)


_FRAMES: Final[dict[str, tuple[tuple[float, float], ...]]] = {
    "museum": tuple(_from_inches(*one) for one in _MUSEUM),
    "retail-inches": tuple(_from_inches(*one) for one in _RETAIL_INCHES),
    "retail-cm": tuple((short * 10.0, long * 10.0) for short, long in _RETAIL_CM),
}


def iso_size(series: str, number: int) -> tuple[float, float]:
    """Trimmed size of a sheet of the A, B or C series, the short side first.

    Parameters
    ----------
    series : A, B or C [-]
    number : 0 to 10 [-]

    Returns: short side, long side [mm]

    Validity: floor(1000 * 2^x + 0.2) reproduces every printed size of the three series from 0 to 10.
    Errors: ValueError for another series or number. Source: ISO 216:2007 (A, B), ISO 269 (C).
    Rows: P-01-0, P-01-1, P-01-2, P-01-3, P-01-4, P-01-5, P-01-6, P-01-10, P-01-7, P-01-8, P-01-9, P-02-0, P-02-1, P-02-2, P-02-3,
        P-02-4, P-02-5, P-02-6, P-02-7, P-02-8, P-02-9, P-02-10, P-03-3, P-03-4, P-03-5, P-03-0, P-03-1, P-03-2, P-03-6, P-03-7.
    """
    if series not in _SERIES:
        raise ValueError(f"series should be A, B or C, but is {series!r}.")
    within("number", number, 0, _LARGEST_NUMBER)
    power = _SERIES[series] - number / 2
    return math.floor(1000 * 2**power + 0.2), math.floor(1000 * 2 ** (power + 0.5) + 0.2)


_TRIMMED: Final = tuple(iso_size(series, number) for series in "AB" for number in range(_LARGEST_NUMBER + 1))


def trimmed_tolerance(side_mm: float) -> float:
    """How far a side of a trimmed ISO sheet may be off its nominal length, either way.

    Parameters
    ----------
    side_mm : nominal length [mm]

    Returns: tolerance, plus and minus [mm]

    Validity: trimmed A and B sizes. Errors: ValueError for a length that is not above 0.
    Source: ISO 216:2007.
    Rows: P-04-150, P-04-151, P-04-600, P-04-601.
    """
    sides(side_mm, side_mm)
    if side_mm <= 150:
        return 1.5
    return 2.0 if side_mm <= 600 else 3.0


def is_trimmed_size(width_mm: float, height_mm: float) -> bool:
    """Whether a sheet measures as a trimmed A or B size, in either order of the sides, within the standard's tolerances.

    Parameters
    ----------
    width_mm, height_mm : the sides as measured [mm]

    Returns: yes or no

    Validity: A0 to A10, B0 to B10. Errors: ValueError for a side that is not above 0. Source: ISO 216:2007.
    Rows: P-04-A4-low, P-04-A4-high, P-04-A4-narrow, P-04-A4-long, P-04-A1-low, P-04-A1-high, P-04-A1-wide.
    """
    sheet = sides(width_mm, height_mm)
    return any(
        all(abs(side - nominal) <= trimmed_tolerance(nominal) for side, nominal in zip(sheet, size, strict=True)) for size in _TRIMMED
    )


def frame_tolerance(width_mm: float, height_mm: float) -> tuple[float, float]:
    """What a frame made for a sheet of this size must take beyond it, because such sheets may be cut that much larger.

    Parameters
    ----------
    width_mm, height_mm : inner size of the frame [mm]

    Returns: tolerance along the width, along the height; nought for a frame that is not exactly an A or B size [mm]

    Validity: frames named by their sheet. Errors: ValueError for a side that is not above 0. Source: ISO 216:2007.
    Rows: P-04-frame-A2, P-04-frame-A1, P-04-frame-other.
    """
    if sides(width_mm, height_mm) in _TRIMMED:
        return trimmed_tolerance(width_mm), trimmed_tolerance(height_mm)
    return 0.0, 0.0


def named_size(name: str) -> tuple[float, float]:
    """Size of a sheet that has no formula, the short side first: untrimmed ISO stock, US engineering and architectural sheets.

    Parameters
    ----------
    name : RA0 to RA3, SRA0 to SRA3, ANSI A to E, ARCH A to E or E1 [-]

    Returns: short side, long side [mm]

    Validity: nominal sizes; an inch is 25.4 mm. Errors: ValueError for another name.
    Source: ISO 217:2013; ANSI/ASME Y14.1; the ARCH series.
    Rows: P-05-RA0, P-05-RA1, P-05-RA2, P-05-RA3, P-05-SRA0, P-05-SRA1, P-05-SRA2, P-05-SRA3, P-06-A, P-06-B, P-06-C, P-06-D, P-06-E,
        P-07-B, P-07-D, P-07-E1, P-07-A, P-07-C, P-07-E.
    """
    if name in _UNTRIMMED:
        return _UNTRIMMED[name]
    if name not in _INCHES:
        raise ValueError(f"name should be one of {', '.join((*_UNTRIMMED, *_INCHES))}, but is {name!r}.")
    return _from_inches(*_INCHES[name])


def smallest_frame(width_mm: float, height_mm: float, series: str) -> tuple[float, ...]:
    """The ready-made frame of least area that holds a sheet, which may be turned.

    Parameters
    ----------
    width_mm, height_mm : the sheet [mm]
    series : museum, retail-inches or retail-cm [-]

    Returns: short side, long side of the frame [mm]; nothing when none is large enough

    Validity: nominal sizes; the sheet fits when no side is longer. Errors: ValueError for another series, or a side not above 0.
    Source: CCI Notes 11/5 (museum); trade custom, from memory (retail).
    Rows: P-08-8x10, P-08-10x12, P-08-14x18, P-08-16x22, P-08-22x28, P-08-28x36, P-08-turned, P-08-none, P-09-8x10, P-09-11x14,
        P-09-16x20, P-09-18x24, P-09-20x24, P-09-24x30, P-09-24x36, P-09-30x40, P-09-40x50, P-09-50x70, P-09-60x80, P-09-70x100.
    """
    if series not in _FRAMES:
        raise ValueError(f"series should be one of {', '.join(_FRAMES)}, but is {series!r}.")
    short, long = sides(width_mm, height_mm)
    holding = [one for one in _FRAMES[series] if short <= one[0] and long <= one[1]]
    return min(holding, key=lambda one: (one[0] * one[1], one)) if holding else ()
