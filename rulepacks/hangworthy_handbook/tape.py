"""Measuring tapes: what one may be off by and still be right."""

import math
from collections.abc import Mapping
from typing import Final

from hangworthy_handbook.checks import positive

# Class -> (fixed part [mm], part per started metre [mm], surcharge for an end that is a surface [mm])
_TAPE: Final[Mapping[str, tuple[float, float, float]]] = {
    "I": (0.1, 0.1, 0.1),
    "II": (0.3, 0.2, 0.2),
    "III": (0.6, 0.4, 0.3),
}


def tape_mpe(length_mm: float, accuracy_class: str, from_hook: bool = False) -> float:
    """Maximum permissible error of a measuring tape.

    Parameters
    ----------
    length_mm : measured length, which the directive rounds up to the next whole metre [mm]
    accuracy_class : "I", "II" or "III", as printed on the tape [-]
    from_hook : whether one end of the measured length is the tape's hook or butt [-]

    Returns: error, either way [mm]

    Validity: 20 degC, tapes of 5 m and more pulled with 50 N; one tape length.
    Errors: ValueError for another class, or a length that is not above 0.
    Source: Directive 2014/32/EU annex X (MI-008) chapter I.
    Rows: Q-07a, Q-07b, Q-07c, Q-07d, Q-08a, Q-08b, Q-08c, Q-08d, WE-7a.
    """
    positive("length_mm", length_mm)
    if accuracy_class not in _TAPE:
        raise ValueError(f"accuracy_class should be I, II or III, as printed on the tape, but is {accuracy_class!r}.")
    fixed, per_metre, hook = _TAPE[accuracy_class]
    return fixed + per_metre * math.ceil(length_mm / 1000.0) + (hook if from_hook else 0.0)
