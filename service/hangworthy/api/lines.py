"""One line of a batch: from its bytes to the line that answers it, whatever goes wrong with it."""

import asyncio
import time
from typing import Any

import msgspec

from hangworthy.api.access import Caller
from hangworthy.api.answers_batch import BatchProblem
from hangworthy.api.core import Service, encoded
from hangworthy.api.problems import INTERNAL, TOO_LARGE, Problem, Refused, note, refusal_of, refusal_of_store
from hangworthy.api.recording import idempotency, record
from hangworthy.contract.effect import TO_ACT_ON
from hangworthy.contract.finding import Evaluation
from hangworthy.evaluating import filed
from hangworthy.history.port import Busy, HistoryError, Idempotency, Kept, NewEvaluation
from hangworthy.intake import BadInput, InputFault, Intake
from hangworthy.intake.lines import Line, as_request

PATIENCE = 30.0  # seconds to wait for a history whose queue is full
SHORTEST_WAIT, LONGEST_WAIT = 0.01, 1.0


class Wish(msgspec.Struct, frozen=True):
    """What a caller wishes of all lines.

    ``stage``, ``venue`` and ``language`` are for those that name none. ``brief`` leaves out the findings that nobody has to act on.
    ``key`` is the Idempotency-Key of the request; each line has its own, made of it and of the line's number.
    """

    stage: str | None
    venue: str | None
    language: str | None
    records: bool
    brief: bool
    key: str | None
    media_type: str


class Lines:
    """Answers the lines of one request."""

    def __init__(self, service: Service, caller: Caller, wish: Wish, longest: int) -> None:
        """Take who calls and what is wished, and how many bytes a line may have."""
        self.longest = longest
        self.service, self.caller, self.wish = service, caller, wish
        self.state: dict[str, Any] = {}

    async def answer(self, line: Line) -> bytes:
        """Return the line that answers one: an evaluation or a problem."""
        cut = ""
        try:
            if line.text is None:
                raise Refused(TOO_LARGE, f"A line has at most {self.longest:,} bytes; send fewer works in one line.")
            body, cut = as_request(line.text, stage=self.wish.stage, venue=self.wish.venue, language=self.wish.language)
            return b'{"line":%d,"evaluation":%s}\n' % (line.number, await self._evaluated(body, line.number))
        except BadInput as bad:
            return self._refused(line.number, refusal_of(BadInput(bad.kind, [_in_line(one, cut) for one in bad.faults])))
        except Refused as refused:
            return self._refused(line.number, refused)
        except HistoryError as error:
            return self._refused(line.number, refusal_of_store(error))
        except Exception as error:  # noqa: BLE001 - one line must not end the lines after it
            note(error)
            return self._refused(line.number, Refused(INTERNAL, INTERNAL.advice))

    async def refuse(self, number: int, why: Refused) -> bytes:
        """Return the line that refuses one without looking at it."""
        return self._refused(number, why)

    def _refused(self, number: int, why: Refused) -> bytes:
        kind = why.kind
        problem = Problem(kind.type, kind.title, kind.status, why.detail, self.state.get("instance", ""), why.errors)
        return encoded(BatchProblem(number, problem)) + b"\n"

    async def _evaluated(self, body: bytes, number: int) -> bytes:
        if self.wish.records:
            key = None if self.wish.key is None else idempotency(self.caller, key_of_line(self.wish.key, number), body)
            kept, works = await self._recorded(body, key)
            self._count(works)
            return encoded(trimmed(msgspec.json.decode(kept.answer, type=Evaluation))) if self.wish.brief else kept.answer
        new = await self._made(body, self.service.book.view(self.caller.venues).intake, None)
        self.service.metrics.evaluated(new.outcome, recorded=False)
        self._count(len(new.works))
        return new.answer

    async def _made(self, body: bytes, intake: Intake, id: str | None) -> NewEvaluation:
        """Return the evaluation of a body: made by the crew, or here where there is none, or where it found anything wrong."""
        service, at, brief = self.service, self.service.now(), self.wish.brief and not self.wish.records
        new = await service.crew.made(intake, body, at, id=id, brief=brief)
        return await service.in_turn(body, lambda: filed(intake, body, at, id=id, brief=brief)) if new is None else new

    async def _recorded(self, body: bytes, key: Idempotency | None) -> tuple[Kept, int]:
        """Record; a queue that is full is waited for, since the client's lines can wait where they are."""
        until, wait = time.monotonic() + PATIENCE, SHORTEST_WAIT
        while True:
            try:
                return await record(self.service, body, self.caller, key, self._made)
            except Busy:
                if time.monotonic() + wait > until:
                    raise
                await asyncio.sleep(wait)
                wait = min(2 * wait, LONGEST_WAIT)

    def _count(self, works: int) -> None:
        self.state["works"] = self.state.get("works", 0) + works


def key_of_line(key: str, number: int) -> str:
    """Return the Idempotency-Key of one line: none that a header could hold, so that no single call has the same."""
    return f"{key}\n{number}"


def _in_line(fault: InputFault, cut: str) -> InputFault:
    """Return a fault as the author of one line sees it."""
    message = fault.message.replace("at line 1, column", "at column", 1)
    return InputFault(fault.pointer.removeprefix(cut), message)


def trimmed(evaluation: Evaluation) -> Evaluation:
    """Leave out the findings that nobody has to act on, in place; what is still to be asked stays."""
    for work in evaluation.works:
        work.findings = [one for one in work.findings if one.state in TO_ACT_ON]
    return evaluation
