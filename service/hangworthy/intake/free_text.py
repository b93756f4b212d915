"""Lines of free text: a body becomes texts to read, or every fault in it; the texts of a work are checked by the same words."""

from typing import Annotated, Any

import msgspec
from msgspec import Meta

from hangworthy.contract.languages import LANGUAGES, LanguageCode
from hangworthy.contract.reading import CONVENTIONS, MOST_CHARACTERS, AsWritten
from hangworthy.engine.reading import nearest
from hangworthy.intake.faults import BadInput, FaultList, pointer_of, quote
from hangworthy.intake.text import plain
from hangworthy.intake.wording import choose

MOST_LINES = 500
_FIELDS = ("lines", "language")
_TEXTS = ("dimensions", "medium", "edition")
_NAMES = (*_TEXTS, "convention")
_TAKES = f" It takes: {', '.join(_NAMES)}."


class ReadingsRequest(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Lines to read, each about one work, answered in this order; and the language of the answer."""

    lines: Annotated[tuple[AsWritten, ...], Meta(min_length=1, max_length=MOST_LINES)]
    language: Annotated[LanguageCode | None, Meta(description="The language of the answer's sentences; without it, English.")] = None


_MET = msgspec.json.Decoder(ReadingsRequest)  # worked out on one thread, as in engine/compare.py


def read_lines(body: bytes) -> ReadingsRequest:
    """Return the request in a body: its lines, and the language of the answer. Raises BadInput with every fault that is in it."""
    value = plain(body)
    faults = FaultList()
    _check(value, faults)
    if faults:
        raise BadInput("invalid", faults.listed())
    return msgspec.convert(value, ReadingsRequest)


def _check(value: Any, faults: FaultList) -> None:
    if not isinstance(value, dict):
        faults.add("", 'The body must be an object such as {"lines": [{"dimensions": "24 x 36 in"}]}.')
        return
    for name in [name for name in value if name not in _FIELDS]:
        where = "write it in each line" if name in _NAMES else "it takes “lines” and “language”"
        faults.add(pointer_of((name,)), f"A request for readings has no field {quote(name)}; {where}.")
    language = value.get("language")
    if language is not None and language not in LANGUAGES:
        faults.add("/language", choose("The language", language, LANGUAGES))
    lines = value.get("lines")
    if not isinstance(lines, list) or not lines:
        faults.add("/lines", "The lines must be a list of at least one line, in square brackets.")
        return
    if len(lines) > MOST_LINES:
        faults.add("/lines", f"One request takes at most {MOST_LINES} lines; {len(lines)} were given. Send several requests.")
    for place, line in enumerate(lines[:MOST_LINES]):
        check_line(("lines", place), line, faults)


def check_line(path: tuple[Any, ...], line: Any, faults: FaultList) -> bool:
    """Add every fault of one line; return whether there is none."""
    if not isinstance(line, dict):
        faults.add(pointer_of(path), 'A line must be an object of texts such as {"dimensions": "24 x 36 in"}, in curly brackets.')
        return False
    good = True
    for name, text in line.items():
        sentence = _misfit(name, text)
        if sentence:
            faults.add(pointer_of((*path, name)), sentence)
            good = False
    return good


def _misfit(name: str, text: Any) -> str | None:
    """Return what is wrong with one text of a line, or None."""
    if name not in _NAMES:
        return f"A line has no text {quote(name)}.{nearest(name, list(_NAMES)) or _TAKES}"
    if text is None:
        return None
    if name not in _TEXTS:
        return None if text in CONVENTIONS else choose("The convention", text, CONVENTIONS)
    if not isinstance(text, str):
        return f"The text of {name} must be in quotation marks, as somebody wrote it."
    if not text:
        return f"The text of {name} is empty; leave it out if there is none."
    if len(text) > MOST_CHARACTERS:
        return f"The text of {name} may have at most {MOST_CHARACTERS} characters; {len(text)} were given."
    return None
