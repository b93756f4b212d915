"""Stored rows as whole things: an evaluation with its works and packs, its digest, and how batches of them are read."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any

import msgspec
from sqlalchemy import Row, Select, bindparam, select
from sqlalchemy.ext.asyncio import AsyncConnection

from hangworthy.history.canonical import canonical, digest
from hangworthy.history.port import NewEvaluation
from hangworthy.history.sql.tables import PACK_SETS, TOMBSTONES, WORKS

BATCH = 200


class KeptWork(msgspec.Struct, frozen=True, kw_only=True):
    """What is kept of one work beside the bodies; of an erased one without its refs."""

    place: int
    ref: str | None
    artist_ref: str | None
    outcome: str
    at_worst: str
    settled: bool
    unmet: tuple[str, ...]


class Header(msgspec.Struct, frozen=True, kw_only=True):
    """All of an evaluation but its bodies."""

    id: str
    at: datetime
    venue: str
    venue_version: int
    stage: str
    outcome: str
    at_worst: str
    settled: bool
    packs: Mapping[str, str]
    works: tuple[KeptWork, ...]
    made_by: str | None = None


class Tombstone(msgspec.Struct, frozen=True, kw_only=True):
    """What is left of works that were taken out: when and by which key, their digests, and the digest of the row from then on."""

    evaluation_id: str
    at: datetime
    made_by: str | None
    digests: tuple[str, ...]
    row_digest: bytes


class Full(msgspec.Struct, frozen=True, kw_only=True):
    """An evaluation as it is kept: its header, its packed bodies and its tombstones, the oldest first."""

    header: Header
    body: bytes
    tombstones: tuple[Tombstone, ...] = ()


def header_of(one: NewEvaluation) -> Header:
    """Return the header of a new evaluation."""
    works = tuple(
        KeptWork(
            place=work.place, ref=work.ref, artist_ref=work.artist_ref, outcome=work.outcome, at_worst=work.at_worst,
            settled=work.settled, unmet=work.unmet,
        )
        for work in one.works
    )  # fmt: skip
    return Header(
        id=one.id, at=one.at, venue=one.venue, venue_version=one.venue_version, stage=one.stage, outcome=one.outcome,
        at_worst=one.at_worst, settled=one.settled, packs=one.packs, works=works, made_by=one.made_by,
    )  # fmt: skip


def row_digest(header: Header, request: bytes, answer: bytes) -> bytes:
    """Return the digest over all that is kept of an evaluation; a changed byte anywhere changes it."""
    return digest(canonical((header, digest(request), digest(answer))))


def tombstone_digest(one: Tombstone) -> bytes:
    """Return the digest over a tombstone."""
    return digest(canonical(one))


def evaluation_row(header: Header, at: Any, pack_set: int, body: bytes) -> tuple[Any, ...]:
    """Return the row of an evaluation, in the order of the table's columns; ``at`` is as the driver takes it."""
    return (
        header.id, at, header.venue, header.venue_version, header.stage, header.outcome, header.at_worst, header.settled, pack_set,
        header.made_by, body,
    )  # fmt: skip


def work_rows(header: Header, at: Any) -> list[tuple[Any, ...]]:
    """Return the rows of its works."""
    return [
        (
            header.id, work.place, at, header.venue, work.ref, work.artist_ref, work.outcome, work.at_worst, work.settled,
            canonical(work.unmet).decode(),
        )
        for work in header.works
    ]  # fmt: skip


def terms_of(header: Header) -> list[tuple[str, str]]:
    """Return what the evaluation can be found by beside its columns, each once."""
    artists = {work.artist_ref for work in header.works if work.artist_ref is not None}
    rules = {rule for work in header.works for rule in work.unmet}
    return [*(("artist", one) for one in sorted(artists)), *(("unmet", one) for one in sorted(rules))]


def term_rows(header: Header, at: Any) -> list[tuple[Any, ...]]:
    """Return the rows of its terms."""
    return [(kind, value, at, header.id, header.venue) for kind, value in terms_of(header)]


def texts(content: str) -> tuple[str, ...]:
    """Return a list of texts that was kept as JSON."""
    return msgspec.json.decode(content, type=tuple[str, ...])


_WORKS = select(WORKS).where(WORKS.c.evaluation_id.in_(bindparam("ids", expanding=True))).order_by(WORKS.c.evaluation_id, WORKS.c.place)
_TOMBSTONES = select(TOMBSTONES).where(TOMBSTONES.c.evaluation_id.in_(bindparam("ids", expanding=True))).order_by(TOMBSTONES.c.position)


async def pack_sets(connection: AsyncConnection) -> dict[int, dict[str, str]]:
    """Return every set of packs that ever answered, by number: there is a new one only when a pack changes."""
    rows = await connection.execute(select(PACK_SETS.c.id, PACK_SETS.c.content))
    return {row.id: msgspec.json.decode(row.content) for row in rows}


async def full_rows(connection: AsyncConnection, query: Select[Any]) -> list[Full]:
    """Return the evaluations that a query over ``evaluations`` selects, with all that belongs to them."""
    return await completed(connection, (await connection.execute(query)).all())


async def completed(connection: AsyncConnection, rows: Sequence[Row[Any]]) -> list[Full]:
    """Return rows of ``evaluations`` with all that belongs to them."""
    ids = [row.id for row in rows]
    packs = await pack_sets(connection) if rows else {}
    works = _by_evaluation(await connection.execute(_WORKS, {"ids": ids})) if rows else {}
    stones = _by_evaluation(await connection.execute(_TOMBSTONES, {"ids": ids})) if rows else {}
    return [
        Full(
            header=_header(row, packs.get(row.pack_set, {}), works.get(row.id, [])),
            body=row.body,
            tombstones=tuple(tombstone_of(one) for one in stones.get(row.id, [])),
        )
        for row in rows
    ]


def tombstone_of(row: Row[Any]) -> Tombstone:
    """Return a tombstone from its row."""
    return Tombstone(evaluation_id=row.evaluation_id, at=row.at, made_by=row.made_by, digests=texts(row.digests), row_digest=row.row_digest)


def _by_evaluation(rows: Iterable[Row[Any]]) -> dict[str, list[Row[Any]]]:
    found: dict[str, list[Row[Any]]] = {}
    for row in rows:
        found.setdefault(row.evaluation_id, []).append(row)
    return found


def _header(row: Row[Any], packs: Mapping[str, str], works: list[Row[Any]]) -> Header:
    kept = tuple(
        KeptWork(
            place=work.place, ref=work.ref, artist_ref=work.artist_ref, outcome=work.outcome, at_worst=work.at_worst,
            settled=work.settled, unmet=texts(work.unmet),
        )
        for work in works
    )  # fmt: skip
    return Header(
        id=row.id, at=row.at, venue=row.venue, venue_version=row.venue_version, stage=row.stage, outcome=row.outcome,
        at_worst=row.at_worst, settled=row.settled, packs=packs, works=kept, made_by=row.made_by,
    )  # fmt: skip
