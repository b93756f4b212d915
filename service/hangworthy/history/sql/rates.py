"""Buckets of tokens in the database: one statement takes a token out of each, and is undone as a whole when one has none."""

import asyncio
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any

import msgspec
from sqlalchemy import case, delete, select
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.ext.asyncio import AsyncConnection

from hangworthy.history.port import Bucket, Busy, Level
from hangworthy.history.rates import PERIOD, level, step
from hangworthy.history.sql.engine import Database, uncut
from hangworthy.history.sql.tables import RATES, microseconds

_SWEEP = timedelta(minutes=1)
AT_ONCE, MOST_WAITING = 4, 256
# What was taken in the moment before a power cut may be forgotten; the answer need not wait for the disk.
_UNHURRIED = "SET LOCAL synchronous_commit = off"
_CROWDED = "Too many ask at once; nothing was done. Please send the same request again shortly."
_R = RATES.c


class _Empty(Exception):
    """Raised inside the transaction, so that it is undone: a bucket has no token. Holds how each stands."""

    def __init__(self, levels: list[Level]) -> None:
        super().__init__()
        self.levels = levels


class Rates:
    """The buckets of one database."""

    def __init__(self, database: Database) -> None:
        """Choose the dialect."""
        self._database = database
        self._insert: Any = postgresql.insert if database.kind == "postgresql" else sqlite.insert
        self._swept: datetime | None = None
        self._loop: asyncio.AbstractEventLoop | None = None
        self._turns, self._waiting = asyncio.Semaphore(AT_ONCE), 0

    async def take(self, buckets: Sequence[Bucket], at: datetime) -> Sequence[Level]:
        """Take a token out of each bucket, or out of none; return how each stands. The order is that in which rows are locked.

        All that ask for one key wait for one row; so few do it at once, that they do not hold every connection there is meanwhile.
        Raises Busy when too many wait already.
        """
        loop = asyncio.get_running_loop()
        if self._loop is not loop:  # a semaphore belongs to one loop
            self._loop, self._turns, self._waiting = loop, asyncio.Semaphore(AT_ONCE), 0
        if self._waiting >= MOST_WAITING:
            raise Busy(_CROWDED)
        self._waiting += 1
        try:
            async with self._turns:
                return await self._take(buckets, at)
        finally:
            self._waiting -= 1

    @uncut
    async def _take(self, buckets: Sequence[Bucket], at: datetime) -> Sequence[Level]:
        now = microseconds(at)

        async def work(connection: AsyncConnection, buckets: Sequence[Bucket]) -> list[Level]:
            if self._database.kind == "postgresql":
                await connection.exec_driver_sql(_UNHURRIED)
            full = {row.bucket: row.full_at for row in await connection.execute(self._statement(buckets, now))}
            if len(full) == len(buckets):
                return [msgspec.structs.replace(level(one, full[one.name], now), wait=0.0) for one in buckets]
            names = [one.name for one in buckets if one.name not in full]
            short = await connection.execute(select(RATES).where(_R.bucket.in_(names)))
            empty = {row.bucket: row.full_at for row in short}
            # What was taken out of the others is put back, so they stand one step better than the statement says.
            raise _Empty([level(one, empty.get(one.name, full.get(one.name, 0) - step(one)), now) for one in buckets])

        try:
            levels = await self._database.in_one(lambda: buckets, work)
        except _Empty as found:
            return found.levels
        await self._sweep(at)
        return levels

    def _statement(self, buckets: Sequence[Bucket], now: int) -> Any:
        """Return the statement; it gives back the buckets that had a token, with when each is full again."""
        statement = self._insert(RATES).values([{"bucket": one.name, "full_at": now + step(one)} for one in buckets])
        further = statement.excluded.full_at - now  # the step of the bucket
        return statement.on_conflict_do_update(
            index_elements=[_R.bucket],
            set_={"full_at": case((_R.full_at > now, _R.full_at), else_=now) + further},
            where=_R.full_at + further <= now + PERIOD,
        ).returning(_R.bucket, _R.full_at)

    async def _sweep(self, at: datetime) -> None:
        """Forget full buckets now and then; what another transaction holds is left for the next time, so that none waits for another."""
        if self._swept is not None and at - self._swept < _SWEEP:
            return
        self._swept = at
        full = select(_R.bucket).where(_R.full_at <= microseconds(at)).with_for_update(skip_locked=True)

        async def work(connection: AsyncConnection, _nothing: None) -> None:
            await connection.execute(delete(RATES).where(_R.bucket.in_(full)))

        await self._database.in_one(lambda: None, work)
