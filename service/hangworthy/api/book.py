"""The venues in force: those that the service started with, or those that its history keeps, which replicas share."""

import logging
from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime

import msgspec

from hangworthy.engine.catalogue import Catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.fault import VenueError
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy.history.canonical import canonical
from hangworthy.history.port import Changed, History, VenueVersion
from hangworthy.intake import Intake
from hangworthy.venues import stamped
from hangworthy.venues.content import content_of, read_content

_LOG = logging.getLogger("hangworthy.venues")
MOST_VIEWS, MOST_OLD = 200, 64


class View(msgspec.Struct, frozen=True):
    """What one caller may ask: the evaluators by venue, the venue of a request that names none, and the reader that knows both."""

    evaluators: Mapping[str, Evaluator]
    default: str | None
    intake: Intake

    def on(self, day: date) -> dict[str, Evaluator]:
        """Return the evaluators, each on a day."""
        return {name: one.on(day) for name, one in self.evaluators.items()}


class Book:
    """Holds the venues in force, bound to the rules. Changing them replaces them all at once: a request sees one state to its end."""

    def __init__(self, catalogue: Catalogue, venues: Sequence[Venue], default: str, history: History | None) -> None:
        """Bind the catalogue to every venue. Raises VenueError when a venue names what is not there."""
        self.catalogue, self.default, self.history = catalogue, default, history
        self.evaluators: dict[str, Evaluator] = {venue.name: Evaluator(Ruleset(catalogue, venue)) for venue in venues}
        self.intake = Intake(catalogue.schema, self.evaluators, default)
        self._seeds = tuple(venues)
        self._kept: dict[str, VenueVersion] = {}
        self._stamp: int | None = None
        self._views: dict[tuple[str, ...] | None, View] = {}
        self._old: dict[tuple[str, int], Evaluator] = {}

    def view(self, venues: tuple[str, ...] | None) -> View:
        """Return what a caller who is restricted to these venues may ask (None: every venue)."""
        view = self._views.get(venues)
        if view is None:
            evaluators = self.evaluators if venues is None else {name: self.evaluators[name] for name in venues if name in self.evaluators}
            default = self.default if self.default in evaluators else None
            view = View(evaluators, default, self.intake.over(evaluators, default))
            if len(self._views) >= MOST_VIEWS:
                self._views.clear()
            self._views[venues] = view
        return view

    def view_of_one(self, name: str, evaluator: Evaluator) -> View:
        """Return how a stored request is read: at its one venue, also where it named none, whatever the default is today."""
        evaluators = {name: evaluator}
        return View(evaluators, name, self.intake.over(evaluators, name))

    async def open(self, clock: Callable[[], datetime]) -> None:
        """Keep the venues that the history does not know yet, then take all of its venues. Raises VenueError, HistoryError."""
        assert self.history is not None  # noqa: S101 - there is nothing to open without one
        known = {one.name for one in await self.history.venues.current()}
        for venue in self._seeds:
            if venue.name in known:
                continue
            content, digest = kept_form(venue)
            more = {} if venue.version == 1 else {"first": venue.version}
            try:
                await self.history.venues.put(venue.name, content, digest, based_on=0, at=clock(), by=None, **more)
            except Changed:  # another replica was quicker
                _LOG.info("a venue was kept by another process meanwhile")
        await self.refresh(strict=True)
        self._say_which_files_are_passed_over()
        if self.default not in self.evaluators:
            raise VenueError(f"the default venue “{self.default}” is none of: {', '.join(self.evaluators)}.")

    def _say_which_files_are_passed_over(self) -> None:
        for venue in self._seeds:
            if canonical(content_of(venue)) != self._kept[venue.name].content:
                _LOG.warning("a venue's file differs from what the history keeps, which counts; change it by PUT /venues/{name}")

    async def refresh(self, strict: bool = False) -> bool:
        """Take over what changed in the history since the last time; return whether anything had. Raises HistoryError.

        A venue that cannot be bound here (another replica has other packs) stays as it was, with a line in the log; ``strict`` raises
        VenueError instead.
        """
        assert self.history is not None  # noqa: S101 - there is nothing to take over without one
        seen = await self.history.venues.stamp()
        if seen == self._stamp:
            return False
        current = {one.name: one for one in await self.history.venues.current()}
        made = dict(self.evaluators)
        for name, one in current.items():
            mine = self._kept.get(name)
            if mine == one:
                continue
            if mine is not None and mine.version > one.version:  # kept by this process since the history was asked
                current[name] = mine
                continue
            try:
                made[name] = self._bind(one)
            except VenueError as error:
                if strict:
                    raise
                _LOG.error("a venue cannot be used with the packs of this process, and stays as it was: %s", type(error).__name__)
        self._take(made, current, seen)
        return True

    def _take(self, evaluators: dict[str, Evaluator], kept: dict[str, VenueVersion], seen: int | None) -> None:
        self.intake = self.intake.over(evaluators, self.default)
        self.evaluators, self._kept, self._stamp, self._views = evaluators, kept, seen, {}

    def take(self, kept: VenueVersion, evaluator: Evaluator) -> None:
        """Put one venue in force at once, just kept by this process; others follow by the stamp."""
        self._take({**self.evaluators, kept.name: evaluator}, {**self._kept, kept.name: kept}, None)

    def kept(self, name: str) -> VenueVersion | None:
        """Return the version that is in force, if a history keeps the venue."""
        return self._kept.get(name)

    def at(self, kept: VenueVersion) -> Evaluator:
        """Return the evaluator of an earlier version; the last ones are remembered. Raises VenueError if today's packs cannot bind it."""
        key = (kept.name, kept.version)
        if key not in self._old:
            if len(self._old) >= MOST_OLD:
                self._old.clear()
            self._old[key] = self._bind(kept)
        return self._old[key]

    def forget(self) -> None:
        """Forget what was told of works at any venue: one was erased."""
        for evaluator in (*self.evaluators.values(), *self._old.values()):
            evaluator.forget()

    def _bind(self, kept: VenueVersion) -> Evaluator:
        venue, faults = read_content(msgspec.json.decode(kept.content), self.catalogue.schema, kept.version)
        if faults:
            raise VenueError("\n".join(f"venue {kept.name}: {sentence}" for _, sentence in faults))
        return Evaluator(Ruleset(self.catalogue, venue))


def kept_form(venue: Venue) -> tuple[bytes, str]:
    """Return a venue's content as it is kept, and the digest that is its ETag: of the content and the version."""
    return canonical(content_of(venue)), stamped(venue).fingerprint
