"""How bodies are packed in one database: its dictionaries, read when the store opens and again when a row needs a newer one."""

from typing import Any

from sqlalchemy import select
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.ext.asyncio import AsyncConnection

from hangworthy.history.canonical import MOST_DICTIONARY, Codec, digest
from hangworthy.history.sql.engine import Database
from hangworthy.history.sql.tables import DICTIONARIES


class Codecs:
    """The codec of one database. ``sample`` is text without anybody's facts that resembles what will be packed; it may be empty."""

    def __init__(self, sample: bytes = b"") -> None:
        """Know no dictionary yet."""
        self._sample = sample[-MOST_DICTIONARY:]
        self.now = Codec()

    async def open(self, database: Database) -> None:
        """Put the sample among the dictionaries if it is new, and read them all."""
        async with database.read() as connection:
            await self.load(connection)
            there = select(DICTIONARIES.c.id).where(DICTIONARIES.c.digest == digest(self._sample))
            known = not self._sample or (await connection.execute(there)).first() is not None
        if known:
            return
        insert: Any = postgresql.insert if database.kind == "postgresql" else sqlite.insert
        row = {"digest": digest(self._sample), "content": self._sample}
        async with database.write() as connection:
            await connection.execute(insert(DICTIONARIES).on_conflict_do_nothing(), row)
        async with database.read() as connection:
            await self.load(connection)

    async def load(self, connection: AsyncConnection) -> Codec:
        """Read the dictionaries again, and return the codec."""
        rows = (await connection.execute(select(DICTIONARIES))).all()
        mine = digest(self._sample)
        self.now = Codec({row.id: row.content for row in rows}, next((row.id for row in rows if row.digest == mine), None))
        return self.now

    async def unpack(self, connection: AsyncConnection, body: bytes) -> tuple[bytes, bytes]:
        """Return request and answer, also when another replica packed them with a dictionary that is new here."""
        try:
            return self.now.unpack(body)
        except ValueError:
            return (await self.load(connection)).unpack(body)
