"""One process of the crew, as the service sees it."""

import asyncio
import contextlib
import logging
import os
import sys

from hangworthy.crew.messages import LENGTH, MOST_VIEWS, Ask, Forget, Line, Made, Ready, Setup, View, framed, from_crew
from hangworthy.history.port import NewEvaluation

_LOG = logging.getLogger("hangworthy.crew")
IDLE_SECONDS = 600.0  # a process that was asked nothing for so long ends
STUCK_SECONDS = 30.0  # a process that was asked, and says nothing for so long, is killed
END_SECONDS = 5.0  # in which a process that was told to end does so by itself
_LOOKS = 6  # so often it is looked at before it counts as idle, or stuck
_BUFFER = 1 << 22

Answer = asyncio.Future[NewEvaluation | None]


class Hand:
    """Starts the process, asks it, and tells whoever waits. When it ends, nobody waits for it any longer: all are told None."""

    def __init__(self, command: tuple[str, ...], setup: Setup, idle: float = IDLE_SECONDS, stuck: float = STUCK_SECONDS) -> None:
        """Start it at once, beside whatever else the event loop has to do."""
        self._command, self._setup, self._idle, self._stuck = command, setup, idle, stuck
        self._waiting: dict[int, list[Answer]] = {}
        self._views: dict[int, None] = {}
        self._process: asyncio.subprocess.Process | None = None
        self._asked, self._ending, self._quiet = 0, False, 0.0
        self.ready = self.unfit = False
        self.load = 0  # lines it was asked and has not answered
        self.task = asyncio.create_task(self._run(), name="crew")

    @property
    def pid(self) -> int:
        """Return the process's number; 0 until there is one."""
        return 0 if self._process is None else self._process.pid

    def ask(self, view: View, lines: list[Line], answers: list[Answer]) -> None:
        """Ask for the evaluations of lines."""
        if not self._waiting:
            self._quiet = 0.0
        self._asked += 1
        self._waiting[self._asked] = answers
        self.load += len(lines)
        if view.number not in self._views:
            if len(self._views) >= MOST_VIEWS:
                del self._views[next(iter(self._views))]
            self._views[view.number] = None
            self._send(view)
        self._send(Ask(self._asked, view.number, lines))

    def forget(self) -> None:
        """Have it forget what was told of any work."""
        if self.ready:
            self._send(Forget())

    def end(self) -> None:
        """Ask it nothing more; it ends when it has answered."""
        self.ready, self._ending = False, True
        if self._process is not None and self._process.stdin is not None:
            self._process.stdin.close()

    def kill(self) -> None:
        """End it at once."""
        self.ready, self._ending = False, True
        if self._process is not None:
            with contextlib.suppress(ProcessLookupError):
                self._process.kill()

    def _send(self, message: Setup | View | Ask | Forget) -> None:
        assert self._process is not None  # noqa: S101 - it was ready
        assert self._process.stdin is not None  # noqa: S101 - it has a pipe
        with contextlib.suppress(RuntimeError):  # uvloop's, of a pipe that is closed: whoever waits is told when its end is seen
            self._process.stdin.write(framed(message))

    async def _run(self) -> None:
        pipe = asyncio.subprocess.PIPE
        try:
            self._process = process = await asyncio.create_subprocess_exec(
                *self._command, stdin=pipe, stdout=pipe, stderr=asyncio.subprocess.DEVNULL, limit=_BUFFER, env=_environment()
            )
        except OSError as error:
            _LOG.warning("a process that helps with batches could not be started: %s", type(error).__name__)
            return
        watch = asyncio.create_task(self._watch(), name="crew-watch")
        try:
            if not self._ending:
                self._send(self._setup)
                await self._listen(process)
        except (asyncio.IncompleteReadError, ConnectionError):
            if not self._ending:
                _LOG.warning("a process that helps with batches ended unasked")
        except Exception as error:  # noqa: BLE001 - whatever it said: it is asked nothing more, and nobody waits for it
            _LOG.warning("a process that helps with batches said what is no answer: %s", type(error).__name__)
            self.kill()
        finally:
            watch.cancel()
            self.ready = False
            self._tell_all()
            await asyncio.shield(_ended(process))

    async def _watch(self) -> None:
        """End the process when nobody needs it; kill it when it is stuck, so that the service evaluates what waits for it.

        Looks are counted, not time: when all of this computer stood still, the process gets as long as ever to go on.
        """
        look = min(self._idle, self._stuck) / _LOOKS
        while True:
            await asyncio.sleep(look)
            self._quiet += look
            if self._waiting and self._quiet >= self._stuck:
                _LOG.warning("a process that helps with batches does not answer, and is killed")
                self.kill()
            elif self.ready and not self._waiting and self._quiet >= self._idle:
                self.end()

    async def _listen(self, process: asyncio.subprocess.Process) -> None:
        """Take answers until there will be none."""
        assert process.stdout is not None  # noqa: S101 - it has a pipe
        while not self.unfit:
            size = int.from_bytes(await process.stdout.readexactly(LENGTH), "big")
            self._take(from_crew(await process.stdout.readexactly(size)))
            self._quiet = 0.0

    def _take(self, message: Ready | Made) -> None:
        """Tell whoever waits. Raises LookupError or ValueError for an answer to what was not asked."""
        if isinstance(message, Ready):
            self.ready, self.unfit = message.fit and not self._ending, not message.fit
            if self.unfit:
                _LOG.warning("batches get no help: the packs on disk are not those that this service loaded; start it again")
            return
        answered = list(zip(self._waiting[message.number], message.made, strict=True))
        del self._waiting[message.number]
        self.load -= len(answered)
        for answer, made in answered:
            if not answer.done():
                answer.set_result(made)

    def _tell_all(self) -> None:
        for answers in self._waiting.values():
            for answer in answers:
                if not answer.done():
                    answer.set_result(None)
        self._waiting.clear()
        self.load = 0


def _environment() -> dict[str, str]:
    """Return the environment in which a process finds the modules that the service finds, and no others in the folder it starts in."""
    return {**os.environ, "PYTHONPATH": os.pathsep.join(os.path.abspath(path) for path in sys.path), "PYTHONSAFEPATH": "1"}


async def _ended(process: asyncio.subprocess.Process) -> None:
    """Wait for a process to end; one that does not is killed."""
    if process.stdin is not None:
        process.stdin.close()
    try:
        async with asyncio.timeout(END_SECONDS):
            await _last_words(process)
    except TimeoutError:
        with contextlib.suppress(ProcessLookupError):
            process.kill()
        await _last_words(process)


async def _last_words(process: asyncio.subprocess.Process) -> None:
    """Wait for the end, and drop what is still said: a pipe with something in it would stay open."""
    while process.stdout is not None and await process.stdout.read(_BUFFER):
        pass
    await process.wait()
