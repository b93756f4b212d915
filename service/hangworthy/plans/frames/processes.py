"""Running workers: one process for each plan, never more than a few at once, and none for longer than its time limit allows."""

import asyncio
import contextlib
import sys
from collections.abc import Callable

import msgspec

from hangworthy.plans.frames.wanted import PlanInput

AT_ONCE, MOST_WAITING = 2, 8
GRACE_SECONDS = 15.0  # to start, to explain and to check; a worker that takes longer is stuck
_LONGEST_LINE = 256 * 1024 * 1024


class PlanFailed(Exception):
    """Raised when a worker gave no plan. The message is the kind of failure, without anybody's facts."""


class AllBusy(Exception):
    """Raised when too many plans wait already."""


async def run_worker(given: PlanInput, progress: Callable[[float], None] = lambda share: None) -> bytes:
    """Return the plan as JSON, made in a process of its own. Raises PlanFailed.

    When the caller is cancelled, or the time limit and some grace are over, the process is killed.
    """
    process = await asyncio.create_subprocess_exec(
        sys.executable, "-m", "hangworthy.plans.frames.worker",
        stdin=asyncio.subprocess.PIPE, stdout=asyncio.subprocess.PIPE, stderr=asyncio.subprocess.DEVNULL, limit=_LONGEST_LINE,
    )  # fmt: skip
    try:
        async with asyncio.timeout(given.seconds + GRACE_SECONDS):
            return await _talk(process, msgspec.msgpack.encode(given), progress)
    except TimeoutError:
        raise PlanFailed("TimeLimit") from None
    finally:
        with contextlib.suppress(ProcessLookupError):
            process.kill()
        await process.wait()


async def _talk(process: asyncio.subprocess.Process, sent: bytes, progress: Callable[[float], None]) -> bytes:
    if process.stdin is None or process.stdout is None:
        raise PlanFailed("NoPipe")
    with contextlib.suppress(ConnectionError):
        process.stdin.write(sent)
        await process.stdin.drain()
        process.stdin.close()
    async for line in process.stdout:
        word, _, rest = line.rstrip(b"\n").partition(b" ")
        if word == b"plan":
            return rest
        if word == b"failed":
            raise PlanFailed(rest.decode())
        progress(float(rest))
    raise PlanFailed("WorkerEnded")


class Workers:
    """A few workers; who comes when all are busy waits in turn."""

    def __init__(self, at_once: int = AT_ONCE, most_waiting: int = MOST_WAITING) -> None:
        """Allow so many at once, and so many to wait."""
        self._free, self._room = asyncio.Semaphore(at_once), at_once + most_waiting

    async def run(self, given: PlanInput, progress: Callable[[float], None] = lambda share: None) -> bytes:
        """Return a plan as JSON, as soon as a worker is free. Raises PlanFailed, or AllBusy where too many wait."""
        if not self._room:
            raise AllBusy
        self._room -= 1
        try:
            async with self._free:
                return await run_worker(given, progress)
        finally:
            self._room += 1
