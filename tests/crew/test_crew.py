"""The crew with real processes: who evaluates, what happens when one of them ends, and that none is left behind."""

import asyncio
import contextlib
import gc
import os
import signal
import sys
from collections.abc import AsyncIterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from crew.making import AT, body, intake, setup
from hangworthy.crew import Crew
from hangworthy.crew import crew as module
from hangworthy.crew.hand import Hand
from hangworthy.crew.messages import MOST_VIEWS, Forget, Made, Ready, framed
from hangworthy.evaluating import filed
from hangworthy.history.port import NewEvaluation
from hangworthy.intake import Intake

pytestmark = [pytest.mark.anyio, pytest.mark.timeout(120)]
DEAF = (sys.executable, "-c", "import sys; sys.stdin.read()")  # takes everything, and never answers
NO_ANSWERS = {
    "garbage": b"Hello, I am a pack.",
    "too few": framed(Made(1, [])),
    "too many": framed(Made(1, [None] * 99)),
    "to nothing": framed(Made(7, [None])),
    "a flood": b"\0\0\0\1x" + b"y" * (1 << 24),
}


@pytest.fixture(params=["asyncio", "uvloop"])
def anyio_backend(request: pytest.FixtureRequest) -> Any:
    """The service runs on uvloop, whose pipes are not the standard library's."""
    return "asyncio", {"use_uvloop": request.param == "uvloop"}


def saying(said: bytes) -> tuple[str, ...]:
    """A process that takes its setup, is ready, and says this when it is asked."""
    program = f"""
import sys
def take():
    sys.stdin.buffer.read(int.from_bytes(sys.stdin.buffer.read(4), "big"))
def say(said):
    sys.stdout.buffer.write(said)
    sys.stdout.flush()
take()
say({framed(Ready(True))!r})
take()
take()
say({said[:9]!r} + {said[9:10]!r} * {len(said) - 9} if {len(said) > 1_000} else {said[:1_000]!r})
sys.stdin.read()
"""
    return (sys.executable, "-c", program)


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


@pytest.mark.parametrize("what", NO_ANSWERS)
async def test_one_that_says_what_is_no_answer_is_ended_and_nobody_waits(what: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "Hand", partial(Hand, stuck=0.5))
    async with ready(1, command=saying(NO_ANSWERS[what])) as crew, asyncio.timeout(30):
        assert await made(crew, intake(), 8) == [None] * 8
        await crew.hands[0].task
        with pytest.raises(ProcessLookupError):
            os.kill(crew.hands[0].pid, 0)
        assert await made(crew, intake(), 8) == [None] * 8


async def test_one_that_stands_still_is_killed_and_leaves_its_lines_to_the_service(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "Hand", partial(Hand, stuck=0.5))
    async with ready() as crew, asyncio.timeout(30):
        first, second = crew.hands
        os.kill(first.pid, signal.SIGSTOP)
        found = await made(crew, intake(), 64)
        assert 0 < found.count(None) < 64
        await first.task
        assert second.ready


async def test_one_that_has_nothing_to_do_is_not_taken_for_one_that_stands_still(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "Hand", partial(Hand, stuck=0.1))
    async with ready(1) as crew:
        await asyncio.sleep(0.5)
        assert all(await made(crew, intake(), 8))


async def test_a_module_in_the_folder_it_is_started_in_is_none_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "msgspec.py").write_text("raise SystemExit")
    monkeypatch.chdir(tmp_path)
    async with ready(1) as crew:
        assert all(await made(crew, intake(), 2))


async def test_one_that_is_killed_while_it_loads_leaves_the_others() -> None:
    async with asyncio.timeout(60):
        crew = Crew(2, setup())
        crew.begin()
        first, second = crew.hands
        await until(lambda: first.pid)
        os.kill(first.pid, signal.SIGKILL)
        await first.task
        await until(lambda: second.ready)
        assert all(await made(crew, intake(), 20))
        await crew.close()


async def test_what_is_large_goes_to_several_at_once() -> None:
    """A line may hold hundreds of works: eight such lines in one message would leave the other processes idle."""
    large = [body(f"w{n}", canvas={"billow_mm": 2})[:-1] + b" " * 20_000 + b"}" for n in range(2)]
    known = intake()
    async with ready() as crew:
        asked = asyncio.gather(*(crew.made(known, one, AT) for one in large))
        await asyncio.sleep(0)
        await asyncio.sleep(0)
        assert [hand.load for hand in crew.hands] == [1, 1]
        await asked


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


async def test_an_erasure_reaches_the_processes_also_from_another_thread(tmp_path: Path) -> None:
    """What they do with it is seen in test_worker."""
    heard = tmp_path / "heard"
    program = f"""
import os, sys
os.write(1, {framed(Ready(True))!r})
with open({str(heard)!r}, "wb", buffering=0) as file:
    while told := os.read(0, 9999):
        file.write(told)
"""
    async with ready(1, command=(sys.executable, "-c", program)) as crew:
        await asyncio.to_thread(crew.forget)
    assert heard.read_bytes().endswith(framed(Forget()))


async def test_after_an_erasure_they_answer_as_before() -> None:
    async with ready(1) as crew:
        first = await made(crew, intake(), 2)
        crew.forget()
        assert await made(crew, intake(), 2) == first
