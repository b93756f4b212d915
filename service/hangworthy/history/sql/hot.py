"""Writing many rows at once, in the database's own words: what every group of records does, so it is worth few statements.

SQLite gets one statement a table with all its rows, since its driver lets go of the interpreter for every row and then waits for its turn
again, which beside a busy event loop takes longer than the writing; PostgreSQL one statement for all tables, its rows as columns of arrays,
since every statement there is a message to another process and back. The texts come from the tables, so they cannot drift apart.
"""

import functools
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import Column, Table, bindparam, update
from sqlalchemy.dialects import postgresql
from sqlalchemy.ext.asyncio import AsyncConnection

from hangworthy.history.sql.tables import CHAIN, CHAIN_HEAD, EVALUATIONS, TERMS, WORKS, microseconds

Rows = Sequence[tuple[Any, ...]]
MOST_ROWS = 128  # in one statement: of the widest table fewer values than SQLite takes
_TABLES = (EVALUATIONS, WORKS, TERMS, CHAIN)  # in the order in which they refer to one another


def moment(at: datetime, kind: str) -> Any:
    """Return a moment as the driver takes it, as the column's type does elsewhere. Raises ValueError for one without a zone."""
    if at.tzinfo is None:
        raise ValueError("a time must say its zone")
    return at if kind == "postgresql" else microseconds(at)


async def write_all(connection: AsyncConnection, kind: str, rows: Mapping[str, Rows], position: int, link: bytes) -> None:
    """Write rows, by the name of their table and in the order of its columns, and move the end of the chain."""
    if kind == "postgresql":
        arrays = [
            list(column)
            for table in _TABLES
            for column in (zip(*rows[table.name], strict=True) if rows[table.name] else [()] * len(table.columns))
        ]
        await connection.exec_driver_sql(_TOGETHER, (*arrays, position, link))
        return
    for table in _TABLES:
        mine = rows[table.name]
        for start in range(0, len(mine), MOST_ROWS):
            some = mine[start : start + MOST_ROWS]
            await connection.exec_driver_sql(_of_rows(table, len(some)), tuple(value for row in some for value in row))
    await connection.execute(_MOVED, {"position": position, "link": link})


def _array(column: Column[Any]) -> str:
    return column.type.compile(dialect=postgresql.dialect()).partition(" COLLATE")[0] + "[]"  # type: ignore[no-untyped-call]


def _insert(table: Table, values: str) -> str:
    return f"INSERT INTO {table.name} ({', '.join(table.columns.keys())}) {values}"


@functools.cache
def _of_rows(table: Table, count: int) -> str:
    """Return SQLite's statement for so many rows at once."""
    row = f"({', '.join('?' * len(table.columns))})"
    return _insert(table, f"VALUES {', '.join([row] * count)}")


def _together() -> str:
    """Return PostgreSQL's statement: each table's rows from arrays, then the end of the chain."""
    parts, number = [], 0
    for table in _TABLES:
        given = [f"${number + place}::{_array(column)}" for place, column in enumerate(table.columns, 1)]
        number += len(given)
        columns = f"SELECT * FROM unnest({', '.join(given)})"  # noqa: S608 - as above
        parts.append(f"{table.name}_rows AS (" + _insert(table, columns) + ")")
    moved = f"SET position = ${number + 1}::bigint, link = ${number + 2}::bytea WHERE id = 1"
    return f"WITH {', '.join(parts)} UPDATE {CHAIN_HEAD.name} {moved}"


_TOGETHER = _together()
_MOVED = update(CHAIN_HEAD).where(CHAIN_HEAD.c.id == 1).values(position=bindparam("position"), link=bindparam("link"))
