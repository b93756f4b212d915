"""Quantities as people write them: tables of good and bad text, and properties that hold for any text.

Conversion factors below are written out from memory of the sources named beside them, not read from the code:
international yard and pound agreement (1959), NIST SP 811 (2008) appendix B, SI brochure (9th edition).
"""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from hangworthy.contract import quantities, show_apart, units
from hangworthy.contract.quantities import (
    EXAMPLES,
    Measured,
    QuantityError,
    parse_quantity,
    read_quantity,
    show_quantity,
    unit_of,
    units_accepted,
)

# Exact in float terms: the text, the field's unit, the value.
EXACT = [
    # numbers
    ("36", "mm", 36.0),
    ("36.5", "mm", 36.5),
    ("36,5", "mm", 36.5),
    ("36.", "mm", 36.0),
    (".5", "mm", 0.5),
    (",5", "mm", 0.5),
    ("0,125", "mm", 0.125),
    ("0.125", "mm", 0.125),
    ("1.125", "mm", 1.125),
    ("1,2345", "mm", 1.2345),
    ("1 200", "mm", 1200.0),
    ("1\u202f200", "mm", 1200.0),
    ("1\u00a0200", "mm", 1200.0),
    ("1\u2009200,5", "mm", 1200.5),
    ("1 200,500", "mm", 1200.5),
    ("12 345 678", "mm", 12345678.0),
    ("1,234.5", "mm", 1234.5),
    ("1.234,5", "mm", 1234.5),
    ("1,234,567", "mm", 1234567.0),
    ("1e3", "mm", 1000.0),
    ("1.5E-3 m", "mm", 1.5),
    ("2,5e2", "mm", 250.0),
    ("1e-999", "mm", 0.0),
    ("1/2", "mm", 0.5),
    ("36 1/2", "mm", 36.5),
    ("36-1/2", "mm", 36.5),
    ("36½", "mm", 36.5),
    ("36 ½", "mm", 36.5),
    ("36-½", "mm", 36.5),
    ("½", "mm", 0.5),
    ("2¼", "mm", 2.25),
    ("2¾", "mm", 2.75),
    ("2⅛", "mm", 2.125),
    ("2⅜", "mm", 2.375),
    ("2⅝", "mm", 2.625),
    ("2⅞", "mm", 2.875),
    ("⅓", "mm", 1 / 3),
    ("⅔", "mm", 2 / 3),
    ("1⁄2", "mm", 0.5),
    ("1 200 1/2", "mm", 1200.5),
    ("  7  ", "mm", 7.0),
    ("61", "mm", 61.0),
    ("+3", "°C", 3.0),
    ("-3", "°C", -3.0),
    ("−3.5", "°C", -3.5),
    ("- 3", "°C", -3.0),
    ("-1/2", "°C", -0.5),
    # lengths; inch = 25.4 mm exactly (1959 agreement; NIST SP 811 B.8)
    ("36 1/2 in", "mm", 927.1),
    ("63 in", "mm", 1600.2),
    ("63″", "mm", 1600.2),
    ("63”", "mm", 1600.2),
    ('63"', "mm", 1600.2),
    ("63''", "mm", 1600.2),
    ("63′′", "mm", 1600.2),
    ("63 inches", "mm", 1600.2),
    ("63 IN", "mm", 1600.2),
    ("63in.", "mm", 1600.2),
    ("1 Zoll", "mm", 25.4),
    ("5 ft", "mm", 1524.0),
    ("5'", "mm", 1524.0),
    ("5′", "mm", 1524.0),
    ("5’", "mm", 1524.0),
    ("1 foot", "mm", 304.8),
    ("5' 3\"", "mm", 1600.2),
    ("5'3\"", "mm", 1600.2),
    ("5′ 3″", "mm", 1600.2),
    ("5' 3''", "mm", 1600.2),
    ("5'-3\"", "mm", 1600.2),
    ("5' 3", "mm", 1600.2),
    ("5 ft 3 in", "mm", 1600.2),
    ("5ft3in", "mm", 1600.2),
    ("5 ft 3 1/2 in", "mm", 1612.9),
    ("5' 3½\"", "mm", 1612.9),
    ("5' 3-1/2\"", "mm", 1612.9),
    ("-5' 3\"", "mm", -1600.2),
    ("1 m 20 cm", "mm", 1200.0),
    ("1,2 m", "mm", 1200.0),
    ("90 cm", "mm", 900.0),
    ("90 CM", "mm", 900.0),
    ("90cm.", "mm", 900.0),
    ("9 dm", "mm", 900.0),
    ("12 MM", "mm", 12.0),
    ("250 µm", "mm", 0.25),  # micro sign
    ("250 μm", "mm", 0.25),  # Greek letter
    ("250 um", "mm", 0.25),
    ("12 millimetres", "mm", 12.0),
    ("24 1/2 in", "cm", 62.23),
    ("４０　ｃｍ", "mm", 400.0),  # full-width, as Japanese keyboards write
    # weights; pound = 0.45359237 kg exactly (1959 agreement)
    ("2.4 kg", "kg", 2.4),
    ("2,4kg", "kg", 2.4),
    ("2.4 KG", "kg", 2.4),
    ("350 g", "kg", 0.35),
    ("1 lb", "kg", 0.45359237),
    ("2 lbs", "kg", 0.90718474),
    ("10 pounds", "kg", 4.5359237),
    ("16 oz", "kg", 0.45359237),
    ("1 lb 8 oz", "kg", 0.680388555),
    ("1 kg", "g", 1000.0),
    # percentages
    ("45", "%", 45.0),
    ("45 %", "%", 45.0),
    ("45%", "%", 45.0),
    ("45 percent", "%", 45.0),
    ("45 % RH", "%", 45.0),
    # temperatures; t/°F = 1.8 t/°C + 32 and T/K = t/°C + 273.15 (SI brochure 2.3.1; NIST SP 811 B.9)
    ("21 °C", "°C", 21.0),
    ("21 C", "°C", 21.0),
    ("21 c", "°C", 21.0),
    ("21℃", "°C", 21.0),
    ("21 ºC", "°C", 21.0),
    ("68 °F", "°C", 20.0),
    ("68 F", "°C", 20.0),
    ("-40 °F", "°C", -40.0),
    ("293.15 K", "°C", 20.0),
    ("20 degrees Celsius", "°C", 20.0),
    ("2 K", "K", 2.0),
    ("2 °C", "K", 2.0),
    ("9 °F", "K", 5.0),
    # forces and tensions; g = 9.80665 m/s2 (NIST SP 811 B.8)
    ("20 N", "N", 20.0),
    ("0.02 kN", "N", 20.0),
    ("1 kgf", "N", 9.80665),
    ("1 lbf", "N", 4.4482216152605),
    ("200 N/m", "N/m", 200.0),
    ("2 N/cm", "N/m", 200.0),
    ("0.2 kN/m", "N/m", 200.0),
    # the rest
    ("0.3 kg/m²", "kg/m2", 0.3),
    ("0.3 kg/m2", "kg/m2", 0.3),
    ("0.3 kg/m^2", "kg/m2", 0.3),
    ("0.3 kg per m2", "kg/m2", 0.3),
    ("300 g/m²", "kg/m2", 0.3),
    ("300 gsm", "kg/m2", 0.3),
    ("300 GSM", "kg/m2", 0.3),
    ("40 Hz", "Hz", 40.0),
    ("0.04 kHz", "Hz", 40.0),
    ("10 days", "d", 10.0),
    ("1 day", "d", 1.0),
    ("2 weeks", "d", 14.0),
    ("1 month", "d", 30.4375),
    ("12 months", "yr", 1.0),
    ("1 year", "d", 365.25),
    ("12 h", "d", 0.5),
    ("90 min", "h", 1.5),
    ("30°", "°", 30.0),
    ("30 deg", "°", 30.0),
    ("50 lx", "lx", 50.0),
    ("50 lux", "lx", 50.0),
    ("0.05 klx", "lx", 50.0),
    ("3000 MPa", "GPa", 3.0),
    ("3 GPa", "MPa", 3000.0),
    ("1190 kg/m³", "kg/m3", 1190.0),
    ("1.19 g/cm³", "kg/m3", 1190.0),
    ("0,5 m²", "m2", 0.5),
    ("5000 cm²", "m2", 0.5),
    ("1 ft²", "m2", 0.09290304),
    ("1 sq. ft", "m2", 0.09290304),
    ("2 mm/m", "mm/m", 2.0),
    ("2 mm per m", "mm/m", 2.0),
    ("30 µW/lm", "µW/lm", 30.0),
    ("30 uW/lm", "µW/lm", 30.0),
    ("30 microwatts per lumen", "µW/lm", 30.0),
    ("3000 px", "px", 3000.0),
    ("7", "", 7.0),
    ("7 sheets", "sheets", 7.0),
    ("30 deg", "deg", 30.0),  # a field's unit may be any known spelling
]

# Rounded in the source: the text, the field's unit, the value as printed (NIST SP 811, appendix B, from memory).
PRINTED = [
    ("1 oz", "kg", 2.834952e-2),
    ("1 oz/yd²", "kg/m2", 3.390575e-2),
    ("1 lbf/in", "N/m", 1.751268e2),
    ("1 lb/ft²", "kg/m2", 4.882428),
    ("1 fc", "lx", 1.076391e1),
    ("1 foot-candle", "lx", 1.076391e1),
    ("1 psi", "MPa", 6.894757e-3),
]

# Text, unit, value, half-width of the bounds; u is the half-width over the square root of three.
BOUNDS = [
    ("6 ± 1", "mm", 6.0, 1.0),
    ("6±1", "mm", 6.0, 1.0),
    ("6 +/- 1", "mm", 6.0, 1.0),
    ("6 +/− 1", "mm", 6.0, 1.0),
    ("6+-1", "mm", 6.0, 1.0),
    ("6 plus or minus 1", "mm", 6.0, 1.0),
    ("6 mm ± 1 mm", "mm", 6.0, 1.0),
    ("6 ± 1 mm", "mm", 6.0, 1.0),
    ("6 ± 1 cm", "mm", 60.0, 10.0),
    ("6 cm ± 1", "mm", 60.0, 10.0),
    ("6 cm ± 2 mm", "mm", 60.0, 2.0),
    ("6 ± 0", "mm", 6.0, 0.0),
    ("6 ± 1 200", "mm", 6.0, 1200.0),
    ("24 1/2 in ± 1/8", "mm", 622.3, 3.175),
    ('5\' 3" ± 1/4"', "mm", 1600.2, 6.35),
    ("5' 3\" ± 1", "mm", 1600.2, 25.4),
    ("4.2 kg ± 5 %", "kg", 4.2, 0.21),
    ("4.2 ± 5 %", "kg", 4.2, 0.21),
    ("50 ± 5 %", "%", 50.0, 5.0),
    ("50 % ± 5 %", "%", 50.0, 5.0),
    ("-10 K ± 5 %", "K", -10.0, 0.5),
    ("68 °F ± 9 °F", "°C", 20.0, 5.0),  # an uncertainty scales, and is not shifted
    ("20 °C ± 1 K", "°C", 20.0, 1.0),
    ("20 ± 1", "°C", 20.0, 1.0),
]

# Text, unit, what the message must say.
BAD = [
    ("", "mm", "Nothing is written here"),
    ("   ", "mm", "Nothing is written here"),
    ("hello", "mm", "not a measurement we can read"),
    ("inf", "mm", "not a measurement"),
    ("nan", "kg", "not a measurement"),
    ("-inf", "kg", "not a measurement"),
    ("mm", "mm", "not a measurement"),
    ("± 1", "mm", "not a measurement"),
    ("6 ±", "mm", "not a measurement"),
    ("6 ± 1 ± 2", "mm", "not a measurement"),
    ("--6", "mm", "not a measurement"),
    ("6 mm!", "mm", "not a measurement"),
    ("٣ mm", "mm", "not a measurement"),
    ("6 \u202emm", "mm", "\\u202e"),
    ("6 \x00mm", "mm", "\\u0000"),
    ("6 \ud800", "mm", "\\ud800"),
    ("9" * 61, "mm", "too long"),
    ("1e13", "mm", "far too large"),
    ("6 ± 1e13", "mm", "far too large"),
    ("1e10 m", "mm", "far too large"),
    ("1e99", "mm", "sensible range"),
    ("1e999999999", "mm", "sensible range"),
    ("1e-99999999", "mm", "sensible range"),
    ("1,200 mm", "mm", "please write 1200 or 1.2."),
    ("12,345", "mm", "please write 12345 or 12.345."),
    ("1,000", "mm", "please write 1000 or 1."),
    ("1,2,3", "mm", "points or commas"),
    ("1.2.3", "mm", "points or commas"),
    ("1.2,3.4", "mm", "points or commas"),
    ("24 x 36", "mm", "two measurements"),
    ("24x36 in", "mm", "two measurements"),
    ("24×36", "mm", "two measurements"),
    ('24"x36"', "mm", "two measurements"),
    ("24 by 36", "mm", "two measurements"),
    ("24 36", "mm", "two measurements"),
    ("24 cm 36 cm", "mm", "two measurements"),
    ("24/36", "mm", "two measurements"),
    ("60 x 80 x 2 cm", "mm", "two measurements"),
    ("5' 14\"", "mm", "two measurements"),
    ("5.5' 3\"", "mm", "two measurements"),
    ("1/0", "mm", "two measurements"),
    ("9/8", "mm", "below one"),
    ("36 3/2 in", "mm", "below one"),
    ("5-7 mm", "mm", "please write 6 ± 1 mm."),
    ("5–7 mm", "mm", "please write 6 ± 1 mm."),
    ("5 mm - 8 mm", "mm", "please write 6.5 ± 1.5 mm."),
    ("5 to 7", "mm", "please write 6 ± 1."),
    ("5 bis 7 cm", "mm", "please write 6 ± 1 cm."),
    ("5..7", "mm", "please write 6 ± 1."),
    ("7-5", "mm", "please write 6 ± 1."),
    ("-2 to 4 °C", "°C", "please write 1 ± 3 °C."),
    ("5 mm to 7 cm", "mm", "please write 37.5 ± 32.5 mm."),
    ("45-55 %", "%", "please write 50 ± 5 %."),
    ("5'-6", "mm", "is a range"),
    ("5-7 kg", "mm", "is a weight, but this is a length"),
    ("2 kg", "mm", "“2 kg” is a weight, but this is a length"),
    ("6 ± 1 kg", "mm", "is a weight, but this is a length"),
    ("6 mm ± 1 kg", "mm", "is a weight, but this is a length"),
    ("2 mm", "kg", "is a length, but this is a weight"),
    ("5 kg", "N", "is a weight, but this is a force"),
    ("20 °C", "%", "is a temperature, but this is a percentage"),
    ("5 °", "mm", "is an angle, but this is a length"),
    ("5 mm", "", "is a length, but this is a plain number"),
    ("5 m²", "mm", "is an area, but this is a length"),
    ("5 min", "mm", "is a length of time"),
    ("3 furlongs", "mm", "“furlongs”"),
    ("3 t", "kg", "“t”"),
    ("30 mPa", "MPa", "“mPa”"),  # a millipascal is not a megapascal
    ("20 mN", "N", "“mN”"),
    ("36²", "mm", "two measurements"),
    ("6 ± -1", "mm", "negative uncertainty"),
    ("20 °C ± 5 %", "°C", "a temperature cannot have"),
    ("~6", "mm", "only roughly known"),
    ("≈ 6", "mm", "only roughly known"),
    ("ca. 6 mm", "mm", "only roughly known"),
    ("Circa 6", "mm", "only roughly known"),
    ("about 6 mm", "mm", "only roughly known"),
    ("approx. 6 mm", "mm", "only roughly known"),
]

# "K" is left out of °C: as a field's unit it is a difference. The rows above prove it.
ROUND_TRIP = [
    (unit, other)
    for unit in EXAMPLES
    for other in units_accepted(unit)
    if units.field_unit(unit).dimension == units.field_unit(other).dimension
]


@pytest.mark.parametrize(("text", "unit", "value"), EXACT)
def test_reads_exactly(text: str, unit: str, value: float) -> None:
    assert parse_quantity(text, unit) == Measured(value, 0.0)


@pytest.mark.parametrize(("text", "unit", "value"), PRINTED)
def test_agrees_with_the_printed_factor(text: str, unit: str, value: float) -> None:
    # The source prints seven digits: half a unit of the last one is at most 5e-7 of the value.
    assert parse_quantity(text, unit).value == pytest.approx(value, rel=5e-7)


@pytest.mark.parametrize(("text", "unit", "value", "half"), BOUNDS)
def test_bounds_become_a_rectangular_distribution(text: str, unit: str, value: float, half: float) -> None:
    # JCGM 100:2008, 4.3.7: a quantity known only to lie within ±a has variance a²/3.
    measured = parse_quantity(text, unit)
    assert measured.value == value
    assert measured.u == pytest.approx(half / math.sqrt(3), rel=1e-12)


@pytest.mark.parametrize(("text", "unit", "says"), BAD)
def test_refuses_gently(text: str, unit: str, says: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_quantity(text, unit)
    assert says in str(caught.value)
    assert_gentle(str(caught.value))


def assert_gentle(message: str) -> None:
    """One full sentence, at most 25 words beside the input it quotes, and nothing unprintable."""
    quoted = re.findall("“(.*?)”", message)
    assert all(len(re.sub(r"\\u[0-9a-f]{4,6}", "?", part)) <= 40 for part in quoted)
    assert len(re.sub("“.*”", "it", message).split()) <= 25
    assert message.endswith(".")
    assert message.isprintable()
    assert "please write" in message or "please say" in message


@pytest.mark.parametrize("unit", sorted(EXAMPLES))
def test_examples_are_right(unit: str) -> None:
    *texts, number = re.findall(r'"[^"]*"|[0-9.]+$', EXAMPLES[unit])
    assert texts
    for text in texts:
        assert parse_quantity(text.strip('"'), unit).value > 0
    assert read_quantity(float(number), unit).value > 0
    assert unit == units_accepted(unit)[0]


def test_every_suggested_range_can_be_read() -> None:
    for text, unit in (
        ("5-7 mm", "mm"),
        ("5'-6'", "mm"),
        ("1/8 to 1/4 in", "mm"),
        ("4-5 days", "d"),
        ("20-30 F", "°C"),
    ):
        with pytest.raises(QuantityError) as caught:
            parse_quantity(text, unit)
        assert parse_quantity(str(caught.value).partition("please write ")[2].rstrip("."), unit).u > 0


@pytest.mark.parametrize("raw", [0, 1, -2.5, 10**12, 1e-300])
def test_numbers_pass_through(raw: float) -> None:
    assert read_quantity(raw, "mm") == Measured(float(raw), 0.0)


@pytest.mark.parametrize("raw", [True, False, math.inf, -math.inf, math.nan, 1.1e12, 10**400, None, [], b"6"])
def test_no_number_is_refused(raw: object) -> None:
    with pytest.raises(QuantityError) as caught:
        read_quantity(raw, "mm")  # type: ignore[arg-type]
    assert_gentle(str(caught.value))


def test_texts_are_read() -> None:
    assert read_quantity("6 ± 0 cm", "mm") == Measured(60.0, 0.0)


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        ("width_mm", "mm"),
        ("size_cm", "cm"),
        ("height_m", "m"),
        ("mass_kg", "kg"),
        ("sheet_g", "g"),
        ("areal_mass_kg_m2", "kg/m2"),
        ("paper_g_m2", "g/m2"),
        ("density_kg_m3", "kg/m3"),
        ("rh_percent", "%"),
        ("tap_hz", "Hz"),
        ("press_force_n", "N"),
        ("tension_n_m", "N/m"),
        ("bow_mm_per_m", "mm/m"),
        ("age_days", "d"),
        ("shown_hours", "h"),
        ("age_years", "yr"),
        ("temp_c", "°C"),
        ("swing_k", "K"),
        ("tilt_deg", "°"),
        ("area_m2", "m2"),
        ("sun_w_m2", "W/m2"),
        ("wall_lx", "lx"),
        ("dose_lx_h", "lx h"),
        ("dose_lx_hours", "lx h"),
        ("uv_uw_lm", "µW/lm"),
        ("strength_mpa", "MPa"),
        ("modulus_gpa", "GPa"),
        ("image_px", "px"),
        ("corner_gaps_mm", "mm"),
        ("gap_c_mm", "mm"),
        ("lux", None),
        ("mm", None),
        ("_mm", None),
        ("", None),
        ("title", None),
        ("made_in_year", None),
        ("threads_per_cm", None),
        ("bar_kg_m", None),
    ],
)
def test_unit_of_a_field(name: str, unit: str | None) -> None:
    assert unit_of(name) == unit
    assert unit is None or unit in EXAMPLES


@pytest.mark.parametrize(
    ("value", "unit", "shown"),
    [
        (6.0, "mm", "6 mm"),
        (1600.0, "mm", "1600 mm"),
        (1234.4, "mm", "1234 mm"),
        (45.0, "%", "45 %"),
        (0.5, "°", "0.5°"),
        (21.0, "°C", "21 °C"),
        (0.3, "kg/m2", "0.3 kg/m²"),
        (1190.0, "kg/m3", "1190 kg/m³"),
        (2 / 3, "mm", "0.667 mm"),
        (9.999, "mm", "10 mm"),
        (0.9996, "m", "1 m"),
        (0.00012345, "m", "0.000123 m"),
        (-2.5, "°C", "−2.5 °C"),
        (-1e-7, "m", "−1e-07 m"),
        (9999.0, "mm", "9999 mm"),
        (9999.6, "mm", "10,000 mm"),
        (15000.0, "lx h", "15,000 lx h"),
        (22835753.2, "lx h", "22,835,753 lx h"),
        (-12345.0, "K", "−12,345 K"),
        (-0.0, "kg", "0 kg"),
        (-1e-17, "kg", "0 kg"),
        (7.0, "", "7"),
        (1e12, "mm", "1,000,000,000,000 mm"),
        (1e20, "mm", "1e+20 mm"),
        (math.inf, "mm", "inf mm"),
        (math.nan, "mm", "nan mm"),
    ],
)
def test_shows(value: float, unit: str, shown: str) -> None:
    assert show_quantity(value, unit) == shown


@pytest.mark.parametrize(
    ("one", "other", "unit", "shown"),
    [
        (10.0, 10.02, "kg", ("10 kg", "10.02 kg")),
        (10.0, 12.0, "kg", ("10 kg", "12 kg")),
        (1234.4, 1234.0, "mm", ("1234.4 mm", "1234 mm")),
        (102.0, 102.0, "mm", ("102 mm", "102 mm")),
        (102.0, 102.0000001, "mm", ("102 mm", "102 mm")),
        (0.99951, 1.0, "d", ("0.9995 days", "1 day")),
        (0.0001234, 0.000123, "m", ("0.0001234 m", "0.000123 m")),
    ],
)
def test_two_figures_are_shown_apart(one: float, other: float, unit: str, shown: tuple[str, str]) -> None:
    assert show_apart(one, other, unit) == shown


@given(st.floats(), st.sampled_from([*EXAMPLES, "", "sheets"]))
def test_showing_never_fails(value: float, unit: str) -> None:
    shown = show_quantity(value, unit)
    assert shown.split(" ")[0] not in ("-0", "−0")
    if abs(value) <= 1e12:  # and what is shown can be read again, to its digits
        assert parse_quantity(shown.replace(",", ""), unit).value == pytest.approx(value, rel=0.005, abs=1e-9)


@given(st.floats(-1e6, 1e6).filter(lambda value: value == 0 or abs(value) > 1e-90), st.sampled_from(ROUND_TRIP))
def test_conversion_round_trip(value: float, pair: tuple[str, str]) -> None:
    unit, other = pair
    there = parse_quantity(f"{value!r} {unit}", other).value
    back = parse_quantity(f"{there!r} {other}", unit).value
    # Two roundings to double, 2.3e-16 each; the offset of °F costs digits near zero.
    assert back == pytest.approx(value, rel=1e-15, abs=1e-12)


@given(st.integers(0, 99), st.integers(0, 11), st.integers(0, 7))
def test_feet_inches_and_eighths_are_exact(feet: int, inches: int, eighths: int) -> None:
    tenths_of_um = (feet * 12 * 8 + inches * 8 + eighths) * 31750  # an eighth of an inch is 3.175 mm
    assert parse_quantity(f"{feet}' {inches} {eighths}/8\"", "mm").value == tenths_of_um / 10000


_PIECES = st.sampled_from(
    [
        *"0123456789 .,/+-±~x'\"°%e½²",
        "1/2",
        " mm",
        " kg",
        "cm",
        "in",
        "ft",
        " to ",
        "+/-",
        "\u202e",
        "\u202f",
        "m2",
        "1e9",
    ]
)


@given(st.one_of(st.text(max_size=70), st.lists(_PIECES, max_size=30).map("".join)), st.sampled_from([*EXAMPLES, "", "?"]))
@example("1" * 60, "mm")
@example("1 " * 30, "mm")
@example("1 111" * 12, "mm")
@example("1," * 30, "mm")
@example("1/" * 30, "mm")
@example("a." * 30, "mm")
@example("+ " * 30, "mm")
@example("plus " * 12, "mm")
@example("m2" * 30, "mm")
@example("½" * 60, "mm")
@example("'" * 60, "mm")
@example("1e" * 30, "mm")
@example("9" * 1_000_000, "mm")
@example("9" * 57 + "e99", "mm")
def test_any_text_is_read_or_refused(text: str, unit: str) -> None:
    try:
        value, u = parse_quantity(text, unit)
    except QuantityError as error:
        assert_gentle(str(error))
    else:
        assert math.isfinite(value)
        assert abs(value) <= 1e12
        assert 0 <= u <= 1e12


def test_no_spelling_has_two_meanings_in_one_dimension() -> None:
    for dimension, rows in units._TABLE.items():
        meanings: dict[str, str] = {}
        for _, names in rows:
            for name in names.split("|"):
                assert meanings.setdefault(units._key(name).lower(), names) == names, (dimension, name)


def test_public_names_are_sorted() -> None:
    assert quantities.__all__ == sorted(quantities.__all__)
    assert units.__all__ == sorted(units.__all__)
