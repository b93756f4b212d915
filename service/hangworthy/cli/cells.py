"""What a cell's text or number means for the fact that its column holds."""

import re
from collections.abc import Mapping
from datetime import date
from typing import Any

import msgspec

from hangworthy.cli.grids import Cell
from hangworthy.contract.tokens import evened, scan
from hangworthy.engine.languages import called
from hangworthy.engine.schema import Slot

_GERMAN_DAY = re.compile(r"(\d{1,2})\.(\d{1,2})\.(\d{4})\Z")
_DECIMAL_COMMA = re.compile(r"\d+,\d{1,2}\Z")
_PARTS = re.compile(r"[;\n|]")
_COMMA = re.compile(r",\s+")
_YES = frozenset(("true", "yes", "y", "ja", "wahr", "1"))
_NO = frozenset(("false", "no", "n", "nein", "falsch", "0"))
_NOT_KNOWN = frozenset(("n/a", "n.a.", "na", "-", "–", "—", "?", "k.a.", "unknown", "not known", "unbekannt", "nicht bekannt"))

Labels = Mapping[str, str]


class Column(msgspec.Struct, frozen=True):
    """A column: its place, its heading, the fact it holds, and the place in that fact's list if it holds one of several.

    ``unit`` is the one that its heading names, for numbers that have none of their own. ``labels`` are the choices of the fact by what
    a form calls them, in small letters.
    """

    place: int
    heading: str
    slot: Slot
    item: int | None = None
    unit: str = ""
    labels: Labels = {}


def says_not_known(column: Column, cell: Cell) -> bool:
    """Return whether a cell says in words or signs that the fact is not known: “n/a”, “?”. In a text these may be the text itself."""
    if column.slot.kind == "text" or not isinstance(cell.value, str):
        return False
    word = cell.value.casefold()
    return bool({word, word.replace(" ", "")} & _NOT_KNOWN) and word not in column.slot.choices and word not in column.labels


def put(work: dict[str, Any], column: Column, cell: Cell) -> str:
    """Put a cell's value into a work; return what is wrong with the cell, if anything is."""
    if cell.fault:
        return cell.fault
    if cell.value is None:
        return ""
    slot = column.slot
    if isinstance(cell.value, date) and slot.kind != "date":
        return (
            f"The spreadsheet took this for the day {cell.value.isoformat()}; format the column as text, then type what was meant, "
            "such as 12/50."
        )
    if cell.percent and slot.unit != "%":
        return "This is a percentage for the spreadsheet; format the column as a number or as text, then type it again."
    section, _, name = slot.path.rpartition(".")
    facts = work.setdefault(section, {}) if section else work
    if column.item is not None:
        listed = facts.setdefault(name, [])
        listed += [None] * (column.item + 1 - len(listed))
        listed[column.item] = _value(column, cell.value, cell.percent)
    elif slot.count is not None:
        parts = _parted(column, cell.value)
        if parts is None:
            return "Part the values of this list with “;”, as in “0; 0; 6; 0”: a comma may be a decimal one."
        facts[name] = [_value(column, part, cell.percent) for part in parts if part != ""]
    else:
        facts[name] = _value(column, cell.value, cell.percent)
        if near := _near(column, facts[name]):
            del facts[name]  # one sentence about a cell is enough
        return near
    return ""


def _near(column: Column, value: Any) -> str:
    """Return the question whether the one choice was meant that a form calls by this word among others: “Leinwand”; else nothing."""
    if column.slot.kind != "choice" or not isinstance(value, str) or value in column.slot.choices:
        return ""
    meant = {choice for text, choice in column.labels.items() if value.casefold() in text.split()}
    return f"“{value}” is no choice for {column.slot.path}. Did you mean “{meant.pop()}”?" if len(meant) == 1 else ""


def _parted(column: Column, value: Any) -> list[Any] | None:
    """Return the parts of a list; None where only commas part it and these may be decimal ones."""
    if not isinstance(value, str):
        return [value]
    parts = [part.strip() for part in _PARTS.split(value)]
    if len(parts) > 1 or "," not in value:
        return parts
    if column.slot.choices:
        several = [part.strip() for part in value.split(",")]
        return several if all(_choice(column, part) in column.slot.choices for part in several) else parts
    if column.slot.kind not in ("number", "count"):
        return parts
    for several in (_COMMA.split(value), value.split(",")):
        spaced = "".join(several) != value.replace(",", "")
        if len(several) == column.slot.count and (spaced or len(several) > 2):  # “60,5” is one number to many
            return [part.strip() for part in several]
    return None


def _choice(column: Column, text: str) -> str:
    """Return the choice that a form calls so; the text where it calls none so."""
    return column.labels.get(called(text), text)


def _value(column: Column, value: Any, percent: bool) -> Any:
    """Return what a cell means for a fact, as JSON has it. What it cannot mean is left as it is, for the reader to say so."""
    slot = column.slot
    if percent and not isinstance(value, str):
        return round(float(value) * 100, 9)
    if isinstance(value, date):
        return value.isoformat()
    if slot.choices and isinstance(value, str):
        value = _choice(column, value)
    if slot.kind in ("text", "choice"):
        return _text(slot, value)
    if slot.kind == "yes_no":
        return _yes_no(value)
    if isinstance(value, float) and value.is_integer() and slot.kind in ("count", "money"):
        return int(value)
    if isinstance(value, float) and slot.kind == "money":
        return round(value, 9)  # a spreadsheet works in binary: 59.96999999999999 is what it shows as 59.97
    if column.unit and not isinstance(value, bool) and isinstance(value, str | int | float):
        return _with_unit(value, column.unit)
    if not isinstance(value, str):
        return value
    return _written(slot, value)


def _with_unit(value: str | float, unit: str) -> str:
    """Return a number with the unit that its column is headed with; what has a unit of its own keeps it."""
    text = value if isinstance(value, str) else f"{value:.15g}"
    tokens = list(scan(evened(text)[0]))
    plain = any(token.kind == "N" for token in tokens) and not any(token.kind == "U" for token in tokens)
    return f"{text} {unit}" if plain else text


def _text(slot: Slot, value: Any) -> Any:
    if isinstance(value, bool):
        return value
    text = f"{value:.15g}" if isinstance(value, float) else str(value)
    if slot.kind == "text" and slot.ask.pattern and not re.search(slot.ask.pattern, text) and re.search(slot.ask.pattern, text.upper()):
        return text.upper()  # “eur” in a sheet can only mean EUR
    return text.lower() if slot.kind == "choice" and text.lower() in slot.choices else text


def _yes_no(value: Any) -> Any:
    word = str(int(value)) if isinstance(value, float) and value in (0.0, 1.0) else str(value).lower()
    return True if word in _YES else False if word in _NO else value


def _written(slot: Slot, text: str) -> Any:
    if slot.kind == "count":
        return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else text
    if slot.kind == "money" and _DECIMAL_COMMA.match(text):
        return text.replace(",", ".")
    if slot.kind == "date" and (found := _GERMAN_DAY.match(text)):
        return f"{found[3]}-{int(found[2]):02}-{int(found[1]):02}"
    return text
