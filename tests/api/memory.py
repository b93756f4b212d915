"""A history in memory that keeps the port's promises: versions, idempotency, keys, keyset pages, erasure; and that can be made to fail."""

import hashlib
import json
from collections.abc import AsyncIterator, Sequence
from datetime import datetime
from typing import Any

import msgspec

from hangworthy.history.port import (
    ApiKey,
    Bucket,
    Changed,
    Erased,
    Filters,
    Health,
    HistoryError,
    Idempotency,
    Job,
    Kept,
    Level,
    NewEvaluation,
    OtherBody,
    StillRunning,
    Stored,
    Summary,
    VenueVersion,
    WorkMoment,
)
from hangworthy.history.rates import level, taken
from hangworthy.history.sql.tables import microseconds


class MemoryVenues:
    """Venues kept, with every earlier version."""

    def __init__(self) -> None:
        self.kept: dict[str, list[VenueVersion]] = {}
        self.changes = 0

    async def current(self) -> Sequence[VenueVersion]:
        return [every[-1] for every in self.kept.values()]

    async def version(self, name: str, number: int | None = None) -> VenueVersion | None:
        every = self.kept.get(name, [])
        return next((one for one in reversed(every) if number in (None, one.version)), None)

    async def versions(self, name: str) -> Sequence[VenueVersion]:
        return self.kept.get(name, [])[::-1]

    async def put(
        self, name: str, content: bytes, digest: str, *, based_on: int, at: datetime, by: str | None, first: int = 1
    ) -> VenueVersion:
        every = self.kept.setdefault(name, [])
        current = every[-1].version if every else 0
        if current != based_on:
            raise Changed(current)
        every.append(VenueVersion(name=name, version=current + 1 if current else first, content=content, digest=digest, at=at, made_by=by))
        self.changes += 1
        return every[-1]

    async def stamp(self) -> int:
        return self.changes


class MemoryKeys:
    """API keys kept."""

    def __init__(self) -> None:
        self.kept: dict[str, tuple[ApiKey, bytes]] = {}
        self.full_at: dict[str, int] = {}
        self.away: HistoryError | None = None

    def _reached(self) -> None:
        if self.away:
            raise self.away

    async def add(self, one: ApiKey, secret_hash: bytes) -> None:
        self.kept[one.id] = (one, secret_hash)

    async def find(self, id: str) -> tuple[ApiKey, bytes] | None:
        return self.kept.get(id)

    async def every(self) -> Sequence[ApiKey]:
        return [one for one, _ in self.kept.values()]

    async def any(self) -> bool:
        self._reached()
        return bool(self.kept)

    async def revoke(self, id: str, at: datetime) -> bool:
        one, secret = self.kept.get(id, (None, b""))
        if one is None or one.revoked_at is not None:
            return False
        self.kept[id] = (msgspec.structs.replace(one, revoked_at=at), secret)
        return True

    async def for_browsers(self) -> Sequence[ApiKey]:
        self._reached()
        return [one for one, _ in self.kept.values() if one.browser]

    async def take(self, buckets: Sequence[Bucket], at: datetime) -> Sequence[Level]:
        self._reached()
        now = microseconds(at)
        then = {one.name: taken(one, self.full_at.get(one.name, now), now) for one in buckets}
        if None in then.values():
            return [level(one, self.full_at.get(one.name, now), now) for one in buckets]
        self.full_at.update(then)
        return [msgspec.structs.replace(level(one, self.full_at[one.name], now), wait=0.0) for one in buckets]

    async def used(self, id: str, on: datetime) -> None:
        one, secret = self.kept[id]
        self.kept[id] = (msgspec.structs.replace(one, last_used_on=on), secret)


class MemoryJobs:
    """Plans made in the background."""

    def __init__(self) -> None:
        self.kept: dict[str, Job] = {}
        self.given: dict[str, bytes] = {}
        self.held: dict[str, tuple[str, datetime]] = {}

    def _set(self, id: str, **values: Any) -> bool:
        self.kept[id] = msgspec.structs.replace(self.kept[id], **values)
        return True

    def _ours(self, id: str, worker: str) -> bool:
        return self.kept[id].state == "running" and self.held[id][0] == worker

    async def add(self, id: str, at: datetime, venue: str, given: bytes) -> None:
        self.kept[id] = Job(id=id, at=at, venue=venue, state="waiting", progress=0.0)
        self.given[id] = given

    async def get(self, id: str) -> Job | None:
        return self.kept.get(id)

    async def claim(self, worker: str, at: datetime, until: datetime) -> tuple[str, bytes] | None:
        for id_, job in sorted(self.kept.items()):
            if job.state == "waiting" or (job.state == "running" and self.held[id_][1] <= at):
                self._set(id_, state="running")
                self.held[id_] = (worker, until)
                return id_, self.given[id_]
        return None

    async def note(self, id: str, worker: str, progress: float, until: datetime) -> bool:
        if not self._ours(id, worker):
            return False
        self.held[id] = (worker, until)
        return self._set(id, progress=progress)

    async def finish(self, id: str, worker: str, answer: bytes | None, failure: str | None) -> bool:
        state = "failed" if answer is None else "done"
        return self._ours(id, worker) and self._set(id, state=state, answer=answer, failure=failure, progress=1.0)

    async def cancel(self, id: str) -> bool:
        return self.kept[id].state in ("waiting", "running") and self._set(id, state="cancelled")

    async def erase(self, ref: str, venues: tuple[str, ...] | None) -> int:
        named = [id_ for id_, job in self.kept.items() if ref.encode() in self.given[id_] and (venues is None or job.venue in venues)]
        for id_ in named:
            del self.kept[id_]
        return len(named)

    async def forget(self, before: datetime) -> int:
        old = [id_ for id_, job in self.kept.items() if job.at < before]
        for id_ in old:
            del self.kept[id_]
        return len(old)


class MemoryHistory:
    """Everything in dictionaries. ``failing`` is raised instead of writing, while it is set; ``away`` instead of reading."""

    def __init__(self) -> None:
        self.venues, self.keys, self.jobs = MemoryVenues(), MemoryKeys(), MemoryJobs()
        self.kept: dict[str, NewEvaluation] = {}
        self.erased: dict[str, list[str]] = {}
        self.claims: dict[tuple[str, str], tuple[bytes, str | None]] = {}
        self.failing: HistoryError | None = None
        self.away: HistoryError | None = None
        self.life: list[str] = []

    async def start(self) -> None:
        self.life.append("start")

    async def stop(self) -> None:
        self.life.append("stop")

    async def health(self) -> Health:
        self._reached()
        return Health(kind="memory", schema="1", writable=self.failing is None, waiting=0, capacity=8)

    def _reached(self) -> None:
        if self.away:
            raise self.away

    def _writable(self) -> None:
        self._reached()
        if self.failing:
            raise self.failing

    async def begin(self, one: Idempotency, at: datetime) -> Kept | None:
        self._writable()
        digest, done = self.claims.setdefault((one.owner, one.key), (one.digest, None))
        if digest != one.digest:
            raise OtherBody
        if done is not None:
            return Kept(id=done, answer=self.kept[done].answer, repeated=True)
        if ("claimed", one.key) in self.claims:
            raise StillRunning
        self.claims["claimed", one.key] = (b"", None)
        return None

    async def abandon(self, one: Idempotency) -> None:
        self.claims.pop(("claimed", one.key), None)
        self.claims.pop((one.owner, one.key), None)

    async def record(self, one: NewEvaluation) -> Kept:
        self._writable()
        assert one.id not in self.kept
        self.kept[one.id] = one
        if one.idempotency:
            self.claims.pop(("claimed", one.idempotency.key), None)
            self.claims[one.idempotency.owner, one.idempotency.key] = (one.idempotency.digest, one.id)
        return Kept(id=one.id, answer=one.answer)

    async def get(self, id: str) -> Stored | None:
        self._reached()
        one = self.kept.get(id)
        names = ("id", "at", "venue", "venue_version", "stage", "request", "answer", "made_by")
        return one and Stored(**{name: getattr(one, name) for name in names}, erased=tuple(self.erased.get(id, ())))

    async def stored(self) -> AsyncIterator[Stored]:
        for id_ in sorted(self.kept):
            one = await self.get(id_)
            assert one is not None
            yield one

    async def page(self, filters: Filters, *, after: str | None, before: str | None, most: int) -> Sequence[Summary]:
        self._reached()
        found = [one for _, one in sorted(self.kept.items(), reverse=True) if _passes(filters, one)]
        if before is not None:
            return list(map(_summary, [one for one in found if one.id > before][-most:]))
        return list(map(_summary, [one for one in found if after is None or one.id < after][:most]))

    async def moments(self, ref: str, venues: tuple[str, ...] | None, *, after: str | None, most: int) -> Sequence[WorkMoment]:
        self._reached()
        found = [
            WorkMoment(
                id=one.id, at=one.at, venue=one.venue, stage=one.stage, outcome=work.outcome, at_worst=work.at_worst,
                settled=work.settled, unmet=work.unmet,
            )
            for _, one in sorted(self.kept.items(), reverse=True)
            for work in one.works
            if work.ref == ref and (venues is None or one.venue in venues) and (after is None or one.id < after)
        ]  # fmt: skip
        return found[:most]

    async def erase(self, ref: str, venues: tuple[str, ...] | None, at: datetime, by: str | None) -> Erased:
        self._writable()
        digests = []
        for id_, one in self.kept.items():
            if (venues is None or one.venue in venues) and any(work.ref == ref for work in one.works):
                digests.append(hashlib.sha256(one.request + ref.encode()).hexdigest())
                self.erased.setdefault(id_, []).append(digests[-1])
                self.kept[id_] = msgspec.structs.replace(
                    one, request=_without(one.request, ref), answer=_without(one.answer, ref),
                    works=tuple(work for work in one.works if work.ref != ref),
                )  # fmt: skip
        return Erased(evaluations=len(digests), digests=tuple(digests), plans=await self.jobs.erase(ref, venues))

    async def tidy(self) -> None:
        self._reached()

    async def retain(self, venue: str, older_than: datetime, at: datetime) -> int:
        self._writable()
        old = [one for one in self.kept.values() if one.venue == venue and one.at < older_than and one.works]
        for one in old:
            for work in one.works:
                await self.erase(work.ref, (venue,), at, None)
        return len(old)

    async def verify(self) -> Sequence[str]:
        return []

    async def export(self) -> AsyncIterator[bytes]:
        for one in self.kept.values():
            yield one.answer

    async def load(self, lines: AsyncIterator[bytes]) -> int:
        raise HistoryError


def _without(body: bytes, ref: str) -> bytes:
    value = json.loads(body)
    value["works"] = [work for work in value["works"] if work["ref"] != ref]
    return msgspec.json.encode(value)


def _passes(filters: Filters, one: NewEvaluation) -> bool:
    wanted: list[tuple[Any, Any]] = [
        (filters.venue, (one.venue,)),
        (filters.outcome, (one.outcome,)),
        (filters.stage, (one.stage,)),
        (filters.artist_ref, {work.artist_ref for work in one.works}),
        (filters.ref, {work.ref for work in one.works}),
        (filters.unmet, {rule for work in one.works for rule in work.unmet}),
        (filters.pack, one.packs),
        (filters.pack_version, [one.packs[name] for name in one.packs if filters.pack in (None, name)]),
    ]
    within = (filters.since is None or one.at >= filters.since) and (filters.until is None or one.at < filters.until)
    seen = filters.venues is None or one.venue in filters.venues
    return seen and within and all(want is None or want in among for want, among in wanted)


def _summary(one: NewEvaluation) -> Summary:
    return Summary(
        id=one.id, at=one.at, venue=one.venue, venue_version=one.venue_version, stage=one.stage, outcome=one.outcome,
        at_worst=one.at_worst, settled=one.settled, works=tuple(work.ref for work in one.works), packs=one.packs,
    )  # fmt: skip
