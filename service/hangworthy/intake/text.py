"""From bytes to plain JSON values, on the failure path: says why a text is no JSON, or what reading it would lose."""

import codecs
import json
from typing import Any

from hangworthy.intake.faults import BadInput, FaultList, InputFault, pointer_of, quote

DEEPEST = 20
_LONGEST_NUMBER = 30  # digits; a longer one is beyond every range, and Python refuses to read one of 4,300
_LOOKED_INTO = (dict, list, str)
_BOMS = (
    (codecs.BOM_UTF32_LE, "UTF-32"),
    (codecs.BOM_UTF32_BE, "UTF-32"),
    (codecs.BOM_UTF16_LE, "UTF-16"),
    (codecs.BOM_UTF16_BE, "UTF-16"),
)
_HINTS = {
    "'": "Use double quotation marks.",
    "“": "Use straight double quotation marks.",
    "”": "Use straight double quotation marks.",
    "/": "JSON has no comments.",
    "#": "JSON has no comments.",
    ",": "Is there a comma too many?",
    "}": "Is there a comma too many before it?",
    "]": "Is there a comma too many before it?",
    "T": "Write true in small letters.",
    "F": "Write false in small letters.",
    "N": "Write null for a fact that is not known.",
    "u": "Write null for a fact that is not known.",
    "+": "Write a number without a plus sign.",
    ".": "Write a zero before the point.",
}


class Repeated(dict[str, Any]):
    """An object in which a name occurred twice; ``twice`` lists those names."""

    twice: tuple[str, ...] = ()


def malformed(message: str, pointer: str = "") -> BadInput:
    """Return the refusal of a body that is no JSON we can read without loss."""
    return BadInput("malformed", [InputFault(pointer, message)])


def plain(body: bytes) -> Any:
    """Return the JSON value of a body. Raises BadInput: see the sentences."""
    text = _decoded(body)
    try:
        value = json.loads(text, object_pairs_hook=_object, parse_constant=_constant, parse_int=_whole, parse_float=float)
    except json.JSONDecodeError as error:
        raise malformed(_syntax(text, error)) from None
    except _NotANumber as error:
        raise malformed(f"{error} is not a number in JSON; leave out a fact that is not known.") from None
    except RecursionError:
        raise malformed(_TOO_DEEP) from None
    _inspect(value)
    return value


_TOO_DEEP = f"The body is nested too deeply; no request needs more than {DEEPEST} levels."


class _NotANumber(Exception):
    pass


def _decoded(body: bytes) -> str:
    if not body.strip():
        raise malformed('The body is empty; send JSON such as {"works": [{"ref": "a-1"}]}.')
    for mark, name in _BOMS:
        if body.startswith(mark):
            raise malformed(f"The body is written in {name}; save it as UTF-8.")
    if body.startswith(codecs.BOM_UTF8):
        raise malformed("The body starts with a byte order mark; save it as UTF-8 without BOM.")
    if b"\0" in body:
        raise malformed("The body holds zero bytes, so it may be UTF-16 or no text; save it as UTF-8.")
    try:
        return body.decode()
    except UnicodeDecodeError as error:
        line = body.count(b"\n", 0, error.start) + 1
        column = error.start - body.rfind(b"\n", 0, error.start)
        raise malformed(f"Line {line}, byte {column} is not UTF-8, perhaps Latin-1; save the text as UTF-8.") from None


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) == len(pairs):
        return made
    repeated, seen, twice = Repeated(made), set[str](), []
    for name, _ in pairs:
        if name in seen:
            twice.append(name)
        seen.add(name)
    repeated.twice = tuple(dict.fromkeys(twice))
    return repeated


def _constant(name: str) -> Any:
    raise _NotANumber(name)


def _whole(digits: str) -> float | int:
    return int(digits) if len(digits) <= _LONGEST_NUMBER else float(digits)


def _syntax(text: str, error: json.JSONDecodeError) -> str:
    """Return where the text stops being JSON, and the likeliest reason."""
    place = f"This is not JSON at line {error.lineno}, column {error.colno}."
    if error.msg == "Extra data":
        return f"{place} Nothing may follow the first value."
    char = text[error.pos : error.pos + 1]
    if not char:
        return f"{place} The text ends too early: is a bracket or quotation mark missing?"
    if error.msg.startswith("Unterminated"):
        return f"{place} A quotation mark is opened and not closed."
    if error.msg.startswith("Invalid control"):
        shown = {"\n": "a line break inside a text as \\n", "\t": "a tab inside a text as \\t"}.get(char)
        return f"{place} Write {shown or 'texts without control characters'}."
    if error.msg.startswith("Invalid \\"):
        return f"{place} Write a backslash inside a text as \\\\."
    if error.msg.startswith("Expecting ','") and char not in "/#":
        if text[error.pos - 1 : error.pos] == "0" and char in "0123456789xX":
            return f"{place} Write a number in plain digits, without zeros before it."
        return f"{place} Is a comma missing before {quote(text[error.pos : error.pos + 10].split(chr(10))[0])}?"
    if error.msg.startswith("Expecting property name") and char.isalpha():
        return f"{place} Put each name in double quotation marks."
    return f"{place} {_HINTS.get(char, 'Check quotation marks, commas and brackets near it.')}"


def _inspect(value: Any) -> None:
    """Refuse what JSON allows and we could not keep: names given twice, halves of characters, bottomless nesting, zero characters."""
    faults, zeros = FaultList(), FaultList()
    stack: list[tuple[tuple[Any, ...], Any]] = [((), value)]
    while stack:
        path, node = stack.pop()
        if len(path) > DEEPEST:
            raise malformed(_TOO_DEEP)
        if isinstance(node, dict):
            _names(faults, path, node)
            stack += [((*path, name), one) for name, one in reversed(node.items()) if isinstance(one, _LOOKED_INTO)]
        elif isinstance(node, list):
            stack += [((*path, place), one) for place, one in reversed([*enumerate(node)]) if isinstance(one, _LOOKED_INTO)]
        elif isinstance(node, str):
            _halves(faults, path, node)
            if "\0" in node:
                zeros.add(pointer_of(path), "This text holds a zero character, which no database keeps; leave it out.")
    if faults:
        raise BadInput("malformed", faults.listed())
    if zeros:
        raise BadInput("invalid", zeros.listed())


def _names(faults: FaultList, path: tuple[Any, ...], node: dict[str, Any]) -> None:
    for name in node.twice if isinstance(node, Repeated) else ():
        faults.add(pointer_of((*path, name)), f"{quote(name)} is given twice in one object; keep the one that is right.")
    for name in node:
        _halves(faults, (*path, name), name)


def _halves(faults: FaultList, path: tuple[Any, ...], text: str) -> None:
    if not text.isascii() and any("\ud800" <= char <= "\udfff" for char in text):
        faults.add(pointer_of(path), "This text holds half a character (a lone surrogate); write the whole character.")
