"""Both databases, real ones: a SQLite file per test, one PostgreSQL for all, emptied for each test."""

from collections.abc import AsyncIterator
from pathlib import Path

import pytest

from hangworthy.history.sql import SqlHistory
from history.making import Maker
from history.postgres import Postgres


@pytest.fixture
def sqlite_url(tmp_path: Path) -> str:
    return f"sqlite:///{tmp_path}/history.sqlite3"


@pytest.fixture
def postgres_url(postgres: Postgres) -> str:
    return postgres.empty_database()


@pytest.fixture(params=["sqlite", "postgresql"])
def url(request: pytest.FixtureRequest) -> str:
    return str(request.getfixturevalue("sqlite_url" if request.param == "sqlite" else "postgres_url"))


@pytest.fixture
def other_url(url: str, request: pytest.FixtureRequest) -> str:
    """The other kind of database."""
    return str(request.getfixturevalue("postgres_url" if url.startswith("sqlite") else "sqlite_url"))


@pytest.fixture
def make() -> Maker:
    return Maker()


@pytest.fixture
async def store(url: str, make: Maker) -> AsyncIterator[SqlHistory]:
    history = make.store(url)
    await history.start()
    yield history
    await history.stop()
