"""What was recorded comes back to the byte, with its times in UTC."""

import asyncio
from datetime import UTC, datetime, timedelta, timezone

import pytest

from hangworthy.history.port import Filters, HistoryError
from hangworthy.history.sql import SqlHistory
from history.making import START, Maker

pytestmark = pytest.mark.anyio

BODIES = {
    "odd spacing": b'{ "works" :\r\n[ {"ref":\t"a", "mass_kg": 1.50e0} ] }\n',
    "bidi and controls": '{"works":[{"ref":"a","title":"\u202eevil\u200b \\u0000 \\"; DROP TABLE works; --<script>"}]}'.encode(),
    "empty": b"",
    "no text": bytes(range(256)) * 300,
    "large": b'{"works":[' + b",".join(b'{"ref":"%06d"}' % n for n in range(60_000)) + b"]}",
}


@pytest.mark.parametrize("name", BODIES)
async def test_bodies_come_back_to_the_byte(store: SqlHistory, make: Maker, name: str) -> None:
    new = make.evaluation(request=BODIES[name], answer=BODIES[name][::-1], made_by="key-1", venue_version=7, stage="arrival")
    kept = await store.record(new)
    assert (kept.id, kept.answer, kept.repeated) == (new.id, new.answer, False)
    stored = await store.get(new.id)
    assert stored is not None
    for field in ("id", "at", "venue", "venue_version", "stage", "request", "answer", "made_by"):
        assert getattr(stored, field) == getattr(new, field)
    assert stored.erased == ()
    assert await store.verify() == []


async def test_they_come_back_after_a_restart_and_with_another_dictionary(url: str, make: Maker) -> None:
    samples = [b"", b'{"stage": "offer", "works": [{"ref": ' * 40, b'"Painter of somebody", "title": "Title of something"' * 40]
    made = []
    for sample in samples:
        history = make.store(url, sample=sample)
        await history.start()
        made.append(make.evaluation())
        await history.record(made[-1])
        await history.stop()
    history = make.store(url)
    await history.start()
    for new in made:
        stored = await history.get(new.id)
        assert stored is not None
        assert (stored.request, stored.answer) == (new.request, new.answer)
    assert await history.verify() == []
    await history.stop()


async def test_a_replica_reads_what_another_packed_with_a_dictionary_that_came_later(url: str, make: Maker) -> None:
    first, second = make.store(url), make.store(url, sample=b'"Painter of", "Title of"' * 40)
    await first.start()
    await second.start()
    new = make.evaluation()
    await second.record(new)
    stored = await first.get(new.id)
    assert stored is not None
    assert stored.request == new.request
    await first.stop()
    await second.stop()


async def test_an_unknown_id_is_none_and_leads_to_an_empty_page(store: SqlHistory) -> None:
    for id in ("", "no-such", "0198f000-0000-7000-8000-000000000000", "' OR 1=1 --"):
        assert await store.get(id) is None
        assert list(await store.page(Filters(), after=id, before=None, most=5)) == []
        assert list(await store.moments("tide-7", None, after=id, most=5)) == []


@pytest.mark.parametrize("zone", [UTC, timezone(timedelta(hours=-9, minutes=-30)), timezone(timedelta(hours=14))])
async def test_times_are_utc_to_the_microsecond(store: SqlHistory, make: Maker, zone: timezone) -> None:
    new = make.evaluation(at=START.astimezone(zone))
    await store.record(new)
    stored = await store.get(new.id)
    assert stored is not None
    assert stored.at == START
    assert stored.at.tzinfo is UTC
    assert (await store.page(Filters(since=START.astimezone(zone)), after=None, before=None, most=5))[0].at.tzinfo is UTC
    assert list(await store.page(Filters(since=START + timedelta(microseconds=1)), after=None, before=None, most=5)) == []
    assert list(await store.page(Filters(until=START), after=None, before=None, most=5)) == []


async def test_a_time_without_a_zone_is_refused_and_nothing_is_kept(store: SqlHistory, make: Maker) -> None:
    with pytest.raises(HistoryError):
        await store.record(make.evaluation(at=datetime(2026, 3, 31)))
    assert list(await store.page(Filters(), after=None, before=None, most=5)) == []


@pytest.mark.parametrize(
    "text", ["'; DROP TABLE works; --", "<b>&amp;</b>", "\u202ea\u200b\ufeff", "%s {} \\", "ß" * 80, "a\x00b", "\x1b[31m\n"]
)
async def test_difficult_texts_come_back_as_they_were_or_are_refused(store: SqlHistory, make: Maker, text: str) -> None:
    new = make.evaluation(make.work(text, artist_ref=text, unmet=(text,)), venue=text, stage=text, outcome=text, packs={text: text})
    try:
        await store.record(new)
    except HistoryError:
        assert "\x00" in text  # PostgreSQL keeps no such sign in a text
        assert await store.get(new.id) is None
        return
    for one in (
        Filters(venue=text),
        Filters(ref=text),
        Filters(artist_ref=text),
        Filters(unmet=text),
        Filters(pack=text, pack_version=text),
    ):
        found = await store.page(one, after=None, before=None, most=5)
        assert [(row.id, row.works, row.venue, row.packs) for row in found] == [(new.id, (text,), text, {text: text})]
    assert [one.id for one in await store.moments(text, (text,), after=None, most=5)] == [new.id]
    assert await store.verify() == []


async def test_the_same_id_twice_is_refused_and_the_first_one_stays(store: SqlHistory, make: Maker) -> None:
    new = make.evaluation()
    other = make.evaluation(id=new.id, answer=b"another")
    results = await asyncio.gather(store.record(new), store.record(other), store.record(make.evaluation()), return_exceptions=True)
    assert [type(one).__name__ for one in results] == ["Kept", "HistoryError", "Kept"]
    stored = await store.get(new.id)
    assert stored is not None
    assert stored.answer == new.answer
    assert await store.verify() == []


async def test_health_tells_kind_schema_and_queue(store: SqlHistory, url: str) -> None:
    health = await store.health()
    assert health.kind == url.partition(":")[0]
    assert health.schema == "0004"
    assert health.writable
    assert (health.waiting, health.capacity) == (0, 1024)
