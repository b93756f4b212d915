"""A batch: lines of works in, lines of answers out, in order, while the works still come. Nothing is held longer than it must be."""

import asyncio
import time
from collections.abc import AsyncGenerator, Awaitable, Callable
from contextlib import suppress
from typing import Any

from hangworthy.api.access import EVALUATE, Caller
from hangworthy.api.core import Service
from hangworthy.api.inflow import Inflow
from hangworthy.api.lines import Lines, Wish
from hangworthy.api.problems import MALFORMED, UNAVAILABLE, Refused, note
from hangworthy.history.port import HistoryError
from hangworthy.intake import InputFault
from hangworthy.intake.lines import Line, LineSplitter, no_lines

IN_FLIGHT = 256  # objects in the lines that are worked on at once; a work is one, and each of its sections
EACH_IN_FLIGHT = 64  # and so many more for each process of the crew
LONG = 32  # lines; for a longer batch the crew is worth starting
GATHERED = 1 << 16  # bytes of answers that are sent together
SLOW_READER = 60.0  # seconds in which a client must take something of the answers
LINGER = 2.0  # seconds for a client to finish sending after we have stopped early
LOOK_AGAIN = 3.0  # seconds until the caller's key is looked at again

Send = Callable[[Any], Awaitable[None]]
Asked = tuple["asyncio.Task[bytes]", int]


class Window:
    """Bounds what is worked on at once. What is larger than the whole window goes through it alone."""

    def __init__(self, most: int) -> None:
        """Start empty."""
        self._most, self._used, self._freed = most, 0, asyncio.Event()

    async def take(self, weight: int) -> None:
        """Wait until there is room."""
        while self._used and self._used + weight > self._most:
            self._freed.clear()
            await self._freed.wait()
        self._used += weight

    def free(self, weight: int) -> None:
        """Give room back."""
        self._used -= weight
        self._freed.set()


class Batch:
    """One request with lines: an ASGI application that runs once."""

    def __init__(self, service: Service, caller: Caller, wish: Wish, longest: int) -> None:
        """Take who calls, what is wished of all lines, and the greatest length of a line in bytes."""
        self.service, self.longest, self.media_type = service, longest, wish.media_type
        self.lines = Lines(service, caller, wish, longest)
        self._window = Window(IN_FLIGHT + service.crew.size * EACH_IN_FLIGHT)
        self._queue: asyncio.Queue[Asked | None] = asyncio.Queue()
        self._inflow: Inflow | None = None
        self._stopped: Refused | None = None
        self._headers: Any = ()
        self._looked = time.monotonic()

    def stop(self) -> None:
        """Take no further line, answer those that were taken, and say with which line to go on: the service is being stopped."""
        self._stop(Refused(UNAVAILABLE, "The service is being stopped; send this line and those after it again."))

    def _stop(self, why: Refused) -> None:
        self._stopped = self._stopped or why
        if self._inflow is not None:
            self._inflow.stop()

    async def __call__(self, scope: Any, receive: Any, send: Send) -> None:
        """Answer the request. Raises Refused, before anything was sent, when its body can be no lines at all."""
        self._headers, self.lines.state = scope["headers"], scope["state"]
        self._inflow = inflow = Inflow(receive)
        pump, work = asyncio.create_task(inflow.pump()), asyncio.create_task(self._work(inflow, send))
        self.service.batches.add(self)
        try:
            await asyncio.wait((pump, work), return_when=asyncio.FIRST_COMPLETED)
            if work.done():
                await work
        finally:
            self.service.batches.discard(self)
            await _end((work, pump))
            inflow.close()

    async def _work(self, inflow: Inflow, send: Send) -> None:
        lines = self._lines(inflow)
        first = await anext(lines, None)
        if first is not None and first.text is not None and (why := no_lines(first.text)):
            raise Refused(MALFORMED, why, [InputFault("", why)])
        headers = [(b"content-type", self.media_type.encode()), (b"cache-control", b"no-store")]
        await send({"type": "http.response.start", "status": 200, "headers": headers})
        asking = asyncio.create_task(self._ask(first, lines))
        try:
            await self._tell(send)
            if not inflow.ended:
                # A connection that is closed on a client who still sends may lose what we said last.
                with suppress(TimeoutError):
                    async with asyncio.timeout(LINGER):
                        await inflow.rest()
            await send({"type": "http.response.body", "body": b"", "more_body": False})
        except Exception as error:  # noqa: BLE001 - half an answer is out: the connection that breaks off says that it is not whole
            note(error)
        finally:
            await _end((asking, *self._waiting()))
            await lines.aclose()

    def _waiting(self) -> list["asyncio.Task[bytes]"]:
        found = []
        while not self._queue.empty():
            if (one := self._queue.get_nowait()) is not None:
                found.append(one[0])
        return found

    async def _lines(self, inflow: Inflow) -> AsyncGenerator[Line, None]:
        splitter = LineSplitter(self.longest)
        while piece := await inflow.piece():
            for line in splitter.feed(piece):
                yield line
        if self._stopped is None and not inflow.gone:
            for line in splitter.close():
                yield line

    async def _ask(self, line: Line | None, lines: AsyncGenerator[Line, None]) -> None:
        """Work on the lines in turn, each in a task of its own; other requests have their turn between any two."""
        last = 0
        while line is not None and self._stopped is None:
            weight = 1 if line.text is None else max(1, line.text.count(b"{"))
            await self._window.take(weight)
            self._queue.put_nowait((asyncio.create_task(self.lines.answer(line)), weight))
            last = line.number
            if last >= LONG:
                self.service.crew.begin()
            await asyncio.sleep(0)
            await self._look_again()
            line = await anext(lines, None)
        if self._stopped is not None:
            self._queue.put_nowait((asyncio.create_task(self.lines.refuse(last + 1, self._stopped)), 0))
        self._queue.put_nowait(None)

    async def _look_again(self) -> None:
        """Look whether the caller's key is still good: a batch may last for hours."""
        if time.monotonic() - self._looked < LOOK_AGAIN:
            return
        self._looked = time.monotonic()
        try:
            self.lines.caller = await self.service.access.caller(self._headers, EVALUATE)
        except Refused as refused:
            self._stop(refused)
        except HistoryError:
            return  # the store is away for a moment; the lines themselves will say so

    async def _tell(self, send: Send) -> None:
        """Send the answers in the order of the lines, several at once where they are there."""
        ready, weights = bytearray(), 0
        while (one := await self._queue.get()) is not None:
            task, weight = one
            if ready and not task.done():
                await self._send(send, ready, weights)
                weights = 0
            ready += await task
            weights += weight
            if len(ready) >= GATHERED or self._queue.empty():
                await self._send(send, ready, weights)
                weights = 0
        if ready:
            await self._send(send, ready, weights)

    async def _send(self, send: Send, ready: bytearray, weights: int) -> None:
        message = {"type": "http.response.body", "body": bytes(ready), "more_body": True}
        async with asyncio.timeout(SLOW_READER):
            await send(message)
        ready.clear()
        self._window.free(weights)


async def _end(tasks: Any) -> None:
    for task in tasks:
        task.cancel()
    await asyncio.gather(*tasks, return_exceptions=True)
