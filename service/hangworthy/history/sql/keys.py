"""API keys kept: the hash of each secret, never the secret."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

import msgspec
from sqlalchemy import Row, insert, or_, select, update

from hangworthy.history.canonical import canonical
from hangworthy.history.port import ApiKey, Bucket, ForBrowsers, Level, Scope
from hangworthy.history.sql.engine import Database, uncut
from hangworthy.history.sql.rates import Rates
from hangworthy.history.sql.rows import texts
from hangworthy.history.sql.tables import API_KEYS

_K = API_KEYS.c
_MOST_REMEMBERED = 10_000


class SqlKeys:
    """The keys of one database."""

    def __init__(self, database: Database) -> None:
        """Keep the database."""
        self._database = database
        self._noted: dict[str, datetime] = {}
        self._rates = Rates(database)

    @uncut
    async def add(self, one: ApiKey, secret_hash: bytes) -> None:
        """Keep a key with the hash of its secret."""
        row = {
            **msgspec.structs.asdict(one),
            "scopes": canonical(one.scopes).decode(),
            "venues": None if one.venues is None else canonical(one.venues).decode(),
            "browser": None if one.browser is None else canonical(one.browser).decode(),
            "secret_hash": secret_hash,
        }
        async with self._database.write() as connection:
            await connection.execute(insert(API_KEYS), row)

    async def find(self, id: str) -> tuple[ApiKey, bytes] | None:
        """Return a key and the hash of its secret."""
        async with self._database.read() as connection:
            row = (await connection.execute(select(API_KEYS).where(_K.id == id))).one_or_none()
        return None if row is None else (_key(row), row.secret_hash)

    async def every(self) -> Sequence[ApiKey]:
        """Return all keys, oldest first."""
        async with self._database.read() as connection:
            return [_key(row) for row in await connection.execute(select(API_KEYS).order_by(_K.made_at, _K.id))]

    async def for_browsers(self) -> Sequence[ApiKey]:
        """Return the keys for browsers, oldest first."""
        query = select(API_KEYS).where(_K.browser.is_not(None)).order_by(_K.made_at, _K.id)
        async with self._database.read() as connection:
            return [_key(row) for row in await connection.execute(query)]

    async def take(self, buckets: Sequence[Bucket], at: datetime) -> Sequence[Level]:
        """Take a token out of each bucket, or out of none; return how each stands."""
        return await self._rates.take(buckets, at)

    async def any(self) -> bool:
        """Return whether any key was ever made."""
        async with self._database.read() as connection:
            return (await connection.execute(select(_K.id).limit(1))).first() is not None

    @uncut
    async def revoke(self, id: str, at: datetime) -> bool:
        """Revoke a key; return whether there was one that was not revoked."""
        async with self._database.write() as connection:
            done = await connection.execute(update(API_KEYS).where(_K.id == id, _K.revoked_at.is_(None)), {"revoked_at": at})
        return done.rowcount == 1

    @uncut
    async def used(self, id: str, on: datetime) -> None:
        """Note the day on which a key was used; a second use on that day writes nothing."""
        day = on.replace(hour=0, minute=0, second=0, microsecond=0)
        if self._noted.get(id) == day:
            return
        earlier = or_(_K.last_used_on.is_(None), _K.last_used_on < day)
        async with self._database.write() as connection:
            await connection.execute(update(API_KEYS).where(_K.id == id, earlier), {"last_used_on": day})
        if len(self._noted) >= _MOST_REMEMBERED:
            self._noted.clear()
        self._noted[id] = day


def _key(row: Row[Any]) -> ApiKey:
    return ApiKey(
        id=row.id, name=row.name, scopes=msgspec.json.decode(row.scopes, type=tuple[Scope, ...]),
        venues=None if row.venues is None else texts(row.venues), made_at=row.made_at, expires_at=row.expires_at,
        revoked_at=row.revoked_at, last_used_on=row.last_used_on,
        browser=None if row.browser is None else msgspec.json.decode(row.browser, type=ForBrowsers),
    )  # fmt: skip
