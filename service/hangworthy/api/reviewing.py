"""Reviewing: everything that is kept asked again under today's packs and limits, and told where it would be decided otherwise.

Both outcomes of each work are compared, which is quick; only where they differ are the two answers compared as a whole, for the causes.
"""

from collections.abc import AsyncIterator
from typing import Any

import msgspec

from hangworthy.api.book import Book, View
from hangworthy.api.core import day_of
from hangworthy.contract.effect import Outcome
from hangworthy.contract.finding import Evaluation
from hangworthy.engine.changes import Cause
from hangworthy.engine.compare import causes, compare
from hangworthy.engine.evaluate import BadWorks, Evaluator
from hangworthy.history.port import History, Stored
from hangworthy.intake import BadInput


class Decided(msgspec.Struct, frozen=True):
    """What was decided about one work; of a stored answer nothing else is read."""

    ref: str
    outcome: Outcome
    at_worst: Outcome


class _Told(msgspec.Struct, frozen=True):
    works: tuple[Decided, ...]


class Otherwise(msgspec.Struct, frozen=True):
    """An evaluation that would be decided otherwise: its works that would, then and now, and the rules that make the difference."""

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
        """Yield the evaluations that would be decided otherwise, oldest first."""
        async for one in history.stored():
            if (found := self.ask(one)) is not None:
                yield found

    def ask(self, one: Stored) -> Otherwise | None:
        """Ask one again, at its venue as it is today; return how it would be decided if that is otherwise."""
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
        now = tuple([Decided(work.ref, work.outcome, work.at_worst) for work in again.works])
        return None if now == then else _otherwise(one, then, now, again)

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


def _otherwise(one: Stored, then: tuple[Decided, ...], now: tuple[Decided, ...], again: Evaluation) -> Otherwise:
    request, answer = msgspec.json.decode(one.request), msgspec.json.decode(one.answer)
    found = compare((request, answer), (request, msgspec.json.decode(msgspec.json.encode(again))))
    differ = [(before, after) for before, after in zip(then, now, strict=True) if before != after]
    return Otherwise(one.id, one.venue, tuple(one for one, _ in differ), tuple(one for _, one in differ), causes(found))
