"""Turns: each evaluation gets one, in order, and whatever else waits is looked at between two of them."""

import asyncio
import threading

import pytest

from hangworthy.api.turns import Turns


async def _worker(turns: Turns, name: str, seen: list[str]) -> None:
    await turns.take()
    seen.append(name)


def test_in_their_order_and_others_in_between() -> None:
    seen: list[str] = []

    async def other() -> None:
        """Needs the loop again and again, as the writer of the history does."""
        for step in range(4):
            seen.append(f"step {step}")
            await asyncio.sleep(0)

    async def together() -> None:
        turns = Turns()
        await asyncio.gather(*(_worker(turns, f"work {number}", seen) for number in range(12)), other())

    asyncio.run(together())
    assert [one for one in seen if one.startswith("work")] == [f"work {number}" for number in range(12)]
    # Without turns all twelve would have come before the second step.
    assert seen.index("step 3") < seen.index("work 4")


def test_a_free_turn_is_taken_without_waiting() -> None:
    async def alone() -> None:
        turns = Turns()
        for _ in range(3):
            waiting = turns.take()
            with pytest.raises(StopIteration):
                waiting.send(None)
            await asyncio.sleep(0)
            await asyncio.sleep(0)

    asyncio.run(alone())


def test_who_no_longer_waits_does_not_keep_the_others() -> None:
    seen: list[str] = []

    async def together() -> None:
        turns = Turns()
        tasks = [asyncio.create_task(_worker(turns, f"work {number}", seen)) for number in range(6)]
        await asyncio.sleep(0)
        tasks[1].cancel()
        tasks[3].cancel()
        await asyncio.wait(tasks, timeout=5)
        assert [task.cancelled() for task in tasks] == [False, True, False, True, False, False]
        await _worker(turns, "later", seen)

    asyncio.run(together())
    assert seen == ["work 0", "work 2", "work 4", "work 5", "later"]


def test_a_turn_that_was_given_to_one_who_just_left_goes_on_to_the_next() -> None:
    seen: list[str] = []

    async def together() -> None:
        turns = Turns()
        first, second, third = (asyncio.create_task(_worker(turns, name, seen)) for name in ("a", "b", "c"))
        await asyncio.sleep(0)  # a has its turn; b and c wait
        for _ in range(100):
            if len(turns._waiting) == 1:  # b was given its turn, and has not taken it yet
                break
            await asyncio.sleep(0)
        assert second.cancel()
        await asyncio.wait([first, second, third], timeout=5)
        assert third.done()
        assert not third.cancelled()

    asyncio.run(together())
    assert seen == ["a", "c"]


def test_a_loop_that_ended_with_somebody_waiting_leaves_the_next_one_free() -> None:
    turns, seen = Turns(), list[str]()

    async def dropped() -> None:
        for number in range(3):
            asyncio.get_running_loop().create_task(_worker(turns, f"dropped {number}", []))
        await asyncio.sleep(0)

    loop = asyncio.new_event_loop()
    loop.run_until_complete(dropped())
    asyncio.run(asyncio.wait_for(_worker(turns, "next", seen), 5))
    for task in asyncio.all_tasks(loop):
        task.cancel()
    loop.run_until_complete(asyncio.sleep(0))
    loop.close()
    assert seen == ["next"]


def test_two_loops_in_two_threads_do_not_wait_for_each_other() -> None:
    turns, seen = Turns(), list[str]()

    async def together() -> None:
        async with asyncio.timeout(10):
            await asyncio.gather(*(_worker(turns, "", seen) for _ in range(200)))

    threads = [threading.Thread(target=lambda: asyncio.run(together())) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(20)
    assert len(seen) == 400


def test_the_next_loop_starts_with_a_free_turn() -> None:
    turns, seen = Turns(), list[str]()
    for number in range(3):
        asyncio.run(_worker(turns, f"{number}", seen))
    assert seen == ["0", "1", "2"]
