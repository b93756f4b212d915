"""A work's facts are gone everywhere, down to the file; what stays adds up and verifies."""

import asyncio
import json
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import text

from hangworthy.history.canonical import digest
from hangworthy.history.port import Filters
from hangworthy.history.sql import SqlHistory
from hangworthy.history.sql.bodies import without
from history.making import Maker

pytestmark = pytest.mark.anyio

OTHER = b'{"ref": "other",  "mass_kg": 1.50e0, "title":"\\u00e9"}'
GONE = b'{"title": "A secret", "ref": "gone"}'


def test_what_stays_is_kept_to_the_byte() -> None:
    request = b'{ "stage": "offer", "works": [ ' + GONE + b", " + OTHER + b" ] }"
    left, answer, digests = without(request, b'{"works":[{"ref":"other"},{"ref":"gone"}],"outcome":"ready"}', ["gone"])
    assert left == b'{"stage":"offer","works":[' + OTHER + b"]}"
    assert answer == b'{"works":[{"ref":"other"}],"outcome":"ready"}'
    assert digests == (digest(GONE).hex(),)


def test_an_answer_no_longer_tells_anything_of_the_erased_work_it_was_compared_with() -> None:
    waiting = {"rule": "set.clash", "others": ["a", "tide-7"], "artist": "Wait.", "coordinator": "Waits for facts of a, tide-7."}
    other = {"rule": "set.other", "others": ["b"], "coordinator": "Price: waits for facts of b; a rule."}
    clash = {
        "rule": "set.same",
        "state": "unmet",
        "compared": True,
        "artist": "It costs less than „tide-7“ at 7,654 EUR.",
        "coordinator": "100 EUR beside 7,654 EUR for tide-7.",
        "remedy": "Ask 7,654 EUR.",
        "measured": 0.013,
        "at_least": 1.0,
        "facts": {"/price": "100"},
    }
    own = {"rule": "canvas.taut", "artist": "The slack is 7 mm.", "coordinator": "tide-7: 7 mm."}
    compared = {"rule": "set.far", "compared": True, "artist": "All prices are alike.", "measured": 1.0}
    findings = [waiting, other, clash, own, compared]
    answer = json.dumps({"works": [{"ref": "b", "findings": findings}, {"ref": "tide-7", "findings": []}]}).encode()
    _, left, _ = without(b'{"works":[]}', answer, ["tide-7"])
    assert json.loads(left)["works"][0]["findings"] == [
        {**waiting, "others": ["a"], "artist": "(erased)", "coordinator": "(erased)"},
        other,
        {
            "rule": "set.same", "state": "unmet", "compared": True, "artist": "(erased)", "coordinator": "(erased)",
            "remedy": "(erased)", "facts": {"/price": "100"},
        },
        own,
        compared,
    ]  # fmt: skip


@pytest.mark.parametrize("body", [b"", b"no JSON: gone", b"[1]", b'{"works":{"ref":"gone"}}', b"\xff\xfe"])
def test_a_body_that_is_none_of_ours_goes_as_a_whole(body: bytes) -> None:
    left, _, digests = without(body, b'{"works":[]}', ["gone"])
    assert left == b"null"
    assert digests == (digest(body).hex(),)


async def test_a_work_is_erased_everywhere_and_the_rest_stays(store: SqlHistory, make: Maker) -> None:
    alone = make.evaluation(make.work("gone", artist_ref="artist-1", unmet=("canvas.taut",)))
    both = make.evaluation(
        make.work("gone", artist_ref="artist-1", unmet=("canvas.taut",)),
        make.work("stays", 1, artist_ref="artist-2", unmet=("paper.hinged",)),
    )
    untouched = make.evaluation(make.work("stays", artist_ref="artist-2"))
    await asyncio.gather(*map(store.record, (alone, both, untouched)))
    erased = await store.erase("gone", None, make.clock(), "key-1")
    assert erased.evaluations == 2
    assert len(erased.digests) == 2
    for one in (alone, both):
        stored = await store.get(one.id)
        assert stored is not None
        assert b"gone" not in stored.request + stored.answer
        assert len(stored.erased) == 1
        assert stored.erased[0] in erased.digests
    assert stored is not None
    assert b"Painter of stays" in stored.request
    kept = await store.get(untouched.id)
    assert kept is not None
    assert (kept.request, kept.answer, kept.erased) == (untouched.request, untouched.answer, ())
    assert list(await store.moments("gone", None, after=None, most=9)) == []
    assert list(await store.page(Filters(artist_ref="artist-1"), after=None, before=None, most=9)) == []
    assert len(await store.page(Filters(artist_ref="artist-2"), after=None, before=None, most=9)) == 2
    everything = await store.page(Filters(), after=None, before=None, most=9)
    assert [one.works for one in everything] == [("stays",), ("stays",), ()]
    assert len(await store.page(Filters(unmet="canvas.taut"), after=None, before=None, most=9)) == 2  # counts still add up
    assert await store.verify() == []
    assert (await store.erase("gone", None, make.clock(), "key-1")).evaluations == 0


async def test_only_the_callers_venues_are_erased(store: SqlHistory, make: Maker) -> None:
    mine, theirs = make.evaluation(venue="clinic"), make.evaluation(venue="library")
    await asyncio.gather(store.record(mine), store.record(theirs))
    assert (await store.erase("tide-7", (), make.clock(), None)).evaluations == 0
    assert (await store.erase("tide-7", ("clinic", "elsewhere"), make.clock(), None)).evaluations == 1
    assert [one.id for one in await store.moments("tide-7", None, after=None, most=9)] == [theirs.id]
    assert await store.verify() == []


async def test_more_than_one_batch_is_erased_while_others_record(store: SqlHistory, make: Maker) -> None:
    await asyncio.gather(*(store.record(make.evaluation()) for _ in range(250)))
    other = [make.evaluation(make.work("other")) for _ in range(50)]
    erased, *_ = await asyncio.gather(store.erase("tide-7", None, make.clock(), None), *map(store.record, other))
    assert erased.evaluations == 250
    assert len(await store.moments("other", None, after=None, most=99)) == 50
    assert await store.verify() == []


async def test_two_works_are_erased_one_after_the_other(store: SqlHistory, make: Maker) -> None:
    new = make.evaluation(make.work("a"), make.work("b", 1), make.work("c", 2))
    await store.record(new)
    for ref in ("a", "c"):
        await store.erase(ref, None, make.clock(), None)
    stored = await store.get(new.id)
    assert stored is not None
    assert [one["ref"] for one in json.loads(stored.request)["works"]] == ["b"]
    assert len(stored.erased) == 2
    assert await store.verify() == []


async def test_old_evaluations_of_one_venue_lose_their_facts(store: SqlHistory, make: Maker) -> None:
    old = [make.evaluation(make.work(f"old-{n}"), make.work(f"also-{n}", 1), venue="clinic") for n in range(3)]
    elsewhere = make.evaluation(make.work("elsewhere"), venue="library")
    make.clock.move(timedelta(days=400))
    new = make.evaluation(make.work("new"), venue="clinic")
    await asyncio.gather(*map(store.record, [*old, elsewhere, new]))
    limit = make.clock() - timedelta(days=365)
    assert await store.retain("clinic", limit, make.clock()) == 3
    assert await store.retain("clinic", limit, make.clock()) == 0
    for one in old:
        stored = await store.get(one.id)
        assert stored is not None
        assert json.loads(stored.request)["works"] == []
        assert len(stored.erased) == 2
    for one in (elsewhere, new):
        stored = await store.get(one.id)
        assert stored is not None
        assert stored.request == one.request
    assert await store.verify() == []


async def test_nothing_of_it_is_left_in_the_file(sqlite_url: str, tmp_path: Path, make: Maker) -> None:
    """Bodies are compressed, so it is the packed bytes, and the refs beside them, that are looked for."""
    store = make.store(sqlite_url)
    await store.start()
    new = make.evaluation(make.work("a-very-particular-ref", artist_ref="a-very-particular-artist"))
    await store.record(new)
    async with store._database.read() as connection:
        body = (await connection.execute(text("SELECT body FROM evaluations"))).scalar_one()
    wanted = (b"a-very-particular-ref", b"a-very-particular-artist", body[20:])

    def found() -> list[bool]:
        content = b"".join(path.read_bytes() for path in tmp_path.glob("history.sqlite3*") if not path.name.endswith("-shm"))
        return [one in content for one in wanted]

    assert found() == [True, True, True]
    await store.erase("a-very-particular-ref", None, make.clock(), None)
    assert found() == [False, False, False]
    await store.stop()


async def test_what_a_reader_kept_in_the_log_goes_once_it_has_read(sqlite_url: str, tmp_path: Path, make: Maker) -> None:
    store = make.store(sqlite_url)
    await store.start()
    for ref in ("a-very-particular-ref", "b", "c"):
        await store.record(make.evaluation(make.work(ref)))

    def found() -> bool:
        return any(
            b"a-very-particular" in path.read_bytes() for path in tmp_path.glob("history.sqlite3*") if not path.name.endswith("-shm")
        )

    reading = store.export()
    await anext(reading)
    await anext(reading)
    await store.erase("a-very-particular-ref", None, make.clock(), None)
    assert found()  # the reader still sees the database as it was
    await store.record(make.evaluation(make.work("d")))  # and nobody who writes waits for it
    await reading.aclose()
    await store.tidy()
    assert not found()
    await store.stop()


async def test_a_repeated_request_gets_the_answer_without_the_erased_work(store: SqlHistory, make: Maker) -> None:
    key = make.key("k")
    new = make.evaluation(make.work("gone"), idempotency=key)
    await store.record(new)
    await store.erase("gone", None, make.clock(), None)
    kept = await store.begin(key, make.clock())
    assert kept is not None
    assert kept.id == new.id
    assert b"gone" not in kept.answer
