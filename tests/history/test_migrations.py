"""From nothing and from every earlier schema to the newest, with what was in it; and the newest is what the tables say."""

import asyncio

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlalchemy import Connection, text

from hangworthy.history.canonical import Codec
from hangworthy.history.migrations.forward import migrate, newest, schema_of
from hangworthy.history.port import Filters, HistoryError
from hangworthy.history.sql.chain import locked_head
from hangworthy.history.sql.engine import Database
from hangworthy.history.sql.evaluations import PackSets, Prepared, write_rows
from hangworthy.history.sql.rows import header_of, row_digest
from hangworthy.history.sql.tables import METADATA
from history.making import Maker

pytestmark = pytest.mark.anyio


def _differences(connection: Connection) -> list[object]:
    return compare_metadata(MigrationContext.configure(connection), METADATA)


async def test_an_empty_database_comes_to_what_the_tables_say(url: str) -> None:
    database = Database(url)
    assert await migrate(database) == newest()
    assert await migrate(database) == newest()
    async with database.read() as connection:
        assert await connection.run_sync(schema_of) == newest()
        assert await connection.run_sync(_differences) == []
    await database.close()


async def test_the_first_schema_comes_forward_with_its_evaluations(url: str, make: Maker) -> None:
    database = Database(url)
    await migrate(database, "0001")
    new = make.evaluation()
    header = header_of(new)
    one = Prepared(header, Codec().pack(new.request, new.answer), row_digest(header, new.request, new.answer))
    async with database.write() as connection:
        await write_rows(connection, await locked_head(connection), [one], PackSets(database))
    await database.close()

    store = make.store(url)
    await store.start()
    assert (await store.health()).schema == newest()
    stored = await store.get(new.id)
    assert stored is not None
    assert (stored.request, stored.answer) == (new.request, new.answer)
    assert await store.verify() == []
    await store.record(make.evaluation())
    assert len(await store.page(Filters(), after=None, before=None, most=9)) == 2
    async with store._database.read() as connection:
        assert await connection.run_sync(_differences) == []
    await store.stop()


async def test_stores_that_start_together_migrate_once(url: str, make: Maker) -> None:
    stores = [make.store(url, sample=b"the same sample") for _ in range(5)]
    await asyncio.gather(*(store.start() for store in stores))
    await asyncio.gather(*(store.record(make.evaluation()) for store in stores))
    assert await stores[0].verify() == []
    async with stores[0]._database.read() as connection:
        assert (await connection.execute(text("SELECT count(*) FROM dictionaries"))).scalar_one() == 1
    await asyncio.gather(*(store.stop() for store in stores))


async def test_a_schema_from_a_later_release_is_not_touched(url: str, make: Maker) -> None:
    store = make.store(url)
    await store.start()
    async with store._database.write() as connection:
        await connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    await store.stop()
    with pytest.raises(HistoryError, match="schema 9999 is not known to this version"):
        await make.store(url).start()
