"""A running service for tests: the tiny pack, two venues, a clock that stands still, and a server on a free loopback port."""

import atexit
import contextlib
import functools
import socket
import threading
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import msgspec
import uvicorn
from litestar import Litestar

from api.memory import MemoryHistory
from api.tiny_pack import tiny_pack
from hangworthy.app import create_app
from hangworthy.contract import Override, StockFrame
from hangworthy.discovery import discover, installed_pack
from hangworthy.engine.catalogue import Catalogue, build_catalogue
from hangworthy.engine.ruleset import Venue
from hangworthy.history.ids import uuid7_maker
from hangworthy.history.port import History
from hangworthy.history.sql import SqlHistory
from hangworthy.settings import Settings
from history.postgres import Postgres, running_postgres

NOW = datetime(2026, 3, 31, 12, 0, 0, 987654, tzinfo=UTC)
NEW_ID = "7f4c1a7e-5d0b-4c8e-9a53-2f6f0c3b8d11"


def tiny_catalogue() -> Catalogue:
    return build_catalogue([installed_pack(tiny_pack())])


def tiny_venues(catalogue: Catalogue) -> list[Venue]:
    wall = catalogue.schema.wall
    annexe = Venue(
        name="annexe",
        version=3,
        title="The annexe",
        limits={"tiny.gap_mm": Override(value="8 mm", reason="Deep shadow gaps here.")},
        walls={"north": wall(width_mm=3000.0, walkway=True), "stairs": wall()},
        conditions=wall(rh_percent=45.0),
        frames=(StockFrame(name="A2", width_mm=420.0, height_mm=594.0),),
    )
    return [Venue(name="house", title="The house"), annexe]


def tiny_app(settings: Settings | None = None) -> Litestar:
    catalogue = tiny_catalogue()
    return create_app(settings or Settings(), catalogue, tiny_venues(catalogue), clock=lambda: NOW, new_id=lambda: NEW_ID)


class Clock:
    """A clock that stands still until it is moved."""

    def __init__(self) -> None:
        self.now = NOW

    def __call__(self) -> datetime:
        return self.now


def recording_app(
    history: History, clock: Callable[[], datetime] | None = None, settings: Settings | None = None, catalogue: Catalogue | None = None
) -> Litestar:
    """Return the tiny service with a history; its ids differ and sort by time."""
    clock, catalogue = clock or Clock(), catalogue or tiny_catalogue()
    return create_app(
        settings or Settings(), catalogue, tiny_venues(catalogue), clock=clock, new_id=uuid7_maker(clock), history=history
    )  # fmt: skip


def sql_store(url: str, clock: Callable[[], datetime]) -> History:
    return SqlHistory(url, clock=clock, new_id=uuid7_maker(clock), queue=64, group=16)


@functools.cache
def shared_postgres() -> Postgres:
    """Return one server for all tests of a run; it is taken down when the run ends."""
    context = running_postgres()
    server = context.__enter__()
    atexit.register(context.__exit__, None, None, None)
    return server


# One line for each kind of store: how a fresh one is made in a folder of its own.
STORES: dict[str, Callable[[Path, Callable[[], datetime]], History]] = {
    "fake": lambda folder, clock: MemoryHistory(),
    "sqlite": lambda folder, clock: sql_store(f"sqlite:///{folder}/history.sqlite3", clock),
    "postgresql": lambda folder, clock: sql_store(shared_postgres().empty_database(), clock),
}


def installed_app(history: History | None = None) -> Litestar:
    """Return the service over the packs that are installed, with the same two venues but for the limit of the tiny pack."""
    catalogue = build_catalogue(*discover())
    venues = [msgspec.structs.replace(venue, limits={}) for venue in tiny_venues(catalogue)]
    new_id = uuid7_maker(lambda: NOW) if history else lambda: NEW_ID
    return create_app(Settings(), catalogue, venues, clock=lambda: NOW, new_id=new_id, history=history)


@contextlib.contextmanager
def running(app: Litestar) -> Iterator[str]:
    """Yield the address of a server on a thread of its own."""
    listener = socket.create_server(("127.0.0.1", 0))
    server = uvicorn.Server(uvicorn.Config(app, log_config=None, access_log=False, lifespan="on", ws="none"))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
    thread.start()
    until = time.monotonic() + 60
    while not server.started and time.monotonic() < until:
        time.sleep(0.01)
    try:
        yield f"http://127.0.0.1:{listener.getsockname()[1]}"
    finally:
        server.should_exit = True
        thread.join(60)
        listener.close()
