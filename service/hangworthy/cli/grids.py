"""Files of rows as people save them, CSV and XLSX, read into plain rows; what a spreadsheet has done to a cell is told, never guessed."""

import codecs
import csv
import io
import zipfile
from collections.abc import Callable, Iterator
from datetime import date, datetime
from typing import Any

import msgspec

MOST_UNPACKED = 200_000_000  # bytes of an XLSX file once unpacked: a small file may hold a great deal of nothing
_WIDE = ((codecs.BOM_UTF32_LE, "utf-32"), (codecs.BOM_UTF32_BE, "utf-32"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))
_SEPARATORS = (",", ";", "\t")
Value = str | float | int | bool | date | None


class GridError(ValueError):
    """Raised when a file is none of the kind it should be; the message is a sentence, ``row`` the row it is about, if any."""

    def __init__(self, sentence: str, row: int | None = None) -> None:
        """Hold the sentence."""
        super().__init__(sentence)
        self.sentence, self.row = sentence, row


class Cell(msgspec.Struct, frozen=True):
    """One cell: its value (None: empty), what is wrong with it (a sentence), and whether it is shown as a percentage."""

    value: Value = None
    fault: str = ""
    percent: bool = False


class Row(msgspec.Struct, frozen=True):
    """One row that is not empty, with its number as the file's own program shows it."""

    number: int
    cells: list[Cell]


class Grid(msgspec.Struct, frozen=True):
    """The header's texts and the rows below it; ``note`` says what was left out of the file."""

    header: list[str]
    rows: list[Row]
    header_row: int = 1
    note: str = ""


def letters(place: int) -> str:
    """Return the name of a column as spreadsheets show it: A for 0, Z for 25, AA for 26."""
    name = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        name = chr(65 + rest) + name
    return name


def _decoded(body: bytes) -> str:
    for mark, name in _WIDE:
        if body.startswith(mark):
            try:
                return body.decode(name)
            except UnicodeDecodeError:
                raise GridError(f"This is not whole {name.upper()}; save it as CSV in UTF-8.") from None
    try:
        return body.decode("utf-8-sig")
    except UnicodeDecodeError:
        pass
    try:
        return body.decode("cp1252")  # what Excel writes as “CSV” on most computers
    except UnicodeDecodeError:
        raise GridError("This is neither UTF-8 nor the Windows code page; save it as CSV in UTF-8.") from None


def _rows(text: str, separator: str, start: int) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    last = 0
    try:
        for cells in reader:
            yield start + last + 1, cells
            last = reader.line_num
    except csv.Error as error:
        why = "A quotation mark is opened and not closed" if "end of data" in str(error) else "This row is no CSV"
        raise GridError(f"{why}; put texts with “{separator}” or quotation marks in quotation marks.", start + last + 1) from None


def read_csv(body: bytes, knows: Callable[[str], bool]) -> Grid:
    """Read a CSV file; the separator is the one under which the header names most that is known (``knows``). Raises GridError."""
    text, start = _decoded(body), 0
    if "\0" in text:
        raise GridError("This holds zero characters, so it is no CSV; is it a spreadsheet under another name?")
    if text[:4].lower() == "sep=" and text[4:5] in (*_SEPARATORS, "|"):
        separator, start = text[4], 1
        text = text.partition("\n")[2]
    else:
        separator = max(_SEPARATORS, key=lambda one: _known(text, one, knows))
    made = ((number, cells) for number, cells in _rows(text, separator, start) if any(cell.strip() for cell in cells))
    first = next(made, None)
    if first is None:
        raise GridError("This holds no rows; the first row must name the facts.")
    rows = [Row(number, [Cell(cell.strip() or None) for cell in cells]) for number, cells in made]
    return Grid([cell.strip() for cell in first[1]], rows, first[0])


def _known(text: str, separator: str, knows: Callable[[str], bool]) -> tuple[int, int]:
    first = next((line for line in text.splitlines() if line.strip()), "")
    cells = next(csv.reader([first], delimiter=separator), [])
    return sum(map(knows, cells)), len(cells)


def read_xlsx(body: bytes, wanted: str | None = None) -> Grid:
    """Read the first visible sheet of an XLSX file, or the one of that name. Raises GridError."""
    _check_package(body)
    from openpyxl import load_workbook

    try:
        book = load_workbook(io.BytesIO(body))
    except Exception as error:
        raise GridError("This is no XLSX file that can be read; open it, and save it once more as XLSX.") from error
    shown = [sheet for sheet in book.worksheets if sheet.sheet_state == "visible" and sheet.max_row]
    names = [sheet.title for sheet in book.worksheets]
    if wanted is not None and wanted not in names:
        raise GridError(f"There is no sheet “{wanted}”; there are: {', '.join(names)}.")
    if wanted is None and not shown:
        raise GridError("All sheets are hidden; show the one with the works, or name it with --sheet.")
    sheet = book[wanted] if wanted is not None else shown[0]
    others = [one.title for one in shown if one is not sheet and one.calculate_dimension() != "A1:A1"]
    note = f"Only the sheet “{sheet.title}” was read, not {', '.join(others)}; choose with --sheet." if others and wanted is None else ""
    rows = [row for row in _xlsx_rows(sheet, body) if any(cell.value is not None or cell.fault for cell in row.cells)]
    if not rows:
        raise GridError(f"The sheet “{sheet.title}” is empty; its first row must name the facts.")
    header = ["" if cell.value is None else str(cell.value).strip() for cell in rows[0].cells]
    return Grid(header, rows[1:], rows[0].number, note)


def _check_package(body: bytes) -> None:
    if body.startswith(b"\xd0\xcf\x11\xe0"):
        raise GridError("This is an old or an encrypted Excel file; save it as XLSX without a password.")
    try:
        with zipfile.ZipFile(io.BytesIO(body)) as package:
            if sum(one.file_size for one in package.infolist()) > MOST_UNPACKED:
                raise GridError("This file is far too large once unpacked; save the works alone in a new file.")
    except zipfile.BadZipFile:
        raise GridError("This is no XLSX file; save it as XLSX, or as CSV under the name .csv.") from None


def _xlsx_rows(sheet: Any, body: bytes) -> Iterator[Row]:
    merged = {
        (row, column): str(area)
        for area in sheet.merged_cells.ranges
        for row, column in ((r, c) for r in range(area.min_row, area.max_row + 1) for c in range(area.min_col, area.max_col + 1))
    }
    stored: Any = None
    for cells in sheet.iter_rows():
        made = []
        for cell in cells:
            if cell.data_type == "f" and stored is None:
                from openpyxl import load_workbook

                stored = load_workbook(io.BytesIO(body), data_only=True)[sheet.title]
            made.append(_xlsx_cell(cell, stored, merged.get((cell.row, cell.column))))
        yield Row(cells[0].row, made)


def _xlsx_cell(cell: Any, stored: Any, area: str | None) -> Cell:
    value = cell.value
    if area is not None:
        return Cell(value, f"The cells {area} are merged, so it is not said which work this is for; unmerge them and fill in each.")
    if cell.data_type == "f":
        value = stored.cell(cell.row, cell.column).value
        if value is None:
            return Cell("=", "This is a formula without a stored result; save the file in the spreadsheet program, or type the value.")
    if cell.data_type == "e" or (isinstance(value, str) and value.startswith("#") and value.rstrip("!?").isupper()):
        return Cell(str(value), f"The spreadsheet shows the error {value} here; put the formula right, or type the value.")
    if isinstance(value, datetime):
        value = value.date()
    if isinstance(value, str):
        value = value.strip() or None
    if value is not None and not isinstance(value, str | float | int | bool | date):
        return Cell(str(value), "This is a time or a span of time for the spreadsheet; format the column as text and type it again.")
    return Cell(value, percent="%" in (cell.number_format or "") and isinstance(value, float | int))
