"""The crew with real processes: who evaluates, what happens when one of them ends, and that none is left behind."""

import asyncio
import contextlib
import gc
import os
import signal
import sys
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

import msgspec
import pytest

from crew.making import AT, body, intake, setup
from hangworthy.crew import Crew
from hangworthy.crew import crew as module
from hangworthy.crew.hand import Hand
from hangworthy.crew.messages import MOST_VIEWS
from hangworthy.evaluating import filed
from hangworthy.history.port import NewEvaluation
from hangworthy.intake import Intake

pytestmark = [pytest.mark.anyio, pytest.mark.timeout(120)]
DEAF = (sys.executable, "-c", "import sys; sys.stdin.read()")  # takes everything, and never answers


async def until(happened: Any, seconds: float = 60) -> None:
    async with asyncio.timeout(seconds):
        while not happened():
            await asyncio.sleep(0.01)


@contextlib.asynccontextmanager
async def ready(size: int = 2, **details: Any) -> AsyncIterator[Crew]:
    crew = Crew(size, setup(), **details)
    try:
        crew.begin()
        await until(lambda: all(hand.ready for hand in crew.hands))
        yield crew
    finally:
        await crew.close()


async def made(crew: Crew, known: Intake, count: int) -> list[NewEvaluation | None]:
    return await asyncio.gather(*(crew.made(known, body(f"w{n}", width_mm=600 + n), AT, id=f"id-{n}") for n in range(count)))


async def test_many_lines_come_back_in_their_places_as_the_service_would_make_them() -> None:
    known = intake()
    async with ready() as crew:
        found = await made(crew, known, 100)
    assert found == [filed(known, body(f"w{n}", width_mm=600 + n), AT, id=f"id-{n}") for n in range(100)]


async def test_until_the_processes_are_ready_and_without_any_the_service_evaluates() -> None:
    crew, none = Crew(1, setup(), DEAF), Crew(0, setup())
    crew.begin()
    none.begin()
    assert await made(crew, intake(), 3) == await made(none, intake(), 3) == [None] * 3
    assert none.hands == []
    await crew.close()


async def test_one_that_is_killed_leaves_its_lines_to_the_service_and_the_others_go_on() -> None:
    known = intake()
    async with ready() as crew:
        first, second = crew.hands
        os.kill(first.pid, signal.SIGSTOP)  # it has lines in hand, and does not get to them
        asked = asyncio.create_task(made(crew, known, 64))
        await until(lambda: first.load and not second.load)
        os.kill(first.pid, signal.SIGKILL)
        found = await asked
        assert 0 < found.count(None) < 64
        assert all(one is not None for one in await made(crew, known, 20))


async def test_processes_that_ended_are_started_again_after_a_while(monkeypatch: pytest.MonkeyPatch) -> None:
    async with ready(1) as crew:
        (first,) = crew.hands
        os.kill(first.pid, signal.SIGKILL)
        await first.task
        crew.begin()
        assert crew.hands == [first]
        monkeypatch.setattr(module, "AGAIN_SECONDS", 0.0)
        crew.begin()
        (second,) = crew.hands
        await until(lambda: second.ready)
        assert [one and one.works[0].ref for one in await made(crew, intake(), 2)] == ["w0", "w1"]


async def test_one_with_other_packs_is_not_asked_and_not_started_again(
    caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "AGAIN_SECONDS", 0.0)
    crew = Crew(1, setup(faults=("another",)))
    crew.begin()
    (hand,) = crew.hands
    await hand.task
    crew.begin()
    assert crew.hands == [hand]
    assert await made(crew, intake(), 2) == [None, None]
    assert "start it again" in caplog.text
    await crew.close()


async def test_a_command_that_cannot_be_started_is_said_once(caplog: pytest.LogCaptureFixture, tmp_path: Path) -> None:
    crew = Crew(1, setup(), (str(tmp_path / "nothing"),))
    crew.begin()
    await crew.hands[0].task
    assert await made(crew, intake(), 1) == [None]
    assert "could not be started" in caplog.text
    await crew.close()


async def test_one_that_is_not_needed_ends() -> None:
    hand = Hand(module.COMMAND, setup(), idle=0.3)
    async with asyncio.timeout(60):
        await hand.task
    assert not hand.ready
    with pytest.raises(ProcessLookupError):
        os.kill(hand.pid, 0)


async def test_closing_ends_all_and_whoever_waits_is_told() -> None:
    async with ready() as crew:
        for hand in crew.hands:
            os.kill(hand.pid, signal.SIGSTOP)
        asked = asyncio.create_task(made(crew, intake(), 32))
        await until(lambda: sum(hand.load for hand in crew.hands) == 32)
        pids = [hand.pid for hand in crew.hands]
        module_end = asyncio.create_task(crew.close())
        for pid in pids:
            os.kill(pid, signal.SIGCONT)
        await module_end
        assert all(one is None or one.works for one in await asked)
        assert await made(crew, intake(), 2) == [None, None]
    for pid in pids:
        with pytest.raises(ProcessLookupError):
            os.kill(pid, 0)


async def test_one_that_does_not_end_is_killed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "END_SECONDS", 0.2)
    async with ready(1) as crew:
        pid = crew.hands[0].pid
        os.kill(pid, signal.SIGSTOP)
        await crew.close()
        with pytest.raises(ProcessLookupError):
            os.kill(pid, 0)


async def test_a_caller_who_goes_takes_only_its_own_line_along() -> None:
    known = intake()
    async with ready(1) as crew:
        going = asyncio.create_task(crew.made(known, body("gone"), AT))
        staying = asyncio.create_task(crew.made(known, body("stays"), AT))
        await asyncio.sleep(0)
        going.cancel()
        found = await staying
        assert found is not None
        assert found.works[0].ref == "stays"
        with pytest.raises(asyncio.CancelledError):
            await going


async def test_each_caller_is_answered_by_its_own_venues() -> None:
    everywhere, house = intake(), intake()
    house = house.over({"house": (house.evaluators or {})["house"]}, None)
    async with ready(1) as crew:
        one, other, nowhere = await asyncio.gather(
            crew.made(everywhere, body("a", "annexe"), AT), crew.made(house, body("b", "annexe"), AT), crew.made(house, body("c"), AT)
        )
        assert one is not None
        assert (one.venue, one.venue_version) == ("annexe", 4)
        assert (other, nowhere) == (None, None)


async def test_views_are_told_again_when_many_others_came_between(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "TOGETHER", 1)
    known = [intake(keep=0) for _ in range(3)]
    async with ready(1) as crew:
        many = [known[0].over(known[0].evaluators or {}, "house") for _ in range(2 * MOST_VIEWS)]
        for one in (*known, *many, *known):
            assert await crew.made(one, body("a"), AT) is not None
        assert len(crew.views) == len(known) + len(many)
        del one, many
        gc.collect()
        assert len(crew.views) == len(known)


async def test_another_event_loop_evaluates_for_itself() -> None:
    async with ready(1) as crew:
        assert await asyncio.to_thread(lambda: asyncio.run(made(crew, intake(), 2))) == [None, None]


async def test_an_erasure_reaches_the_processes() -> None:
    """What they remember is theirs alone; that they were told is seen by their going on, and by what they do with it (test_worker)."""
    async with ready(1) as crew:
        first = await made(crew, intake(), 2)
        crew.forget()
        assert [one and msgspec.structs.replace(one) for one in await made(crew, intake(), 2)] == first
