"""The chain: every entry's link is the digest of the link before it and of its own content, so a gap or a change shows.

The head is one row, locked by every group that adds to the chain: replicas on one database therefore add one after another.
"""

from collections.abc import Mapping, Sequence
from typing import Any

import msgspec
from sqlalchemy import Row, func, insert, select, update
from sqlalchemy.ext.asyncio import AsyncConnection

from hangworthy.history.canonical import Codec, digest
from hangworthy.history.sql.rows import BATCH, Full, Tombstone, completed, row_digest, terms_of, tombstone_digest, tombstone_of
from hangworthy.history.sql.tables import CHAIN, CHAIN_HEAD, EVALUATIONS, TERMS, TOMBSTONES

START = bytes(32)
_LOCKED = select(CHAIN_HEAD.c.position, CHAIN_HEAD.c.link).where(CHAIN_HEAD.c.id == 1).with_for_update()
_MOVED = update(CHAIN_HEAD).where(CHAIN_HEAD.c.id == 1)
_ADDED = insert(CHAIN)


class Entry(msgspec.Struct, frozen=True):
    """Something to be chained: an evaluation, or an erasure in one."""

    kind: str
    evaluation_id: str
    digest: bytes


def linked(before: bytes, position: int, entry: Entry) -> bytes:
    """Return the link of an entry at a position."""
    return digest(before + position.to_bytes(8, "big") + entry.kind.encode() + b"\0" + entry.evaluation_id.encode() + b"\0" + entry.digest)


class Head:
    """The end of the chain, held locked by the transaction that read it."""

    def __init__(self, position: int, link: bytes) -> None:
        """Hold where the chain ends."""
        self.position, self.link = position, link

    async def add(self, connection: AsyncConnection, entries: Sequence[Entry]) -> list[int]:
        """Put entries at the end; return their positions."""
        if not entries:
            return []
        rows = self.follow(entries)
        await connection.execute(_ADDED, [dict(zip(CHAIN.c.keys(), row, strict=True)) for row in rows])
        await connection.execute(_MOVED, {"position": self.position, "link": self.link})
        return [row[0] for row in rows]

    def follow(self, entries: Sequence[Entry]) -> list[tuple[int, str, str, bytes, bytes]]:
        """Move on by some entries and return their rows, in the order of the table's columns; who calls writes them and the end."""
        rows = []
        for entry in entries:
            self.position += 1
            self.link = linked(self.link, self.position, entry)
            rows.append((self.position, entry.kind, entry.evaluation_id, entry.digest, self.link))
        return rows


async def locked_head(connection: AsyncConnection) -> Head:
    """Lock the end of the chain until the transaction ends, and return it."""
    row = (await connection.execute(_LOCKED)).one()
    return Head(row.position, row.link)


class Checker:
    """Goes along the chain from its start and notes, a sentence each, what does not fit."""

    def __init__(self, codec: Codec) -> None:
        """Start with nothing found."""
        self.found: list[str] = []
        self._codec = codec
        self._position, self._link, self._terms = 0, START, 0

    async def check(self, connection: AsyncConnection) -> None:
        """Check everything that one connection sees."""
        while batch := await self._batch(connection):
            rows = await _rows_of(connection, [entry.evaluation_id for entry in batch if entry.kind == "evaluation"])
            stones = await _stones_of(connection, [entry.position for entry in batch if entry.kind == "erasure"])
            for entry in batch:
                self._link_of(entry)
                if entry.kind == "evaluation":
                    self._evaluation(entry, rows.get(entry.evaluation_id))
                else:
                    self._erasure(entry, stones.get(entry.position))
        await self._end(connection)

    async def _batch(self, connection: AsyncConnection) -> Sequence[Row[Any]]:
        query = select(CHAIN).where(CHAIN.c.position > self._position).order_by(CHAIN.c.position).limit(BATCH)
        return (await connection.execute(query)).all()

    def _link_of(self, entry: Row[Any]) -> None:
        if entry.position != self._position + 1:
            self.found.append(f"Entries {self._position + 1} to {entry.position - 1} of the chain are missing.")
        elif entry.link != linked(self._link, entry.position, Entry(entry.kind, entry.evaluation_id, entry.digest)):
            self.found.append(f"Entry {entry.position} of the chain does not follow from the one before: altered or out of order.")
        self._position, self._link = entry.position, entry.link

    def _evaluation(self, entry: Row[Any], row: Full | None) -> None:
        if row is None:
            self.found.append(f"Evaluation {entry.evaluation_id} (entry {entry.position}) is missing.")
            return
        self._terms += len(terms_of(row.header))
        expected = row.tombstones[-1].row_digest if row.tombstones else entry.digest
        try:
            request, answer = self._codec.unpack(row.body)
            same = row_digest(row.header, request, answer) == expected
        except ValueError:
            same = False
        if not same:
            self.found.append(f"Evaluation {entry.evaluation_id} (entry {entry.position}) is not as it was written.")

    def _erasure(self, entry: Row[Any], stone: Tombstone | None) -> None:
        if stone is None:
            self.found.append(f"The tombstone of an erasure in evaluation {entry.evaluation_id} (entry {entry.position}) is missing.")
        elif stone.evaluation_id != entry.evaluation_id or tombstone_digest(stone) != entry.digest:
            self.found.append(f"The tombstone of evaluation {entry.evaluation_id} (entry {entry.position}) is not as it was written.")

    async def _end(self, connection: AsyncConnection) -> None:
        head = (await connection.execute(select(CHAIN_HEAD))).one_or_none()
        if head is None or (head.position, head.link) != (self._position, self._link):
            last = 0 if head is None else head.position
            self.found.append(f"The chain ends at entry {self._position}, but its head says {last}: the newest entries were changed.")
        chained = select(CHAIN.c.position).where(CHAIN.c.evaluation_id == EVALUATIONS.c.id, CHAIN.c.kind == "evaluation")
        stray = await connection.execute(select(EVALUATIONS.c.id).where(~chained.exists()).order_by(EVALUATIONS.c.id))
        self.found += [f"Evaluation {row.id} is not in the chain: it was not written by this service." for row in stray]
        stones = select(TOMBSTONES.c.position).where(~select(CHAIN.c.position).where(CHAIN.c.position == TOMBSTONES.c.position).exists())
        self.found += [f"A tombstone (entry {row.position}) is not in the chain." for row in await connection.execute(stones)]
        terms = (await connection.execute(select(func.count()).select_from(TERMS))).scalar_one()
        if terms != self._terms and not self.found:
            self.found.append(f"There are {terms} search terms where there should be {self._terms}: lists may miss evaluations.")


async def _rows_of(connection: AsyncConnection, ids: list[str]) -> Mapping[str, Full]:
    rows = (await connection.execute(select(EVALUATIONS).where(EVALUATIONS.c.id.in_(ids)))).all() if ids else []
    return {full.header.id: full for full in await completed(connection, rows)}


async def _stones_of(connection: AsyncConnection, positions: list[int]) -> Mapping[int, Tombstone]:
    if not positions:
        return {}
    rows = await connection.execute(select(TOMBSTONES).where(TOMBSTONES.c.position.in_(positions)))
    return {row.position: tombstone_of(row) for row in rows}
