"""Lists: pages of evaluations and the life of a work, newest first, by keyset on (time, id).

Where a list is narrowed to venues, each venue is asked for its own first rows and the results are merged: an index then serves every
list, and none has to be sorted.
"""

from collections.abc import AsyncIterator, Sequence
from datetime import datetime
from itertools import product
from typing import Any

from sqlalchemy import ColumnElement, Select, and_, bindparam, literal, select, true, tuple_, union_all
from sqlalchemy.ext.asyncio import AsyncConnection

from hangworthy.history.port import Filters, Stored, Summary, WorkMoment
from hangworthy.history.sql.codecs import Codecs
from hangworthy.history.sql.rows import BATCH, pack_sets, texts
from hangworthy.history.sql.tables import EVALUATIONS, TERMS, TOMBSTONES, WORKS, Utc

_MOST_BRANCHES = 40
Position = tuple[datetime, str]
_SHOWN = [column for column in EVALUATIONS.c if column.name not in ("body", "made_by")]
_ROWS = select(*_SHOWN).where(EVALUATIONS.c.id.in_(bindparam("ids", expanding=True)))
_REFS = (
    select(WORKS.c.evaluation_id, WORKS.c.ref)
    .where(WORKS.c.evaluation_id.in_(bindparam("ids", expanding=True)), WORKS.c.ref.is_not(None))
    .order_by(WORKS.c.evaluation_id, WORKS.c.place)
)

_STONES = (
    select(TOMBSTONES.c.evaluation_id, TOMBSTONES.c.digests)
    .where(TOMBSTONES.c.evaluation_id.in_(bindparam("ids", expanding=True)))
    .order_by(TOMBSTONES.c.position)
)


async def position_of(connection: AsyncConnection, id: str) -> Position | None:
    """Return where an evaluation stands in every list."""
    at = (await connection.execute(select(EVALUATIONS.c.at).where(EVALUATIONS.c.id == id))).scalar_one_or_none()
    return None if at is None else (at, id)


async def page(connection: AsyncConnection, filters: Filters, after: str | None, before: str | None, most: int) -> Sequence[Summary]:
    """Return one page, newest first. A cursor that is no evaluation leads nowhere."""
    cursor = None
    if (id := before if before is not None else after) is not None and (cursor := await position_of(connection, id)) is None:
        return ()
    packs = await pack_sets(connection)
    query = ids_query(filters, sets_wanted(filters, packs), cursor, most, newer=before is not None)
    ids = [] if query is None else [row.id for row in await connection.execute(query)]
    if not ids:
        return ()
    refs: dict[str, list[str]] = {}
    for row in await connection.execute(_REFS, {"ids": ids}):
        refs.setdefault(row.evaluation_id, []).append(row.ref)
    rows = sorted(await connection.execute(_ROWS, {"ids": ids}), key=lambda row: (row.at, row.id), reverse=True)
    return [
        Summary(
            id=row.id, at=row.at, venue=row.venue, venue_version=row.venue_version, stage=row.stage, outcome=row.outcome,
            at_worst=row.at_worst, settled=row.settled, works=tuple(refs.get(row.id, ())), packs=packs[row.pack_set],
        )
        for row in rows
    ]  # fmt: skip


def sets_wanted(filters: Filters, packs: dict[int, dict[str, str]]) -> list[int] | None:
    """Return the sets of packs in which the wanted pack is, in the wanted version; None when no pack is asked for."""
    if filters.pack is None and filters.pack_version is None:
        return None
    return [number for number, one in packs.items() if any(_is_wanted(filters, name, version) for name, version in one.items())]


def _is_wanted(filters: Filters, name: str, version: str) -> bool:
    return filters.pack in (None, name) and filters.pack_version in (None, version)


def venues_wanted(filters: Filters) -> list[str] | None:
    """Return the venues to look at; None for all."""
    if filters.venue is None:
        return None if filters.venues is None else sorted(set(filters.venues))
    return [filters.venue] if filters.venues is None or filters.venue in filters.venues else []


def ids_query(filters: Filters, sets: list[int] | None, cursor: Position | None, most: int, *, newer: bool) -> Select[Any] | None:
    """Return the query for the ids of a page, or None when nothing can match."""
    venues = venues_wanted(filters)
    if venues == [] or sets == []:
        return None
    each_venue: list[str | None] = [None] if venues is None else [*venues]
    each_set: list[int | None] = [None] if sets is None else [*sets]
    branches = list(product(each_venue, each_set))
    if len(branches) > _MOST_BRANCHES:
        return _branch(filters, venues, sets, cursor, most, newer)
    parts = [
        _branch(filters, None if venue is None else [venue], None if number is None else [number], cursor, most, newer)
        for venue, number in branches
    ]
    if len(parts) == 1:
        return parts[0]
    merged = union_all(*(select(part.subquery()) for part in parts)).subquery()
    return _ordered(select(merged.c.at, merged.c.id), merged.c.at, merged.c.id, newer).limit(most)


def _branch(
    filters: Filters, venues: list[str] | None, sets: list[int] | None, cursor: Position | None, most: int, newer: bool
) -> Select[Any]:
    """Return the query over the table whose index finds the rarest of what is asked: a work, an artist, a rule, or the evaluations."""
    at: Any = EVALUATIONS.c.at
    id: Any = EVALUATIONS.c.id
    venue: Any = EVALUATIONS.c.venue
    conditions: list[ColumnElement[bool]] = []
    on_evaluation = _own(filters, sets)
    terms = [(kind, value) for kind, value in (("artist", filters.artist_ref), ("unmet", filters.unmet)) if value is not None]
    if filters.ref is not None:
        at, id, venue = WORKS.c.at, WORKS.c.evaluation_id, WORKS.c.venue
        conditions.append(WORKS.c.ref == filters.ref)
    elif terms:
        at, id, venue = TERMS.c.at, TERMS.c.evaluation_id, TERMS.c.venue
        kind, value = terms.pop(0)
        conditions += [TERMS.c.kind == kind, TERMS.c.value == value]
    conditions += [_has_term(kind, value, at, id) for kind, value in terms]
    if venues is not None:
        conditions.append(venue == venues[0] if len(venues) == 1 else venue.in_(venues))
    if id is EVALUATIONS.c.id:
        conditions += on_evaluation
    elif on_evaluation:
        conditions.append(select(EVALUATIONS.c.id).where(EVALUATIONS.c.id == id, *on_evaluation).exists())
    conditions += _in_time(filters, at)
    if cursor is not None:
        here = tuple_(literal(cursor[0], Utc), literal(cursor[1]))
        conditions.append(tuple_(at, id) > here if newer else tuple_(at, id) < here)
    return _ordered(select(at.label("at"), id.label("id")).where(*conditions), at, id, newer).limit(most)


def _own(filters: Filters, sets: list[int] | None) -> list[ColumnElement[bool]]:
    columns = EVALUATIONS.c
    wanted = [columns[name] == value for name in ("outcome", "stage") if (value := getattr(filters, name)) is not None]
    if sets is not None:
        wanted.append(columns.pack_set == sets[0] if len(sets) == 1 else columns.pack_set.in_(sets))
    return wanted


def _in_time(filters: Filters, at: Any) -> list[ColumnElement[bool]]:
    return [*([at >= filters.since] if filters.since is not None else []), *([at < filters.until] if filters.until is not None else [])]


def _has_term(kind: str, value: str, at: Any, id: Any) -> ColumnElement[bool]:
    other = TERMS.alias()
    found = and_(other.c.kind == kind, other.c.value == value, other.c.at == at, other.c.evaluation_id == id)
    return select(other.c.kind).where(found).exists()


def _ordered(query: Select[Any], at: Any, id: Any, newer: bool) -> Select[Any]:
    return query.order_by(at, id) if newer else query.order_by(at.desc(), id.desc())


def moments_query(ref: str, venues: tuple[str, ...] | None, cursor: Position | None, most: int) -> Select[Any]:
    """Return the query for the life of a work."""
    conditions: list[ColumnElement[bool]] = [WORKS.c.ref == ref]
    if venues is not None:
        conditions.append(WORKS.c.venue.in_(sorted(set(venues))))
    if cursor is not None:
        conditions.append(tuple_(WORKS.c.at, WORKS.c.evaluation_id) < tuple_(literal(cursor[0], Utc), literal(cursor[1])))
    stage = select(EVALUATIONS.c.stage).where(EVALUATIONS.c.id == WORKS.c.evaluation_id).scalar_subquery().label("stage")
    return _ordered(select(WORKS, stage).where(*conditions), WORKS.c.at, WORKS.c.evaluation_id, newer=False).limit(most)


async def moments(
    connection: AsyncConnection, ref: str, venues: tuple[str, ...] | None, after: str | None, most: int
) -> Sequence[WorkMoment]:
    """Return the life of one work, newest first."""
    cursor = None
    if after is not None and (cursor := await position_of(connection, after)) is None:
        return ()
    return [
        WorkMoment(
            id=row.evaluation_id, at=row.at, venue=row.venue, stage=row.stage, outcome=row.outcome, at_worst=row.at_worst,
            settled=row.settled, unmet=texts(row.unmet),
        )
        for row in await connection.execute(moments_query(ref, venues, cursor, most))
    ]  # fmt: skip


async def stored(connection: AsyncConnection, wanted: ColumnElement[bool], most: int, codecs: Codecs) -> list[Stored]:
    """Return whole evaluations, oldest first, with what was erased in each."""
    rows = (
        await connection.execute(_ordered(select(EVALUATIONS).where(wanted), EVALUATIONS.c.at, EVALUATIONS.c.id, True).limit(most))
    ).all()
    erased: dict[str, list[str]] = {}
    for stone in await connection.execute(_STONES, {"ids": [row.id for row in rows]}) if rows else ():
        erased.setdefault(stone.evaluation_id, []).extend(texts(stone.digests))
    found = []
    for row in rows:
        request, answer = await codecs.unpack(connection, row.body)
        found.append(
            Stored(
                id=row.id, at=row.at, venue=row.venue, venue_version=row.venue_version, stage=row.stage, request=request, answer=answer,
                made_by=row.made_by, erased=tuple(erased.get(row.id, ())),
            )
        )  # fmt: skip
    return found


async def every(connection: AsyncConnection, codecs: Codecs) -> AsyncIterator[Stored]:
    """Yield every evaluation, oldest first."""
    wanted: ColumnElement[bool] = true()
    while batch := await stored(connection, wanted, BATCH, codecs):
        for one in batch:
            yield one
        last = tuple_(literal(batch[-1].at, Utc), literal(batch[-1].id))
        wanted = tuple_(EVALUATIONS.c.at, EVALUATIONS.c.id) > last
