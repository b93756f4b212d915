"""Faults that are survived, with small counts; ``python tests/faults/run.py`` takes the full ones."""

import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from faults import crashing, crowding
from history.postgres import Postgres, running_postgres
from loading import Connection, framed, serving


@pytest.fixture(scope="module")
def postgres() -> Iterator[Postgres]:
    with running_postgres() as server:
        yield server


def test_a_killed_service_loses_and_doubles_nothing_on_sqlite(tmp_path: Path) -> None:
    found = crashing.killed_under_load(f"sqlite:///{tmp_path}/history.sqlite3", 5, random.Random(7))
    assert found["broken"] > 0
    assert found["answered"] > 0


def test_a_killed_service_loses_and_doubles_nothing_on_postgresql(postgres: Postgres) -> None:
    found = crashing.killed_under_load(postgres.empty_database(), 2, random.Random(7))
    assert found["broken"] > 0
    assert found["answered"] > 0


def test_a_killed_database_is_waited_for(postgres: Postgres) -> None:
    found = crashing.database_killed_under_load(postgres, postgres.empty_database(), 1)
    assert found["answered_503"] > 0
    assert found["answered"] > 0


def test_two_replicas_keep_one_record_for_one_key(postgres: Postgres) -> None:
    assert crashing.same_key_at_two_replicas(postgres.empty_database(), 20)["kept"] == 20


def test_a_read_only_file_is_told_and_evaluating_goes_on(tmp_path: Path) -> None:
    found = crowding.read_only_sqlite(tmp_path)
    assert (found["recorded"], found["keyed"], found["plain"]) == (507, 507, 200)
    assert "record=false" in found["told"]


def test_a_read_only_server_is_told_and_recording_comes_back(postgres: Postgres) -> None:
    url = postgres.empty_database()
    work = b'{"works":[{"ref":"tide-1"}]}'

    def set_to(value: str) -> None:
        postgres.sql(f"ALTER DATABASE history SET default_transaction_read_only = {value}")
        postgres.sql("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = 'history'")

    with serving(url) as service:
        line = Connection(service.port)
        assert line.ask(framed(work)).status == 201
        set_to("on")
        statuses = [line.ask(framed(work)).status for _ in range(9)]
        assert statuses[-1] == 507
        assert set(statuses) <= {503, 507}  # the pool first notices that its connections were closed
        assert line.ask(framed(work, record=False)).status == 200
        set_to("off")
        assert 201 in [line.ask(framed(work)).status for _ in range(9)]
        line.close()


def test_a_crowd_of_slow_and_silent_clients_stops_nobody(tmp_path: Path) -> None:
    found = crowding.crowded(f"sqlite:///{tmp_path}/history.sqlite3", idle=200, half=20, slow=10, requests=100)
    assert found["grown_mb"] < 48


def test_packed_bodies_are_refused_and_cost_no_memory(tmp_path: Path) -> None:
    found = crowding.bombs(f"sqlite:///{tmp_path}/history.sqlite3", 3)
    assert found["statuses"] == [415]
    assert found["grown_mb"] < 32
