"""Venues kept, with every earlier version: rows are only added, and the key (name, version) lets one writer win."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

import msgspec
from sqlalchemy import Row, func, insert, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.ext.asyncio import AsyncConnection

from hangworthy.history.port import Changed, VenueVersion
from hangworthy.history.sql.engine import Database, uncut
from hangworthy.history.sql.tables import VENUE_VERSIONS

_V = VENUE_VERSIONS.c


class SqlVenues:
    """The venues of one database."""

    def __init__(self, database: Database) -> None:
        """Keep the database."""
        self._database = database

    async def current(self) -> Sequence[VenueVersion]:
        """Return the current version of each, by name."""
        other = VENUE_VERSIONS.alias()
        last = select(func.max(other.c.version)).where(other.c.name == _V.name).scalar_subquery()
        async with self._database.read() as connection:
            return [_version(row) for row in await connection.execute(select(VENUE_VERSIONS).where(_V.version == last).order_by(_V.name))]

    async def version(self, name: str, number: int | None = None) -> VenueVersion | None:
        """Return one version, the current one by default."""
        query = select(VENUE_VERSIONS).where(_V.name == name).order_by(_V.version.desc()).limit(1)
        if number is not None:
            query = query.where(_V.version == number)
        async with self._database.read() as connection:
            row = (await connection.execute(query)).one_or_none()
        return None if row is None else _version(row)

    async def versions(self, name: str) -> Sequence[VenueVersion]:
        """Return all versions of one, newest first."""
        query = select(VENUE_VERSIONS).where(_V.name == name).order_by(_V.version.desc())
        async with self._database.read() as connection:
            return [_version(row) for row in await connection.execute(query)]

    @uncut
    async def put(
        self, name: str, content: bytes, digest: str, *, based_on: int, at: datetime, by: str | None, first: int = 1
    ) -> VenueVersion:
        """Keep the next version if ``based_on`` is still the current one (0: none yet, then it is ``first``). Raises Changed."""
        number = based_on + 1 if based_on else first
        new = VenueVersion(name=name, version=number, content=content, digest=digest, at=at, made_by=by)
        try:
            async with self._database.write() as connection:
                if (current := await _current(connection, name)) != based_on:
                    raise Changed(current)
                await connection.execute(insert(VENUE_VERSIONS), msgspec.structs.asdict(new))
        except IntegrityError:  # another replica was faster between the two statements
            async with self._database.read() as connection:
                raise Changed(await _current(connection, name)) from None
        return new

    async def stamp(self) -> int:
        """Return the number of versions there are, which grows with every change."""
        async with self._database.read() as connection:
            return int((await connection.execute(select(func.count()).select_from(VENUE_VERSIONS))).scalar_one())


async def _current(connection: AsyncConnection, name: str) -> int:
    return (await connection.execute(select(func.max(_V.version)).where(_V.name == name))).scalar_one_or_none() or 0


def _version(row: Row[Any]) -> VenueVersion:
    return VenueVersion(name=row.name, version=row.version, content=row.content, digest=row.digest, at=row.at, made_by=row.made_by)
