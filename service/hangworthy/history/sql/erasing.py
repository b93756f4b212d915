"""Erasing: facts of a work, or of a venue's old evaluations, are taken out; a chained tombstone with digests stays."""

from collections.abc import Collection, Iterable
from datetime import datetime

import msgspec
from sqlalchemy import ColumnElement, and_, delete, insert, select, update
from sqlalchemy.ext.asyncio import AsyncConnection

from hangworthy.history.canonical import canonical
from hangworthy.history.port import Erased
from hangworthy.history.sql.bodies import without
from hangworthy.history.sql.chain import Entry, locked_head
from hangworthy.history.sql.codecs import Codecs
from hangworthy.history.sql.engine import Database, uncut
from hangworthy.history.sql.rows import Full, Header, Tombstone, full_rows, row_digest, terms_of, tombstone_digest
from hangworthy.history.sql.tables import EVALUATIONS, TERMS, TOMBSTONES, WORKS

_AT_ONCE = 100  # evaluations in one transaction, so that recording does not wait long


class Eraser:
    """Takes works out of evaluations, some at a time, until none is left."""

    def __init__(self, database: Database, codecs: Codecs) -> None:
        """Keep the database and how its bodies are packed."""
        self._database, self._codecs = database, codecs

    async def erase(self, ref: str, venues: tuple[str, ...] | None, at: datetime, by: str | None) -> Erased:
        """Take one work out of every evaluation of these venues (None: of all)."""
        mine: list[ColumnElement[bool]] = [WORKS.c.ref == ref]
        if venues is not None:
            mine.append(WORKS.c.venue.in_(sorted(set(venues))))
        wanted = EVALUATIONS.c.id.in_(select(WORKS.c.evaluation_id).where(*mine).limit(_AT_ONCE))
        return await self._all(wanted, {ref}, at, by)

    async def retain(self, venue: str, older_than: datetime, at: datetime) -> int:
        """Take every work out of a venue's evaluations of before a time; return of how many."""
        left = select(WORKS.c.place).where(WORKS.c.evaluation_id == EVALUATIONS.c.id, WORKS.c.ref.is_not(None)).exists()
        wanted = and_(EVALUATIONS.c.venue == venue, EVALUATIONS.c.at < older_than, left)
        return (await self._all(wanted, None, at, None)).evaluations

    async def _all(self, wanted: ColumnElement[bool], refs: set[str] | None, at: datetime, by: str | None) -> Erased:
        count, digests = 0, list[str]()
        while stones := await self._some(wanted, refs, at, by):
            count += len(stones)
            digests += [one for stone in stones for one in stone.digests]
        if count or self._database.owes:
            await self._database.tidy()
        return Erased(evaluations=count, digests=tuple(digests))

    @uncut
    async def _some(self, wanted: ColumnElement[bool], refs: set[str] | None, at: datetime, by: str | None) -> list[Tombstone]:
        async with self._database.write() as connection:
            head = await locked_head(connection)
            batch = await full_rows(connection, select(EVALUATIONS).where(wanted).order_by(EVALUATIONS.c.at).limit(_AT_ONCE))
            stones = [await self._one(connection, row, refs, at, by) for row in batch]
            positions = await head.add(connection, [Entry("erasure", one.evaluation_id, tombstone_digest(one)) for one in stones])
            await write_tombstones(connection, positions, stones)
        return stones

    async def _one(self, connection: AsyncConnection, row: Full, refs: set[str] | None, at: datetime, by: str | None) -> Tombstone:
        """Take works out of one evaluation and return the tombstone for them."""
        gone: set[str] = {work.ref for work in row.header.works if work.ref is not None} if refs is None else refs
        request, answer, digests = without(*(await self._codecs.unpack(connection, row.body)), gone)
        header = _bare(row.header, gone)
        id = row.header.id
        body = self._codecs.now.pack(request, answer)
        await connection.execute(update(EVALUATIONS).where(EVALUATIONS.c.id == id), {"body": body})
        mine = (WORKS.c.evaluation_id == id, WORKS.c.ref.in_(sorted(gone)))
        await connection.execute(update(WORKS).where(*mine), {"ref": None, "artist_ref": None})
        for kind, value in set(terms_of(row.header)) - set(terms_of(header)):
            term = and_(TERMS.c.kind == kind, TERMS.c.value == value, TERMS.c.at == header.at, TERMS.c.evaluation_id == id)
            await connection.execute(delete(TERMS).where(term))
        return Tombstone(evaluation_id=id, at=at, made_by=by, digests=digests, row_digest=row_digest(header, request, answer))


def _bare(header: Header, refs: Collection[str | None]) -> Header:
    """Return a header in which the works of these refs have no refs any more."""
    works = tuple(msgspec.structs.replace(work, ref=None, artist_ref=None) if work.ref in refs else work for work in header.works)
    return msgspec.structs.replace(header, works=works)


def _values(position: int, stone: Tombstone) -> dict[str, object]:
    return {**msgspec.structs.asdict(stone), "position": position, "digests": canonical(stone.digests).decode()}


async def write_tombstones(connection: AsyncConnection, positions: Iterable[int], stones: Iterable[Tombstone]) -> None:
    """Write tombstones at their places in the chain."""
    if rows := [_values(position, stone) for position, stone in zip(positions, stones, strict=True)]:
        await connection.execute(insert(TOMBSTONES), rows)
