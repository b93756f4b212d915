"""Rows become works: which column is which fact, and in which unit its numbers are."""

import re
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from typing import Any

import msgspec

from hangworthy.cli.cells import Column, put, says_not_known
from hangworthy.cli.grids import Cell, Grid, GridError, Row, letters
from hangworthy.cli.headings import headed, is_strange, stem, unit_in
from hangworthy.cli.inputs import Choices, Titles
from hangworthy.contract.facts import Ask
from hangworthy.contract.reading import AsWritten
from hangworthy.engine.languages import called
from hangworthy.engine.reading import nearest
from hangworthy.engine.schema import AS_WRITTEN, LIST_LENGTH, Schema, Slot

_SIGNS = re.compile(r"[/.\s]+")
_COMMENT = "# "
_CLOSE = 0.75  # how like a heading must be to what it is taken to have meant; “Notes” is no “tap note”
_SHOWN_CELLS = 3


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

    def __init__(
        self, schema: Schema, renamed: Mapping[str, str], titles: Callable[[], Titles] = dict, choices: Callable[[], Choices] = dict
    ) -> None:
        """Take the schema, and names of columns with the facts that they stand for; no fact: the column is passed over."""
        self._titles, self._choices = cache(titles), cache(choices)
        self.slots = {path.lower(): slot for path, slot in schema.by_path.items() if not path.startswith(("wall.", "venue."))}
        for name in AsWritten.__struct_fields__:
            path, asked = f"{AS_WRITTEN}.{name}", Ask(f"{name.capitalize()} as written", f"What is written of its {name}?")
            self.slots[path] = Slot(-1, path, "/" + path.replace(".", "/"), str, "text", asked)
        named = [(stem(slot), slot) for slot in self.slots.values() if slot.unit]
        several = Counter(name for name, _ in named)
        self._stems = {name: slot for name, slot in named if several[name] == 1}
        self._renamed = {called(name): fact for name, fact in renamed.items()}
        if strays := [fact for fact in renamed.values() if fact and self.find(fact) is None]:
            raise GridError(f"--map names “{strays[0]}”, which is no fact.{nearest(strays[0], list(self.slots))}")

    def passed_over(self, heading: str) -> bool:
        """Return whether a column is to be left alone."""
        return self._renamed.get(called(heading)) == ""

    def find(self, heading: str) -> tuple[Slot, int | None] | None:
        """Return the fact that a heading names, by its path or else by its title, and the place in its list."""
        if (found := self._by_path(heading)) is not None:
            return found
        paths = self._titles().get(called(self._renamed.get(called(heading), heading)), ())
        return (self.slots[paths[0]], None) if len(paths) == 1 else None

    def column(self, place: int, heading: str) -> Column | str:
        """Return what a column holds, and in which unit its heading says its numbers are; or the sentence for what is wrong with it."""
        parted, mapped = headed(heading), called(heading) in self._renamed
        found = self.find(heading)
        unit = unit_in(parted, found[0]) if found and mapped else None
        if found is None and parted.unit and not mapped:
            near = self.find(parted.name) or self._by_stem(parted.name)
            if near is not None and (unit := unit_in(parted, near[0])) is not None:
                found = near
            elif near is not None and is_strange(parted, near[0]):
                return _no_unit(heading, parted.unit, near[0])
        if found is None:
            return f"There is no fact “{heading[:60]}”.{self._hint(heading)}"
        if mapped and is_strange(parted, found[0]):
            return _no_unit(heading, parted.unit, found[0])
        labels = self._choices().get(found[0].path, {}) if found[0].choices else {}
        return Column(place, heading, *found, unit.symbol if unit and unit.symbol != found[0].unit else "", labels)

    def _by_stem(self, name: str) -> tuple[Slot, int | None] | None:
        slot = self._stems.get(_SIGNS.sub(".", name.strip().lower()).strip("."))
        return None if slot is None else (slot, None)

    def _hint(self, heading: str) -> str:
        """Return what a heading that names no fact may have meant, and how to say which fact a column holds."""
        paths = self._titles().get(called(heading), ())
        if paths:
            return f" It could be any of {', '.join(paths[:5])}; write one of these."
        parted = headed(heading)
        guess = self._guess(heading) or (self._guess(parted.name) if parted.unit else "")
        if not guess:
            return f" Map it with --map “{heading}=FACT”, or leave it out with --map “{heading}=”."
        unit = unit_in(parted, self.slots[guess])
        keeps = (
            ""
            if unit is None or unit.symbol == self.slots[guess].unit
            else f" Map it with --map “{heading}={guess}”; its numbers are then read in {unit.symbol}."
        )
        return f" Did you mean “{guess}”?{keeps}"

    def _guess(self, name: str) -> str:
        """Return the path of the fact that a name is very like; nothing for what is like none."""
        by_name = {path: path for path in self.slots} | {title: paths[0] for title, paths in self._titles().items() if len(paths) == 1}
        guess = nearest(name, list(by_name), _CLOSE).partition("“")[2].rpartition("”")[0]
        return by_name[guess] if guess else ""

    def _by_path(self, heading: str) -> tuple[Slot, int | None] | None:
        path = _SIGNS.sub(".", self._renamed.get(called(heading), heading).strip().lower()).strip(".")
        if path in self.slots:
            return self.slots[path], None
        head, _, last = path.rpartition(".")
        slot = self.slots.get(head)
        most = (slot.count or LIST_LENGTH) if slot is not None and slot.count is not None else 0
        return (slot, int(last)) if slot is not None and last.isdecimal() and len(last) < 4 and int(last) < most else None

    def knows(self, heading: str) -> bool:
        """Return whether a heading names a fact or is to be passed over."""
        return self.passed_over(heading) or self._by_path(heading) is not None


def _no_unit(heading: str, unit: str, slot: Slot) -> str:
    return f"“{unit}” is no unit for {slot.path}; put the heading right, or leave the column out with --map “{heading}=”."


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
        column = facts.column(place, heading)
        if isinstance(column, str):
            faults.append(Placed(grid.header_row, letters(place), column))
            continue
        key = (column.slot.path, column.item)
        if key in seen:
            faults.append(Placed(grid.header_row, letters(place), f"This column holds the same fact as {seen[key]}; keep one of them."))
            continue
        seen[key] = letters(place)
        made.append(column)
    for slot in facts.slots.values():
        if slot.ask.required and not any(one.slot is slot for one in made):
            faults.append(Placed(grid.header_row, "", f"There is no column for {slot.path}. {slot.ask.prompt}"))
    return made, faults


class Works(msgspec.Struct, frozen=True):
    """The works of a grid, the rows they stand in, what is wrong with single cells, and a note on cells that were taken as not known."""

    works: list[dict[str, Any]]
    rows: list[Row]
    faults: list[Placed]
    note: str


def works_of(grid: Grid, columns: Sequence[Column]) -> Works:
    """Return each row as a work. What a cell says is not known is left out, and told in one note."""
    works, rows, faults, unknown = [], list[Row](), list[Placed](), list[str]()
    for row in grid.rows:
        first = row.cells[0].value
        if isinstance(first, str) and first.startswith(_COMMENT):
            continue
        work: dict[str, Any] = {}
        for column in columns:
            cell = row.cells[column.place] if column.place < len(row.cells) else Cell()
            if says_not_known(column, cell):
                unknown.append(f"“{cell.value}” in row {row.number}, column {letters(column.place)}")
                continue
            sentence = put(work, column, cell)
            if sentence:
                faults.append(Placed(row.number, f"{letters(column.place)} ({column.heading})", sentence))
        if any(cell.value is not None for cell in row.cells[len(grid.header) :]):
            faults.append(Placed(row.number, "", "This row has more cells than the header; put texts with a separator in quotation marks."))
        works.append(work)
        rows.append(row)
    return Works(works, rows, faults, _not_known(unknown))


def _not_known(cells: Sequence[str]) -> str:
    """Return the note on cells that say that a fact is not known."""
    more = len(cells) - _SHOWN_CELLS
    some = "; ".join(cells[:_SHOWN_CELLS]) + (f"; and {more} more" if more > 0 else "")
    return f"taken as not known, as if left empty: {some}." if cells else ""
