"""Connections: SQLite through aiosqlite, PostgreSQL through asyncpg; one for writing at a time on SQLite, a pool for reading.

Groups of records go another way on SQLite (``in_one``): every statement through aiosqlite is a visit to another thread and back, which
costs more than the statement. A group makes one visit for its whole transaction.
"""

import asyncio
from collections.abc import AsyncIterator, Callable, Coroutine
from concurrent.futures import ThreadPoolExecutor
from contextlib import asynccontextmanager
from functools import wraps
from typing import Any, ParamSpec, TypeVar, cast

from sqlalchemy import URL, Connection, Engine, create_engine, text
from sqlalchemy.ext.asyncio import AsyncConnection, AsyncEngine, create_async_engine

from hangworthy.history.port import Busy
from hangworthy.history.sql import sqlite
from hangworthy.history.sql.faults import UNREACHABLE, meaning
from hangworthy.history.sql.sqlite import BUSY_SECONDS
from hangworthy.history.sql.url import read_url

_COMMAND_SECONDS = 60


_RUNNING: set[asyncio.Task[Any]] = set()
P = ParamSpec("P")
P1 = TypeVar("P1")
T = TypeVar("T")
_SHARED = {"check_same_thread": False, "cached_statements": 512}  # the pool's own thread may close what the writer's opened


def uncut(method: Callable[P, Coroutine[Any, Any, T]]) -> Callable[P, Coroutine[Any, Any, T]]:
    """Let a method that writes go on to its end when its caller is cancelled: a transaction cut short would keep its lock."""

    @wraps(method)
    async def whole(*args: P.args, **kwargs: P.kwargs) -> T:
        task = asyncio.create_task(method(*args, **kwargs))
        _RUNNING.add(task)  # the loop itself holds tasks only weakly
        task.add_done_callback(_RUNNING.discard)
        return await asyncio.shield(task)

    return whole


async def finished() -> None:
    """Wait for what was begun in this loop and goes on though its caller was cancelled; a database must not be closed below it."""
    mine = [task for task in _RUNNING if task.get_loop() is asyncio.get_running_loop()]
    await asyncio.gather(*mine, return_exceptions=True)


class Database:
    """The engines over one database. All errors of the store leave here as what they mean."""

    def __init__(self, url: str) -> None:
        """Prepare the engines; nothing is opened yet. Raises HistoryError for a URL that is none."""
        self.kind, parsed = read_url(url)
        if self.kind == "sqlite":
            self.writing = sqlite.engine(parsed, "BEGIN IMMEDIATE", 1)
            self.reading = sqlite.engine(parsed, "BEGIN", 4)
            self.direct: Engine | None = create_engine(parsed.set(drivername="sqlite"), pool_size=1, max_overflow=0, connect_args=_SHARED)
            sqlite.prepare(self.direct, parsed, "BEGIN IMMEDIATE")
        else:
            self.writing = self.reading = _postgresql(parsed)
            self.direct = None
        self.owes = self.kind == "sqlite"  # a log that a crash left is looked at too
        self._renew()

    def _renew(self) -> None:
        """Make what belongs to one event loop."""
        self._thread: ThreadPoolExecutor | None = None
        self._turn = asyncio.Lock()  # one writes at a time in this process, in the order in which they came; SQLite itself is not fair

    @asynccontextmanager
    async def write(self) -> AsyncIterator[AsyncConnection]:
        """Give a connection inside a transaction that may write; it is committed at the end."""
        with _understood():
            if self.direct is None:
                async with self.writing.begin() as connection:
                    yield connection
            else:
                async with self._turn, self.writing.begin() as connection:
                    yield connection

    async def in_one(self, prepare: Callable[[], P1], work: Callable[[AsyncConnection, P1], Coroutine[Any, Any, T]]) -> T:
        """Prepare something beside the event loop, then work with it in a transaction that may write; return after the commit.

        The work may await nothing but its connection: on SQLite all of it is done in one visit to the writer's thread.
        """
        if self.direct is None:
            prepared = await asyncio.to_thread(prepare)
            async with self.write() as connection:
                return await work(connection, prepared)
        if self._thread is None:
            self._thread = ThreadPoolExecutor(1, "history-writer")
        with _understood():
            async with self._turn:
                return await asyncio.get_running_loop().run_in_executor(self._thread, _whole, self.direct, prepare, work)

    @asynccontextmanager
    async def read(self, *, snapshot: bool = False) -> AsyncIterator[AsyncConnection]:
        """Give a connection to read by; with ``snapshot`` everything is seen as it was at the first look."""
        with _understood():
            async with self.reading.connect() as connection:
                if snapshot and self.kind == "postgresql":
                    await connection.execution_options(isolation_level="REPEATABLE READ")
                yield connection

    async def tidy(self) -> None:
        """Bring what was overwritten out of SQLite's log, where the old pages still are.

        While somebody reads them the log cannot be emptied: then this is still owed, and does not keep those who write waiting.
        """
        if self.kind != "sqlite":
            return
        self.owes = True
        with _understood():
            async with self._turn, self.writing.connect() as connection:
                self.owes = not await sqlite.emptied((await connection.get_raw_connection()).driver_connection)

    async def writable(self) -> bool:
        """Return whether the database lets itself be written to. Raises Busy when it cannot be reached."""
        with _understood():
            async with (self.reading if self.kind == "postgresql" else self.writing).connect() as connection:
                if self.kind == "postgresql":
                    return bool((await connection.execute(text("SELECT current_setting('transaction_read_only') = 'off'"))).scalar())
                await connection.execute(text("SELECT 1"))  # the transaction that begins here is one for writing
                return True

    async def close(self) -> None:
        """Close all connections."""
        await self.writing.dispose()
        await self.reading.dispose()
        if self.direct is not None:
            self.direct.dispose()
        if self._thread is not None:
            self._thread.shutdown()
        self._renew()


class _Direct:
    """A connection that answers at once, for work that awaits its statements."""

    def __init__(self, connection: Connection) -> None:
        """Take the connection whose transaction it is."""
        self._connection = connection

    async def execute(self, *given: Any) -> Any:
        """Execute a statement."""
        return self._connection.execute(*given)

    async def exec_driver_sql(self, *given: Any) -> Any:
        """Execute a statement in the driver's own words."""
        return self._connection.exec_driver_sql(*given)


def _whole(engine: Engine, prepare: Callable[[], P1], work: Callable[[AsyncConnection, P1], Coroutine[Any, Any, T]]) -> T:
    """Carry a whole transaction out; nothing in it waits, so the work runs from its first line to its last at the first step."""
    prepared = prepare()
    with engine.begin() as connection:
        steps = work(cast("AsyncConnection", _Direct(connection)), prepared)
        try:
            steps.send(None)
        except StopIteration as end:
            return cast("T", end.value)
        finally:
            steps.close()
        raise RuntimeError("a transaction waited for something other than its connection")


class _understood:  # noqa: N801 - reads as what it is used for
    """Turns a store's error into what it means; errors about the data pass as they are."""

    def __enter__(self) -> None:
        return None

    def __exit__(self, kind: Any, error: BaseException | None, trace: Any) -> None:
        if isinstance(error, Exception) and (known := meaning(error)) is not None and known is not error:
            raise known from error
        if isinstance(error, TimeoutError):
            raise Busy(UNREACHABLE) from error


def _postgresql(url: URL) -> AsyncEngine:
    return create_async_engine(
        url,
        pool_size=8,
        max_overflow=4,
        pool_timeout=BUSY_SECONDS,
        connect_args={
            "timeout": BUSY_SECONDS,
            "command_timeout": _COMMAND_SECONDS,
            "server_settings": {"application_name": "hangworthy"},
        },
    )
