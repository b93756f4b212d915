"""Queries: each parameter has a reader, and every fault is found before one is told."""

import re
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from typing import Any

import msgspec

from hangworthy.api.bounds import LONGEST_TEXT, MOST_ITEMS
from hangworthy.api.problems import QUERY, AnyRequest, Refused
from hangworthy.engine.reading import nearest
from hangworthy.intake import InputFault
from hangworthy.intake.faults import quote

Reader = Callable[[str, str], Any]  # the parameter's name and its text; raises ValueError with a sentence
MOST_FAULTS = 100
_ID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}\Z")


def is_id(text: str) -> bool:
    """Return whether a text could be the id of an evaluation."""
    return _ID.match(text) is not None


def bad_query(parameter: str, message: str) -> Refused:
    """Return the problem for one query parameter."""
    return _refused([InputFault("", message, parameter)])


def query(request: AnyRequest, **readers: Reader) -> dict[str, Any]:
    """Return what each query parameter says, None for one that is not given. Raises Refused with every fault.

    There is a fault for a parameter that is not known, that is given twice, or that its reader refuses.
    """
    faults, found = [], dict[str, Any]()
    places = {name: place for place, name in enumerate(readers)}  # the framework's own order is another at every start
    for name, text in sorted(request.query_params.multi_items(), key=lambda pair: (places.get(pair[0], len(places)), pair[0])):
        if name not in readers:
            faults.append(InputFault("", f"There is no query parameter {quote(name)}.{_instead(name, list(readers))}", quote(name)[1:-1]))
        elif name in found:
            faults.append(InputFault("", f"The query parameter {name} is given twice; give it once.", name))
        else:
            try:
                found[name] = readers[name](name, str(text))
            except ValueError as error:
                found[name] = None
                faults.append(InputFault("", str(error), name))
    if faults:
        raise _refused(faults)
    return dict.fromkeys(readers) | found


def _instead(name: str, known: list[str]) -> str:
    return nearest(name, known) or (f" Known are: {', '.join(known)}." if known else " This address takes none.")


def _refused(faults: Sequence[InputFault]) -> Refused:
    told = faults[0].message if len(faults) == 1 else f"{len(faults)} parameters need to be put right; see errors."
    return Refused(QUERY, told, faults[:MOST_FAULTS])


def limit(name: str, text: str) -> int:
    """Read how many items a page may hold."""
    number = whole(text)
    if number is None or number > MOST_ITEMS:
        raise ValueError(f"The query parameter {name} must be a whole number from 1 to {MOST_ITEMS}.")
    return number


def whole(text: str) -> int | None:
    """Return a whole number of at least 1, or None for what is none."""
    return int(text) if text.isascii() and text.isdigit() and len(text) <= 9 and int(text) else None


def evaluation_id(name: str, text: str) -> str:
    """Read an evaluation's id."""
    if not is_id(text):
        raise ValueError(f"The query parameter {name} must be the id of an evaluation, as lists state it.")
    return text


def words(name: str, text: str) -> str:
    """Read a text that a record can hold."""
    if not 0 < len(text) <= LONGEST_TEXT or "\0" in text:
        raise ValueError(f"The query parameter {name} must be a text of 1 to {LONGEST_TEXT} characters.")
    return text


def choice(*choices: str) -> Reader:
    """Return the reader of one of a few words."""

    def read(name: str, text: str) -> str:
        if text not in choices:
            raise ValueError(f"The query parameter {name} must be one of: {', '.join(choices)}.{nearest(text, list(choices))}")
        return text

    return read


def moment(name: str, text: str) -> datetime:
    """Read a moment with its zone; one without would mean another time elsewhere."""
    try:
        read = msgspec.convert(text, datetime)
        if read.tzinfo is not None:
            return read.astimezone(UTC)
    except (msgspec.ValidationError, ValueError, OverflowError):
        pass
    raise ValueError(f"The query parameter {name} must be a moment with its zone, such as 2026-03-31T12:00:00Z.")
