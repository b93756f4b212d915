"""JSON Lines: from bytes as they come to lines, with a bound on the length of each; and from a work as it stands to a request."""

import codecs
from collections.abc import Sequence

import msgspec

from hangworthy.engine.reading import nearest

OF_REQUEST = ["works", "stage", "venue", "language"]
_WIDE = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


class Line(msgspec.Struct, frozen=True):
    """One line that is not blank: its number in the file, counted from 1, and its bytes; None when it was longer than is taken."""

    number: int
    text: bytes | None


class LineSplitter:
    """Parts bytes into lines. Never holds more than one line of the greatest length; the rest of a longer one is passed over.

    A byte order mark at the very start is left out, blank lines are counted and left out, and the last line needs no newline.
    """

    def __init__(self, most: int) -> None:
        """Take lines of at most ``most`` bytes."""
        self.number, self._most = 0, most
        self._part, self._skips, self._fresh = bytearray(), False, True

    def feed(self, chunk: bytes) -> list[Line]:
        """Return the lines that a further piece completes."""
        made: list[Line] = []
        start = 0
        while (end := chunk.find(b"\n", start)) >= 0:
            self._take(chunk[start:end])
            made += self._ended()
            start = end + 1
        self._take(chunk[start:])
        return made

    def close(self) -> list[Line]:
        """Return the last line, if it did not end in a newline."""
        return self._ended() if self._part or self._skips else []

    def _take(self, part: bytes) -> None:
        if self._skips:
            return
        self._part += part
        if len(self._part) > self._most + len(codecs.BOM_UTF8):
            self._skips = True
            self._part.clear()

    def _ended(self) -> list[Line]:
        self.number += 1
        text, skipped, self._skips = bytes(self._part), self._skips, False
        self._part.clear()
        if self._fresh:
            text, self._fresh = text.removeprefix(codecs.BOM_UTF8), False
        if skipped or len(text) > self._most:
            return [Line(self.number, None)]
        text = text.strip(b" \t\r\n")
        return [Line(self.number, text)] if text else []


def no_lines(text: bytes) -> str | None:
    """Return why a first line cannot begin a file of JSON Lines: a sentence for people; None when it may."""
    if text.startswith(_WIDE) or b"\0" in text:
        return "This is not UTF-8, perhaps UTF-16; save it as UTF-8."
    if text in (b"[", b"{"):
        return "Each line must be one whole JSON value, but this is one value over several lines; write one work to a line."
    return None


def as_request(body: bytes, **missing: str | None) -> tuple[bytes, str]:
    """Return the bytes of a request, and the head of its pointers that is not in ``body``.

    ``body`` is a request, a list of works or a bare work; the last two are wrapped as they stand, so that nothing in them is read
    differently. What is no JSON is not wrapped, so that its fault is told with the place that its author sees. What is
    ``missing`` (stage, venue, language) is put in where the body itself says nothing of it.
    """
    try:
        shape = msgspec.json.decode(body, type=list[msgspec.Raw] | dict[str, msgspec.Raw])
    except (msgspec.MsgspecError, UnicodeError, RecursionError):
        return body, ""
    given = list(missing.items())
    if isinstance(shape, list):
        return b"{" + _said(given) + b'"works":' + body + b"}", "/works"
    if shape.keys() & set(OF_REQUEST) or ("ref" not in shape and any(nearest(name, OF_REQUEST) for name in shape)):
        more = _said([(name, text) for name, text in given if name not in shape])
        return (b"{" + more + body.lstrip()[1:] if more else body), ""
    return b"{" + _said(given) + b'"works":[' + body + b"]}", "/works/0"


def _said(given: Sequence[tuple[str, str | None]]) -> bytes:
    return b"".join(b'"%s":%s,' % (name.encode(), msgspec.json.encode(text)) for name, text in given if text is not None)
