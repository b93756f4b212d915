"""A real PostgreSQL for the one test that needs it, and the event loop that the crew runs in."""

from collections.abc import Iterator

import pytest

from history.postgres import Postgres, running_postgres


@pytest.fixture
def anyio_backend() -> str:
    return "asyncio"


@pytest.fixture(scope="session")
def postgres() -> Iterator[Postgres]:
    with running_postgres() as server:
        yield server
