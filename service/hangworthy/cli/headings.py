"""The unit in a column's heading: “Width (cm)”, “width [in]”, “Höhe in cm”, “width_cm”."""

import re
from typing import NamedTuple

from hangworthy.contract.units import Unit, field_unit, find_unit, unit_of
from hangworthy.engine.schema import Slot

_BRACKETS = re.compile(r"(?P<name>[^()\[\]]+)[(\[]\s*(?:in\s)?(?P<unit>[^()\[\]]{1,20})[)\]]\s*:?\Z", re.IGNORECASE)
_BEHIND = re.compile(r"(?P<name>.*[^\s_,:/])(?:\s*[,:/]\s*|\s+|_)(?P<unit>[^\s_,:]{1,20})\Z")
_IN = re.compile(r"(?P<name>.*\S)\s+in\Z", re.IGNORECASE)


class Headed(NamedTuple):
    """A heading parted: the name of what is in the column, the unit as it is written, and whether it stands in brackets."""

    name: str
    unit: str
    bracketed: bool = False


def headed(heading: str) -> Headed:
    """Part a heading into its name and what may be its unit; no unit where nothing could be one. The heading may be of any length."""
    heading = heading.strip()[:200]
    if found := _BRACKETS.match(heading):
        return Headed(found["name"].strip(), found["unit"].strip(), True)
    if found := _BEHIND.match(heading):
        name = found["name"]
        inside = _IN.match(name)
        return Headed(inside["name"] if inside else name, found["unit"].rstrip("."))
    return Headed(heading, "")


def unit_in(found: Headed, slot: Slot) -> Unit | None:
    """Return the unit of a heading, where it is one that the fact can be written in."""
    if not found.unit or slot.kind != "number" or not slot.unit:
        return None
    field = field_unit(slot.unit)
    unit = find_unit(found.unit, field)
    return unit if unit is not None and unit.dimension == field.dimension else None


def is_strange(found: Headed, slot: Slot) -> bool:
    """Return whether a heading has a unit in brackets that the fact cannot be written in: “Width (kg)”."""
    if not found.bracketed or slot.kind != "number" or not slot.unit or unit_in(found, slot) is not None:
        return False
    return find_unit(found.unit, field_unit(slot.unit)) is not None


def stem(slot: Slot) -> str:
    """Return the path of a fact without its unit, in small letters: “frame.width” for “frame.width_mm”."""
    path, _, name = slot.path.rpartition(".")
    words = name.split("_")
    start = len(words) - 1
    while start > 1 and unit_of("_".join(("a", *words[start:]))) != unit_of(name):  # the shortest end that is this unit
        start -= 1
    name = "_".join(words[:start])
    return f"{path}.{name}".strip(".").lower()
