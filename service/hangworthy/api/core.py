"""The service behind the controllers: everything that was handed to it, and the answers that never change, made once."""

import asyncio
from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime
from functools import lru_cache
from typing import Any, TypeVar

import msgspec

from hangworthy.api import describe
from hangworthy.api.access import Access
from hangworthy.api.answers import Ready, ReadyHistory, ReadyPack, RuleAnswer
from hangworthy.api.book import Book, View
from hangworthy.api.metrics import Metrics
from hangworthy.api.once import Once
from hangworthy.api.openapi import document, dump
from hangworthy.api.page import page
from hangworthy.api.turns import Turns
from hangworthy.engine.answered import Answered
from hangworthy.engine.catalogue import Catalogue
from hangworthy.engine.evaluate import BadWorks
from hangworthy.engine.languages import language_of
from hangworthy.engine.ruleset import Venue
from hangworthy.engine.written import Written
from hangworthy.hints import hints_script
from hangworthy.history.port import History
from hangworthy.intake import from_bad_works
from hangworthy.sheets.printer import Printer

T = TypeVar("T")
LARGE = 32_000  # bytes; a longer body is worked on beside the event loop, so that others need not wait for it


class Service:
    """All that the controllers need, shared by all requests. Only the book of venues ever changes, and only as a whole."""

    def __init__(
        self,
        catalogue: Catalogue,
        venues: Sequence[Venue],
        default: str,
        *,
        clock: Callable[[], datetime],
        new_id: Callable[[], str],
        history: History | None = None,
    ) -> None:
        """Bind the catalogue to every venue. Raises VenueError when a venue names what is not there, or a default that is not."""
        self.catalogue, self.clock, self.new_id, self.history = catalogue, clock, new_id, history
        self.book = Book(catalogue, venues, default, history)
        self.access, self.metrics, self.printer, self.turns = Access(history, clock), Metrics(), Printer(), Turns()
        self._written: dict[str, Written] = {}
        self.rules: Once[dict[str, RuleAnswer]] = Once(lambda: describe.rules(catalogue))
        self.pack_names = [one.pack.name for one in catalogue.installed]
        self.described: Once[tuple[bytes, bytes]] = Once(lambda: _described(catalogue))  # the OpenAPI document, and its page
        self.hints = hints_script()
        self.packs = msgspec.json.encode(describe.packs(catalogue))
        self.forms: dict[tuple[str, int, str, str, str], bytes] = {}  # as they were asked for lately
        self.batches: set[Any] = set()  # those that are under way

    def now(self) -> datetime:
        """Return the time, in UTC. A clock without a zone is taken as UTC."""
        moment = self.clock()
        return moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment.astimezone(UTC)

    def written(self, language: str) -> Written:
        """Return what reads free text and says in a language what it read."""
        if language not in self._written:
            self._written[language] = Written(self.catalogue.schema, language_of(self.catalogue, language))
        return self._written[language]

    def drain(self) -> None:
        """Ask batches that are under way to come to an end: the service is being stopped."""
        for batch in tuple(self.batches):
            batch.stop()

    async def in_turn(self, body: bytes, work: Callable[[], T]) -> T:
        """Return what some work on a body gives: beside the event loop where the body is large, otherwise when its turn has come."""
        if len(body) > LARGE:
            return await asyncio.to_thread(work)
        await self.turns.take()
        return work()

    def evaluated(self, body: bytes, view: View, day: date) -> tuple[Any, Answered]:
        """Return the decoded request and its evaluation on a day, without a time stamp. Raises BadInput with every fault."""
        request = view.intake.read(body)
        evaluator = view.evaluators[view.default if request.venue is None else request.venue]  # type: ignore[index] # the intake saw to it
        if request.language is not None:
            evaluator = evaluator.speaking(request.language)
        try:
            return request, evaluator.on(day).answer(request.works, request.stage)
        except BadWorks as bad:
            raise from_bad_works(bad) from None

    def evaluate(self, body: bytes, view: View, *, brief: bool = False) -> tuple[bytes, int]:
        """Return the encoded evaluation of a body, and how many works it held; nothing is kept. Raises BadInput with every fault.

        ``brief`` leaves out the findings that nobody has to act on.
        """
        now = self.now()
        request, answered = self.evaluated(body, view, day_of(now))
        answered.head.evaluated_at = stamp(now)
        answer = encoded(answered.to_act_on()) if brief else answered.encoded()
        self.metrics.evaluated(answered.head.outcome, recorded=False)
        return answer, len(request.works)

    async def ready(self) -> Ready:
        """Return what the service answers with. Raises HistoryError when its history cannot be reached."""
        installed, faults = self.catalogue.installed, self.catalogue.faults
        history = None
        if self.history is not None:
            health = await self.history.health()
            self.metrics.queue(health.waiting, health.capacity)
            history = ReadyHistory(health.kind, health.schema, health.writable, health.waiting, health.capacity)
        return Ready(
            status="degraded" if faults or (history is not None and not history.writable) else "ready",
            packs=tuple(ReadyPack(one.pack.name, one.pack.version, one.fingerprint) for one in installed),
            faults=faults,
            default_venue=None if await self.access.keyed() else self.book.default,
            history=history,
        )


def _described(catalogue: Catalogue) -> tuple[bytes, bytes]:
    described = document(catalogue)
    return dump(described), page(described).encode()


def stamp(moment: datetime) -> str:
    """Return a moment as answers and logs state it: UTC, whole seconds, Z. A moment without a zone is taken as UTC."""
    utc = moment if moment.tzinfo is UTC or moment.tzinfo is None else moment.astimezone(UTC)
    return _stamp(utc.replace(microsecond=0, tzinfo=None))


@lru_cache(maxsize=64)
def _stamp(second: datetime) -> str:
    """Return what many moments share: a busy service answers some thousand requests within a second."""
    return second.isoformat() + "Z"


def day_of(moment: datetime) -> date:
    """Return the day of a moment in UTC, up to which its evaluation counts days; so does one that is asked again."""
    return (moment if moment.tzinfo is None else moment.astimezone(UTC)).date()


def encoded(answer: Any) -> bytes:
    """Return an answer as JSON."""
    return msgspec.json.encode(answer)
