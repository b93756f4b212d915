"""Group commit: one task writes what waits, many entries to a transaction, and answers each after the commit."""

import asyncio
import logging
from collections.abc import Awaitable, Callable, Sequence
from contextlib import suppress
from typing import Any, Generic, TypeVar

from hangworthy.history.port import Busy, HistoryError, NoSpace
from hangworthy.history.sql.faults import UNREACHABLE, about_data, meaning

T = TypeVar("T")
Outcome = Any
Apply = Callable[[Sequence[T]], Awaitable[Sequence[Outcome]]]
_LOG = logging.getLogger("hangworthy.history")


class Writer(Generic[T]):
    """A bounded queue with one task behind it.

    ``apply`` carries out a group of entries in one transaction and returns, after the commit, an outcome for each: a result, or an
    exception to be raised. When it raises, nothing of the group was kept; if that was not the store's fault, each entry is tried alone, so
    that a bad one does not sink the others.
    """

    def __init__(self, apply: Apply[T], *, queue: int, group: int) -> None:
        """Prepare the queue: at most ``queue`` entries wait, at most ``group`` go into a transaction."""
        self.capacity, self.groups, self.entries, self.out_of_space = queue, 0, 0, False
        self._apply, self._most = apply, group
        self._queue: asyncio.Queue[tuple[T, asyncio.Future[Outcome]] | None] = asyncio.Queue()
        self.task: asyncio.Task[None] | None = None
        self._closing = False

    @property
    def waiting(self) -> int:
        """How many entries wait for a transaction."""
        return self._queue.qsize()

    def start(self) -> None:
        """Start the task."""
        self._closing = False
        self.task = asyncio.create_task(self._run(), name="history-writer")
        self.task.add_done_callback(self._ended)

    async def stop(self) -> None:
        """Take nothing more in, write what waits, and end."""
        self._closing = True
        self._queue.put_nowait(None)
        if self.task is not None:
            await asyncio.gather(self.task, return_exceptions=True)
        self._refuse_rest()

    async def submit(self, entry: T, *, frees: bool = False) -> Outcome:
        """Hand an entry in and wait for its commit. Raises Busy when the queue is full, before anything was done.

        What ``frees`` something is let in all the same: turned away, it would keep others waiting for what nobody holds any more.
        """
        if self._closing or self.task is None:
            raise Busy("The history is closing; nothing was kept. Please send the same request again shortly.")
        if self._queue.qsize() >= self.capacity and not frees:
            raise Busy("The history has more to write than it can hold; nothing was kept. Please send the same request again shortly.")
        if self.task.done():
            self.start()
        answer: asyncio.Future[Outcome] = asyncio.get_running_loop().create_future()
        self._queue.put_nowait((entry, answer))
        return await answer

    async def _run(self) -> None:
        while True:
            first = await self._queue.get()
            taken = [first]
            while taken[-1] is not None and len(taken) < self._most and not self._queue.empty():
                taken.append(self._queue.get_nowait())
            # whoever stopped waiting before its turn came is left out: nothing of it was begun
            group = [one for one in taken if one is not None and not one[1].done()]
            if group:
                await self._commit(group)
            if taken[-1] is None:
                return

    async def _commit(self, group: list[tuple[T, asyncio.Future[Outcome]]]) -> None:
        """Write one group and answer everybody in it, whatever happens; a transaction that has begun is never cut short."""
        entries = [entry for entry, _ in group]
        work: asyncio.Task[Sequence[Outcome]] = asyncio.create_task(self._outcomes(entries))
        try:
            await asyncio.shield(work)
        finally:
            while not work.done():
                with suppress(asyncio.CancelledError):
                    await asyncio.wait([work])
            for (_, answer), outcome in zip(group, work.result(), strict=True):
                _tell(answer, outcome)

    async def _outcomes(self, entries: Sequence[T]) -> Sequence[Outcome]:
        try:
            outcomes = await self._apply(entries)
        except Exception as error:  # noqa: BLE001 - whatever went wrong, everybody in the group is told
            return await self._after(error, entries)
        self.groups, self.entries, self.out_of_space = self.groups + 1, self.entries + len(entries), False
        return outcomes

    async def _after(self, error: Exception, entries: Sequence[T]) -> Sequence[Outcome]:
        """Return outcomes after a group failed."""
        if (known := meaning(error)) is not None:
            self.out_of_space = isinstance(known, NoSpace)
            return [known] * len(entries)
        if len(entries) == 1:
            _LOG.error("an entry was refused by the database (%s)", type(error).__name__)
            return [about_data(error)]
        return [outcome for entry in entries for outcome in await self._outcomes([entry])]

    def _ended(self, task: asyncio.Task[None]) -> None:
        """Start the task again for what waits when something killed it; who was in its hands has been told."""
        if not self._closing:
            _LOG.error("the history's writer ended unasked and is started again when it is needed")
            if not self._queue.empty() and not task.get_loop().is_closed():
                self.start()

    def _refuse_rest(self) -> None:
        while not self._queue.empty():
            if (one := self._queue.get_nowait()) is not None:
                _tell(one[1], Busy(UNREACHABLE))


def _tell(answer: asyncio.Future[Outcome], outcome: Outcome) -> None:
    if answer.done():
        return
    if isinstance(outcome, HistoryError):
        answer.set_exception(outcome)
    else:
        answer.set_result(outcome)
