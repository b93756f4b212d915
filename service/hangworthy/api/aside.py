"""Bytes put aside on disk, first in, first out: in files without a name that are gone when they were read, or when the process ends."""

import tempfile
from collections import deque
from typing import BinaryIO

SEGMENT = 1 << 24  # bytes in one file
PIECE = 1 << 16


class Aside:
    """A queue of bytes on disk. Its files never hold much more than what was not taken out yet."""

    def __init__(self, segment: int = SEGMENT) -> None:
        """Start empty; a file is only made when there is something for it. Raises OSError later, where the disk is full."""
        self._segment = segment
        self._files: deque[BinaryIO] = deque()
        self._read = self._written = 0  # in the first and in the last file
        self.size = 0

    def put(self, body: bytes) -> None:
        """Add bytes at the end."""
        if not self._files or self._written >= self._segment:
            self._files.append(tempfile.TemporaryFile())  # noqa: SIM115 - closed when it was read
            self._written = 0
        last = self._files[-1]
        last.seek(self._written)
        last.write(body)
        self._written += len(body)
        self.size += len(body)

    def take(self) -> bytes:
        """Return some of the bytes, from the beginning; none when there are none."""
        while self._files:
            first = self._files[0]
            first.seek(self._read)
            if piece := first.read(PIECE):
                self._read += len(piece)
                self.size -= len(piece)
                return piece
            self._files.popleft().close()
            self._read = 0
        return b""

    def close(self) -> None:
        """Throw away everything."""
        while self._files:
            self._files.popleft().close()
        self.size = self._read = 0
