"""Claims on idempotency keys: running with a lease, done until they expire. The table decides, so all replicas agree.

A claim whose lease has run out was left by a crash: the next request takes it over. Should the slow first one finish after all, the
condition in ``finish`` lets only one of the two be kept.
"""

from collections.abc import Callable, Iterable, Mapping
from datetime import datetime, timedelta
from typing import Any

import msgspec
from sqlalchemy import and_, delete, or_, select
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.ext.asyncio import AsyncConnection

from hangworthy.history.port import Idempotency, OtherBody, StillRunning
from hangworthy.history.sql.tables import CLAIMS
from hangworthy.history.sql.url import Kind

LEASE = timedelta(seconds=60)
KEPT_FOR = timedelta(hours=24)
Key = tuple[str, str]


class Claim(msgspec.Struct, frozen=True):
    """A claim as it stands: whose body, and the evaluation it led to, or None while that is not known."""

    digest: bytes
    evaluation_id: str | None


def key_of(one: Idempotency) -> Key:
    """Return what makes a key one's own."""
    return one.owner, one.key


class Claims:
    """The statements on claims, for one kind of database."""

    def __init__(self, kind: Kind, *, lease: timedelta = LEASE, kept_for: timedelta = KEPT_FOR) -> None:
        """Choose the dialect. ``lease``: how long a request may run; ``kept_for``: how long an answer is given again."""
        self._lease, self._kept_for = lease, kept_for
        self._insert: Any = postgresql.insert if kind == "postgresql" else sqlite.insert

    async def begin(self, connection: AsyncConnection, wanted: Mapping[Key, bytes], at: datetime) -> set[Key]:
        """Claim keys for bodies of these digests; return those that are ours now."""
        rows = [
            {"owner": owner, "key": key, "digest": digest, "evaluation_id": None, "until": at + self._lease}
            for (owner, key), digest in wanted.items()
        ]
        return await self._upsert(connection, rows, lambda _new: CLAIMS.c.until <= at)

    async def finish(self, connection: AsyncConnection, done: Mapping[Key, Claim], at: datetime) -> set[Key]:
        """Bind keys to evaluations; return those that were free, or claimed for the same body: only these may be kept."""
        rows = [
            {"owner": owner, "key": key, "until": at + self._kept_for, **msgspec.structs.asdict(claim)}
            for (owner, key), claim in done.items()
        ]

        def free(new: Any) -> Any:
            return or_(CLAIMS.c.until <= at, and_(CLAIMS.c.evaluation_id.is_(None), CLAIMS.c.digest == new.digest))

        return await self._upsert(connection, rows, free)

    async def _upsert(self, connection: AsyncConnection, rows: list[dict[str, Any]], free: Callable[[Any], Any]) -> set[Key]:
        statement = self._insert(CLAIMS)
        new = statement.excluded
        statement = statement.on_conflict_do_update(
            index_elements=[CLAIMS.c.owner, CLAIMS.c.key],
            set_={"digest": new.digest, "evaluation_id": new.evaluation_id, "until": new.until},
            where=free(new),
        ).returning(CLAIMS.c.owner, CLAIMS.c.key)
        return {(row.owner, row.key) for row in await connection.execute(statement, rows)}


async def stands(connection: AsyncConnection, key: Key) -> Claim | None:
    """Return a claim as it stands."""
    query = select(CLAIMS.c.digest, CLAIMS.c.evaluation_id).where(CLAIMS.c.owner == key[0], CLAIMS.c.key == key[1])
    row = (await connection.execute(query)).one_or_none()
    return None if row is None else Claim(row.digest, row.evaluation_id)


def answered(claim: Claim | None, digest: bytes) -> str:
    """Return the evaluation that answered a key before. Raises OtherBody or StillRunning."""
    if claim is None:
        raise StillRunning("this key has just been given free; send the same request again")
    if claim.digest != digest:
        raise OtherBody("this key was used with another request")
    if claim.evaluation_id is None:
        raise StillRunning("the first request with this key has not been answered yet")
    return claim.evaluation_id


async def give_free(connection: AsyncConnection, keys: Iterable[Idempotency]) -> None:
    """Drop running claims of these keys and bodies."""
    for one in keys:
        mine = (CLAIMS.c.owner == one.owner, CLAIMS.c.key == one.key, CLAIMS.c.digest == one.digest)
        await connection.execute(delete(CLAIMS).where(*mine, CLAIMS.c.evaluation_id.is_(None)))


async def forget(connection: AsyncConnection, at: datetime) -> None:
    """Drop what has expired."""
    await connection.execute(delete(CLAIMS).where(CLAIMS.c.until <= at))
