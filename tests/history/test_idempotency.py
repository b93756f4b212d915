"""A key and a body give one record, over two stores on one database, at the same moment, and after a crash."""

import asyncio
from datetime import timedelta
from types import SimpleNamespace
from typing import Any, cast

import pytest

from hangworthy.api.access import Caller
from hangworthy.api.core import Service
from hangworthy.api.recording import record
from hangworthy.history.port import Filters, Kept, OtherBody, StillRunning
from hangworthy.history.sql import SqlHistory
from history.making import Maker

pytestmark = pytest.mark.anyio


async def test_a_key_goes_from_claimed_to_answered(store: SqlHistory, make: Maker) -> None:
    key, other = make.key("k"), make.key("k", b"another body")
    assert await store.begin(key, make.clock()) is None
    with pytest.raises(StillRunning):
        await store.begin(key, make.clock())
    with pytest.raises(OtherBody):
        await store.begin(other, make.clock())
    new = make.evaluation(idempotency=key)
    assert await store.record(new) == Kept(id=new.id, answer=new.answer)
    assert await store.begin(key, make.clock()) == Kept(id=new.id, answer=new.answer, repeated=True)
    with pytest.raises(OtherBody):
        await store.begin(other, make.clock())
    assert await store.begin(make.key("k", owner="key-2"), make.clock()) is None  # another owner's key is another key
    assert await store.record(make.evaluation(idempotency=key)) == Kept(id=new.id, answer=new.answer, repeated=True)
    with pytest.raises(OtherBody):
        await store.record(make.evaluation(idempotency=other))
    assert len(await store.page(Filters(), after=None, before=None, most=9)) == 1


async def test_an_abandoned_key_is_free_again_and_an_answered_one_is_not(store: SqlHistory, make: Maker) -> None:
    key = make.key("k")
    await store.begin(key, make.clock())
    await store.abandon(make.key("k", b"another body"))
    with pytest.raises(StillRunning):
        await store.begin(key, make.clock())
    await store.abandon(key)
    assert await store.begin(make.key("k", b"another body"), make.clock()) is None
    await store.abandon(make.key("k", b"another body"))
    await store.begin(key, make.clock())
    new = make.evaluation(idempotency=key)
    await store.record(new)
    await store.abandon(key)
    kept = await store.begin(key, make.clock())
    assert kept is not None
    assert kept.id == new.id


async def test_a_crash_frees_its_claim_when_the_lease_is_over(url: str, make: Maker) -> None:
    key = make.key("k")
    first = make.store(url, lease=timedelta(seconds=30))
    await first.start()
    await first.begin(key, make.clock())
    await first.stop()  # it never answered
    second = make.store(url, lease=timedelta(seconds=30))
    await second.start()
    make.clock.move(timedelta(seconds=20))
    with pytest.raises(StillRunning):
        await second.begin(key, make.clock())
    make.clock.move(timedelta(seconds=11))
    assert await second.begin(key, make.clock()) is None
    mine = make.evaluation(idempotency=key)
    assert await second.record(mine) == Kept(id=mine.id, answer=mine.answer)
    await first.start()  # it was only slow: what it brings now is too late
    late = await first.record(make.evaluation(idempotency=key))
    assert late == Kept(id=mine.id, answer=mine.answer, repeated=True)
    assert len(await second.page(Filters(), after=None, before=None, most=9)) == 1
    await first.stop()
    await second.stop()


async def test_an_answer_is_forgotten_after_its_time(url: str, make: Maker) -> None:
    store = make.store(url, kept_for=timedelta(hours=2))
    await store.start()
    key = make.key("k")
    await store.begin(key, make.clock())
    await store.record(make.evaluation(idempotency=key))
    make.clock.move(timedelta(hours=1, minutes=59))
    assert await store.begin(key, make.clock()) is not None
    make.clock.move(timedelta(minutes=2))
    assert await store.begin(make.key("k", b"another body"), make.clock()) is None
    await store.stop()


async def test_the_same_key_at_the_same_moment_on_two_stores_gives_one_record(url: str, make: Maker) -> None:
    """100 keys, each sent four times to each of two stores, with and without a claim before."""
    stores = [make.store(url), make.store(url)]
    for store in stores:
        await store.start()

    async def ask(store: SqlHistory, number: int, claims: bool) -> str | None:
        key = make.key(f"key-{number}")
        if claims:
            try:
                if (kept := await store.begin(key, make.clock())) is not None:
                    return kept.id
            except StillRunning:
                return None
        return (await store.record(make.evaluation(make.work(f"work-{number}"), idempotency=key))).id

    for claims in (True, False):
        numbers = range(50) if claims else range(50, 100)
        asked = [(number, ask(store, number, claims)) for number in numbers for _ in range(4) for store in stores]
        answers = await asyncio.gather(*(one for _, one in asked))
        for number in numbers:
            ids = {answer for (asked_for, _), answer in zip(asked, answers, strict=True) if asked_for == number and answer is not None}
            assert len(ids) == 1
            assert [one.id for one in await stores[0].moments(f"work-{number}", None, after=None, most=9)] == list(ids)
    assert len(await stores[1].page(Filters(), after=None, before=None, most=999)) == 100
    assert await stores[1].verify() == []
    for store in stores:
        await store.stop()


async def test_a_request_cancelled_while_its_key_is_claimed_leaves_it_free(store: SqlHistory, make: Maker) -> None:
    """Cancelled at every step of the way: whenever that is, the same request can be sent again at once."""
    begun = store.writer.submit
    for steps in range(12):
        key, reached = make.key(f"k{steps}"), asyncio.Event()

        async def submit(entry: Any, *, frees: bool = False, reached: asyncio.Event = reached) -> Any:
            reached.set()
            return await begun(entry, frees=frees)

        store.writer.submit = submit  # type: ignore[method-assign]
        service = cast("Service", SimpleNamespace(history=store, now=make.clock))  # what comes after the claim fails for want of the rest
        task = asyncio.create_task(record(service, b"{}", cast("Caller", SimpleNamespace(venues=None)), key))
        await reached.wait()
        for _ in range(steps):
            await asyncio.sleep(0.0005)
        task.cancel()
        await asyncio.gather(task, return_exceptions=True)
        store.writer.submit = begun  # type: ignore[method-assign]
        assert await store.begin(key, make.clock()) is None
