"""Recording: what a group of entries does in one transaction, from claims on keys to the end of the chain."""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any

import msgspec
from sqlalchemy import select
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.ext.asyncio import AsyncConnection

from hangworthy.history.canonical import canonical
from hangworthy.history.port import HistoryError, Idempotency, Kept, NewEvaluation
from hangworthy.history.sql.chain import Entry, Head, locked_head
from hangworthy.history.sql.codecs import Codecs
from hangworthy.history.sql.engine import Database
from hangworthy.history.sql.hot import moment, write_all
from hangworthy.history.sql.idempotency import Claim, Claims, Key, answered, forget, give_free, key_of, stands
from hangworthy.history.sql.rows import Header, evaluation_row, header_of, row_digest, term_rows, work_rows
from hangworthy.history.sql.tables import CHAIN, EVALUATIONS, PACK_SETS, TERMS, WORKS

_FORGET_EVERY = timedelta(hours=1)


class Begin(msgspec.Struct, frozen=True):
    """A key to be claimed."""

    one: Idempotency
    at: datetime


class Abandon(msgspec.Struct, frozen=True):
    """A claimed key to be given free."""

    one: Idempotency


class Prepared(msgspec.Struct, frozen=True):
    """An evaluation ready to be written."""

    header: Header
    body: bytes
    digest: bytes


WriterEntry = NewEvaluation | Begin | Abandon


class Recorder:
    """Carries out groups of entries."""

    def __init__(self, database: Database, claims: Claims, codecs: Codecs) -> None:
        """Keep what the groups need."""
        self._database, self._claims, self._codecs = database, claims, codecs
        self._sets = PackSets(database)
        self._forgotten: datetime | None = None

    async def apply(self, entries: Sequence[WriterEntry]) -> Sequence[Any]:
        """Carry a group out in one transaction; return a result or an exception for each, after the commit."""
        new = [one for one in entries if isinstance(one, NewEvaluation)]

        async def work(connection: AsyncConnection, prepared: Sequence[Prepared]) -> tuple[list[Any], list[Any]]:
            head = await locked_head(connection)
            outcomes = await self._recorded(connection, head, new, prepared)
            await give_free(connection, [one.one for one in entries if isinstance(one, Abandon)])
            return outcomes, await self._begun(connection, [one for one in entries if isinstance(one, Begin)])

        try:
            outcomes, begun = await self._database.in_one(lambda: self._prepared(new), work)
        except BaseException:
            self._sets.forget()  # numbers given inside the transaction are gone with it
            raise
        given, started = iter(outcomes), iter(begun)
        return [next(given) if isinstance(one, NewEvaluation) else next(started) if isinstance(one, Begin) else None for one in entries]

    def _prepared(self, new: Sequence[NewEvaluation]) -> list[Prepared]:
        codec, made = self._codecs.now, []
        for one in new:
            header = header_of(one)
            made.append(Prepared(header, codec.pack(one.request, one.answer), row_digest(header, one.request, one.answer)))
        return made

    async def _recorded(
        self, connection: AsyncConnection, head: Head, new: Sequence[NewEvaluation], prepared: Sequence[Prepared]
    ) -> list[Kept | HistoryError]:
        """Write what is new; give the stored answer where a key had been answered before."""
        first: dict[Key, int] = {}
        for place, one in enumerate(new):
            if one.idempotency is not None:
                first.setdefault(key_of(one.idempotency), place)
        won: set[Key] = set()
        if first:
            at = max(one.at for one in new)
            claims = {key: Claim(_digest_of(new[place]), new[place].id) for key, place in first.items()}
            won = await self._claims.finish(connection, claims, at)
        mine = [
            place
            for place, one in enumerate(new)
            if one.idempotency is None or (key_of(one.idempotency) in won and first[key_of(one.idempotency)] == place)
        ]
        await write_rows(connection, head, [prepared[place] for place in mine], self._sets)
        written = set(mine)
        return [
            Kept(id=one.id, answer=one.answer) if place in written else await self._before(connection, one.idempotency)
            for place, one in enumerate(new)
        ]

    async def _begun(self, connection: AsyncConnection, begins: Sequence[Begin]) -> list[Kept | HistoryError | None]:
        """Claim keys; say for each whether it is ours now (None), or what stands in the way."""
        if not begins:
            return []
        at = max(begin.at for begin in begins)
        if self._forgotten is None or at - self._forgotten >= _FORGET_EVERY:
            await forget(connection, at)
            self._forgotten = at
        first: dict[Key, int] = {}
        for place, begin in enumerate(begins):
            first.setdefault(key_of(begin.one), place)
        ours = await self._claims.begin(connection, {key: begins[place].one.digest for key, place in first.items()}, at)
        return [
            None if key_of(begin.one) in ours and first[key_of(begin.one)] == place else await self._before(connection, begin.one)
            for place, begin in enumerate(begins)
        ]

    async def _before(self, connection: AsyncConnection, one: Idempotency | None) -> Kept | HistoryError:
        """Return the answer that was given under a key before, or why there is none."""
        assert one is not None  # noqa: S101 - only keyed entries come here
        try:
            id = answered(await stands(connection, key_of(one)), one.digest)
        except HistoryError as error:
            return error
        body = (await connection.execute(select(EVALUATIONS.c.body).where(EVALUATIONS.c.id == id))).scalar_one()
        return Kept(id=id, answer=(await self._codecs.unpack(connection, body))[1], repeated=True)


def _digest_of(one: NewEvaluation) -> bytes:
    return one.idempotency.digest if one.idempotency is not None else b""


async def write_rows(connection: AsyncConnection, head: Head, prepared: Sequence[Prepared], sets: "PackSets") -> None:
    """Write evaluations with all that belongs to them, and chain them in this order."""
    if not prepared:
        return
    numbers = await sets.numbers(connection, [one.header.packs for one in prepared])
    moments = [moment(one.header.at, sets.kind) for one in prepared]
    dated = list(zip(prepared, moments, strict=True))
    rows = {
        EVALUATIONS.name: [evaluation_row(one.header, at, number, one.body) for (one, at), number in zip(dated, numbers, strict=True)],
        WORKS.name: [row for one, at in dated for row in work_rows(one.header, at)],
        TERMS.name: [row for one, at in dated for row in term_rows(one.header, at)],
        CHAIN.name: head.follow([Entry("evaluation", one.header.id, one.digest) for one in prepared]),
    }
    await write_all(connection, sets.kind, rows, head.position, head.link)


class PackSets:
    """The numbers of sets of packs; remembered, since they change only with a release."""

    def __init__(self, database: Database) -> None:
        """Know none yet."""
        self._known: dict[bytes, int] = {}
        self.kind = database.kind
        self._insert: Any = postgresql.insert if database.kind == "postgresql" else sqlite.insert

    def forget(self) -> None:
        """Forget the numbers, since some may not have been committed."""
        self._known.clear()

    async def numbers(self, connection: AsyncConnection, packs: Sequence[Mapping[str, str]]) -> list[int]:
        """Return the number of each set, giving one to those that have none."""
        spelt = [canonical(one) for one in packs]
        for content in set(spelt) - self._known.keys():
            text = content.decode()
            await connection.execute(self._insert(PACK_SETS).values(content=text).on_conflict_do_nothing())
            self._known[content] = (await connection.execute(select(PACK_SETS.c.id).where(PACK_SETS.c.content == text))).scalar_one()
        return [self._known[content] for content in spelt]
