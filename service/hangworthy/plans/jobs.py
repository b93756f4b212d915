"""Plans in the background: jobs are taken up from the database under a lease, made by a worker, and their answers kept there."""

import asyncio
import contextlib
from collections.abc import Callable
from datetime import datetime, timedelta

import msgspec

from hangworthy.history.port import Jobs
from hangworthy.plans.frames.processes import PlanFailed, run_worker
from hangworthy.plans.frames.wanted import PlanInput

LEASE = timedelta(seconds=15)
BEAT_SECONDS = 1.0
KEPT_FOR = timedelta(days=1)  # a job holds works' facts: it is dropped a day after it was asked for


class Runner:
    """Takes up one job after another for one process of the service."""

    def __init__(
        self, jobs: Jobs, clock: Callable[[], datetime], name: str, *, lease: timedelta = LEASE, beat: float = BEAT_SECONDS
    ) -> None:
        """``name`` tells this process from others; ``beat`` [s] is how often a lease is renewed and a cancelled job noticed."""
        self._jobs, self._clock, self._name, self._lease, self._beat = jobs, clock, name, lease, beat

    async def once(self) -> bool:
        """Take up a job, if there is one, and see it to its end; return whether there was one."""
        now = self._clock()
        found = await self._jobs.claim(self._name, now, now + self._lease)
        if found is None:
            return False
        id_, given = found
        try:
            await self._see_through(id_, given)
        except asyncio.CancelledError:
            # The service stops: whoever looks next may take the job up at once.
            with contextlib.suppress(Exception):
                await asyncio.shield(self._jobs.note(id_, self._name, 0.0, self._clock()))
            raise
        return True

    async def _see_through(self, id_: str, given: bytes) -> None:
        share = [0.0]

        def progress(so_far: float) -> None:
            share[0] = so_far

        try:
            asked = msgspec.msgpack.decode(given, type=PlanInput)
        except msgspec.DecodeError:  # kept by another release
            await self._jobs.finish(id_, self._name, None, "OtherRelease")
            return
        work = asyncio.create_task(run_worker(asked, progress))
        try:
            while not (await asyncio.wait({work}, timeout=self._beat))[0]:
                if not await self._jobs.note(id_, self._name, share[0], self._clock() + self._lease):
                    return  # cancelled, or taken up by another
            await self._jobs.finish(id_, self._name, *_outcome(work))
        finally:
            work.cancel()
            with contextlib.suppress(asyncio.CancelledError, PlanFailed):
                await work


def _outcome(work: "asyncio.Task[bytes]") -> tuple[bytes | None, str | None]:
    try:
        return work.result(), None
    except PlanFailed as failed:
        return None, str(failed)
