"""The printer of a service: each PDF in a process of its own, never more at once than it is set to, and none for ever."""

import asyncio
import contextlib
import sys
from typing import Final

MOST_AT_ONCE: Final = 2
MOST_SECONDS: Final = 60.0
MOST_BYTES: Final = 50_000_000


class PrinterBusyError(Exception):
    """As many documents as may be are being printed; ``retry_after`` [s] is how long to wait."""

    retry_after = 5


class PrintingFailedError(Exception):
    """A document took too long, or printing broke off; nothing of it is told, since it may hold a work's facts."""


class Printer:
    """Prints documents beside the event loop."""

    def __init__(self, most: int = MOST_AT_ONCE, seconds: float = MOST_SECONDS, command: tuple[str, ...] = ()) -> None:
        """Print at most so many documents at once, each for at most so long; ``command`` prints from standard input to its output."""
        self.most, self.seconds, self.running = most, seconds, 0
        self.command = command or (sys.executable, "-m", "hangworthy.sheets.printing")

    async def pdf(self, html: str) -> bytes:
        """Return a document as PDF. Raises PrinterBusyError at once when too many are being printed, and PrintingFailedError."""
        if self.running >= self.most:
            raise PrinterBusyError
        self.running += 1
        try:
            return await self._printed(html.encode())
        finally:
            self.running -= 1

    async def _printed(self, html: bytes) -> bytes:
        pipe = asyncio.subprocess.PIPE
        process = await asyncio.create_subprocess_exec(*self.command, stdin=pipe, stdout=pipe, stderr=asyncio.subprocess.DEVNULL)
        try:
            made, _ = await asyncio.wait_for(process.communicate(html), self.seconds)
        except TimeoutError:
            raise PrintingFailedError("it took too long") from None
        finally:
            if process.returncode is None:  # too slow, or whoever asked has gone
                with contextlib.suppress(ProcessLookupError):
                    process.kill()
                await asyncio.shield(process.wait())
        if process.returncode != 0 or not made.startswith(b"%PDF") or len(made) > MOST_BYTES:
            raise PrintingFailedError("it broke off")
        return made
