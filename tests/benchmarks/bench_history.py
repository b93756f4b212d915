"""What the store alone costs: bytes, lists over many records, and recording beside evaluating, on both databases.

Run it with ``python tests/benchmarks/bench_history.py``; the last line is one JSON object. The evaluations are those of one fully filled
work under every installed pack, no two alike. Rounds of both sides are interleaved; each figure is the median over the rounds.

- ``bytes``: how large the database is per evaluation, against the JSON of request and answer; ``packed`` is the packed body alone.
- ``page`` and ``moments``: a page of 50 and a work's history in a database with many records, against one with 1,000: the worst of several
  filters. Many is 30,000 here, so that the run ends within two minutes or so; ``--many 1000000`` takes the whole number, and
  ``--only postgresql`` one of the databases.
- ``recorded_without_http``: evaluations a second that are recorded and answered after the commit, against the same without recording; 32 at
  a time, in one process, with no HTTP around it: the bar of 0.75 is for HTTP, whose own cost is on both sides there. What a commit costs is
  the disk's time: ``commit_ms`` is what it takes for one write that is made safe.
- ``tail``: of those, the time of the slowest hundredth against the middle.
- ``read``: whole evaluations read in a row, in microseconds each.
"""

import argparse
import asyncio
import json
import os
import sys
import tempfile
import time
from collections.abc import Awaitable, Callable
from datetime import UTC, datetime
from pathlib import Path
from statistics import median
from typing import Any

import msgspec
from bench_evaluation import WORK
from sqlalchemy import text

from hangworthy.contract.effect import Stage
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy.history.ids import uuid7_maker
from hangworthy.history.port import Filters, IndexedWork, NewEvaluation
from hangworthy.history.sql import SqlHistory
from hangworthy.intake import Intake
from hangworthy.sample import sample_of

FEW, ROUNDS, AT_ONCE, PER_ROUND, CALLS, MOST = 1_000, 7, 32, 640, 60, 50
DATABASES = ("few", "many", "own")
BARS = {"bytes": 0.35, "page": 1.5, "moments": 1.5, "tail": 6.0}


def now() -> datetime:
    return datetime.now(UTC)


new_id = uuid7_maker(now)


class Asker:
    """Evaluates one work again and again, with another weight each time."""

    def __init__(self, packs: tuple[str, ...] | None = None) -> None:
        catalogue = build_catalogue(*discover())
        self.sample = sample_of(catalogue)
        self.evaluator = Evaluator(Ruleset(catalogue, Venue(name="house", packs=packs)))
        self.intake = Intake(catalogue.schema)
        self.encode = msgspec.json.Encoder().encode
        self.count = 0

    def ask(self) -> NewEvaluation:
        self.count += 1
        request = json.dumps({"stage": "offer", "works": [{**WORK, "ref": f"tide-{self.count % 500}", "mass_kg": 3 + self.count * 1e-7}]})
        evaluation = self.evaluator.evaluate(self.intake.read(request.encode()).works, Stage.OFFER)
        at = now()
        works = tuple(
            IndexedWork(
                place=place,
                ref=work.ref,
                artist_ref=f"artist-{self.count % 50}",
                outcome=work.outcome.value,
                at_worst=work.at_worst.value,
                settled=work.settled,
                unmet=tuple(dict.fromkeys(one.rule for one in work.findings if one.state == "unmet")),
            )
            for place, work in enumerate(evaluation.works)
        )
        return NewEvaluation(
            id=new_id(),
            at=at,
            request=request.encode(),
            answer=self.encode(evaluation),
            venue=f"house-{self.count % 7}",
            venue_version=1,
            stage="offer",
            outcome=evaluation.outcome.value,
            at_worst=evaluation.at_worst.value,
            settled=evaluation.settled,
            packs={one.name: one.version for one in evaluation.packs},
            works=works,
        )


def fresh(one: NewEvaluation, number: int) -> NewEvaluation:
    """The same bodies as another evaluation, found by other things: to fill a database quickly."""
    works = (
        msgspec.structs.replace(one.works[0], ref=f"tide-{number % 20_011}", artist_ref=f"artist-{number % 997}", unmet=("canvas.taut",)),
    )
    return msgspec.structs.replace(one, id=new_id(), at=now(), works=works, venue=f"house-{number % 101}")


async def opened(url: str, sample: bytes = b"") -> SqlHistory:
    store = SqlHistory(url, clock=now, new_id=new_id, queue=100_000, group=1_000, sample=sample)
    await store.start()
    return store


async def fill(store: SqlHistory, asker: Asker, count: int) -> None:
    """Fill a database; no list reads a body, so one pack's answers do, and a million of them need no 18 GB."""
    bodies = [asker.ask() for _ in range(200)]
    for start in range(0, count, 2_000):
        await asyncio.gather(*(store.record(fresh(bodies[n % 200], n)) for n in range(start, min(count, start + 2_000))))


async def bytes_each(folder: Path, asker: Asker, sample: bytes) -> dict[str, float]:
    """Size of a SQLite database of 2,000 evaluations against their JSON; also without the sample, and the packed bodies alone."""
    found = {}
    for name, given in (("with_sample", sample), ("without_sample", b"")):
        path = folder / f"{name}.sqlite3"
        store = await opened(f"sqlite:///{path}", given)
        made = [asker.ask() for _ in range(2_000)]
        await asyncio.gather(*map(store.record, made))
        packed = sum(len(store._codecs.now.pack(one.request, one.answer)) for one in made)
        await store.stop()
        whole = sum(len(one.request) + len(one.answer) for one in made)
        found |= {name: path.stat().st_size / whole, f"packed_{name}": packed / whole, "json_bytes": whole / len(made)}
        found[f"bytes_{name}"] = path.stat().st_size / len(made)
    return found


async def spent(work: Callable[[], Awaitable[Any]]) -> float:
    started = time.perf_counter()
    await work()
    return time.perf_counter() - started


def commit_ms(folder: Path) -> float:
    """How long this disk takes to make 100 kB safe: no commit can be faster."""
    times = []
    with (folder / "probe").open("wb") as file:
        for _ in range(30):
            started = time.perf_counter()
            file.write(bytes(100_000))
            file.flush()
            os.fsync(file.fileno())
            times.append(time.perf_counter() - started)
    return median(times) * 1e3


async def lists(few: SqlHistory, many: SqlHistory) -> dict[str, float]:
    """Ratios of many against few, each the median over interleaved rounds."""

    def asks(store: SqlHistory, middle: str) -> dict[str, Callable[[], Awaitable[Any]]]:
        return {
            "newest": lambda: store.page(Filters(), most=MOST),
            "deep": lambda: store.page(Filters(), after=middle, most=MOST),
            "venue": lambda: store.page(Filters(venues=("house-3",)), most=9),
            "venues": lambda: store.page(Filters(venues=("house-3", "house-4", "house-5")), most=20),
            "unmet": lambda: store.page(Filters(unmet="canvas.taut", venues=("house-3",)), most=9),
            "artist": lambda: store.page(Filters(artist_ref="artist-9"), most=1),
            "moments": lambda: store.moments("tide-9", None, most=1),
        }

    sides = []
    for store in (few, many):
        page = await store.page(Filters(), most=FEW // 2)
        sides.append(asks(store, page[-1].id))
    ratios = {}
    for name in sides[0]:
        times: list[list[float]] = [[], []]
        for _ in range(CALLS):  # call by call in turn, since a shared machine is slower from one second to the next
            for side, mine in zip(sides, times, strict=True):
                mine.append(await spent(side[name]))
        ratios[name] = median(times[1]) / median(times[0])
    return ratios


async def rates(store: SqlHistory, asker: Asker) -> dict[str, float]:
    """Recording beside evaluating, 32 at a time."""
    waits: list[float] = []

    async def client(record: bool, times: int) -> None:
        for _ in range(times):
            started = time.perf_counter()
            new = asker.ask()
            if record:
                await store.record(new)
                waits.append(time.perf_counter() - started)
            else:
                await asyncio.sleep(0)

    async def round_of(record: bool) -> float:
        started = time.perf_counter()
        await asyncio.gather(*(client(record, PER_ROUND // AT_ONCE) for _ in range(AT_ONCE)))
        return PER_ROUND / (time.perf_counter() - started)

    await round_of(True)
    waits.clear()
    both = [(await round_of(False), await round_of(True)) for _ in range(ROUNDS)]
    ordered = sorted(waits)
    return {
        "plain_per_s": median(one for one, _ in both),
        "recorded_per_s": median(one for _, one in both),
        "recorded_without_http": median(recorded / plain for plain, recorded in both),
        "tail": ordered[int(len(ordered) * 0.99)] / median(ordered),
    }


async def reads(store: SqlHistory) -> float:
    started, count = time.perf_counter(), 0
    async for _ in store.stored():
        count += 1
        if count == 5_000:
            break
    return (time.perf_counter() - started) / count * 1e6


async def measured(kind: str, urls: tuple[str, ...], asker: Asker, many: int) -> dict[str, Any]:
    sample = asker.sample
    few, large, own = [await opened(url, sample) for url in urls]
    found: dict[str, Any] = dict(await rates(own, asker))
    filler = Asker(packs=("canvas",))
    await fill(few, filler, FEW)
    started = time.perf_counter()
    await fill(large, filler, many)
    found["filled_per_s"] = many / (time.perf_counter() - started)
    for store in (few, large):
        async with store._database.write() as connection:
            await connection.execute(text("ANALYZE"))  # as PostgreSQL does by itself after a while
    ratios = await lists(few, large)
    found["moments"] = ratios.pop("moments")
    found["page"], found["pages"] = max(ratios.values()), ratios
    found["read_us"] = await reads(large)
    for store in (few, large, own):
        await store.stop()
    for name, value in found.items():
        print(f"{kind:11} {name:15} {value}")
    return found


def on_postgresql(asker: Asker, many: int) -> dict[str, Any]:
    sys.path.insert(0, str(Path(__file__).parent.parent))
    from history.postgres import running_postgres

    with running_postgres() as server:
        for name in DATABASES:
            server.sql(f"CREATE DATABASE {name}")
        urls = tuple(server.server.get_uri(name) for name in DATABASES)
        return asyncio.run(measured("postgresql", urls, asker, many))


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--many", type=int, default=30_000)
    parser.add_argument("--only", choices=("sqlite", "postgresql"))
    given = parser.parse_args()
    many = given.many
    asker = Asker()
    results: dict[str, Any] = {"many": many, "few": FEW, "bars": BARS}
    with tempfile.TemporaryDirectory(prefix="hw-bench-") as made:
        folder = Path(made)
        results["bytes"] = asyncio.run(bytes_each(folder, asker, asker.sample))
        print("bytes", results["bytes"])
        results["commit_ms"] = commit_ms(folder)
        print("commit_ms", results["commit_ms"])
        if given.only != "postgresql":
            urls = tuple(f"sqlite:///{folder}/{name}.sqlite3" for name in DATABASES)
            results["sqlite"] = asyncio.run(measured("sqlite", urls, asker, many))
        if given.only != "sqlite":
            results["postgresql"] = on_postgresql(asker, many)
    print(json.dumps(results))


if __name__ == "__main__":
    main()
