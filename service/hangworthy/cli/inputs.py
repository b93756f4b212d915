"""What is to be checked: files, folders and patterns, each read by its kind into submissions, with every fault of every file."""

import glob
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, BinaryIO

import msgspec

from hangworthy.engine.catalogue import MOST_WORKS
from hangworthy.engine.schema import Schema
from hangworthy.intake import BadInput, InputFault, Intake
from hangworthy.intake.lines import LineSplitter, as_request, no_lines

STDIN, WHOLE = "(standard input)", "the whole input"
KINDS = {".json": "json", ".jsonl": "jsonl", ".ndjson": "jsonl", ".csv": "csv", ".tsv": "csv", ".xlsx": "xlsx", ".xlsm": "xlsx"}
MOST_GRID = 50_000_000  # bytes

_CELLS = {
    "must be answered yes or no: please write true or false, without quotation marks": "must be yes or no",
    ", without quotation marks": "",
    "or leave it out if": "or leave it empty if",
    ", in square brackets": ", with “;” between them",
}


Titles = Mapping[str, tuple[str, ...]]
Choices = Mapping[str, Mapping[str, str]]


class FileFault(msgspec.Struct, frozen=True):
    """One fault of one input: its file, the place in it (a JSON Pointer, or line, row and column; empty: the whole), a sentence."""

    file: str
    pointer: str
    sentence: str
    line: int | None = None

    def __str__(self) -> str:
        return f"{self.file}: {self.pointer or WHOLE}: {self.sentence}"


class InputError(ValueError):
    """Raised when inputs cannot be used; carries every fault of every file, and says each in a line of its own."""

    def __init__(self, faults: list[FileFault]) -> None:
        """Hold the faults."""
        self.faults = faults
        super().__init__("\n".join(map(str, faults)))


class Submission(msgspec.Struct, frozen=True):
    """One request, and where it stands: its file, and the lines or rows of its works where it has any.

    ``cut`` is the head of its pointers that the file, as it was written, does not have. ``columns`` are the headings by pointer.
    """

    file: str
    request: Any
    cut: str = ""
    lines: tuple[int, ...] = ()
    columns: Mapping[str, str] = {}

    def located(self, faults: Sequence[InputFault]) -> list[FileFault]:
        """Return faults with the places that fit the file."""
        return [self._located(one) for one in faults]

    def _located(self, fault: InputFault) -> FileFault:
        if not self.columns:
            line = self.lines[0] if self.lines else None
            pointer = fault.pointer.removeprefix(self.cut)
            place = ", ".join(part for part in (f"line {line}" if line else "", pointer) if part)
            return FileFault(self.file, place, fault.message.replace("at line 1, column", "at column") if line else fault.message, line)
        steps = fault.pointer.split("/", 3)
        row = self.lines[int(steps[2])] if len(steps) > 2 and steps[1] == "works" and int(steps[2]) < len(self.lines) else None
        fact = "/" + steps[3] if len(steps) > 3 else ""
        column = next((name for pointer, name in self.columns.items() if fact and _same_fact(pointer, fact)), "")
        parts = [f"row {row}" if row else "", f"column {column}" if column else fact]
        return FileFault(self.file, ", ".join(part for part in parts if part), _for_cells(fault.message), row)


def _same_fact(column: str, fact: str) -> bool:
    """Return whether a column's pointer and a fault's are about the same fact, be one of them about an item of its list."""
    return column == fact or column.startswith(f"{fact}/") or fact.startswith(f"{column}/")


def _for_cells(message: str) -> str:
    """Return a sentence about JSON as it is meant for a cell, which knows neither quotation marks nor brackets."""
    for written, meant in _CELLS.items():
        message = message.replace(written, meant)
    return message


class Reading(msgspec.Struct, frozen=True):
    """How files are to be read: as what (``auto``: by their names), which columns are which facts, which sheet; ``say`` gets notes.

    ``titles`` gives, where a heading names no fact, what facts are called in every language, each with the paths of those so called.
    ``choices`` gives, by path, what a form calls the choices of a fact in every language, each with the choice.
    """

    most_bytes: int
    kind: str = "auto"
    renamed: Mapping[str, str] = {}
    sheet: str | None = None
    say: Callable[[str], None] = lambda text: None
    titles: Callable[[], Titles] = dict
    choices: Callable[[], Choices] = dict


def read_all(files: Sequence[str], schema: Schema, stdin: BinaryIO, how: Reading) -> list[Submission]:
    """Read every file, folder and pattern ("-" is standard input). Raises InputError with all that is wrong in any of them."""
    intake = Intake(schema)
    made: list[Submission] = []
    faults: list[FileFault] = []
    for asked in files:
        try:
            for file in _files(asked):
                try:
                    made += _read(file, intake, stdin, how)
                except InputError as error:
                    faults += error.faults
        except InputError as error:
            faults += error.faults
    if faults:
        raise InputError(faults)
    return made


def _files(asked: str) -> list[str]:
    """Return the files that a name, a folder or a pattern stands for."""
    if asked == "-":
        return [asked]
    path = Path(asked)
    if path.is_dir():
        inside = (one for one in sorted(path.rglob("*")) if not any(part.startswith((".", "~$")) for part in one.relative_to(path).parts))
        found = [str(one) for one in inside if one.suffix.lower() in KINDS and one.is_file()]
        return found or _fail(asked, f"this folder holds no file of works; the names of such files end in {', '.join(KINDS)}.")
    if glob.has_magic(asked) and not path.exists():
        return sorted(glob.glob(asked, recursive=True)) or _fail(asked, "no file has such a name.")
    return [asked]


def _fail(file: str, sentence: str) -> Any:
    raise InputError([FileFault(file, "", sentence)])


def _read(file: str, intake: Intake, stdin: BinaryIO, how: Reading) -> list[Submission]:
    suffix = Path(file).suffix.lower()
    kind = how.kind if how.kind != "auto" else KINDS.get(suffix, "json")
    if suffix == ".xls" and how.kind == "auto":
        _fail(file, "this is an old Excel file; save it as XLSX.")
    with opened(file, stdin) as (name, stream):
        return _READERS[kind](name, stream, intake, how)


@contextmanager
def opened(file: str, stdin: BinaryIO) -> Iterator[tuple[str, BinaryIO]]:
    """Yield what a file is called and its bytes ("-" is standard input). Raises InputError where it cannot be read."""
    name = STDIN if file == "-" else file
    try:
        if file == "-":
            yield name, stdin
        else:
            with Path(file).open("rb") as stream:
                yield name, stream
    except OSError as error:
        _fail(name, f"this file cannot be read: {(error.strerror or str(error)).lower()}.")


def whole(name: str, file: BinaryIO, most: int, advice: str = "split it, or raise HANGWORTHY_MAX_BODY_BYTES.") -> bytes:
    """Return all that is in a file. Raises InputError, with what to do, where it is more than ``most`` bytes."""
    body = file.read(most + 1)
    if len(body) > most:
        _fail(name, f"this is larger than {most:,} bytes; {advice}")
    return body


def _read_json(name: str, file: BinaryIO, intake: Intake, how: Reading) -> list[Submission]:
    body, cut = as_request(whole(name, file, how.most_bytes))
    try:
        return [Submission(name, intake.read(body), cut)]
    except BadInput as error:
        raise InputError(Submission(name, None, cut).located(error.faults)) from None


def _read_lines(name: str, file: BinaryIO, intake: Intake, how: Reading) -> list[Submission]:
    made: list[Submission] = []
    faults: list[FileFault] = []
    for number, text in _lines(name, file, how.most_bytes):
        body, cut = as_request(text)
        try:
            request = intake.read(body)
            made.append(Submission(name, request, cut, (number,) * len(request.works)))
        except BadInput as error:
            faults += Submission(name, None, cut, (number,)).located(error.faults)
    if faults:
        raise InputError(faults)
    return made or list(_fail(name, "this holds no lines; write one work to a line."))


def _lines(name: str, file: BinaryIO, most: int) -> Iterator[tuple[int, bytes]]:
    splitter, first = LineSplitter(most), True
    while True:
        piece = file.read(1 << 16)
        for line in splitter.feed(piece) if piece else splitter.close():
            if line.text is None:
                raise InputError([FileFault(name, f"line {line.number}", f"this line is longer than {most:,} bytes.", line.number)])
            if first and (why := no_lines(line.text)):
                _fail(name, why)
            first = False
            yield line.number, line.text
        if not piece:
            return


def _read_grid(name: str, file: BinaryIO, intake: Intake, how: Reading) -> list[Submission]:
    from hangworthy.cli.columns import Facts, columns_of, works_of
    from hangworthy.cli.grids import GridError, letters, read_csv, read_xlsx

    body = whole(name, file, MOST_GRID)
    try:
        facts = Facts(intake.schema, how.renamed, how.titles, how.choices)
        grid = read_xlsx(body, how.sheet) if body.startswith((b"PK", b"\xd0\xcf\x11\xe0")) else read_csv(body, facts.knows)
        columns, wrong = columns_of(grid, facts)
        found = works_of(grid, columns)
    except GridError as error:
        raise InputError([FileFault(name, f"row {error.row}" if error.row else "", error.sentence, error.row)]) from None
    works, rows = found.works, found.rows
    for note in filter(None, (grid.note, found.note)):
        how.say(f"{name}: {note}")
    if len(works) > MOST_WORKS:
        how.say(f"{name}: rows are compared with each other within each {MOST_WORKS} only.")
    pointers = {one.slot.pointer + ("" if one.item is None else f"/{one.item}"): f"{letters(one.place)} ({one.heading})" for one in columns}
    faults = [
        FileFault(name, f"row {one.row}" + (f", column {one.column}" if one.column else ""), one.sentence, one.row)
        for one in (*wrong, *found.faults)
    ]
    if not works and not faults:
        _fail(name, "this holds no works below its header.")
    made: list[Submission] = []
    for start in range(0, len(works), MOST_WORKS):
        lines = tuple(row.number for row in rows[start : start + MOST_WORKS])
        one = Submission(name, None, "", lines, pointers)
        try:
            request = intake.read(msgspec.json.encode({"works": works[start : start + MOST_WORKS]}))
            made.append(msgspec.structs.replace(one, request=request))
        except BadInput as bad:
            faults += one.located(bad.faults) if not wrong else []
    if faults:
        raise InputError(faults)
    return made


_READERS = {"json": _read_json, "jsonl": _read_lines, "csv": _read_grid, "xlsx": _read_grid}
