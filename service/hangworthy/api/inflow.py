"""A body of any length: taken in as fast as it is worked on, in bounded memory, and watched for the client's going."""

import asyncio
from collections import deque
from collections.abc import Awaitable, Callable
from contextlib import suppress
from typing import Any

from hangworthy.api.aside import Aside

MEMORY = 1 << 20  # bytes that wait in memory
STUCK_SECONDS = 0.5  # how long nothing may be taken out before what comes is put aside on disk
MOST_ASIDE = 1 << 28  # bytes that may be put aside


class Inflow:
    """The body of one request.

    As long as its bytes are taken out, no more than ``memory`` of them wait, and the client is held back by its socket. A client that
    reads no answers before it has sent everything would then wait for us while we wait for it: when nothing could be taken out for a
    while, what it sends is put aside on disk, up to ``aside`` bytes. Beyond that nothing comes in until something is taken out, and
    only then can it be noticed that the client has gone.
    """

    def __init__(self, receive: Callable[[], Awaitable[Any]], memory: int = MEMORY, aside: int = MOST_ASIDE) -> None:
        """Take in what an ASGI server receives."""
        self._receive, self._memory, self._most_aside = receive, memory, aside
        self._aside = Aside()
        self._waiting: deque[bytes] = deque()
        self._held, self._taken, self._stuck_at = 0, 0, -1
        self._news, self._room = asyncio.Event(), asyncio.Event()
        self.ended, self.gone, self.stopped = False, False, False

    async def pump(self) -> None:
        """Take in the body until the client goes. Once the body has ended this only watches."""
        while not self.gone:
            message = await self._receive()
            if message["type"] == "http.disconnect":
                self.gone = True
                self._news.set()
                return
            if not self.ended:
                if not self.stopped:
                    self._keep(message.get("body", b""))
                self.ended = not message.get("more_body", False)
            self._news.set()
            await self._wait_for_room()

    async def piece(self) -> bytes:
        """Return the next bytes; none at the end, when the client has gone, or when no more is wanted."""
        while not self.gone and not self.stopped:
            if self._waiting:
                piece = self._waiting.popleft()
                self._held -= len(piece)
                return self._out(piece)
            if piece := self._aside.take():
                return self._out(piece)
            if self.ended:
                break
            self._news.clear()
            await self._news.wait()
        return b""

    async def rest(self) -> None:
        """Drop what still comes, until the body has ended or the client has gone."""
        self.stop()
        while not (self.ended or self.gone):
            self._news.clear()
            await self._news.wait()

    def stop(self) -> None:
        """Want no more: what still comes is dropped, so that the client can finish sending."""
        self.stopped = True
        self._waiting.clear()
        self._held = 0
        self._aside.close()
        self._news.set()
        self._room.set()

    def close(self) -> None:
        """Throw away what was put aside."""
        self._aside.close()

    def _out(self, piece: bytes) -> bytes:
        self._taken += 1
        self._room.set()
        return piece

    def _keep(self, body: bytes) -> None:
        if not body:
            return
        if self._aside.size or self._held >= self._memory:
            self._aside.put(body)
        else:
            self._waiting.append(body)
            self._held += len(body)

    async def _wait_for_room(self) -> None:
        """Return when more may be taken in: something was taken out, or nothing could be for a while and there is room on disk."""
        taken = self._taken
        while not self.stopped and self._full(taken):
            if self._taken == self._stuck_at and self._aside.size < self._most_aside:
                return
            before = self._taken
            self._room.clear()
            with suppress(TimeoutError):
                async with asyncio.timeout(STUCK_SECONDS):
                    await self._room.wait()
            if self._taken == before:
                self._stuck_at = before

    def _full(self, taken: int) -> bool:
        """Return whether no more may come in; ``taken`` pieces had been taken out when the last one came."""
        if self._aside.size >= self._most_aside:
            return True
        return (self._held >= self._memory or self._aside.size > 0) and self._taken == taken
