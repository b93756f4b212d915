"""Rows become works: which column is which fact, and what a cell's text or number means for that fact."""

import re
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from functools import cache
from typing import Any

import msgspec

from hangworthy.cli.grids import Cell, Grid, GridError, Row, letters
from hangworthy.cli.inputs import Titles
from hangworthy.contract.facts import Ask
from hangworthy.contract.reading import AsWritten
from hangworthy.engine.reading import nearest
from hangworthy.engine.schema import AS_WRITTEN, LIST_LENGTH, Schema, Slot

_SIGNS = re.compile(r"[/.\s]+")
_GERMAN_DAY = re.compile(r"(\d{1,2})\.(\d{1,2})\.(\d{4})\Z")
_DECIMAL_COMMA = re.compile(r"\d+,\d{1,2}\Z")
_YES = frozenset(("true", "yes", "y", "ja", "wahr", "1"))
_NO = frozenset(("false", "no", "n", "nein", "falsch", "0"))
_COMMENT = "# "


class Column(msgspec.Struct, frozen=True):
    """A column: its place, its heading, the fact it holds, and the place in that fact's list if it holds one of several."""

    place: int
    heading: str
    slot: Slot
    item: int | None = None


class Placed(msgspec.Struct, frozen=True):
    """A fault in a grid: row, column (None: the whole row), and the sentence."""

    row: int
    column: str
    sentence: str


class Facts:
    """The facts that a column can be named by: ``canvas.billow_mm``, ``/canvas/billow_mm``, ``canvas.corner_gaps_mm.0``.

    Free text has columns as well: ``as_written.dimensions``, ``as_written.medium``, ``as_written.edition``. What no path names is looked
    for among ``titles``, what facts are called in every language: “Preis” is the price, where no other fact is called so.
    """

    def __init__(self, schema: Schema, renamed: Mapping[str, str], titles: Callable[[], Titles] = dict) -> None:
        """Take the schema, and names of columns with the facts that they stand for; no fact: the column is passed over."""
        self._titles = cache(titles)
        self.slots = {path.lower(): slot for path, slot in schema.by_path.items() if not path.startswith(("wall.", "venue."))}
        for name in AsWritten.__struct_fields__:
            path, asked = f"{AS_WRITTEN}.{name}", Ask(f"{name.capitalize()} as written", f"What is written of its {name}?")
            self.slots[path] = Slot(-1, path, "/" + path.replace(".", "/"), str, "text", asked)
        self._renamed = {_plain(name): fact for name, fact in renamed.items()}
        if strays := [fact for fact in renamed.values() if fact and self.find(fact) is None]:
            raise GridError(f"--map names “{strays[0]}”, which is no fact.{nearest(strays[0], list(self.slots))}")

    def passed_over(self, heading: str) -> bool:
        """Return whether a column is to be left alone."""
        return self._renamed.get(_plain(heading)) == ""

    def find(self, heading: str) -> tuple[Slot, int | None] | None:
        """Return the fact that a heading names, by its path or else by its title, and the place in its list."""
        if (found := self._by_path(heading)) is not None:
            return found
        called = self._titles().get(_plain(self._renamed.get(_plain(heading), heading)), ())
        return (self.slots[called[0]], None) if len(called) == 1 else None

    def hint(self, heading: str) -> str:
        """Return what a heading that names no fact may have meant, and how to say which fact a column holds."""
        called = self._titles().get(_plain(heading), ())
        if called:
            return f" It could be any of {', '.join(called[:5])}; write one of these."
        by_name = {path: path for path in self.slots} | {title: paths[0] for title, paths in self._titles().items() if len(paths) == 1}
        close = nearest(heading, list(by_name))
        guess = close.partition("“")[2].rpartition("”")[0]
        named = f" Did you mean “{by_name[guess]}”?" if guess else ""
        return named or f" Map it with --map “{heading}=FACT”, or leave it out with “{heading}=”."

    def _by_path(self, heading: str) -> tuple[Slot, int | None] | None:
        path = _SIGNS.sub(".", self._renamed.get(_plain(heading), heading).strip().lower()).strip(".")
        if path in self.slots:
            return self.slots[path], None
        head, _, last = path.rpartition(".")
        slot = self.slots.get(head)
        most = (slot.count or LIST_LENGTH) if slot is not None and slot.count is not None else 0
        return (slot, int(last)) if slot is not None and last.isdecimal() and len(last) < 4 and int(last) < most else None

    def knows(self, heading: str) -> bool:
        """Return whether a heading names a fact or is to be passed over."""
        return self.passed_over(heading) or self._by_path(heading) is not None


def _plain(name: str) -> str:
    return " ".join(name.split()).casefold()


def columns_of(grid: Grid, facts: Facts) -> tuple[list[Column], list[Placed]]:
    """Return the columns of a grid, and what is wrong with its header."""
    made: list[Column] = []
    faults: list[Placed] = []
    seen: dict[tuple[str, int | None], str] = {}
    for place, heading in enumerate(grid.header):
        if not heading:
            if any(place < len(row.cells) and row.cells[place].value is not None for row in grid.rows):
                faults.append(Placed(grid.header_row, letters(place), "This column has no heading; name its fact, or take it out."))
            continue
        if facts.passed_over(heading):
            continue
        found = facts.find(heading)
        if found is None:
            faults.append(Placed(grid.header_row, letters(place), f"There is no fact “{heading[:60]}”.{facts.hint(heading)}"))
            continue
        key = (found[0].path, found[1])
        if key in seen:
            faults.append(Placed(grid.header_row, letters(place), f"This column holds the same fact as {seen[key]}; keep one of them."))
            continue
        seen[key] = letters(place)
        made.append(Column(place, heading, *found))
    for slot in facts.slots.values():
        if slot.ask.required and not any(one.slot is slot for one in made):
            faults.append(Placed(grid.header_row, "", f"There is no column for {slot.path}. {slot.ask.prompt}"))
    return made, faults


def works_of(grid: Grid, columns: Sequence[Column]) -> tuple[list[dict[str, Any]], list[Row], list[Placed]]:
    """Return each row as a work, the rows they stand in, and what is wrong with single cells."""
    works, rows, faults = [], [], []
    for row in grid.rows:
        first = row.cells[0].value
        if isinstance(first, str) and first.startswith(_COMMENT):
            continue
        work: dict[str, Any] = {}
        for column in columns:
            cell = row.cells[column.place] if column.place < len(row.cells) else Cell()
            sentence = _put(work, column, cell)
            if sentence:
                faults.append(Placed(row.number, f"{letters(column.place)} ({column.heading})", sentence))
        if any(cell.value is not None for cell in row.cells[len(grid.header) :]):
            faults.append(Placed(row.number, "", "This row has more cells than the header; put texts with a separator in quotation marks."))
        works.append(work)
        rows.append(row)
    return works, rows, faults


def _put(work: dict[str, Any], column: Column, cell: Cell) -> str:
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
        listed[column.item] = _value(slot, cell.value, cell.percent)
    elif slot.count is not None:
        parts = re.split(r"[;\n|]", cell.value) if isinstance(cell.value, str) else [cell.value]
        facts[name] = [_value(slot, part.strip() if isinstance(part, str) else part, cell.percent) for part in parts if part != ""]
    else:
        facts[name] = _value(slot, cell.value, cell.percent)
    return ""


def _value(slot: Slot, value: Any, percent: bool) -> Any:
    """Return what a cell means for a fact, as JSON has it. What it cannot mean is left as it is, for the reader to say so."""
    if percent and not isinstance(value, str):
        return round(float(value) * 100, 9)
    if isinstance(value, date):
        return value.isoformat()
    if slot.kind in ("text", "choice"):
        return _text(slot, value)
    if slot.kind == "yes_no":
        return _yes_no(value)
    if isinstance(value, float) and value.is_integer() and slot.kind in ("count", "money"):
        return int(value)
    if isinstance(value, float) and slot.kind == "money":
        return round(value, 9)  # a spreadsheet works in binary: 59.96999999999999 is what it shows as 59.97
    if not isinstance(value, str):
        return value
    return _written(slot, value)


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
