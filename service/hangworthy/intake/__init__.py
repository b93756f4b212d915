"""Intake: the body of a request becomes typed works, or a list of everything that is wrong with it. Pure: bytes in, values out."""

from hangworthy.intake.faults import MOST_FAULTS, BadInput, InputFault
from hangworthy.intake.free_text import ReadingsRequest, read_lines
from hangworthy.intake.reader import Intake, from_bad_works
from hangworthy.intake.shape import wire_components, wire_schema

__all__ = [
    "MOST_FAULTS",
    "BadInput",
    "InputFault",
    "Intake",
    "ReadingsRequest",
    "from_bad_works",
    "read_lines",
    "wire_components",
    "wire_schema",
]
