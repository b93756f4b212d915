"""Export and import as lines of JSON. Bodies are texts in it, so that a line can be read; every line carries its digest.

An import adds to the chain of the database it comes into; what is there already, by id, stays as it is, also where it was erased since.
API keys are not exported: they belong to one installation.
"""

import base64
from collections.abc import AsyncIterator, Sequence
from datetime import datetime
from typing import Literal

import msgspec
from sqlalchemy import select
from sqlalchemy.ext.asyncio import AsyncConnection

from hangworthy.history.canonical import Codec
from hangworthy.history.port import HistoryError
from hangworthy.history.sql.chain import Entry, locked_head
from hangworthy.history.sql.engine import Database, uncut
from hangworthy.history.sql.erasing import write_tombstones
from hangworthy.history.sql.evaluations import PackSets, Prepared, write_rows
from hangworthy.history.sql.rows import BATCH, Full, Header, Tombstone, full_rows, row_digest, tombstone_digest
from hangworthy.history.sql.tables import CHAIN, EVALUATIONS, VENUE_VERSIONS

FORMAT = 1


class Start(msgspec.Struct, tag="history", tag_field="line"):
    """The first line: what this is, in which format, and by which id and time one export is told from another."""

    format: int
    id: str
    at: datetime


class VenueLine(msgspec.Struct, tag="venue", tag_field="line", kw_only=True):
    """One version of a venue."""

    name: str
    version: int
    content: str
    digest: str
    at: datetime
    made_by: str | None = None


class EvaluationLine(msgspec.Struct, tag="evaluation", tag_field="line", kw_only=True, omit_defaults=True):
    """One evaluation: its header, its bodies as text (or base64, where they are no UTF-8), its digest and its tombstones."""

    header: Header
    request: str
    answer: str
    digest: bytes
    encoding: Literal["utf-8", "base64"] = "utf-8"
    tombstones: tuple[Tombstone, ...] = ()


_decoder: msgspec.json.Decoder[Start | VenueLine | EvaluationLine] = msgspec.json.Decoder(Start | VenueLine | EvaluationLine)
_encode = msgspec.json.Encoder().encode


async def export(connection: AsyncConnection, start: Start, codec: Codec) -> AsyncIterator[bytes]:
    """Yield everything that a connection sees, a line each, after the start."""
    yield _encode(start)
    for row in await connection.execute(select(VENUE_VERSIONS).order_by(VENUE_VERSIONS.c.at, VENUE_VERSIONS.c.version)):
        yield _encode(
            VenueLine(
                name=row.name, version=row.version, content=row.content.decode(), digest=row.digest, at=row.at, made_by=row.made_by
            )
        )  # fmt: skip
    position = 0
    while True:
        mine = (CHAIN.c.position > position, CHAIN.c.kind == "evaluation")
        entries = (await connection.execute(select(CHAIN).where(*mine).order_by(CHAIN.c.position).limit(BATCH))).all()
        if not entries:
            return
        rows = await full_rows(connection, select(EVALUATIONS).where(EVALUATIONS.c.id.in_([one.evaluation_id for one in entries])))
        found = {row.header.id: row for row in rows}
        for entry in entries:
            if (whole := found.get(entry.evaluation_id)) is None:
                raise HistoryError(f"Evaluation {entry.evaluation_id} is missing; see what hangworthy history verify says.")
            yield _encode(_line(whole, entry.digest, codec))
        position = entries[-1].position


def _line(row: Full, digest: bytes, codec: Codec) -> EvaluationLine:
    request, answer = codec.unpack(row.body)
    try:
        texts, encoding = (request.decode(), answer.decode()), "utf-8"
    except UnicodeDecodeError:
        texts, encoding = (base64.b64encode(request).decode(), base64.b64encode(answer).decode()), "base64"
    return EvaluationLine(
        header=row.header, request=texts[0], answer=texts[1], digest=digest, tombstones=row.tombstones,
        encoding="utf-8" if encoding == "utf-8" else "base64",
    )  # fmt: skip


def _bodies(line: EvaluationLine) -> tuple[bytes, bytes]:
    if line.encoding == "base64":
        return base64.b64decode(line.request), base64.b64decode(line.answer)
    return line.request.encode(), line.answer.encode()


class Importer:
    """Takes lines in, some to a transaction. A line that is not as it was exported stops it; what came before it stays."""

    def __init__(self, database: Database, codec: Codec) -> None:
        """Start with nothing taken in."""
        self._database, self._codec, self._sets = database, codec, PackSets(database)

    async def load(self, lines: AsyncIterator[bytes]) -> int:
        """Return how many evaluations and versions of venues were new. Raises HistoryError naming the line at fault."""
        new, number = 0, 0
        waiting: list[VenueLine | EvaluationLine] = []
        async for line in lines:
            number += 1
            if not line.strip():
                continue
            one = _read(line, number)
            if isinstance(one, Start):
                continue
            waiting.append(one)
            if len(waiting) == BATCH:
                new += await self._write(waiting)
                waiting = []
        return new + await self._write(waiting)

    @uncut
    async def _write(self, lines: Sequence[VenueLine | EvaluationLine]) -> int:
        async with self._database.write() as connection:
            head = await locked_head(connection)
            venues = await _venues(connection, [one for one in lines if isinstance(one, VenueLine)])
            given = {one.header.id: one for one in lines if isinstance(one, EvaluationLine)}
            there = set((await connection.execute(select(EVALUATIONS.c.id).where(EVALUATIONS.c.id.in_(list(given))))).scalars())
            new = [one for id, one in given.items() if id not in there]
            await write_rows(connection, head, [self._prepared(one) for one in new], self._sets)
            stones = [stone for one in new for stone in one.tombstones]
            positions = await head.add(connection, [Entry("erasure", one.evaluation_id, tombstone_digest(one)) for one in stones])
            await write_tombstones(connection, positions, stones)
        return venues + len(new)

    def _prepared(self, line: EvaluationLine) -> Prepared:
        return Prepared(line.header, self._codec.pack(*_bodies(line)), line.digest)


async def _venues(connection: AsyncConnection, lines: Sequence[VenueLine]) -> int:
    new = 0
    for one in lines:
        mine = (VENUE_VERSIONS.c.name == one.name, VENUE_VERSIONS.c.version == one.version)
        if (await connection.execute(select(VENUE_VERSIONS.c.version).where(*mine))).first() is None:
            await connection.execute(VENUE_VERSIONS.insert(), {**msgspec.structs.asdict(one), "content": one.content.encode()})
            new += 1
    return new


def _read(line: bytes, number: int) -> Start | VenueLine | EvaluationLine:
    """Return a line, checked against its own digest."""
    try:
        one = _decoder.decode(line)
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        raise HistoryError(f"Line {number} is no line of an export: {str(error).partition(' - at')[0]}.") from None
    if isinstance(one, Start) and one.format != FORMAT:
        raise HistoryError(f"This export is in format {one.format}; this version reads format {FORMAT}.")
    if isinstance(one, EvaluationLine):
        expected = one.tombstones[-1].row_digest if one.tombstones else one.digest
        try:
            same = row_digest(one.header, *_bodies(one)) == expected
        except ValueError:
            same = False
        if not same:
            raise HistoryError(f"Line {number}: evaluation {one.header.id} is not as it was exported; its digest differs.")
    return one
