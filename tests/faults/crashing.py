"""Crashes under load, with the counts as arguments: the tests take small ones, ``run.py`` the full ones.

Each request asks about a work that no other request has, so the history can be searched for what it holds of each.
"""

import asyncio
import collections
import json
import random
import threading
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

import msgspec

from hangworthy.history.ids import uuid7_maker
from hangworthy.history.sql import SqlHistory
from history.postgres import Postgres
from loading import Connection, Serving, ask, drive, framed, load, serving

CONNECTIONS, LEASE, PATIENCE = 16, "1", 60


class Sent(msgspec.Struct, frozen=True):
    """One request; those without a key are never sent twice."""

    number: int
    body: bytes
    key: str | None

    def framed(self) -> tuple[bytes, "Sent"]:
        return framed(self.body, self.key), self


def asking(start: int = 0) -> Iterator[Sent]:
    """Requests without end; every fourth has no key."""
    number = start
    while True:
        number += 1
        body = json.dumps({"works": [{"ref": f"tide-{number}", "title": f"Low tide, number {number}", "mass_kg": 4.2}]}).encode()
        yield Sent(number, body, None if number % 4 == 0 else f"key-{number}")


class Ledger:
    """What clients know: the answers they got, and the requests that they must send again."""

    def __init__(self) -> None:
        self.answered: dict[str, tuple[Sent, bytes]] = {}
        self.again: list[Sent] = []
        self.statuses: collections.Counter[int] = collections.Counter()

    def note(self, answers: Any) -> None:
        for one in answers:
            self.statuses[one.status] += 1
            if one.status == 201:
                id_ = json.loads(one.body)["id"]
                before = self.answered.setdefault(id_, (one.sent, one.body))
                assert before == (one.sent, one.body), "two requests got the same id"
            elif one.sent.key is not None:
                self.again.append(one.sent)

    def repeat(self, port: int) -> None:
        """Send again what was not answered, with its key, until it is; a claim of a dead process is in the way for its lease."""
        until = time.monotonic() + PATIENCE
        while self.again and time.monotonic() < until:
            waiting, self.again = self.again, []
            self.note(load(port, [one.framed() for one in waiting], min(CONNECTIONS, len(waiting))))
            time.sleep(0.2 if self.again else 0)
        assert self.again == []

    def check(self, url: str) -> dict[str, int]:
        """Hold the history to what clients know; return how many evaluations it keeps and how many answers there were."""
        stored, faults = asyncio.run(_kept(url))
        assert list(faults) == []
        by_body = collections.Counter(one.request for one in stored.values())
        assert set(by_body.values()) <= {1}, "a request was kept twice"
        for id_, (sent, answer) in self.answered.items():
            assert (stored[id_].request, stored[id_].answer) == (sent.body, answer)
        return {"kept": len(stored), "answered": len(self.answered)}


async def _kept(url: str) -> tuple[dict[str, Any], Any]:
    def clock() -> datetime:
        return datetime.now(UTC)

    store = SqlHistory(url, clock=clock, new_id=uuid7_maker(clock))
    await store.start()
    try:
        return {one.id: one async for one in store.stored()}, await store.verify()
    finally:
        await store.stop()


def killed_under_load(url: str, times: int, chance: random.Random) -> dict[str, Any]:
    """Kill the serving process at random moments; clients repeat what broke, with their keys, at the next one."""
    ledger, requests, broken = Ledger(), asking(), 0
    for _ in range(times):
        service = Serving(url, lease_seconds=LEASE)
        timer = threading.Timer(chance.uniform(0.02, 0.6), service.process.kill)
        timer.start()
        lines = [Connection(service.port) for _ in range(CONNECTIONS)]
        again, ledger.again = ledger.again, []
        sending = (one.framed() for source in (again, requests) for one in source)
        answers = drive(lines, sending, close=True)
        timer.join()
        service.kill()
        done = {one.sent.number for one in answers}
        ledger.again += [one for one in again if one.number not in done]
        broken += sum(one.status == 0 for one in answers)
        ledger.note(answers)
    with serving(url, lease_seconds=LEASE) as service:
        ledger.repeat(service.port)
    assert set(ledger.statuses) <= {0, 201, 409}
    return {"kills": times, "broken": broken, **ledger.check(url)}


def database_killed_under_load(postgres: Postgres, url: str, times: int) -> dict[str, Any]:
    """Kill PostgreSQL under load and start it again; the service goes on by itself."""
    ledger, requests, recovered = Ledger(), asking(), []
    with serving(url, lease_seconds=LEASE) as service:
        for _ in range(times):
            stop = threading.Event()
            found: list[Any] = []
            thread = threading.Thread(target=_loading, args=(service.port, requests, found, stop))
            thread.start()
            time.sleep(0.5)
            postgres.kill()
            time.sleep(1.0)
            assert ask(service.port, framed(b'{"works":[{"ref":"a"}]}', record=False)).status == 200
            postgres.restart()
            started = time.monotonic()
            _until_recorded(service.port)
            recovered.append(time.monotonic() - started)
            stop.set()
            thread.join(60)
            ledger.note(found)
        ledger.repeat(service.port)
        assert service.process.poll() is None
    assert set(ledger.statuses) <= {201, 409, 503}
    return {"times": times, "answered_503": ledger.statuses[503], "slowest_recovery_s": round(max(recovered), 2), **ledger.check(url)}


def _loading(port: int, requests: Iterator[Sent], found: list[Any], stop: threading.Event) -> None:
    found += load(port, _paced(one.framed() for one in requests), CONNECTIONS, until=stop.is_set)


def _paced(sending: Iterator[Any]) -> Iterator[Any]:
    """A refused client waits a little before it asks again, as it is told to."""
    for one in sending:
        time.sleep(0.002)
        yield one


def _until_recorded(port: int) -> None:
    until = time.monotonic() + PATIENCE
    line = Connection(port)
    while line.ask(framed(f'{{"works":[{{"ref":"probe-{time.monotonic_ns()}"}}]}}'.encode())).status != 201:
        assert time.monotonic() < until, "the service does not recover"
        time.sleep(0.05)
    line.close()


def same_key_at_two_replicas(url: str, times: int) -> dict[str, Any]:
    """Send one request with one key to two replicas at the same moment, again and again."""
    ledger, requests = Ledger(), (one for one in asking() if one.key is not None)
    with serving(url, lease_seconds="30") as one, serving(url, lease_seconds="30") as other:
        lines = Connection(one.port), Connection(other.port)
        for _, sent in zip(range(times), requests, strict=False):
            for line in lines:
                line.send(*sent.framed())
            answers = [_wait(line) for line in lines]
            assert {answer.status for answer in answers} <= {201, 409}
            ledger.note(answers)
            ledger.repeat(other.port)
        for line in lines:
            line.close()
    assert len(ledger.answered) == times
    return {"times": times, "told_to_wait": ledger.statuses[409], **ledger.check(url)}


def _wait(line: Connection) -> Any:
    while (answer := line.receive()) is None:
        pass
    return answer
