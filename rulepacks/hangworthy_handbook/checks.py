"""Gentle refusals: what every formula asks of its numbers before it uses them."""

import math


def positive(name: str, value: float) -> None:
    """Refuse a number that is not above nought and finite.

    Parameters
    ----------
    name : the number's name, unit included, as the message should show it
    value : any number [-]

    Errors: ValueError when it is nought, negative, infinite or not a number.
    """
    if not 0.0 < value < math.inf:
        raise ValueError(f"{name} should be a number above 0, but is {value!r}. Please measure it again.")


def within(name: str, value: float, low: float, high: float) -> None:
    """Refuse a number outside a closed range.

    Parameters
    ----------
    name : the number's name, unit included, as the message should show it
    value : any number [-]
    low, high : the ends of the range, both allowed [-]

    Errors: ValueError when it lies outside, or is not a number.
    """
    if not low <= value <= high:
        raise ValueError(f"{name} should lie between {low:g} and {high:g}, but is {value!r}.")


def sides(width_mm: float, height_mm: float) -> tuple[float, float]:
    """The two sides of a rectangle, the short one first.

    Parameters
    ----------
    width_mm, height_mm : the sides [mm]

    Errors: ValueError for a side that is not above 0.
    """
    positive("width_mm", width_mm)
    positive("height_mm", height_mm)
    return (width_mm, height_mm) if width_mm <= height_mm else (height_mm, width_mm)
