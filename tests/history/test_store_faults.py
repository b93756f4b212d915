"""A store that is away, full, read-only or wrong: said in a sentence, nothing half done, and well again without a restart."""

import asyncio
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event

from hangworthy.history.port import Busy, Filters, HistoryError, NoSpace
from hangworthy.history.sql import SqlHistory
from hangworthy.history.sql.chain import locked_head
from history.making import Maker
from history.postgres import Postgres

pytestmark = pytest.mark.anyio


async def test_postgresql_killed_and_started_again_under_load(postgres: Postgres, postgres_url: str, make: Maker) -> None:
    store = make.store(postgres_url, group=16)
    await store.start()
    answered: list[str] = []
    waits: list[int] = []
    going = True

    async def client(number: int) -> None:
        """Sends one evaluation after another, each with a key, and repeats what was refused."""
        sent = 0
        while going:
            key, sent = make.key(f"{number}-{sent}"), sent + 1
            while True:
                try:
                    answered.append((await store.record(make.evaluation(idempotency=key))).id)
                    break
                except Busy as busy:
                    waits.append(busy.retry_after)
                    await asyncio.sleep(0.05)

    clients = [asyncio.create_task(client(number)) for number in range(8)]
    await asyncio.sleep(0.5)
    await asyncio.to_thread(postgres.kill)
    await asyncio.sleep(0.3)
    with pytest.raises(Busy):
        await store.health()
    before = len(answered)
    await asyncio.to_thread(postgres.restart)
    until = asyncio.get_running_loop().time() + 30
    while len(answered) < before + 50 and asyncio.get_running_loop().time() < until:
        await asyncio.sleep(0.05)
    going = False
    await asyncio.gather(*clients)
    assert len(answered) >= before + 50
    assert waits
    assert min(waits) >= 1
    there = [one.id for one in await store.page(Filters(), after=None, before=None, most=100_000)]
    assert sorted(there) == sorted(answered)  # each once: none lost, none doubled
    assert await store.verify() == []
    assert (await store.health()).writable
    await store.stop()


async def test_a_postgresql_that_became_read_only_says_so_and_can_be_read(postgres: Postgres, postgres_url: str, make: Maker) -> None:
    store = make.store(postgres_url)
    await store.start()
    new = make.evaluation()
    await store.record(new)
    await store.stop()
    postgres.sql("ALTER DATABASE history SET default_transaction_read_only = on")
    await store.start()
    with pytest.raises(NoSpace, match="record=false still work"):
        await store.record(make.evaluation())
    assert not (await store.health()).writable
    assert await store.get(new.id) is not None
    assert await store.verify() == []
    await store.stop()


async def test_a_read_only_file_says_so_and_can_be_read(sqlite_url: str, make: Maker) -> None:
    store = make.store(sqlite_url)
    await store.start()
    new = make.evaluation()
    await store.record(new)
    await store.stop()
    reader = make.store(f"{sqlite_url}?mode=ro", sample=b"a sample that cannot be kept")
    await reader.start()
    for attempt in (reader.record(make.evaluation()), reader.begin(make.key("k"), make.clock())):
        with pytest.raises(NoSpace):
            await attempt
    with pytest.raises(NoSpace):
        await reader.erase("tide-7", None, make.clock(), None)
    assert not (await reader.health()).writable
    stored = await reader.get(new.id)
    assert stored is not None
    assert stored.request == new.request
    await reader.stop()


async def test_a_full_file_says_so_and_takes_more_when_there_is_room(sqlite_url: str, make: Maker) -> None:
    store = make.store(sqlite_url)
    pages = 120

    def bound(connection: Any, _record: Any) -> None:
        """SQLite's own bound on the file gives the same error as a disk without room."""
        cursor = connection.cursor()
        cursor.execute(f"PRAGMA max_page_count={pages}")
        cursor.close()

    direct = store._database.direct
    assert direct is not None
    for engine in (store._database.writing.sync_engine, direct):
        event.listen(engine, "connect", bound)
    await store.start()
    kept = []

    async def fill() -> None:
        for _ in range(1000):
            kept.append((await store.record(make.evaluation())).id)

    with pytest.raises(NoSpace):
        await fill()
    assert 0 < len(kept) < 1000
    assert [one.id for one in await store.page(Filters(), after=None, before=None, most=9999)] == kept[::-1]
    assert await store.verify() == []
    pages = 100_000
    direct.dispose()
    await store._database.writing.dispose()  # connections are made anew, as after a while in any pool
    await store.record(make.evaluation())
    assert (await store.health()).writable
    assert await store.verify() == []
    await store.stop()


@pytest.mark.parametrize(
    ("url", "sentence"),
    [
        ("", "no database's URL"),
        ("history.sqlite3", "no database's URL"),
        ("oracle://host/db", "not known here"),
        ("sqlite://", "needs a file"),
        ("sqlite:///:memory:", "needs a file"),
    ],
)
async def test_a_wrong_url_is_told_in_a_sentence(url: str, sentence: str, make: Maker) -> None:
    with pytest.raises(HistoryError, match=sentence):
        make.store(url)


async def test_a_place_that_cannot_be_opened_is_told(tmp_path: Path, make: Maker) -> None:
    with pytest.raises(HistoryError, match="/no/such/folder is no folder that can be written"):
        await make.store(f"sqlite:///{tmp_path}/no/such/folder/h.sqlite3").start()
    (tmp_path / "text").write_text("this is no database, but it is long enough to look at " * 100)
    with pytest.raises(HistoryError, match="/text: The history's file is damaged or no SQLite database"):
        await make.store(f"sqlite:///{tmp_path}/text").start()
    with pytest.raises(Busy, match=f"no PostgreSQL answers at {tmp_path}, port 5432"):
        await make.store(f"postgresql://postgres@/history?host={tmp_path}").start()


async def test_a_database_that_is_not_there_is_told(postgres: Postgres, make: Maker) -> None:
    with pytest.raises(HistoryError, match="does not exist"):
        await make.store(postgres.server.get_uri("nowhere")).start()


async def test_what_another_process_holds_is_waited_for(url: str, store: SqlHistory, make: Maker) -> None:
    """Here the other process is another store with a transaction that takes long; the record waits for it and is kept."""
    other = make.store(url)
    async with other._database.write() as connection:
        await locked_head(connection)
        waiting = asyncio.create_task(store.record(make.evaluation()))
        await asyncio.sleep(0.3)
        assert not waiting.done()
    await asyncio.wait_for(waiting, 10)
    await other._database.close()
    assert await store.verify() == []
