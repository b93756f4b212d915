"""One process of the crew, as the service sees it."""

import asyncio
import contextlib
import logging

from hangworthy.crew.messages import LENGTH, MOST_VIEWS, Ask, Forget, Line, Made, Ready, Setup, View, framed, from_crew
from hangworthy.history.port import NewEvaluation

_LOG = logging.getLogger("hangworthy.crew")
IDLE_SECONDS = 600.0  # a process that was asked nothing for so long ends
END_SECONDS = 5.0  # in which a process that was told to end does so by itself
_BUFFER = 1 << 22

Answer = asyncio.Future[NewEvaluation | None]


class Hand:
    """Starts the process, asks it, and tells whoever waits. When it ends, nobody waits for it any longer: all are told None."""

    def __init__(self, command: tuple[str, ...], setup: Setup, idle: float = IDLE_SECONDS) -> None:
        """Start it at once, beside whatever else the event loop has to do."""
        self._command, self._setup, self._idle = command, setup, idle
        self._waiting: dict[int, list[Answer]] = {}
        self._views: dict[int, None] = {}
        self._process: asyncio.subprocess.Process | None = None
        self._asked, self._ending = 0, False
        self.ready = self.unfit = False
        self.load = 0  # lines it was asked and has not answered
        self.task = asyncio.create_task(self._run(), name="crew")

    @property
    def pid(self) -> int:
        """Return the process's number; 0 until there is one."""
        return 0 if self._process is None else self._process.pid

    def ask(self, view: View, lines: list[Line], answers: list[Answer]) -> None:
        """Ask for the evaluations of lines."""
        if view.number not in self._views:
            if len(self._views) >= MOST_VIEWS:
                del self._views[next(iter(self._views))]
            self._views[view.number] = None
            self._send(view)
        self._asked += 1
        self._waiting[self._asked] = answers
        self.load += len(lines)
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
        if self._process is not None:
            with contextlib.suppress(ProcessLookupError):
                self._process.kill()

    def _send(self, message: Setup | View | Ask | Forget) -> None:
        assert self._process is not None  # noqa: S101 - it was ready
        assert self._process.stdin is not None  # noqa: S101 - it has a pipe
        self._process.stdin.write(framed(message))

    async def _run(self) -> None:
        pipe = asyncio.subprocess.PIPE
        try:
            self._process = process = await asyncio.create_subprocess_exec(
                *self._command, stdin=pipe, stdout=pipe, stderr=asyncio.subprocess.DEVNULL, limit=_BUFFER
            )
        except OSError as error:
            _LOG.warning("a process that helps with batches could not be started: %s", type(error).__name__)
            return
        try:
            if not self._ending:
                self._send(self._setup)
                await self._listen(process)
        except (asyncio.IncompleteReadError, ConnectionError):
            _LOG.warning("a process that helps with batches ended unasked")
        finally:
            self.ready = False
            self._tell_all()
            await asyncio.shield(_ended(process))

    async def _listen(self, process: asyncio.subprocess.Process) -> None:
        """Take answers until there will be none."""
        assert process.stdout is not None  # noqa: S101 - it has a pipe
        while True:
            try:
                async with asyncio.timeout(None if self._waiting or not self.ready else self._idle):
                    head = await process.stdout.readexactly(LENGTH)
            except TimeoutError:
                if self._waiting:  # it was asked while this one waited
                    continue
                return
            except asyncio.IncompleteReadError:
                if self._ending:
                    return
                raise
            self._take(from_crew(await process.stdout.readexactly(int.from_bytes(head, "big"))))
            if self.unfit:
                return

    def _take(self, message: Ready | Made) -> None:
        if isinstance(message, Ready):
            self.ready, self.unfit = message.fit, not message.fit
            if self.unfit:
                _LOG.warning("batches get no help: the packs on disk are not those that this service loaded; start it again")
            return
        answers = self._waiting.pop(message.number)
        self.load -= len(answers)
        for answer, made in zip(answers, message.made, strict=True):
            if not answer.done():
                answer.set_result(made)

    def _tell_all(self) -> None:
        for answers in self._waiting.values():
            for answer in answers:
                if not answer.done():
                    answer.set_result(None)
        self._waiting.clear()
        self.load = 0


async def _ended(process: asyncio.subprocess.Process) -> None:
    """Wait for a process to end; one that does not is killed."""
    if process.stdin is not None:
        process.stdin.close()
    try:
        async with asyncio.timeout(END_SECONDS):
            await process.wait()
    except TimeoutError:
        with contextlib.suppress(ProcessLookupError):
            process.kill()
        await process.wait()
