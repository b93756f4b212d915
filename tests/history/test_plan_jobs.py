"""Plans in the background, on both databases: taken up once, renewed, cancelled, taken up again after a crash, and dropped after a day."""

import asyncio
import os
import signal
from datetime import UTC, datetime, timedelta

import msgspec
import pytest

from hangworthy.history.sql import SqlHistory
from hangworthy.history.sql.jobs import MOST_TRIES
from hangworthy.plans.frames import processes
from hangworthy.plans.frames.answers import FramePlan
from hangworthy.plans.jobs import Runner
from history.making import Maker
from plans.making import random_input

pytestmark = pytest.mark.anyio

NOW = datetime(2027, 3, 1, 12, tzinfo=UTC)
SOON, LATER = NOW + timedelta(seconds=15), NOW + timedelta(seconds=16)
GIVEN = msgspec.msgpack.encode(random_input(3))


def job(number: int) -> str:
    return f"00000000-0000-7000-8000-{number:012}"


def now() -> datetime:
    return datetime.now(UTC)


async def test_a_job_is_taken_up_by_one_only_and_the_oldest_first(store: SqlHistory) -> None:
    for number in (2, 1, 3):
        await store.jobs.add(job(number), NOW, "v", b"%d" % number)
    found = await asyncio.gather(*(store.jobs.claim(f"worker {n}", NOW, SOON) for n in range(8)))
    taken = [one for one in found if one is not None]
    assert sorted(taken) == [(job(1), b"1"), (job(2), b"2"), (job(3), b"3")]
    assert await store.jobs.claim("another", NOW, SOON) is None


async def test_only_who_holds_the_lease_may_go_on(store: SqlHistory) -> None:
    await store.jobs.add(job(1), NOW, "v", b"x")
    assert await store.jobs.claim("one", NOW, SOON) == (job(1), b"x")
    assert await store.jobs.note(job(1), "one", 0.25, SOON)
    assert not await store.jobs.note(job(1), "two", 0.5, SOON)
    assert await store.jobs.claim("two", LATER, LATER + timedelta(seconds=15)) == (job(1), b"x")
    assert not await store.jobs.note(job(1), "one", 0.5, SOON)
    assert not await store.jobs.finish(job(1), "one", b"{}", None)
    assert await store.jobs.finish(job(1), "two", b"{}", None)
    done = await store.jobs.get(job(1))
    assert done is not None
    assert (done.state, done.answer, done.progress, done.at) == ("done", b"{}", 1.0, NOW)
    assert await store.jobs.claim("three", LATER + timedelta(hours=1), LATER + timedelta(hours=2)) is None


async def test_a_job_that_kills_every_worker_fails(store: SqlHistory) -> None:
    await store.jobs.add(job(1), NOW, "v", b"x")
    await store.jobs.add(job(2), NOW, "v", b"y")
    at = NOW
    for number in range(MOST_TRIES):
        assert await store.jobs.claim(f"w{number}", at, at + timedelta(seconds=15)) == (job(1), b"x")
        at += timedelta(seconds=16)
    assert await store.jobs.claim("next", at, at + timedelta(seconds=15)) == (job(2), b"y")
    failed = await store.jobs.get(job(1))
    assert failed is not None
    assert (failed.state, failed.failure) == ("failed", "WorkersDied")


async def test_a_cancelled_job_is_nobodys(store: SqlHistory) -> None:
    await store.jobs.add(job(1), NOW, "v", b"x")
    assert await store.jobs.claim("one", NOW, SOON) is not None
    assert await store.jobs.cancel(job(1))
    assert not await store.jobs.note(job(1), "one", 0.5, SOON)
    assert not await store.jobs.finish(job(1), "one", b"{}", None)
    assert not await store.jobs.cancel(job(1))
    assert not await store.jobs.cancel(job(9))
    assert await store.jobs.get(job(9)) is None


async def test_old_jobs_are_dropped_with_all_that_was_in_them(store: SqlHistory) -> None:
    await store.jobs.add(job(1), NOW, "v", b"x")
    await store.jobs.add(job(2), LATER, "v", b"x")
    assert await store.jobs.forget(LATER) == 1
    assert await store.jobs.get(job(1)) is None
    assert await store.jobs.get(job(2)) is not None


async def test_a_runner_makes_the_plan_and_keeps_nothing_else(store: SqlHistory) -> None:
    await store.jobs.add(job(1), now(), "v", GIVEN)
    runner = Runner(store.jobs, now, "one", beat=0.05)
    assert await runner.once()
    assert not await runner.once()
    done = await store.jobs.get(job(1))
    assert done is not None
    assert done.state == "done"
    assert msgspec.json.decode(done.answer or b"", type=FramePlan).checked
    async with store._database.read() as connection:
        row = (await connection.exec_driver_sql("SELECT given FROM plan_jobs")).one()
    assert row.given is None


async def test_jobs_survive_a_restart(url: str, make: Maker) -> None:
    """The service stops while a job runs: the job is given free, and the next start sees it through."""
    first = make.store(url)
    await first.start()
    await first.jobs.add(job(1), now(), "v", GIVEN)
    running = asyncio.create_task(Runner(first.jobs, now, "one", beat=0.05).once())
    while (found := await first.jobs.get(job(1))) is None or found.state != "running":
        await asyncio.sleep(0.01)
    running.cancel()
    with pytest.raises(asyncio.CancelledError):
        await running
    await first.stop()
    second = make.store(url)
    await second.start()
    assert await Runner(second.jobs, now, "two", beat=0.05).once()
    done = await second.jobs.get(job(1))
    assert done is not None
    assert done.state == "done"
    await second.stop()


async def test_a_worker_that_is_killed_fails_its_job_and_nothing_else(store: SqlHistory, monkeypatch: pytest.MonkeyPatch) -> None:
    spawn, killed = asyncio.create_subprocess_exec, []

    async def spawn_and_kill(*args: object, **kwargs: object) -> asyncio.subprocess.Process:
        process = await spawn(*args, **kwargs)  # type: ignore[arg-type]
        if not killed:
            killed.append(process.pid)
            os.kill(process.pid, signal.SIGKILL)
        return process

    monkeypatch.setattr(processes.asyncio, "create_subprocess_exec", spawn_and_kill)
    await store.jobs.add(job(1), now(), "v", GIVEN)
    await store.jobs.add(job(2), now(), "v", GIVEN)
    runner = Runner(store.jobs, now, "one", beat=0.05)
    assert await runner.once()
    assert await runner.once()
    first, second = await store.jobs.get(job(1)), await store.jobs.get(job(2))
    assert first is not None
    assert second is not None
    assert (first.state, first.failure, second.state) == ("failed", "WorkerEnded", "done")


async def test_cancelling_kills_the_worker(store: SqlHistory, monkeypatch: pytest.MonkeyPatch) -> None:
    spawn, pids = asyncio.create_subprocess_exec, []

    async def sleeper(*args: object, **kwargs: object) -> asyncio.subprocess.Process:
        process = await spawn("sleep", "60", **kwargs)  # type: ignore[arg-type]
        pids.append(process.pid)
        return process

    monkeypatch.setattr(processes.asyncio, "create_subprocess_exec", sleeper)
    await store.jobs.add(job(1), now(), "v", GIVEN)
    running = asyncio.create_task(Runner(store.jobs, now, "one", beat=0.05).once())
    while not pids:
        await asyncio.sleep(0.01)
    assert await store.jobs.cancel(job(1))
    assert await asyncio.wait_for(running, 10)
    with pytest.raises(ProcessLookupError):
        os.kill(pids[0], 0)


async def test_a_worker_is_stopped_after_its_time_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    spawn = asyncio.create_subprocess_exec

    async def sleeper(*args: object, **kwargs: object) -> asyncio.subprocess.Process:
        return await spawn("sleep", "60", **kwargs)  # type: ignore[arg-type]

    monkeypatch.setattr(processes.asyncio, "create_subprocess_exec", sleeper)
    monkeypatch.setattr(processes, "GRACE_SECONDS", 0.1)
    given = msgspec.structs.replace(random_input(3), seconds=0.1)
    with pytest.raises(processes.PlanFailed, match="TimeLimit"):
        await processes.run_worker(given)


async def test_an_input_of_another_release_fails_its_job(store: SqlHistory) -> None:
    await store.jobs.add(job(1), now(), "v", b"\xc1")
    assert await Runner(store.jobs, now, "one").once()
    found = await store.jobs.get(job(1))
    assert found is not None
    assert (found.state, found.failure) == ("failed", "OtherRelease")


async def test_an_erased_work_takes_the_plans_that_name_it_with_it(store: SqlHistory) -> None:
    planned = b'{"hangs":[{"ref":"tide-7"}]}'
    waiting = msgspec.msgpack.encode({"works": [{"ref": "tide-7"}]})
    for number, venue, given in ((1, "v", waiting), (2, "v", b"other"), (3, "w", waiting), (4, "v", b"\xc1 tide-7 of another release")):
        await store.jobs.add(job(number), NOW, venue, given)
    await store.jobs.add(job(5), NOW, "v", msgspec.msgpack.encode({"works": [{"ref": "tide-70", "title": "tide-7"}]}))
    await store.jobs.add(job(0), NOW, "v", b"first")
    assert await store.jobs.claim("worker", NOW, SOON) == (job(0), b"first")
    assert await store.jobs.finish(job(0), "worker", planned, None)
    erased = await store.erase("tide-7", ("v",), NOW, None)
    assert (erased.evaluations, erased.plans) == (0, 3)
    assert [await store.jobs.get(job(number)) is None for number in range(6)] == [True, True, False, False, True, False]
    assert (await store.erase("tide-7", None, NOW, None)).plans == 1
