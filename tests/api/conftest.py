"""Fixtures of the service with a history: one test for each kind of store."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from litestar.testing import TestClient

from api.serving import STORES, Clock, recording_app
from hangworthy.history.port import History


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture(params=sorted(STORES))
def store(request: pytest.FixtureRequest, tmp_path: Path, clock: Clock) -> History:
    return STORES[request.param](tmp_path, clock)


@pytest.fixture
def client(store: History, clock: Clock) -> Iterator[TestClient]:
    """The service with a history, while it lives."""
    with TestClient(recording_app(store, clock), raise_server_exceptions=False) as made:
        yield made
