"""Lists: every filter against the same question asked of plain Python, pages without gap or repeat, and the index behind each."""

import asyncio
import random
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import Select, text

from hangworthy.history.port import Filters, NewEvaluation
from hangworthy.history.sql import SqlHistory
from hangworthy.history.sql.reading import ids_query, moments_query
from history.making import START, Maker

pytestmark = pytest.mark.anyio

VENUES, STAGES, OUTCOMES = ("lantern-house", "clinic", "library"), ("offer", "arrival", "hanging"), ("ready", "prepare", "repair", "refuse")
RULES, ARTISTS = ("canvas.lies-flat", "canvas.taut", "paper.hinged"), ("artist-1", "artist-2", "artist-3")
PACKS = ({"canvas": "1.0.0"}, {"canvas": "1.1.0", "paper": "2.0.0"}, {"paper": "2.1.0"})


def many(make: Maker, count: int, seed: int = 7) -> list[NewEvaluation]:
    chance = random.Random(seed)
    made = []
    for number in range(count):
        works = [
            make.work(
                f"work-{(number + place) % 12}",
                place,
                artist_ref=chance.choice((*ARTISTS, None)),
                unmet=tuple(chance.sample(RULES, chance.randrange(3))),
            )
            for place in range(chance.randrange(1, 4))
        ]
        details = {"venue": chance.choice(VENUES), "stage": chance.choice(STAGES), "outcome": chance.choice(OUTCOMES)}
        made.append(make.evaluation(*works, packs=chance.choice(PACKS), **details))
    return made


async def record_all(store: SqlHistory, made: list[NewEvaluation]) -> None:
    await asyncio.gather(*map(store.record, made))


def fits(one: NewEvaluation, filters: Filters) -> bool:
    """The same question, asked plainly."""
    packs = [filters.pack in (None, name) and filters.pack_version in (None, version) for name, version in one.packs.items()]
    return all((
        filters.venues is None or one.venue in filters.venues,
        filters.venue in (None, one.venue),
        filters.artist_ref is None or any(work.artist_ref == filters.artist_ref for work in one.works),
        filters.ref is None or any(work.ref == filters.ref for work in one.works),
        filters.outcome in (None, one.outcome),
        filters.stage in (None, one.stage),
        filters.unmet is None or any(filters.unmet in work.unmet for work in one.works),
        any(packs),
        filters.since is None or one.at >= filters.since,
        filters.until is None or one.at < filters.until,
    ))  # fmt: skip


SINGLE: dict[str, dict[str, Any]] = {
    "nothing": {},
    "venue": {"venue": "clinic"},
    "venues": {"venues": ("clinic", "library")},
    "artist_ref": {"artist_ref": "artist-2"},
    "ref": {"ref": "work-5"},
    "outcome": {"outcome": "refuse"},
    "stage": {"stage": "hanging"},
    "unmet": {"unmet": "canvas.taut"},
    "pack": {"pack": "canvas"},
    "pack_version": {"pack_version": "2.1.0"},
    "since": {"since": START + timedelta(milliseconds=200)},
    "until": {"until": START + timedelta(milliseconds=200)},
}
TOGETHER: dict[str, dict[str, Any]] = {
    "pack and version": {"pack": "canvas", "pack_version": "1.1.0"},
    "pack in a version of another": {"pack": "canvas", "pack_version": "2.0.0"},
    "venue and outcome": {"venue": "clinic", "outcome": "refuse"},
    "venue and stage": {"venues": ("clinic",), "stage": "offer"},
    "venue not among the caller's": {"venue": "clinic", "venues": ("library",)},
    "no venue at all": {"venues": ()},
    "artist and rule": {"artist_ref": "artist-1", "unmet": "paper.hinged", "venues": ("clinic", "library")},
    "work, artist and rule": {"ref": "work-3", "artist_ref": "artist-1", "unmet": "canvas.taut"},
    "all": {
        "venues": VENUES, "venue": "library", "artist_ref": "artist-3", "ref": "work-1", "outcome": "repair", "stage": "arrival",
        "unmet": "canvas.lies-flat", "pack": "paper", "pack_version": "2.0.0", "since": START, "until": START + timedelta(days=1),
    },
    "a time between": {"since": START + timedelta(milliseconds=100), "until": START + timedelta(milliseconds=300), "pack": "paper"},
    "nobody": {"artist_ref": "nobody"},
    "no such pack": {"pack": "stone"},
}  # fmt: skip


def test_every_filter_there_is_has_a_case() -> None:
    assert set(Filters.__struct_fields__) <= set(SINGLE)


async def test_every_filter_gives_what_it_should_in_pages_of_any_size(store: SqlHistory, make: Maker) -> None:
    made = many(make, 250)
    await record_all(store, made)
    for case in (SINGLE | TOGETHER).values():
        filters = Filters(**case)
        expected = sorted((one.id for one in made if fits(one, filters)), reverse=True)
        for most in (7, 1000):
            assert await walk(store, filters, most, forward=False) == expected, case
        assert await walk(store, filters, 7, forward=True) == expected, case


async def walk(store: SqlHistory, filters: Filters, most: int, *, forward: bool, between: Callable[[], Any] | None = None) -> list[str]:
    """Walk from the newest to the oldest page, or from the oldest row back up to the newest; return the ids, newest first."""
    ids: list[str] = []
    cursor = None
    if forward:
        rows = [one.id for one in await store.page(filters, after=None, before=None, most=100_000)]
        if not rows:
            return []
        ids, cursor = [rows[-1]], rows[-1]
    while True:
        rows = [
            one.id for one in await store.page(filters, after=None if forward else cursor, before=cursor if forward else None, most=most)
        ]
        if not rows:
            return ids
        ids = rows + ids if forward else ids + rows
        cursor = rows[0] if forward else rows[-1]
        if between is not None:
            await between()


async def test_pages_have_no_gap_and_no_repeat_while_others_record(store: SqlHistory, make: Maker) -> None:
    made = many(make, 150)
    await record_all(store, made)
    later: list[NewEvaluation] = []

    async def between() -> None:
        new = many(make, 3, seed=len(later))
        later.extend(new)
        await record_all(store, new)

    seen = await walk(store, Filters(), 10, forward=False, between=between)
    assert seen == sorted((one.id for one in made), reverse=True)
    assert len(later) > 30


async def test_moments_tell_the_life_of_a_work(store: SqlHistory, make: Maker) -> None:
    made = many(make, 120)
    await record_all(store, made)
    for venues in (None, ("clinic",), ("clinic", "library"), ()):
        expected = [
            (one.id, one.at, one.venue, one.stage, work.unmet)
            for one in sorted(made, key=lambda one: one.id, reverse=True)
            for work in one.works
            if work.ref == "work-5" and (venues is None or one.venue in venues)
        ]
        found: list[Any] = []
        while rows := await store.moments("work-5", venues, after=found[-1].id if found else None, most=4):
            found += rows
        assert [(one.id, one.at, one.venue, one.stage, one.unmet) for one in found] == expected


async def test_all_can_be_read_in_a_row(store: SqlHistory, make: Maker) -> None:
    made = many(make, 450)
    await record_all(store, made)
    await store.erase("work-5", None, make.clock(), None)
    found = [one async for one in store.stored()]
    assert [one.id for one in found] == [one.id for one in made]
    assert found == [await store.get(one.id) for one in made]


async def _plan(store: SqlHistory, query: Select[Any]) -> str:
    """How the database would go about a query."""
    database = store._database
    async with database.read() as connection:
        if database.kind == "postgresql":
            # a table as small as a test's would be read whole, whatever the indexes; a sort is dear, so that one only shows where needed
            for setting in ("enable_seqscan", "enable_bitmapscan", "enable_sort", "enable_hashjoin"):
                await connection.execute(text(f"SET LOCAL {setting} = off"))
        sql = query.compile(dialect=connection.dialect, compile_kwargs={"literal_binds": True})
        words = "EXPLAIN" if database.kind == "postgresql" else "EXPLAIN QUERY PLAN"
        rows = await connection.execute(text(f"{words} {str(sql).replace(':', chr(92) + ':')}"))
        return "\n".join(str(row[-1]) for row in rows)


INDEX = {
    "nothing": "ix_evaluations_time",
    "venue": "ix_evaluations_venue",
    "venues": "ix_evaluations_venue",
    "artist_ref": "terms",
    "ref": "ix_works_ref",
    "outcome": "ix_evaluations_outcome",
    "stage": "ix_evaluations_stage",
    "unmet": "terms",
    "pack": "ix_evaluations_pack_set",
    "pack_version": "ix_evaluations_pack_set",
    "since": "ix_evaluations_time",
    "until": "ix_evaluations_time",
    "venue and outcome": "ix_evaluations_venue_outcome",
    "venue and stage": "ix_evaluations_venue_stage",
}


def test_every_filter_there_is_has_an_index() -> None:
    assert set(Filters.__struct_fields__) <= set(INDEX)


# A planner that knows how often a value occurs reads past the index of one that is in every third row: here each is rare.
CROWD = """
INSERT INTO pack_sets (content) SELECT '{"crowd":"' || n || '"}' FROM generate_series(1, 200) n;
INSERT INTO evaluations SELECT 'crowd-' || n, e.at + n * interval '1 second', 'venue-' || n % 200, 1, 'stage-' || n % 199,
    'outcome-' || n % 197, 'refuse', false, (SELECT min(id) FROM pack_sets) + n % 200, NULL, e.body
    FROM (SELECT at, body FROM evaluations LIMIT 1) e, generate_series(1, 6000) n;
INSERT INTO works SELECT id, 0, at, venue, 'ref-' || id, NULL, outcome, at_worst, settled, '[]' FROM evaluations WHERE id LIKE 'crowd-%';
INSERT INTO terms SELECT k, 'value-' || length(venue || stage) || stage, at, id, venue
    FROM evaluations, (VALUES ('artist'), ('unmet')) t(k) WHERE id LIKE 'crowd-%';
"""


async def crowd(store: SqlHistory) -> None:
    async with store._database.write() as connection:
        for statement in CROWD.strip().rstrip(";").split(";\n"):
            await connection.execute(text(statement))
        await connection.execute(text("ANALYZE"))


@pytest.mark.parametrize("newer", [False, True])
@pytest.mark.parametrize("cursor", [None, (START + timedelta(minutes=50), "0198f000-0000-7000-8000-000000000000")])
async def test_an_index_finds_and_orders_every_list(store: SqlHistory, make: Maker, newer: bool, cursor: Any) -> None:
    await record_all(store, many(make, 300))
    if store._database.kind == "postgresql":
        await crowd(store)
    for name, index in INDEX.items():
        sets = [1] if name.startswith("pack") else None
        query = ids_query(Filters(**(SINGLE | TOGETHER)[name]), sets, cursor, 20, newer=newer)
        assert query is not None
        plan = await _plan(store, query)
        assert index in plan, (name, plan)
        assert "Seq Scan" not in plan, (name, plan)
        if name != "venues":  # where the first rows of several venues are merged
            assert "TEMP B-TREE" not in plan, (name, plan)
            assert "Sort" not in plan, (name, plan)
            assert "SCAN" not in plan or f"USING COVERING INDEX {index}" in plan, (name, plan)
    plan = await _plan(store, moments_query("work-5", ("clinic", "library"), cursor, 20))
    assert "ix_works_ref" in plan
    assert "TEMP B-TREE" not in plan
    assert "Sort" not in plan
    assert "Seq Scan" not in plan
