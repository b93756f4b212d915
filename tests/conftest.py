"""What all tests share: how examples are drawn, the event loop, and one real PostgreSQL.

The same examples every time, so that a change is judged by what it changes; and no deadline, since a busy machine is no fault of the code.
``pytest --hypothesis-profile explore`` draws new ones.
"""

from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, settings

from history.postgres import Postgres, running_postgres

settings.register_profile("steady", deadline=None, derandomize=True, database=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("explore", settings.get_profile("steady"), derandomize=False, print_blob=True)
settings.load_profile("steady")


@pytest.fixture
def anyio_backend() -> str:
    return "asyncio"


@pytest.fixture(scope="session")
def postgres() -> Iterator[Postgres]:
    with running_postgres() as server:
        yield server
