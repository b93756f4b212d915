"""Reviewing: everything that is kept asked again under today's packs and limits, and told where it would be decided otherwise.

Outcomes and verdicts of each work are compared, which is quick; only where they differ are the two answers compared as a whole, for the
causes.
"""

from collections.abc import AsyncIterator
from typing import Any

import msgspec

from hangworthy.api.book import Book, View
from hangworthy.contract.effect import Outcome
from hangworthy.contract.finding import Evaluation, Finding
from hangworthy.engine.changes import Cause
from hangworthy.engine.compare import causes, compare
from hangworthy.engine.evaluate import BadWorks, Evaluator
from hangworthy.evaluating import day_of
from hangworthy.history.port import History, Stored
from hangworthy.intake import BadInput


class Decided(msgspec.Struct, frozen=True):
    """What was decided about one work; of a stored answer nothing else is read."""

    ref: str
    outcome: Outcome
    at_worst: Outcome


class _Verdict(msgspec.Struct, frozen=True):
    """What a finding said, without its figures and sentences."""

    rule: str
    state: str
    effect: str
    by: str = ""
    effect_at_worst: str | None = None
    due: str | None = None


class _Work(msgspec.Struct, frozen=True):
    ref: str
    outcome: Outcome
    at_worst: Outcome
    findings: tuple[_Verdict, ...] = ()


class _Told(msgspec.Struct, frozen=True):
    works: tuple[_Work, ...]


class Otherwise(msgspec.Struct, frozen=True):
    """An evaluation that would be answered otherwise: its works whose outcomes would be others, then and now (none, where only findings
    would be), and the rules that make the difference.
    """

    id: str
    venue: str
    then: tuple[Decided, ...]
    now: tuple[Decided, ...]
    causes: tuple[Cause, ...]


class Review:
    """Asks stored evaluations again and counts: ``asked``, and those that cannot be (``erased``; ``unread`` by today's packs)."""

    def __init__(self, book: Book) -> None:
        """Take the venues in force."""
        self.asked = self.erased = self.unread = 0
        self._book = book
        self._views: dict[str, tuple[View, Evaluator]] = {}
        self._told = msgspec.json.Decoder(_Told)

    async def all(self, history: History) -> AsyncIterator[Otherwise]:
        """Yield the evaluations that would be answered otherwise, oldest first."""
        async for one in history.stored():
            if (found := self.ask(one)) is not None:
                yield found

    def ask(self, one: Stored) -> Otherwise | None:
        """Ask one again, at its venue as it is today; return what would be answered otherwise, if anything would."""
        try:
            then = self._told.decode(one.answer).works
        except msgspec.ValidationError:  # nothing of it is left
            then = ()
        if not then:
            self.erased += 1
            return None
        again = self._again(one)
        if again is None:
            self.unread += 1
            return None
        self.asked += 1
        return None if _works(again) == then else _otherwise(one, then, again)

    def _again(self, one: Stored) -> Evaluation | None:
        known = self._views.get(one.venue) or self._bound(one.venue)
        if known is None:
            return None
        view, evaluator = known
        try:
            request: Any = view.intake.read(one.request)
            return evaluator.on(day_of(one.at)).evaluate(request.works, request.stage)
        except (BadInput, BadWorks):
            return None

    def _bound(self, venue: str) -> tuple[View, Evaluator] | None:
        """Return how a venue's requests are read; one that named no venue meant this one."""
        evaluator = self._book.evaluators.get(venue)
        if evaluator is None:
            return None
        self._views[venue] = self._book.view_of_one(venue, evaluator), evaluator
        return self._views[venue]


def _works(answer: Evaluation) -> tuple[_Work, ...]:
    return tuple([_Work(work.ref, work.outcome, work.at_worst, tuple(map(_verdict, work.findings))) for work in answer.works])


def _verdict(one: Finding) -> _Verdict:
    return _Verdict(one.rule, one.state, one.effect, one.by, one.effect_at_worst, one.due)


def _otherwise(one: Stored, then: tuple[_Work, ...], again: Evaluation) -> Otherwise | None:
    request, answer = msgspec.json.decode(one.request), msgspec.json.decode(one.answer)
    why = causes(compare((request, answer), (request, msgspec.json.decode(msgspec.json.encode(again)))))
    pairs = [(_decided(before), _decided(after)) for before, after in zip(then, again.works, strict=True)]
    differ = [pair for pair in pairs if pair[0] != pair[1]]
    if not differ and not why:  # the same findings in another order
        return None
    return Otherwise(one.id, one.venue, tuple(one for one, _ in differ), tuple(one for _, one in differ), why)


def _decided(work: Any) -> Decided:
    return Decided(work.ref, work.outcome, work.at_worst)
