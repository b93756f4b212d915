"""Intake: the body of a request becomes typed works, or a list of everything that is wrong with it. Pure: bytes in, values out."""

from hangworthy.intake.faults import MOST_FAULTS, BadInput, InputFault
from hangworthy.intake.free_text import ReadingsRequest, read_lines
from hangworthy.intake.reader import Intake, from_bad_works
from hangworthy.intake.shape import wire_components, wire_schema
from hangworthy.intake.wording import reversed_days

__all__ = [
    "MOST_FAULTS",
    "BadInput",
    "InputFault",
    "Intake",
    "ReadingsRequest",
    "from_bad_works",
    "read_lines",
    "reversed_days",
    "wire_components",
    "wire_schema",
]
