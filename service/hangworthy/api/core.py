"""The service behind the controllers: everything that was handed to it, and the answers that never change, made once."""

import asyncio
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
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
from hangworthy.crew import Crew
from hangworthy.engine.catalogue import Catalogue
from hangworthy.engine.languages import language_of
from hangworthy.engine.ruleset import Venue
from hangworthy.engine.written import Written
from hangworthy.evaluating import filed
from hangworthy.hints import hints_script
from hangworthy.history.port import History
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
        crew: Crew | None = None,
    ) -> None:
        """Bind the catalogue to every venue. Raises VenueError when a venue names what is not there, or a default that is not."""
        self.catalogue, self.clock, self.new_id, self.history = catalogue, clock, new_id, history
        self.book = Book(catalogue, venues, default, history)
        self.crew = Crew(0, None) if crew is None else crew
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

    def forget(self) -> None:
        """Forget what was told of works: one was erased."""
        self.book.forget()
        self.crew.forget()

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

    def evaluate(self, body: bytes, view: View) -> tuple[bytes, int]:
        """Return the encoded evaluation of a body, and how many works it held; nothing is kept. Raises BadInput with every fault."""
        new = filed(view.intake, body, self.now())
        self.metrics.evaluated(new.outcome, recorded=False)
        return new.answer, len(new.works)

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


def encoded(answer: Any) -> bytes:
    """Return an answer as JSON."""
    return msgspec.json.encode(answer)
