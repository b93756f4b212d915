"""What was declared, beside what was made of it: the facts that a finding read, in the sheet's language, and what to measure again."""

from collections.abc import Iterable
from typing import Any

from hangworthy.contract.finding import Finding
from hangworthy.engine.language import label
from hangworthy.engine.schema import Slot
from hangworthy.sheets.content import Told
from hangworthy.sheets.words import Tongue

# The place's own facts: they are known of the house, and nobody measures them on a work.
_PLACE = ("/wall/", "/venue/")


def said(told: Told, finding: Finding, say: Tongue) -> str:
    """Return the facts that were read where no figure was made of them, each with its title."""
    found = [(slot.ask.title, _shown(told, slot, value, say)) for slot, value in _read(told, finding) if not slot.ask.private]
    return "; ".join(f"{title}: {shown}" for title, shown in found if shown)


def beside(told: Told, finding: Finding, say: Tongue) -> str:
    """Return the measurements of the work that a figure was made of; nothing where the figure is the measurement."""
    found = [(slot, value) for slot, value in _own(told, finding) if value != finding.measured]
    return "; ".join(f"{slot.ask.title} {_shown(told, slot, value, say)}" for slot, value in found)


def is_of_the_work(told: Told, finding: Finding) -> bool:
    """Return whether there is something to measure or to look at on the work itself.

    What a finding compares is the place's where a fact of the place has the finding's own unit: the brightness of a wall, free wall beside
    a work.
    """
    place = [pointer for pointer in finding.facts if pointer.startswith(_PLACE)]
    units = {told.slots[pointer].unit for pointer in place if pointer in told.slots}
    units |= {"K"} if "°C" in units else set()  # a difference of temperatures
    return not place or (len(place) < len(finding.facts) and (not finding.unit or finding.unit not in units))


def unit_to_measure(told: Told, finding: Finding) -> str:
    """Return the unit of what a ruler gives: the finding's own, else that of the measurement from which its figure is calculated."""
    own = [slot.unit for slot, _ in _own(told, finding)]
    return finding.unit if not own or finding.unit in own else own[0]


def _read(told: Told, finding: Finding) -> Iterable[tuple[Slot, Any]]:
    return ((told.slots[pointer], value) for pointer, value in finding.facts.items() if pointer in told.slots)


def _own(told: Told, finding: Finding) -> list[tuple[Slot, Any]]:
    """Return the measurements that belong to this question: a work's size and weight, which many read, stand in its head."""
    return [
        (slot, value)
        for slot, value in _read(told, finding)
        if slot.kind == "number" and slot.unit and "." in slot.path and not slot.pointer.startswith(_PLACE)
    ]


def _shown(told: Told, slot: Slot, value: Any, say: Tongue) -> str:
    """Return a fact's value; nothing for texts, days, money and lists of the venue's, which are not measured on a work."""
    values = value if isinstance(value, (tuple, list)) else (value,)
    if slot.kind == "choice":
        return ", ".join(told.labels.get(slot.path, {}).get(one) or label(one) for one in values)
    if slot.kind == "yes_no":
        return say("yes" if value else "no")
    if slot.kind not in ("number", "count"):
        return ""
    # As it was read on the ruler: a finding's own figures are rounded.
    return f"{' / '.join(say.number(one, 3) for one in values)} {say.unit(slot.unit)}".rstrip()
