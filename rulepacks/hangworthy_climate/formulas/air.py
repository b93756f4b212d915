"""Moist air: saturation pressure, dew point, and the humidity of the same air at a colder or warmer surface."""

import math
from typing import Final

from hangworthy_handbook.checks import within

TRIPLE_POINT_C: Final = 0.01
_COLDEST_C, _WARMEST_C = -100.0, 200.0
_DRIEST_PERCENT: Final = 0.01
# ln(p/Pa) = c0/T + c1 + c2 T + c3 T^2 + c4 T^3 + c5 T^4 + c6 ln T, T in kelvin.
_OVER_ICE: Final = (-5.6745359e3, 6.3925247, -9.677843e-3, 6.2215701e-7, 2.0747825e-9, -9.484024e-13, 4.1635019)
_OVER_WATER: Final = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673)


def _log_pressure(temp_c: float) -> float:
    kelvin = temp_c + 273.15
    c0, c1, c2, c3, c4, c5, c6 = _OVER_ICE if temp_c <= TRIPLE_POINT_C else _OVER_WATER
    return c0 / kelvin + c1 + kelvin * (c2 + kelvin * (c3 + kelvin * (c4 + kelvin * c5))) + c6 * math.log(kelvin)


def saturation_pressure(temp_c: float) -> float:
    """Pressure of saturated water vapour, over ice up to the triple point and over water above it.

    Parameters
    ----------
    temp_c : temperature [degC]

    Returns: pressure [Pa]

    Validity: -100 to 200 degC. Errors: ValueError outside of it.
    Source: Hyland and Wexler (1983), as in ASHRAE Handbook - Fundamentals (2017) ch. 1, eqn 5 and 6.
    Rows: PS-01, PS-02, PS-03, PS-04, PS-05, PS-06, PS-07, PS-08.
    """
    within("temp_c", temp_c, _COLDEST_C, _WARMEST_C)
    return math.exp(_log_pressure(temp_c))


def vapour_pressure(temp_c: float, rh_percent: float) -> float:
    """Pressure of the water vapour in air.

    Parameters
    ----------
    temp_c : temperature of the air [degC]
    rh_percent : relative humidity [%]

    Returns: pressure [Pa]

    Validity, source: as `saturation_pressure`; 0 to 100 % RH. Errors: ValueError outside of it.
    Rows: VP-01.
    """
    within("rh_percent", rh_percent, 0.0, 100.0)
    return saturation_pressure(temp_c) * rh_percent / 100.0


def saturated_at(pressure_pa: float) -> float:
    """Temperature at which a vapour pressure saturates the air.

    Parameters
    ----------
    pressure_pa : pressure of the vapour [Pa]

    Returns: temperature, within 1e-9 K; where the sheets of ice and water meet, the triple point [degC]

    Validity: pressures of saturation from -100 to 200 degC. Errors: ValueError outside of it.
    Source: `saturation_pressure`, inverted by halving.
    Rows: PS-09, PS-10.
    """
    low, high = _COLDEST_C, _WARMEST_C
    within("pressure_pa", pressure_pa, saturation_pressure(low), saturation_pressure(high))
    target = math.log(pressure_pa)
    for _ in range(50):
        middle = (low + high) / 2.0
        if _log_pressure(middle) < target:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def dew_point(temp_c: float, rh_percent: float) -> float:
    """Temperature below which the air's water settles on a surface; frost point below 0.01 degC.

    Parameters
    ----------
    temp_c : temperature of the air [degC]
    rh_percent : relative humidity; drier air than 0.01 % is taken for that [%]

    Returns: dew point, never above temp_c [degC]

    Validity: -20 to 200 degC, 0 to 100 % RH. Errors: ValueError outside of it. Source: `saturation_pressure`, inverted.
    Rows: WE-6a, WE-6d, WE-6e, WE-6f.
    """
    within("temp_c", temp_c, -20.0, _WARMEST_C)
    return min(temp_c, saturated_at(vapour_pressure(temp_c, max(rh_percent, _DRIEST_PERCENT))))


def humidity_at(surface_c: float, temp_c: float, rh_percent: float) -> float:
    """Relative humidity of a room's air where it meets a surface, or in any place that is colder or warmer.

    Parameters
    ----------
    surface_c : temperature of the surface [degC]
    temp_c : temperature of the air [degC]
    rh_percent : relative humidity of the air [%]

    Returns: relative humidity at the surface, 100 where water settles [%]

    Validity, errors: as `vapour_pressure`. Source: the vapour pressure is the same throughout the room.
    Rows: WE-6b, WE-6c, DIN-3.
    """
    return min(100.0, 100.0 * vapour_pressure(temp_c, rh_percent) / saturation_pressure(surface_c))


def coldest_surface(temp_c: float, rh_percent: float, limit_percent: float) -> float:
    """How cold a surface may get until the air at it reaches a relative humidity.

    Parameters
    ----------
    temp_c : temperature of the air [degC]
    rh_percent : relative humidity of the air; drier than 0.01 % is taken for that [%]
    limit_percent : relative humidity at the surface, above 0 [%]

    Returns: temperature of the surface [degC]

    Validity: as `dew_point`, which it is for 100 %. Errors: ValueError outside of it.
    Source: `humidity_at`, inverted.
    Rows: DIN-4.
    """
    within("limit_percent", limit_percent, 1.0, 100.0)
    return saturated_at(100.0 / limit_percent * vapour_pressure(temp_c, max(rh_percent, _DRIEST_PERCENT)))


def surface_temperature(temp_c: float, outdoor_c: float, factor: float) -> float:
    """Temperature of the inner surface of an outer wall.

    Parameters
    ----------
    temp_c : temperature of the room [degC]
    outdoor_c : temperature outdoors [degC]
    factor : temperature factor of the inner surface: 1 as warm as the room, 0 as cold as outdoors [ratio]

    Returns: temperature of the surface [degC]

    Validity: steady weather; a picture in front of the wall makes it colder still. Errors: ValueError for a factor outside
    0 to 1. Source: definition of the temperature factor, ISO 13788:2012.
    Rows: DIN-1.
    """
    within("factor", factor, 0.0, 1.0)
    return outdoor_c + factor * (temp_c - outdoor_c)


def temperature_factor(surface_c: float, temp_c: float, outdoor_c: float) -> float:
    """Temperature factor of an inner surface from three temperatures measured together.

    Parameters
    ----------
    surface_c : temperature of the surface [degC]
    temp_c : temperature of the room [degC]
    outdoor_c : temperature outdoors, other than the room's [degC]

    Returns: factor; 0.70 is the least that new buildings must reach [ratio]

    Validity: steady weather, at least 10 K apart to be of use. Errors: ValueError when both temperatures are the same.
    Source: definition of the temperature factor, ISO 13788:2012; requirement of DIN 4108-2.
    Rows: DIN-2.
    """
    if temp_c == outdoor_c:
        raise ValueError("temp_c and outdoor_c should differ, but both are the same. Please measure on a cold day.")
    return (surface_c - outdoor_c) / (temp_c - outdoor_c)
