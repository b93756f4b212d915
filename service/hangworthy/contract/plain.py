"""The common case of a quantity, read at once: a decimal, a word for the unit, and perhaps a ±. Anything else is left to the full reader.

Most of what a form sends looks so, and the full reader with its fractions, compounds and messages takes ten times as long.
"""

import re
from functools import lru_cache
from typing import Final

from hangworthy.contract.units import field_unit, find_unit

_NUMBER: Final = r"([0-9]{1,9})(?:\.([0-9]{1,6}))?(?:\ ?([A-Za-z]{1,12}))?"
_PLAIN: Final = re.compile(rf"{_NUMBER}(?:\ ?±\ ?{_NUMBER})?", re.VERBOSE)


@lru_cache(maxsize=1024)
def _scale(written: str, symbol: str) -> tuple[int, int] | None:
    """The factor from the written unit to the field's as two whole numbers; None where it takes more than a factor."""
    field = field_unit(symbol)
    unit = find_unit(written, field) if written else field
    if unit is None or unit.dimension != field.dimension or unit.offset != field.offset:
        return None
    factor = unit.factor / field.factor
    return factor.numerator, factor.denominator


def read_plain(text: str, unit: str) -> tuple[float, float] | None:
    """Value and half-width of the ± in the field's unit, or None for a text that needs the full reader.

    Whole numbers are divided once, so the result is the nearest float, as the full reader's fractions give it.
    """
    found = _PLAIN.fullmatch(text)
    if found is None:
        return None
    whole, digits, written, bound_whole, bound_digits, bound_written = found.groups("")
    scale = _scale(written or bound_written, unit)
    if scale is None:
        return None
    value = int(whole + digits) * scale[0] / (scale[1] * 10 ** len(digits))
    if not bound_whole:
        return value, 0.0
    bound_scale = _scale(bound_written or written, unit)
    if bound_scale is None:
        return None
    return value, int(bound_whole + bound_digits) * bound_scale[0] / (bound_scale[1] * 10 ** len(bound_digits))
