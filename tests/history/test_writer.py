"""Group commit: few transactions for many entries, a bound on what waits, and an answer for everybody whatever happens."""

import asyncio

import pytest

from hangworthy.history.port import Busy, Filters, HistoryError
from hangworthy.history.sql import SqlHistory
from hangworthy.history.sql.writer import Writer
from history.making import Maker

pytestmark = pytest.mark.anyio


async def test_many_records_share_few_transactions(store: SqlHistory, make: Maker) -> None:
    made = [make.evaluation() for _ in range(500)]
    kept = await asyncio.gather(*map(store.record, made))
    assert [one.id for one in kept] == [one.id for one in made]
    assert store.writer.entries == 500
    assert store.writer.groups <= 5
    assert [await store.get(one.id) is not None for one in made[::50]] == [True] * 10
    assert await store.verify() == []


async def test_an_answer_comes_after_the_commit(url: str, store: SqlHistory, make: Maker) -> None:
    """Another store sees what was answered, at once."""
    other = make.store(url)
    await other.start()
    for _ in range(20):
        new = make.evaluation()
        await store.record(new)
        assert await other.get(new.id) is not None
    await other.stop()


async def test_a_full_queue_refuses_before_anything_is_done(url: str, make: Maker) -> None:
    history = make.store(url, queue=10, group=4)
    await history.start()
    made = [make.evaluation() for _ in range(100)]
    results = await asyncio.gather(*map(history.record, made), return_exceptions=True)
    refused = [one for one, result in zip(made, results, strict=True) if isinstance(result, Busy)]
    kept = [one for one, result in zip(made, results, strict=True) if not isinstance(result, BaseException)]
    assert len(kept) + len(refused) == 100
    assert len(kept) >= 10
    assert refused
    assert all(result.retry_after >= 1 for result in results if isinstance(result, Busy))
    assert {one.id for one in await history.page(Filters(), after=None, before=None, most=200)} == {one.id for one in kept}
    assert (await history.record(refused[0])).id == refused[0].id
    await history.stop()


async def test_stop_writes_what_waits_and_takes_nothing_more(url: str, make: Maker) -> None:
    history = make.store(url, group=10)
    await history.start()
    waiting = [asyncio.create_task(history.record(make.evaluation())) for _ in range(100)]
    await asyncio.sleep(0)
    await history.stop()
    kept = await asyncio.gather(*waiting)
    with pytest.raises(Busy):
        await history.record(make.evaluation())
    await history.start()
    assert len(await history.page(Filters(), after=None, before=None, most=200)) == len(kept) == 100
    assert await history.verify() == []
    await history.stop()


async def test_the_killed_writer_starts_again_and_nobody_waits_forever(store: SqlHistory, make: Maker) -> None:
    for delay in (0, 0.001, 0.004, 0.02):
        tasks = [asyncio.create_task(store.record(make.evaluation())) for _ in range(50)]
        await asyncio.sleep(delay)
        assert store.writer.task is not None
        store.writer.task.cancel()
        results = await asyncio.wait_for(asyncio.gather(*tasks, return_exceptions=True), 20)
        there = {one.id for one in await store.page(Filters(), after=None, before=None, most=1000)}
        assert {one.id for one in results if not isinstance(one, BaseException)} <= there
        assert all(isinstance(one, Busy) for one in results if isinstance(one, BaseException))
    assert (await store.record(make.evaluation())).repeated is False
    assert await store.verify() == []


async def test_who_stopped_waiting_is_left_out(store: SqlHistory, make: Maker) -> None:
    gone, stays = make.evaluation(), make.evaluation()
    first, second = asyncio.create_task(store.record(gone)), asyncio.create_task(store.record(stays))
    await asyncio.sleep(0)
    first.cancel()
    await second
    assert await store.get(gone.id) is None
    assert await store.get(stays.id) is not None


async def test_a_bad_entry_does_not_sink_the_others() -> None:
    tried: list[list[int]] = []

    async def apply(entries):
        tried.append(list(entries))
        if 13 in entries:
            raise ValueError("not this one")
        return [number * 2 for number in entries]

    writer: Writer[int] = Writer(apply, queue=100, group=100)
    writer.start()
    results = await asyncio.gather(*map(writer.submit, range(20)), return_exceptions=True)
    await writer.stop()
    assert [one for one in results if not isinstance(one, BaseException)] == [n * 2 for n in range(20) if n != 13]
    assert isinstance(results[13], HistoryError)
    assert "not this one" not in str(results[13])  # a driver's text may hold facts
    assert sorted(map(len, tried)) == [1] * 20 + [20]


async def test_a_store_that_is_away_is_not_asked_again_for_each_entry() -> None:
    tried = 0

    async def apply(entries):
        nonlocal tried
        tried += 1
        raise ConnectionRefusedError

    writer: Writer[int] = Writer(apply, queue=100, group=100)
    writer.start()
    results = await asyncio.gather(*map(writer.submit, range(20)), return_exceptions=True)
    await writer.stop()
    assert [type(one) for one in results] == [Busy] * 20
    assert tried == 1


async def test_what_gives_a_key_free_is_let_in_though_the_queue_is_full(url: str, make: Maker) -> None:
    history = make.store(url, queue=1, group=1)
    await history.start()
    key = make.key("k")
    await history.begin(key, make.clock())
    waiting = [asyncio.create_task(history.record(make.evaluation())) for _ in range(10)]
    await asyncio.sleep(0)
    await history.abandon(key)
    results = await asyncio.gather(*waiting, return_exceptions=True)
    assert any(isinstance(one, Busy) for one in results)
    assert await history.begin(key, make.clock()) is None
    await history.stop()
