"""Everything goes out as lines and comes into the other kind of database, where it verifies."""

import asyncio
import json
from collections.abc import AsyncIterator, Iterable

import pytest

from hangworthy.history.port import Filters, HistoryError
from hangworthy.history.sql import SqlHistory
from history.making import Maker

pytestmark = pytest.mark.anyio


async def lines(content: Iterable[bytes]) -> AsyncIterator[bytes]:
    for line in content:
        yield line


async def filled(store: SqlHistory, make: Maker) -> list[str]:
    made = [make.evaluation(make.work(f"work-{n % 40}"), make.work("always", 1), packs={"canvas": f"1.{n % 3}.0"}) for n in range(450)]
    made.append(make.evaluation(request=b"\xff\x00 no text", answer=b"\xfe"))
    await asyncio.gather(*map(store.record, made))
    await store.erase("work-3", None, make.clock(), "key-1")
    await store.erase("always", ("nowhere",), make.clock(), "key-1")
    await store.venues.put("clinic", b'{"name":"clinic"}', "d1", based_on=0, at=make.clock(), by=None)
    await store.venues.put("clinic", b'{"name":"clinic","walls":[]}', "d2", based_on=1, at=make.clock(), by="key-1")
    return [one.id for one in made]


async def test_it_comes_into_the_other_database_and_verifies(store: SqlHistory, other_url: str, make: Maker) -> None:
    ids = await filled(store, make)
    out = [line async for line in store.export()]
    assert all(b"\n" not in line and isinstance(json.loads(line), dict) for line in out)
    other = make.store(other_url, sample=b"Painter of, Title of")
    await other.start()
    assert await other.load(lines(out)) == len(ids) + 2
    assert await other.load(lines(out)) == 0
    assert await other.verify() == []
    for id in ids[::25]:
        assert await other.get(id) == await store.get(id)
    assert await other.venues.versions("clinic") == await store.venues.versions("clinic")
    for filters in (Filters(ref="work-5"), Filters(pack_version="1.2.0"), Filters(unmet="canvas.lies-flat")):
        assert await other.page(filters, after=None, before=None, most=999) == await store.page(filters, after=None, before=None, most=999)
    again = [line async for line in other.export()]
    assert again[1:] == out[1:]  # but for the first line, which says which export it is
    await other.stop()


async def test_what_was_erased_here_does_not_come_back(store: SqlHistory, make: Maker) -> None:
    new = make.evaluation()
    await store.record(new)
    out = [line async for line in store.export()]
    await store.erase("tide-7", None, make.clock(), None)
    assert await store.load(lines(out)) == 0
    stored = await store.get(new.id)
    assert stored is not None
    assert b"tide-7" not in stored.request


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (lambda line: line.replace(b"Painter of work-7", b"Painter of work-8"), "its digest differs"),
        (lambda line: line.replace(b'"venue":"lantern-house"', b'"venue":"elsewhere"'), "its digest differs"),
        (lambda line: line[:-2], "is no line of an export"),
        (lambda line: b'{"line":"history","format":99,"id":"x","at":"2026-01-01T00:00:00Z"}', "reads format 1"),
        (lambda line: b'{"line":"key"}', "is no line of an export"),
    ],
)
async def test_an_altered_line_is_refused_and_named(store: SqlHistory, make: Maker, sqlite_url: str, change, sentence: str) -> None:
    await store.record(make.evaluation(make.work("work-7")))
    out = [line async for line in store.export()]
    out[-1] = change(out[-1])
    other = make.store(sqlite_url + "-other")
    await other.start()
    with pytest.raises(HistoryError, match=sentence):
        await other.load(lines(out))
    assert list(await other.page(Filters(), after=None, before=None, most=9)) == []
    await other.stop()
