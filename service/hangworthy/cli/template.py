"""hangworthy template: an empty sheet with a column for each fact that is due, and the question to it beside its name."""

import argparse
import csv
import io
import sys
from pathlib import Path
from typing import Any

from hangworthy.cli.commands import OK, CommandError, catalogue_of
from hangworthy.cli.grids import letters
from hangworthy.cli.inputs import Choices
from hangworthy.cli.submissions import Checker
from hangworthy.cli.words import words_in
from hangworthy.contract.effect import Stage
from hangworthy.contract.languages import DEFAULT_LANGUAGE
from hangworthy.engine.language import Language
from hangworthy.engine.languages import called, choices_of, with_languages
from hangworthy.engine.reading import nearest
from hangworthy.engine.ruleset import Ruleset
from hangworthy.engine.schema import Slot
from hangworthy.settings import Settings

ROWS = 500  # rows that are prepared; one request takes as many works
_ALWAYS = ("ref", "title", "artist_ref", "kind", "width_mm", "height_mm")
_LONGEST_LIST = 250  # characters of a drop-down's own list; a longer one stands on a sheet of its own
_COMMENT_WIDTH, _COMMENT_HEIGHT = 320, 170


def template(arguments: argparse.Namespace, settings: Settings) -> int:
    """Write the sheet to a file, or to standard output."""
    catalogue = catalogue_of(settings)
    if arguments.lang != DEFAULT_LANGUAGE:
        catalogue = with_languages(catalogue, tolerate=settings.on_fault == "report")
    ruleset = Checker(catalogue, settings, arguments.venue).ruleset(None, arguments.lang)
    slots = due(ruleset, Stage(arguments.stage), arguments.kind)
    asked = Asked(ruleset.language, {} if arguments.lang == DEFAULT_LANGUAGE else choices_of(catalogue))
    content = as_csv(slots, asked) if arguments.format == "csv" else as_xlsx(slots, asked)
    if arguments.output is not None:
        Path(arguments.output).write_bytes(content)
    elif arguments.format == "xlsx" and sys.stdout.isatty():
        raise CommandError("An XLSX file is nothing for a terminal; name a file with --output.")
    else:
        sys.stdout.flush()
        sys.stdout.buffer.write(content)
    return OK


def due(ruleset: Ruleset, stage: Stage, kind: str | None) -> list[Slot]:
    """Return the facts that the rules of a venue read up to a stage, for works of a kind (None: of any), as its language asks them.

    Raises CommandError.
    Artists fill a sheet in at the offer, so what only the coordinator or a machine can tell comes at a later stage.
    """
    schema = ruleset.schema
    kinds = schema.by_path["kind"].choices
    if kind is not None and kind not in kinds:
        raise CommandError(f"--kind {kind[:60]}: there is no such kind of work.{nearest(kind, list(kinds))} There are: {', '.join(kinds)}.")
    wanted = {schema.by_path[path].index for path in _ALWAYS}
    for bound in (*(way for ways in ruleset.singles for way in ways), *ruleset.sets):
        entry = bound.entry
        if entry.rule.due.rank > stage.rank or not _concerns(entry.conditions, kind):
            continue
        wanted |= {slot.index for slot in (*entry.slots, *entry.among)}
        wanted |= {slot.index for slots, _ in entry.conditions for slot in slots}
    return sorted(
        (slot for slot in ruleset.language.slots if slot.index in wanted and _is_of_work(slot) and _can_be_told(slot, stage, kind)),
        key=_place,
    )


def _place(slot: Slot) -> tuple[bool, bool, int]:
    return slot.path != "ref", "." in slot.path, slot.index


def _is_of_work(slot: Slot) -> bool:
    return not slot.path.startswith(("wall.", "venue."))


def _can_be_told(slot: Slot, stage: Stage, kind: str | None) -> bool:
    """Return whether whoever fills a sheet in at a stage can tell a fact of works of a kind."""
    asked = slot.ask
    if stage is Stage.OFFER and asked.asked_of != "artist":
        return False
    return asked.due.rank <= stage.rank and (kind is None or not asked.kinds or kind in asked.kinds)


def _concerns(conditions: Any, kind: str | None) -> bool:
    """Return whether a rule may concern works of a kind."""
    if kind is None:
        return True
    return all(not allowed or kind in allowed for slots, allowed in conditions if any(slot.path == "kind" for slot in slots))


class Asked:
    """How a sheet asks in a language. The facts keep their names in every one: only by these ``check`` is sure what a column holds."""

    def __init__(self, language: Language, read: Choices) -> None:
        """Take the language, and by fact what ``check`` reads for each choice; what it would not read so is offered by its code."""
        self._labels, self._read = language.labels, read
        self.words = words_in(language.code)

    def choices(self, slot: Slot) -> tuple[str, ...]:
        """Return what may be chosen for a fact, in words that ``check`` reads; none where it is not chosen from a list."""
        if slot.kind == "yes_no":
            return self.words("template.yes"), self.words("template.no")
        labels, read = self._labels.get(slot.path, {}), self._read.get(slot.path, {})
        return tuple(labels[one] if read.get(called(labels[one])) == one else one for one in slot.choices)

    def question(self, slot: Slot) -> str:
        """Return what to ask for in a column: the prompt, how to measure, the unit, the choices, and how a list is written."""
        parts = [slot.ask.prompt, slot.ask.how]
        if slot.unit:
            parts.append(self.words("template.unit", unit=self.words(f"unit.{slot.unit}")))
        if slot.kind in ("choice", "yes_no"):
            parts.append(self.words(f"template.{slot.kind}", choices="; ".join(self.choices(slot))))
        if slot.kind == "date":
            parts.append(self.words("template.date"))
        if slot.count is not None:
            parts.append(self.words("template.values" if slot.count else "template.several", count=slot.count))
        return " ".join(part for part in parts if part)


def as_csv(slots: list[Slot], asked: Asked) -> bytes:
    """Return a CSV file: the facts, and the questions in a second row that “check” passes over. Excel knows UTF-8 by the mark.

    Cells are parted as a spreadsheet set to the language expects it: a German one by “;”, its comma being the decimal one.
    """
    into = io.StringIO()
    writer = csv.writer(into, delimiter=asked.words("template.separator"), lineterminator="\r\n")
    writer.writerow([slot.path for slot in slots])
    writer.writerow([("# " if not place else "") + asked.question(slot) for place, slot in enumerate(slots)])
    return into.getvalue().encode("utf-8-sig")


def as_xlsx(slots: list[Slot], asked: Asked) -> bytes:
    """Return an XLSX file: questions as comments, choices to choose from, the header kept in sight, and cells that stay texts."""
    from openpyxl import Workbook
    from openpyxl.comments import Comment
    from openpyxl.styles import Font

    book = Workbook()
    sheet: Any = book.active
    sheet.title, sheet.freeze_panes = asked.words("template.sheet"), "B2"
    lists: Any = None
    for place, slot in enumerate(slots, 1):
        head = sheet.cell(1, place, slot.path)
        head.font = Font(bold=True)
        head.comment = Comment(asked.question(slot), "hangworthy", width=_COMMENT_WIDTH, height=_COMMENT_HEIGHT)
        letter = letters(place - 1)
        sheet.column_dimensions[letter].width = max(12, len(slot.path) + 2)
        # Else a spreadsheet takes 12/50 for a day in December, and 6 ± 1 for nothing at all.
        for row in range(2, ROWS + 2):
            sheet.cell(row, place).number_format = asked.words("template.day_format") if slot.kind == "date" else "@"
        choices = asked.choices(slot)
        if choices and slot.count is None:
            if not _listed(choices) and lists is None:
                lists = book.create_sheet("choices")
                lists.sheet_state = "hidden"
            _offer(sheet, lists, letter, slot, choices)
    into = io.BytesIO()
    book.save(into)
    return into.getvalue()


def _listed(choices: tuple[str, ...]) -> str:
    """Return choices as a formula lists them; nothing where they are too long for it, or where a comma or a quotation mark parts one."""
    own = ",".join(choices)
    return f'"{own}"' if len(own) <= _LONGEST_LIST and not any(sign in choice for choice in choices for sign in ',"') else ""


def _offer(sheet: Any, lists: Any, letter: str, slot: Slot, choices: tuple[str, ...]) -> None:
    """Let a column's cells be chosen from a list. What is typed otherwise is warned of, not refused: check says what would be right."""
    from openpyxl.worksheet.datavalidation import DataValidation

    formula = _listed(choices)
    if not formula:
        column = 1 if lists.max_row == 1 and lists["A1"].value is None else lists.max_column + 1
        for row, choice in enumerate(choices, 1):
            lists.cell(row, column, choice)
        formula = f"choices!${letters(column - 1)}$1:${letters(column - 1)}${len(choices)}"
    offered = DataValidation(type="list", formula1=formula, allow_blank=True, errorStyle="warning")
    offered.promptTitle, offered.prompt = slot.ask.title[:32], slot.ask.prompt[:255]
    sheet.add_data_validation(offered)
    offered.add(f"{letter}2:{letter}{ROWS + 1}")
