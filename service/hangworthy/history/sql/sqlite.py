"""How a SQLite file is opened, and how its log is emptied."""

import sqlite3
import time
from typing import Any

from sqlalchemy import URL, Connection, Engine, event
from sqlalchemy.ext.asyncio import AsyncEngine, create_async_engine

BUSY_SECONDS = 5
_PRAGMA_TRIES, _PRAGMA_PAUSE_SECONDS = 200, 0.025
_PRAGMAS = (
    f"busy_timeout={BUSY_SECONDS * 1000}",
    "page_size=16384",  # of a new file: some rows to a page, so that a group of records writes fewer of them
    "journal_mode=WAL",
    "synchronous=FULL",  # a commit that was answered survives a power cut
    "foreign_keys=ON",
    "secure_delete=ON",  # what is erased is overwritten, not only unlinked
    "cache_size=-16000",
    "wal_autocheckpoint=1000",  # fewer commits wait for the log to be written back
)


def engine(url: URL, begin: str, connections: int) -> AsyncEngine:
    """Return an engine of so many connections, whose transactions begin with these words."""
    made = create_async_engine(url, pool_size=connections, max_overflow=0, pool_timeout=2 * BUSY_SECONDS)
    prepare(made.sync_engine, url, begin)
    return made


def _set(cursor: Any, pragma: str) -> None:
    """Set a pragma; turning a new file to WAL asks for all of it, and does not wait for others by itself as a statement does."""
    for _ in range(_PRAGMA_TRIES):
        try:
            cursor.execute(f"PRAGMA {pragma}")
        except sqlite3.OperationalError as error:
            if "locked" not in str(error):
                raise
            time.sleep(_PRAGMA_PAUSE_SECONDS)
        else:
            return
    cursor.execute(f"PRAGMA {pragma}")


def prepare(on: Engine, url: URL, begin: str) -> None:
    """Set every connection that an engine will open."""

    def opened(connection: Any, _record: Any) -> None:
        connection.isolation_level = None  # else the driver begins transactions by itself, and late
        cursor = connection.cursor()
        for pragma in _PRAGMAS:
            if not (pragma.startswith("journal_mode") and url.query.get("mode") == "ro"):
                _set(cursor, pragma)
        cursor.close()

    def begun(connection: Connection) -> None:
        connection.exec_driver_sql(begin)

    event.listen(on, "connect", opened)
    event.listen(on, "begin", begun)


async def emptied(driver: Any) -> bool:
    """Bring the log into the file, and return whether it is empty; somebody who still reads in it is not waited for."""
    await driver.execute("PRAGMA busy_timeout=0")
    try:
        row = await (await driver.execute("PRAGMA wal_checkpoint(TRUNCATE)")).fetchone()
    finally:
        await driver.execute(f"PRAGMA {_PRAGMAS[0]}")
    return not row[0]
