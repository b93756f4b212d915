"""Turns: between two evaluations the event loop looks at everything else that waits.

Requests that arrive together would otherwise be worked on one after another before anybody else is served: the writer of the history,
whose every step needs the loop for a moment, would stand still until all of them had been evaluated, and then they would all wait for it.
So both would wait for each other in turn, and a request for something else for both.
"""

import asyncio
import threading
from collections import deque


class Turns(threading.local):
    """Gives one turn each time the event loop comes round, in the order in which they were asked for.

    Every loop has turns of its own: where one application is asked from several threads, each sees its own state here.
    """

    def __init__(self) -> None:
        """Start with a free turn."""
        self._start(None)

    def _start(self, loop: asyncio.AbstractEventLoop | None) -> None:
        self._loop, self._taken = loop, False
        self._waiting: deque[asyncio.Future[None]] = deque()

    async def take(self) -> None:
        """Return when it is the caller's turn, which lasts until the caller waits for something."""
        loop = asyncio.get_running_loop()
        if loop is not self._loop:  # the one before has ended, perhaps with somebody still waiting
            self._start(loop)
        if self._taken:
            turn: asyncio.Future[None] = loop.create_future()
            self._waiting.append(turn)
            try:
                await turn
            except asyncio.CancelledError:
                if turn.done() and not turn.cancelled():  # it was given all the same
                    loop.call_soon(self._next)
                raise
        self._taken = True
        loop.call_soon(self._next)

    def _next(self) -> None:
        while self._waiting:
            turn = self._waiting.popleft()
            if not turn.done():
                turn.set_result(None)
                return
        self._taken = False
