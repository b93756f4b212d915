"""Plans made in the background: rows that replicas take up one at a time, each under a lease."""

from datetime import datetime
from typing import Any

import msgspec
from sqlalchemy import ColumnElement, and_, delete, insert, or_, select, update
from sqlalchemy.ext.asyncio import AsyncConnection

from hangworthy.history.port import Job
from hangworthy.history.sql.engine import Database, uncut
from hangworthy.history.sql.tables import PLAN_JOBS

MOST_TRIES = 3  # a job whose workers die so often would kill the next one too
_J = PLAN_JOBS.c


class SqlJobs:
    """The jobs of one database."""

    def __init__(self, database: Database) -> None:
        """Keep the database."""
        self._database = database

    @uncut
    async def add(self, id: str, at: datetime, venue: str, given: bytes) -> None:
        """Keep a job that waits."""
        row = {"id": id, "at": at, "venue": venue, "state": "waiting", "progress": 0.0, "tries": 0, "given": given}
        async with self._database.write() as connection:
            await connection.execute(insert(PLAN_JOBS), row)

    async def get(self, id: str) -> Job | None:
        """Return one, or None."""
        query = select(_J.id, _J.at, _J.venue, _J.state, _J.progress, _J.answer, _J.failure).where(_J.id == id)
        async with self._database.read() as connection:
            row = (await connection.execute(query)).one_or_none()
        return None if row is None else Job(**row._mapping)

    @uncut
    async def claim(self, worker: str, at: datetime, until: datetime) -> tuple[str, bytes] | None:
        """Take up the oldest job that waits, or whose lease has run out."""
        left = and_(_J.state == "running", _J.until <= at)
        query = select(_J.id, _J.given, _J.tries).where(or_(_J.state == "waiting", left)).order_by(_J.id).limit(1)
        async with self._database.write() as connection:
            while True:
                row = (await connection.execute(query.with_for_update(skip_locked=True))).one_or_none()
                if row is None:
                    return None
                if row.tries < MOST_TRIES:
                    values = {"state": "running", "worker": worker, "until": until, "tries": row.tries + 1}
                    await connection.execute(update(PLAN_JOBS).where(_J.id == row.id).values(values))
                    return str(row.id), bytes(row.given)
                failed = {"state": "failed", "failure": "WorkersDied", "given": None}
                await connection.execute(update(PLAN_JOBS).where(_J.id == row.id).values(failed))

    async def note(self, id: str, worker: str, progress: float, until: datetime) -> bool:
        """Note progress and renew the lease."""
        return await self._change(self._held(id, worker), progress=progress, until=until)

    async def finish(self, id: str, worker: str, answer: bytes | None, failure: str | None) -> bool:
        """Keep the answer, or the failure."""
        state = "failed" if answer is None else "done"
        return await self._change(self._held(id, worker), state=state, answer=answer, failure=failure, progress=1.0, given=None)

    async def cancel(self, id: str) -> bool:
        """Cancel a job that waits or runs."""
        return await self._change(and_(_J.id == id, _J.state.in_(("waiting", "running"))), state="cancelled", given=None)

    @uncut
    async def forget(self, before: datetime) -> int:
        """Drop jobs from before a time."""
        return await self._drop(_J.at < before)

    async def erase(self, ref: str, venues: tuple[str, ...] | None) -> int:
        """Drop every job of these venues (None: of all) that names a work, as it was given or answered. Jobs are few, and kept for days."""
        query = select(_J.id, _J.given, _J.answer)
        if venues is not None:
            query = query.where(_J.venue.in_(sorted(set(venues))))
        async with self._database.read() as connection:
            named = [row.id for row in await connection.execute(query) if _speaks_of(ref, row.given, row.answer)]
        return await self._drop(_J.id.in_(named)) if named else 0

    @uncut
    async def _drop(self, where: ColumnElement[bool]) -> int:
        async with self._database.write() as connection:
            dropped = (await connection.execute(delete(PLAN_JOBS).where(where))).rowcount
        if dropped:
            await self._database.tidy()
        return dropped

    def _held(self, id: str, worker: str) -> ColumnElement[bool]:
        return and_(_J.id == id, _J.worker == worker, _J.state == "running")

    @uncut
    async def _change(self, where: ColumnElement[bool], **values: Any) -> bool:
        async with self._database.write() as connection:
            return await _changed(connection, where, values)


def _speaks_of(ref: str, given: bytes | None, answer: bytes | None) -> bool:
    """Return whether what was asked, or the plan, names a work. What cannot be read but holds the ref may name it."""
    asked = given is not None and ref.encode() in given
    told = answer is not None and msgspec.json.encode(ref)[1:-1] in answer
    try:
        return (asked and _names(ref, msgspec.msgpack.decode(given or b""))) or (told and _names(ref, msgspec.json.decode(answer or b"")))
    except msgspec.DecodeError:
        return True


def _names(ref: str, value: Any) -> bool:
    if isinstance(value, dict):
        return value.get("ref") == ref or any(_names(ref, one) for one in value.values())
    return isinstance(value, list) and any(_names(ref, one) for one in value)


async def _changed(connection: AsyncConnection, where: ColumnElement[bool], values: dict[str, Any]) -> bool:
    return bool((await connection.execute(update(PLAN_JOBS).where(where).values(values))).rowcount)
