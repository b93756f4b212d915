"""Buckets of tokens: replicas agree, none is charged for another's want, and the books agree with a bucket that is simulated."""

import asyncio
import random
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import text

from hangworthy.history.migrations.forward import migrate
from hangworthy.history.port import ApiKey, Bucket, Busy, ForBrowsers
from hangworthy.history.rates import PERIOD, level, step, taken
from hangworthy.history.sql import SqlHistory
from hangworthy.history.sql.engine import Database
from hangworthy.history.sql.rates import MOST_WAITING
from history.making import START, Maker

VISITOR, KEY = Bucket(name="k:visitor", most=3), Bucket(name="k", most=5)


@given(st.integers(1, 40), st.lists(st.integers(0, 20_000_000), max_size=80))
def test_one_number_says_what_a_bucket_holds(most: int, pauses: list[int]) -> None:
    """Against a bucket that is filled drop by drop, in whole numbers: what is in it, times the microseconds of a token."""
    bucket = Bucket(name="b", most=most)
    each = step(bucket)
    inside, full_at, now = PERIOD, 0, 1_000_000_000
    for pause in pauses:
        now += pause
        inside = min(PERIOD, inside + pause)
        there = inside >= each
        before = level(bucket, full_at, now)
        assert (before.left, before.wait == 0) == (min(most, inside // each), there)
        assert before.full_in == (PERIOD - inside) / 1e6
        then = taken(bucket, full_at, now)
        assert (then is not None) == there
        if then is not None:
            inside, full_at = inside - each, then


@pytest.mark.anyio
async def test_a_bucket_gives_what_is_in_it_and_then_says_how_long_to_wait(store: SqlHistory) -> None:
    levels = [await store.keys.take((VISITOR, KEY), START) for _ in range(4)]
    assert [(one[0].left, one[0].wait, one[1].left, one[1].wait) for one in levels] == [
        (2, 0, 4, 0), (1, 0, 3, 0), (0, 0, 2, 0), (0, 20, 2, 0)
    ]  # fmt: skip
    assert [one.full_in for one in levels[3]] == [60, 36]
    # 20 s later a third of the visitor's tokens is there again; the refused request has cost the key nothing
    after = await store.keys.take((VISITOR, KEY), START + timedelta(seconds=20))
    assert [(one.left, one.wait) for one in after] == [(0, 0), (2, 0)]


@pytest.mark.anyio
async def test_an_empty_key_costs_the_visitor_nothing(store: SqlHistory) -> None:
    for number in range(5):
        await store.keys.take((Bucket(name=f"k:{number}", most=3), KEY), START)
    for _ in range(10):
        levels = await store.keys.take((VISITOR, KEY), START)
        assert [(one.left, one.wait) for one in levels] == [(3, 0), (0, 12)]
    async with store._database.read() as connection:
        assert (await connection.execute(text("SELECT count(*) FROM rates WHERE bucket = 'k:visitor'"))).scalar_one() == 0


@pytest.mark.anyio
async def test_replicas_that_ask_at_once_get_no_more_than_there_is(url: str, make: Maker) -> None:
    stores = [make.store(url) for _ in range(3)]
    for store in stores:
        await store.start()
    key = Bucket(name="k", most=40)
    visitors = [Bucket(name=f"k:{number}", most=15) for number in range(6)]
    asked = [(store, one) for store in stores for one in visitors * 8]
    random.Random(7).shuffle(asked)
    answers = await asyncio.gather(*(store.keys.take((one, key), START) for store, one in asked))
    given = [one for (_, one), levels in zip(asked, answers, strict=True) if not any(level.wait for level in levels)]
    assert len(given) == 40
    assert max(given.count(one) for one in visitors) <= 15
    for store in stores:
        await store.stop()


@pytest.mark.anyio
async def test_a_crowd_waits_for_its_turn_and_one_that_is_too_large_is_sent_away(store: SqlHistory) -> None:
    wide = Bucket(name="k", most=1_000)
    answers = await asyncio.gather(*(store.keys.take((wide,), START) for _ in range(MOST_WAITING + 9)), return_exceptions=True)
    assert [type(one) for one in answers if isinstance(one, Exception)] == [Busy] * 9
    assert (await store.keys.take((wide,), START))[0].left == 1_000 - MOST_WAITING - 1


@pytest.mark.anyio
async def test_full_buckets_are_forgotten(store: SqlHistory) -> None:
    await store.keys.take((VISITOR, KEY), START)
    await store.keys.take((Bucket(name="other", most=1),), START + timedelta(minutes=2))
    async with store._database.read() as connection:
        assert (await connection.execute(text("SELECT bucket FROM rates"))).scalars().all() == ["other"]


@pytest.mark.anyio
async def test_a_key_for_browsers_is_kept_whole_and_listed(store: SqlHistory, make: Maker) -> None:
    plain = ApiKey(id="plain", name="tool", scopes=("read",), venues=None, made_at=make.clock())
    browser = ForBrowsers(origins=("https://form.example", "https://other.example"), per_minute=9, per_address=2)
    public = ApiKey(id="public", name="form", scopes=("evaluate",), venues=("clinic",), made_at=make.clock(), browser=browser)
    for one in (plain, public):
        await store.keys.add(one, bytes(32))
    assert await store.keys.for_browsers() == [public]
    assert await store.keys.find("plain") == (plain, bytes(32))


@pytest.mark.anyio
@pytest.mark.parametrize("before", ["0001", "0002"])
async def test_earlier_schemas_come_forward_and_their_keys_stay_as_they_were(url: str, make: Maker, before: str) -> None:
    database = Database(url)
    await migrate(database, before)
    if before == "0002":
        moment = "now()" if url.startswith("postgres") else "1775000000000000"
        secret = "'\\x00'" if url.startswith("postgres") else "x'00'"
        async with database.write() as connection:
            insert = "INSERT INTO api_keys (id, name, scopes, venues, made_at, secret_hash) VALUES ('old', 'tool', '[\"read\"]', NULL,"
            await connection.execute(text(f"{insert} {moment}, {secret})"))
    await database.close()
    store = make.store(url)
    await store.start()
    assert [(one.id, one.browser) for one in await store.keys.every()] == ([("old", None)] if before == "0002" else [])
    assert await store.keys.for_browsers() == []
    assert (await store.keys.take((VISITOR,), START))[0].left == 2
    await store.stop()
