"""What recording costs over HTTP, and how fast what was recorded is asked again, on both databases; the last line is one JSON object.

Run it with ``python tests/benchmarks/bench_recording.py``. One process serves, as ``hangworthy serve`` does; one other process holds 32
connections, each of which waits for its answer before it asks again. Rounds with ``record=false`` and rounds that record are interleaved;
each figure is the median over the rounds.

- ``recorded``: requests a second that are recorded and answered after the commit, against the same requests with ``record=false``.
  ``one_changes``: each request differs from the one before in one measurement, as a form sends them while somebody types; what did not
  change is remembered. ``all_change``: every number of every request is new, so the rules work all of it out.
- ``tail``: of the recorded ones, the time of the slowest hundredth against the middle.
- ``cpu``: processor time of the serving process, recorded against ``record=false``: what remains where the disk costs nothing.
- ``replay``: stored evaluations asked again a second, both outcomes compared, against the engine's own rate on the same inputs (bytes
  read, works evaluated, nothing encoded), in one process; with the engine's memory off on both sides, and on on both.
"""

import argparse
import asyncio
import json
import sys
import tempfile
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from statistics import median
from typing import Any

import psutil
from bench_evaluation import WORK

sys.path.insert(0, str(Path(__file__).parent.parent))

from hangworthy.api.book import Book
from hangworthy.api.reviewing import Review
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.history.ids import uuid7_maker
from hangworthy.history.sql import SqlHistory
from hangworthy.sample import sample_of
from history.postgres import running_postgres
from loading import Connection, drive, framed, serving

ROUNDS, PER_ROUND, CONNECTIONS = 5, 640, 32
BARS = {"recorded": 0.75, "tail": 6.0, "replay": 0.5}


def now() -> datetime:
    return datetime.now(UTC)


def _nudged(value: Any, by: float) -> Any:
    return [one + by for one in value] if isinstance(value, list) else value + by


def _measured(value: Any) -> bool:
    return type(value) is float or (isinstance(value, list) and not isinstance(value[0], str))


CHANGING = tuple(name for name, value in WORK["canvas"].items() if _measured(value))


def one_changes() -> Iterator[bytes]:
    canvas, number = dict(WORK["canvas"]), 0
    while True:
        number += 1
        name = CHANGING[number % len(CHANGING)]
        canvas[name] = _nudged(WORK["canvas"][name], 1e-7 * number)
        yield _body({"canvas": canvas}, number)


def all_change() -> Iterator[bytes]:
    number = 0
    while True:
        number += 1
        by = 1e-7 * number
        canvas = {name: _nudged(value, by) if _measured(value) else value for name, value in WORK["canvas"].items()}
        own = {name: _nudged(value, by) for name, value in WORK.items() if _measured(value)}
        yield _body(own | {"canvas": canvas}, number)


def _body(facts: Any, number: int) -> bytes:
    work = {**WORK, **facts, "ref": f"tide-{number % 500}", "artist_ref": f"artist-{number % 50}"}
    return json.dumps({"stage": "offer", "works": [work]}).encode()


KINDS = {"one_changes": one_changes, "all_change": all_change}


def rounds(port: int, process: psutil.Process, bodies: Iterator[bytes]) -> dict[str, Any]:
    """Interleaved rounds of both kinds of request."""
    lines = [Connection(port) for _ in range(CONNECTIONS)]
    spent: dict[bool, list[float]] = {False: [], True: []}
    cpu: dict[bool, list[float]] = {False: [], True: []}
    waits: list[float] = []
    for number in range(ROUNDS + 1):
        for record in (False, True):
            sending = [(framed(next(bodies), record=record), None) for _ in range(PER_ROUND)]
            before, started = sum(process.cpu_times()[:2]), time.perf_counter()
            answers = drive(lines, sending)
            took, used = time.perf_counter() - started, sum(process.cpu_times()[:2]) - before
            assert {one.status for one in answers} == {201 if record else 200}
            assert len(answers) == PER_ROUND
            if number:  # the first round warms up
                spent[record].append(took)
                cpu[record].append(used)
                waits += [one.seconds for one in answers] if record else []
    for line in lines:
        line.close()
    waits.sort()
    return {
        "recorded": median(plain / kept for plain, kept in zip(spent[False], spent[True], strict=True)),
        "tail": waits[int(len(waits) * 0.99)] / median(waits),
        "p50_ms": median(waits) * 1e3,
        "plain_per_s": PER_ROUND / median(spent[False]),
        "recorded_per_s": PER_ROUND / median(spent[True]),
        "cpu": median(cpu[False]) / median(cpu[True]),
        "cpu_plain_us": median(cpu[False]) / PER_ROUND * 1e6,
        "cpu_recorded_us": median(cpu[True]) / PER_ROUND * 1e6,
    }


def over_http(url: str) -> dict[str, Any]:
    found = {}
    for name, bodies in KINDS.items():
        with serving(url) as service:
            found[name] = print_and(name, rounds(service.port, psutil.Process(service.process.pid), bodies()))
    return found


def print_and(name: str, found: Any) -> Any:
    print(name, json.dumps(found), flush=True)
    return found


async def replays(url: str, keep: int, count: int) -> float:
    """Return the rate of asking stored evaluations again over the engine's own on the same inputs."""
    catalogue = build_catalogue(*discover())
    store = SqlHistory(url, clock=now, new_id=uuid7_maker(now), sample=sample_of(catalogue))
    await store.start()
    book = Book(catalogue, (), "", store)
    await book.refresh()

    def fresh() -> Review:
        book.evaluators = {name: Evaluator(one.ruleset, keep=keep) for name, one in book.evaluators.items()}
        return Review(book)

    inputs = []
    async for one in store.stored():
        inputs.append(one.request)
        if len(inputs) == count:
            break
    ratios = []
    for _ in range(5):
        fresh()
        (evaluator,), (name,) = book.evaluators.values(), book.evaluators
        intake = book.intake.over(book.evaluators, name)
        started = time.perf_counter()
        for body in inputs:
            request = intake.read(body)
            evaluator.evaluate(request.works, request.stage)
        own = time.perf_counter() - started
        review, started = fresh(), time.perf_counter()
        async for one in store.stored():
            assert review.ask(one) is None
            if review.asked == len(inputs):
                break
        ratios.append(own / (time.perf_counter() - started))
    await store.stop()
    return median(ratios)


def measured(kind: str, url: str, count: int) -> dict[str, Any]:
    found = over_http(url)
    found["replay"] = {name: asyncio.run(replays(url, keep, count)) for name, keep in (("memory_off", 0), ("memory_on", 64))}
    print(kind, "replay", found["replay"])
    return found


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--replayed", type=int, default=5_000, help="how many are asked again (100000: the whole number)")
    parser.add_argument("--only", choices=("sqlite", "postgresql"))
    given = parser.parse_args()
    results: dict[str, Any] = {"bars": BARS}
    if given.only != "postgresql":
        with tempfile.TemporaryDirectory(prefix="hw-bench-") as folder:
            results["sqlite"] = measured("sqlite", f"sqlite:///{folder}/history.sqlite3", given.replayed)
    if given.only != "sqlite":
        with running_postgres() as server:
            results["postgresql"] = measured("postgresql", server.empty_database(), given.replayed)
    print(json.dumps(results))


if __name__ == "__main__":
    main()
