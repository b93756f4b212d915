"""Works for the command line: from files to evaluations, with every fault of every file."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any, BinaryIO

import msgspec

from hangworthy.contract.effect import Stage
from hangworthy.contract.finding import Evaluation
from hangworthy.engine.catalogue import Catalogue
from hangworthy.engine.evaluate import BadWorks, Evaluator
from hangworthy.engine.fault import VenueError
from hangworthy.engine.reading import nearest
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy.engine.schema import Schema
from hangworthy.intake import BadInput, Intake, from_bad_works
from hangworthy.settings import Settings
from hangworthy.venues import default_venue, load_venue

STDIN = "(standard input)"
_OF_REQUEST = ["works", "stage", "venue", "language"]


class FileFault(msgspec.Struct, frozen=True):
    """One fault of one input: its file, a JSON Pointer into it (empty: the whole of it) and a sentence."""

    file: str
    pointer: str
    sentence: str


class InputError(ValueError):
    """Raised when inputs cannot be used; carries every fault of every file."""

    def __init__(self, faults: list[FileFault]) -> None:
        """Hold the faults."""
        self.faults = faults
        super().__init__(f"{len(faults)} faults in the input")


class Submission(msgspec.Struct, frozen=True):
    """One input as a request. ``cut`` is the head of its pointers that the file, as it was written, does not have."""

    file: str
    request: Any
    cut: str = ""


def read_all(files: Sequence[str], schema: Schema, stdin: BinaryIO, most_bytes: int) -> list[Submission]:
    """Read every file ("-" is standard input). Raises InputError with all that is wrong in any of them."""
    intake = Intake(schema)
    made: list[Submission] = []
    faults: list[FileFault] = []
    for file in files:
        try:
            made.append(_read(file, intake, stdin, most_bytes))
        except InputError as error:
            faults += error.faults
    if faults:
        raise InputError(faults)
    return made


def _read(file: str, intake: Intake, stdin: BinaryIO, most_bytes: int) -> Submission:
    name = STDIN if file == "-" else file
    try:
        if file == "-":
            body = stdin.read(most_bytes + 1)
        else:
            with Path(file).open("rb") as opened:
                body = opened.read(most_bytes + 1)
    except OSError as error:
        raise InputError([FileFault(name, "", f"this file cannot be read: {(error.strerror or str(error)).lower()}.")]) from None
    if len(body) > most_bytes:
        text = f"this is larger than {most_bytes:,} bytes; split it, or raise HANGWORTHY_MAX_BODY_BYTES."
        raise InputError([FileFault(name, "", text)])
    whole, cut = _as_request(body)
    try:
        return Submission(name, intake.read(whole), cut)
    except BadInput as error:
        raise InputError(located(name, error, cut)) from None


def _as_request(body: bytes) -> tuple[bytes, str]:
    """Return the bytes of a request, and the head of its pointers that is not in ``body``.

    A list of works and a bare work are wrapped as they stand, so that nothing in them is read differently; what is no JSON is not
    wrapped, so that its fault is told with the line and column that its author sees.
    """
    try:
        shape = msgspec.json.decode(body, type=list[msgspec.Raw] | dict[str, msgspec.Raw])
    except (msgspec.MsgspecError, UnicodeError, RecursionError):
        return body, ""
    if isinstance(shape, list):
        return b'{"works":' + body + b"}", "/works"
    if shape.keys() & set(_OF_REQUEST) or ("ref" not in shape and any(nearest(name, _OF_REQUEST) for name in shape)):
        return body, ""
    return b'{"works":[' + body + b"]}", "/works/0"


def located(file: str, bad: BadInput, cut: str) -> list[FileFault]:
    """Return the faults of an input with the pointers that fit its file."""
    return [FileFault(file, fault.pointer.removeprefix(cut), fault.message) for fault in bad.faults]


class Checker:
    """Evaluates submissions against the venue that was chosen, or that each names; each venue is bound once."""

    def __init__(self, catalogue: Catalogue, settings: Settings, chosen: str | None = None) -> None:
        """Load the venues. ``chosen`` is a file or a name. Raises VenueError."""
        self.catalogue = catalogue
        self.venues: dict[str, tuple[Venue, str]] = {}
        listed = [self._load(path) for path in settings.venues]
        if not listed:
            built_in = default_venue()
            self.venues[built_in.name] = (built_in, "")
        self.default = settings.default_venue or next(iter(self.venues))
        self.chosen = self._choose(chosen) if chosen is not None else None
        self._evaluators: dict[str, Evaluator] = {}

    def _load(self, path: Path) -> str:
        venue = load_venue(path, self.catalogue.schema)
        if self.venues.get(venue.name, (venue, ""))[1]:
            raise VenueError(f"{path}: name: venue “{venue.name}” is also in {self.venues[venue.name][1]}; give each its own name.")
        self.venues[venue.name] = (venue, str(path))
        return venue.name

    def _choose(self, chosen: str) -> str:
        """Return the name of the venue meant: a listed name before a file of that name."""
        if chosen in self.venues:
            return chosen
        if chosen.endswith(".toml") or Path(chosen).exists():
            self.venues = {name: pair for name, pair in self.venues.items() if pair[1] != chosen}
            return self._load(Path(chosen))
        raise VenueError(self._unknown(chosen) + " A file's name ends in .toml.")

    def _unknown(self, name: str) -> str:
        known = list(self.venues)
        return f"There is no venue “{name[:80]}”; there are: {', '.join(known[:10])}.{nearest(name, known)}"

    def ruleset(self, name: str | None) -> Ruleset:
        """Return the rules of the chosen venue, or else of the one named, or else of the default one. Raises VenueError."""
        return self._evaluator(self.chosen or name or self.default).ruleset

    def _evaluator(self, name: str) -> Evaluator:
        if name not in self.venues:
            raise VenueError(self._unknown(name))
        if name not in self._evaluators:
            venue, file = self.venues[name]
            try:
                self._evaluators[name] = Evaluator(Ruleset(self.catalogue, venue))
            except VenueError as error:
                raise VenueError(f"{file}: {error}" if file else str(error)) from None
        return self._evaluators[name]

    def evaluate_all(self, submissions: Sequence[Submission], stage: Stage | None, language: str | None = None) -> list[Evaluation]:
        """Evaluate every submission; ``stage`` and ``language`` replace theirs. Raises InputError with all that cannot be read."""
        made: list[Evaluation] = []
        faults: list[FileFault] = []
        for one in submissions:
            name = self.chosen or one.request.venue or self.default
            if self.chosen is None and one.request.venue is not None and name not in self.venues:
                faults.append(FileFault(one.file, "/venue", self._unknown(name)))
                continue
            try:
                evaluator = self._evaluator(name).speaking(language or one.request.language)
                made.append(evaluator.evaluate(one.request.works, stage or one.request.stage))
            except BadWorks as bad:
                faults += located(one.file, from_bad_works(bad), one.cut)
        if faults:
            raise InputError(faults)
        return made
