"""The crew as the service sees it: bodies go out, several to a message, and their evaluations come back."""

import asyncio
import sys
import time
from datetime import datetime
from weakref import WeakKeyDictionary

import msgspec

from hangworthy.crew.hand import END_SECONDS, Answer, Hand
from hangworthy.crew.messages import Line, Setup, VenueKnown, View
from hangworthy.history.port import NewEvaluation
from hangworthy.intake import Intake
from hangworthy.venues.content import content_of

TOGETHER = 8  # lines in one message: more would leave processes idle at the end of a batch
ENOUGH_BYTES = 16_000  # in one message: a line may hold hundreds of works, and the next process could take the next one
SOON = 0.002  # seconds until lines go out though fewer came
AGAIN_SECONDS = 60.0  # until processes that ended are started again
COMMAND = (sys.executable, "-m", "hangworthy.crew.worker")


class Draft:
    """Lines that wait for others to go out with."""

    def __init__(self, view: View) -> None:
        """Start empty."""
        self.view, self.lines, self.answers, self.size = view, list[Line](), list[Answer](), 0

    def full(self) -> bool:
        """Return whether it need not wait for more."""
        return len(self.lines) >= TOGETHER or self.size >= ENOUGH_BYTES


class Crew:
    """So many processes, started when a batch first needs them. With none, or until they are ready, nothing is evaluated here."""

    def __init__(self, size: int, setup: Setup | None, command: tuple[str, ...] = COMMAND) -> None:
        """Have at most ``size`` processes, set up alike; nothing is started yet."""
        self.size, self._setup, self._command = size if setup else 0, setup, command
        self.hands: list[Hand] = []
        self._drafts: dict[int, Draft] = {}
        self.views: WeakKeyDictionary[Intake, View] = WeakKeyDictionary()  # an intake goes when its venues changed
        self._numbered = 0
        self._loop: asyncio.AbstractEventLoop | None = None
        self._begun = -AGAIN_SECONDS
        self._closing = False

    def begin(self) -> None:
        """Start the processes that do not run; return at once."""
        running = [hand for hand in self.hands if not hand.task.done()]
        if self._closing or len(running) >= self.size or any(hand.unfit for hand in self.hands):
            return
        loop, now = asyncio.get_running_loop(), time.monotonic()
        if self._loop not in (None, loop) or now - self._begun < AGAIN_SECONDS:
            return
        assert self._setup is not None  # noqa: S101 - with none, the size is 0
        self._loop, self._begun = loop, now
        self.hands = [*running, *(Hand(self._command, self._setup) for _ in range(self.size - len(running)))]

    async def made(self, intake: Intake, body: bytes, at: datetime, *, id: str | None = None, brief: bool = False) -> NewEvaluation | None:
        """Return the evaluation of a body for whoever may use this intake, as ``filed`` does; None when the service has to do it itself."""
        if not any(hand.ready for hand in self.hands) or asyncio.get_running_loop() is not self._loop:
            return None
        view = self._view(intake)
        draft = self._drafts.get(view.number)
        if draft is None:
            draft = self._drafts[view.number] = Draft(view)
            self._loop.call_later(SOON, self._hand_out, draft)
        answer: Answer = self._loop.create_future()
        draft.lines.append(Line(body, at, id, brief))
        draft.answers.append(answer)
        draft.size += len(body)
        if draft.full():
            self._hand_out(draft)
        new = await answer
        return None if new is None else msgspec.structs.replace(new, request=body)

    def forget(self) -> None:
        """Have all processes forget what was told of any work: one was erased."""
        if self._loop is not None and not self._loop.is_closed():
            self._loop.call_soon_threadsafe(self._forget)  # another thread's loop may answer the erasure

    def _forget(self) -> None:
        for hand in self.hands:
            hand.forget()

    async def close(self) -> None:
        """End all processes, at once where they do not end by themselves; whoever still waits is told None."""
        self._closing = True
        for hand in self.hands:
            hand.end()
        if tasks := [hand.task for hand in self.hands]:
            await asyncio.wait(tasks, timeout=END_SECONDS)
        for hand in self.hands:
            if not hand.task.done():
                hand.kill()
        await asyncio.gather(*tasks, return_exceptions=True)

    def _hand_out(self, draft: Draft) -> None:
        """Give lines to the process that has least to do."""
        if self._drafts.get(draft.view.number) is not draft:  # it went out already
            return
        del self._drafts[draft.view.number]
        ready = [hand for hand in self.hands if hand.ready]
        if ready:
            min(ready, key=lambda hand: hand.load).ask(draft.view, draft.lines, draft.answers)
            return
        for answer in draft.answers:
            if not answer.done():
                answer.set_result(None)

    def _view(self, intake: Intake) -> View:
        found = self.views.get(intake)
        if found is None:
            self._numbered += 1
            found = self.views[intake] = view_of(self._numbered, intake)
        return found


def view_of(number: int, intake: Intake) -> View:
    """Return what there is to know of the venues that an intake knows."""
    venues = []
    for name, evaluator in (intake.evaluators or {}).items():
        used, content = evaluator.ruleset.venue_used, msgspec.json.encode(content_of(evaluator.ruleset.venue))
        venues.append(VenueKnown(name, used.version, used.fingerprint, content))
    return View(number, intake.default, tuple(venues))
