"""Readings: what people write in free text becomes facts, each with its place and a confidence, and what must be asked. Pure."""

from hangworthy.readings.line import read_line
from hangworthy.readings.model import Found, Reading, Unsure
from hangworthy.readings.rules import RULES, Rule

__all__ = ["RULES", "Found", "Reading", "Rule", "Unsure", "read_line"]
