"""The units a person may write, their exact factors, and the unit that a field's name ends in.

All factors are exact fractions, so that "63 in" is 1600.2 mm to the last bit. Sources:

* inch = 25.4 mm and pound = 0.45359237 kg exactly: international yard and pound agreement, 1959.
* standard gravity 9.80665 m/s2 exactly, and all derived customary units: NIST SP 811 (2008), appendix B.
* kelvin, Celsius and Fahrenheit: SI brochure, 9th edition, 2.3.1; NIST SP 811, appendix B.9.
* year = 365.25 d (Julian year); month = a twelfth of it, 30.4375 d, so that twelve months are one year.
"""

from __future__ import annotations

import math
from fractions import Fraction
from functools import cache
from typing import Final, NamedTuple

__all__ = ["EXAMPLES", "Unit", "example_of", "field_unit", "find_unit", "show_quantity", "unit_of", "units_accepted"]

_INCH: Final = Fraction("25.4")  # mm
_POUND: Final = Fraction("0.45359237")  # kg
_OUNCE: Final = _POUND / 16
_POUND_FORCE: Final = _POUND * Fraction("9.80665")  # N
_SQUARE_FOOT: Final = Fraction("0.09290304")  # m2
_MONTH: Final = Fraction("365.25") / 12  # d
_NINTHS: Final = Fraction(5, 9)  # one degree Fahrenheit, in kelvin


class Unit(NamedTuple):
    """One unit: ``base value = number * factor + offset``; the base is the first unit of the dimension."""

    symbol: str
    dimension: str
    factor: Fraction
    offset: Fraction = Fraction(0)


# Dimension, as an error sentence names it -> rows of (factor to the first unit, spellings; the first one is shown).
_TABLE: Final[dict[str, tuple[tuple[Fraction | str | int, str], ...]]] = {
    "a length": (
        (1, "mm|mms|millimetre|millimetres|millimeter|millimeters|millimetern"),
        (10, "cm|cms|centimetre|centimetres|centimeter|centimeters|zentimeter|zentimetern"),
        (1000, "m|metre|metres|meter|meters|metern"),
        (_INCH, "in|inch|inches|\"|''|zoll"),
        (12 * _INCH, "ft|foot|feet|'|fuß|fuss"),
        (100, "dm|decimetre|decimetres|decimeter|decimeters|dezimeter|dezimetern"),
        ("0.001", "µm|um|micron|microns|micrometre|micrometres|micrometer|micrometers|mikrometer"),
    ),
    "a weight": (
        (1, "kg|kgs|kilo|kilos|kilogram|kilograms|kilogramm"),
        ("0.001", "g|gram|grams|gramme|grammes|gramm"),
        (_POUND, "lb|lbs|pound|pounds"),
        (_OUNCE, "oz|ounce|ounces"),
    ),
    "a percentage": ((1, "%|percent|per cent|% rh|%rh|percent rh|prozent"),),
    "a temperature": (
        (1, "°C|C|deg C|degC|degrees C|degrees Celsius|Celsius|Grad|Grad C|Grad Celsius"),
        (_NINTHS, "°F|F|deg F|degF|degrees F|degrees Fahrenheit|Fahrenheit|Grad Fahrenheit"),
        (1, "K|kelvin"),
    ),
    "a temperature difference": (
        (1, "K|kelvin|kelvins"),
        (1, "°C|C|deg C|degC|degrees C|degrees Celsius|Celsius|Grad|Grad C|Grad Celsius"),
        (_NINTHS, "°F|F|deg F|degF|degrees F|degrees Fahrenheit|Fahrenheit|Grad Fahrenheit"),
    ),
    "a force": (
        (1, "N|newton|newtons"),
        (1000, "kN|kilonewton|kilonewtons"),
        ("9.80665", "kgf|kp"),
        (_POUND_FORCE, "lbf"),
    ),
    "a tension": (
        (1, "N/m"),
        (100, "N/cm"),
        (1000, "kN/m|N/mm"),
        (_POUND_FORCE / _INCH * 1000, "lbf/in|lbf/inch"),
    ),
    "a weight per area": (
        (1, "kg/m2|kg/sqm|kg/qm"),
        ("0.001", "g/m2|gsm|g/sqm|g/qm"),
        (_OUNCE / (9 * _SQUARE_FOOT), "oz/yd2|oz/sqyd"),
        (_POUND / _SQUARE_FOOT, "lb/ft2|lbs/ft2|lb/sqft|psf"),
    ),
    "a frequency": ((1, "Hz|hertz"), (1000, "kHz|kilohertz")),
    "a length of time": (
        (1, "d|day|days|tag|tage|tagen"),
        (7, "wk|week|weeks|woche|wochen"),
        (_MONTH, "mo|month|months|monat|monate|monaten"),
        (12 * _MONTH, "yr|yrs|y|year|years|jahr|jahre|jahren"),
        (Fraction(1, 24), "h|hr|hrs|hour|hours|std|stunde|stunden"),
        (Fraction(1, 1440), "min|mins|minute|minutes|minuten"),
    ),
    "an angle": ((1, "°|deg|degs|degree|degrees|grad"),),
    "a light level": (
        (1, "lx|lux"),
        (1000, "klx|klux|kilolux"),
        (1 / _SQUARE_FOOT, "fc|ftc|foot candle|foot candles"),
    ),
    "a light dose": ((1, "lx h|lux h|lux hour|lux hours|lxh|luxstunde|luxstunden"), (1000, "klx h|klux h|klux hours|klxh|kiloluxstunden")),
    "a pressure": (
        (1, "MPa|megapascal|megapascals"),
        (1000, "GPa|gigapascal|gigapascals"),
        ("0.001", "kPa|kilopascal|kilopascals"),
        (_POUND_FORCE / _INCH**2, "psi|lbf/in2"),
    ),
    "a density": ((1, "kg/m3"), (1000, "g/cm3"), ("0.001", "g/m3")),
    "an area": (
        (1, "m2|sqm|square metre|square metres|square meter|square meters|qm|quadratmeter|quadratmetern"),
        ("0.0001", "cm2|sqcm|square centimetre|square centimetres|square centimeter|square centimeters|qcm|quadratzentimeter"),
        (_SQUARE_FOOT, "ft2|sqft|square foot|square feet"),
        (_SQUARE_FOOT / 144, "in2|sqin|square inch|square inches"),
    ),
    "a slope": ((1, "mm/m"), (1000 / Fraction(12), "in/ft|\"/'")),
    "a UV content": ((1, "µW/lm|uW/lm|microwatt/lumen|microwatts/lumen"),),
    "an irradiance": ((1, "W/m2|watt/m2|watts/m2"),),
    "a number of pixels": ((1, "px|pixel|pixels"),),
    "a resolution": ((1, "ppi|dpi|px/in"),),
}
_OFFSETS: Final = {"°F": -32 * _NINTHS, "K": Fraction("-273.15")}

EXAMPLES: Final[dict[str, str]] = {
    "mm": '"61 cm", "24 1/2 in" or 610',
    "cm": '"61 cm", "24 1/2 in" or 61',
    "m": '"1.2 m", "4 ft" or 1.2',
    "kg": '"2.4 kg", "5 lb 4 oz" or 2.4',
    "g": '"350 g", "12 oz" or 350',
    "%": '"45 %", "45 ± 5" or 45',
    "°C": '"21 °C", "70 °F" or 21',
    "K": '"2 K", "4 °F" or 2',
    "N": '"20 N", "2 kgf" or 20',
    "N/m": '"200 N/m", "2 N/cm" or 200',
    "kg/m2": '"0.3 kg/m2", "300 gsm" or 0.3',
    "g/m2": '"300 gsm", "9 oz/yd2" or 300',
    "Hz": '"40 Hz", "40 ± 2" or 40',
    "d": '"10 days", "6 weeks" or 10',
    "h": '"8 h", "90 min" or 8',
    "yr": '"5 years", "18 months" or 5',
    "°": '"30°", "30 deg" or 30',
    "lx": '"50 lx", "5 fc" or 50',
    "lx h": '"15000 lx h", "15 klx h" or 15000',
    "MPa": '"30 MPa", "4000 psi" or 30',
    "GPa": '"3 GPa", "3000 MPa" or 3',
    "kg/m3": '"1190 kg/m3", "1.19 g/cm3" or 1190',
    "m2": '"0.5 m2", "6 sq ft" or 0.5',
    "mm/m": '"2 mm/m", "2 ± 0.5" or 2',
    "µW/lm": '"30 µW/lm", "30 ± 5" or 30',
    "W/m2": '"5 W/m2", "5 ± 1" or 5',
    "px": '"3000 px" or 3000',
    "ppi": '"300 ppi", "300 dpi" or 300',
}

_SUFFIXES: Final[dict[str, str]] = (
    {name: name for name in ("mm", "cm", "m", "kg", "g", "lx", "px", "ppi", "m2")}
    | {"n": "N", "k": "K", "c": "°C", "hz": "Hz", "mpa": "MPa", "gpa": "GPa", "deg": "°", "percent": "%", "dpi": "ppi"}
    | {"n_m": "N/m", "kg_m2": "kg/m2", "g_m2": "g/m2", "w_m2": "W/m2", "kg_m3": "kg/m3", "g_m3": "g/m3"}
    | {"days": "d", "hours": "h", "h": "h", "years": "yr", "lx_h": "lx h", "lx_hours": "lx h"}
    | {"mm_per_m": "mm/m", "uw_lm": "µW/lm"}
)
# Words that, before a length or an area, make a unit that is not listed ("bar_kg_m"), or a rate ("threads_per_cm").
_COMPOSING: Final = {"per", "kg", "mm", "cm", "lx", "px", "w", "percent"}
_SUPERSCRIPTS: Final = str.maketrans("23", "²³")
_MEANINGLESS: Final = str.maketrans({"^": "", ".": "", " ": "", "²": "2", "³": "3", "μ": "µ"})


def _key(spelling: str) -> str:
    """Spelling without the marks that carry no meaning: "sq. ft" and "sqft", "kg per m^2" and "kg/m2" are one."""
    return spelling.replace(" per ", "/").translate(_MEANINGLESS)


def _index() -> dict[str, dict[str, Unit]]:
    index: dict[str, dict[str, Unit]] = {}
    for dimension, rows in _TABLE.items():
        known = index[dimension] = {}
        for factor, spellings in rows:
            names = spellings.split("|")
            offset = _OFFSETS.get(names[0], Fraction(0)) if dimension == "a temperature" else Fraction(0)
            unit = Unit(names[0], dimension, Fraction(factor), offset)
            # setdefault: the exact spelling is the one in the table; its lower case only fills a free place.
            known.update((_key(name), unit) for name in names)
            for name in names:
                known.setdefault(_key(name).lower(), unit)
    return index


_UNITS: Final = _index()
# A field's unit is a symbol from the table; where two dimensions share one, the difference owns "K".
_FIELDS: Final = {
    unit.symbol: unit
    for dimension in sorted(_UNITS, key=lambda name: name == "a temperature difference")
    for unit in _UNITS[dimension].values()
    if not (dimension == "a temperature difference" and unit.symbol != "K")
}


def field_unit(unit: str) -> Unit:
    """The unit that a field is stored in; one that is not in the table stands alone, as its own dimension."""
    if unit in _FIELDS:
        return _FIELDS[unit]
    for known in _UNITS.values():
        if found := known.get(_key(unit)):
            return found
    return Unit(unit, f"a number in {unit}" if unit else "a plain number", Fraction(1))


def find_unit(spelling: str, field: Unit) -> Unit | None:
    """The unit a person wrote, looked for in the field's own dimension first, then in the others; None if unknown.

    Case is forgiven only where a whole word is in one style ("MM", "Kg", "mpa"): "mPa" is not a "MPa".
    """
    exact = _key(spelling)
    if exact == _key(field.symbol):
        return field
    styles = (spelling.lower(), spelling.upper(), spelling.capitalize(), spelling.title())
    keys = (exact, _key(spelling.lower())) if spelling in styles else (exact,)
    for dimension in (field.dimension, *_UNITS):
        for key in keys:
            if found := _UNITS.get(dimension, {}).get(key):
                return found
    return None


def example_of(unit: str) -> str:
    """A right example for a field in `unit`, for the end of a sentence that starts with "write"."""
    unit = field_unit(unit).symbol
    return EXAMPLES.get(unit) or (f'"12 {unit}" or 12' if unit else "12 or 12.5")


def unit_of(field_name: str) -> str | None:
    """The unit that a field's name ends in: "width_mm" -> "mm", "areal_mass_kg_m2" -> "kg/m2"; None if it has none.

    The longest suffix counts. A rate that is not listed ("threads_per_cm") has no unit here, rather than a wrong one.
    """
    words = field_name.split("_")
    for start in range(max(1, len(words) - 3), len(words)):
        if (unit := _SUFFIXES.get("_".join(words[start:]))) and any(words[:start]):
            return None if words[start - 1] in _COMPOSING else unit
    return None


def units_accepted(unit: str) -> tuple[str, ...]:
    """The units a person may write in a field stored in `unit`, one spelling each, the field's own first."""
    field = field_unit(unit)
    symbols = [spellings.split("|")[0] for _, spellings in _TABLE.get(field.dimension, ())]
    return tuple(dict.fromkeys((field.symbol, *symbols)))


def show_quantity(value: float, unit: str, digits: int = 3) -> str:
    """Number and unit for a sentence: "6 mm", "1600 mm", "45 %", "0.5°", "0.3 kg/m²".

    Three significant digits, or as many as are asked for, but whole digits are never rounded away: 1234.4 mm shows as "1234 mm".
    From 10,000 on, thousands are parted by commas; below nought stands a true minus sign. No trailing zeros, no "−0", and no exponent
    between a millionth and 1e15. Rounding residue below 1e-9 shows as "0".
    """
    # Three digits of an ordinary size are what nearly every sentence shows, so they take the short way.
    text = f"{value:.3g}" if digits == 3 and 1e-3 <= value < 999 else _plain(value, digits).replace("-", _MINUS, value < 0)
    return text + (_ONE[unit] if text == "1" and unit in _ONE else _shown_unit(unit))


_MINUS, _PARTED_FROM = "−", 10_000
# Times are read aloud in words; every other unit is read from its sign.
_ONE = {"d": " day", "h": " hour", "yr": " year"}


@cache
def _shown_unit(unit: str) -> str:
    """A unit as it stands behind a number; cached, since every sentence asks and there are few units."""
    if unit in _ONE:
        return _ONE[unit] + "s"
    name = unit if unit.isalpha() else unit.translate(_SUPERSCRIPTS)
    return name if unit in ("", "°") else " " + name


def _plain(value: float, digits: int) -> str:
    size = abs(value)
    if 1e-3 <= size < 999:  # the ordinary sizes, where three digits need no exponent
        return f"{value:.{digits}g}"
    if not math.isfinite(value):
        return str(value)
    if size < 1e-9:
        return "0"
    if not 1e-6 <= size < 1e15:
        return f"{value:.{digits}g}"
    decimals = max(0, digits - 1 - math.floor(math.log10(size)))
    parted = "," if round(size, decimals) >= _PARTED_FROM else ""
    text = f"{value:{parted}.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
