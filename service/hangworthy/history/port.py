"""The history's port: what the service may ask of a store, and the records that go in and out. No store is named here.

Times are UTC with their zone. Ids are UUIDv7 as text, so that they sort by time. Bodies are kept and given back as the bytes they were.
"""

from collections.abc import AsyncIterator, Mapping, Sequence
from datetime import datetime
from typing import Literal, Protocol

import msgspec

Scope = Literal["evaluate", "read", "venues", "admin"]
SCOPES: tuple[Scope, ...] = ("evaluate", "read", "venues", "admin")


class HistoryError(Exception):
    """Base of what a store may raise."""


class Busy(HistoryError):
    """The queue is full, or the store cannot be reached: nothing was done, and the same request may be sent again later.

    ``retry_after`` [s] is how long to wait.
    """

    def __init__(self, why: str, retry_after: int = 1) -> None:
        """Hold the reason, in a sentence, and the seconds to wait."""
        super().__init__(why)
        self.why, self.retry_after = why, retry_after


class NoSpace(HistoryError):
    """The store is full or read-only: nothing was done, and waiting does not help."""


class StillRunning(HistoryError):
    """An idempotency key whose first request has not been answered yet."""


class OtherBody(HistoryError):
    """An idempotency key that was used with another body."""


class Changed(HistoryError):
    """The venue is no longer at the version that the caller built on; ``current`` is the version now (0: there is none)."""

    def __init__(self, current: int) -> None:
        """Hold the version."""
        super().__init__(f"the current version is {current}")
        self.current = current


class IndexedWork(msgspec.Struct, frozen=True, kw_only=True):
    """What is kept of one work beside the bodies, to find it again."""

    place: int
    ref: str
    artist_ref: str | None = None
    outcome: str
    at_worst: str
    settled: bool
    unmet: tuple[str, ...] = ()


class Idempotency(msgspec.Struct, frozen=True, kw_only=True):
    """A client's key for one request: within ``owner`` (the id of its API key, or ""), with the digest of the request's body and target."""

    owner: str
    key: str
    digest: bytes


class NewEvaluation(msgspec.Struct, frozen=True, kw_only=True):
    """An evaluation to be kept: ``request`` is the body that asked, ``answer`` the body that was answered, both to the byte."""

    id: str
    at: datetime
    request: bytes
    answer: bytes
    venue: str
    venue_version: int
    stage: str
    outcome: str
    at_worst: str
    settled: bool
    packs: Mapping[str, str]
    works: tuple[IndexedWork, ...]
    made_by: str | None = None
    idempotency: Idempotency | None = None


class Kept(msgspec.Struct, frozen=True, kw_only=True):
    """What recording gave: the id and the answer's bytes, the stored ones when the same request had been answered before."""

    id: str
    answer: bytes
    repeated: bool = False


class Stored(msgspec.Struct, frozen=True, kw_only=True):
    """One stored evaluation. ``request`` and ``answer`` are without the works that were erased; ``erased`` lists their digests."""

    id: str
    at: datetime
    venue: str
    venue_version: int
    stage: str
    request: bytes
    answer: bytes
    made_by: str | None = None
    erased: tuple[str, ...] = ()


class Summary(msgspec.Struct, frozen=True, kw_only=True):
    """One evaluation in a list."""

    id: str
    at: datetime
    venue: str
    venue_version: int
    stage: str
    outcome: str
    at_worst: str
    settled: bool
    works: tuple[str, ...]
    packs: Mapping[str, str]


class WorkMoment(msgspec.Struct, frozen=True, kw_only=True):
    """One evaluation in the life of one work."""

    id: str
    at: datetime
    venue: str
    stage: str
    outcome: str
    at_worst: str
    settled: bool
    unmet: tuple[str, ...]


class Filters(msgspec.Struct, frozen=True, kw_only=True):
    """What a list is narrowed to; None leaves it open. ``venues`` bounds what the caller may see (None: all)."""

    venues: tuple[str, ...] | None = None
    venue: str | None = None
    artist_ref: str | None = None
    ref: str | None = None
    outcome: str | None = None
    stage: str | None = None
    unmet: str | None = None
    pack: str | None = None
    pack_version: str | None = None
    since: datetime | None = None
    until: datetime | None = None


class VenueVersion(msgspec.Struct, frozen=True, kw_only=True):
    """One version of a venue: its content as canonical JSON, and the digest that is its ETag."""

    name: str
    version: int
    content: bytes
    digest: str
    at: datetime
    made_by: str | None = None


class ForBrowsers(msgspec.Struct, frozen=True, kw_only=True):
    """What makes a key one for browsers: it stands in a page, for everybody to read, so it only evaluates and keeps nothing.

    ``origins`` are those of the pages that may use it (RFC 6454). ``per_minute`` bounds the requests with the key in a minute,
    ``per_address`` those from one client address; own policy, no standard says how fast a form may ask.
    """

    origins: tuple[str, ...]
    per_minute: int = 1_200
    per_address: int = 120


class Bucket(msgspec.Struct, frozen=True, kw_only=True):
    """A bucket of tokens, known by its ``name``: ``most`` fit in, and as many flow in evenly within a minute."""

    name: str
    most: int


class Level(msgspec.Struct, frozen=True, kw_only=True):
    """A bucket after it was asked for a token: how many are ``left``, when it is full again and how long to wait for one [s].

    ``wait`` is 0 where one was there.
    """

    left: int
    full_in: float
    wait: float


class ApiKey(msgspec.Struct, frozen=True, kw_only=True):
    """A key as it is kept: never the secret itself. ``venues`` of None means every venue; ``browser`` is there in a public key."""

    id: str
    name: str
    scopes: tuple[Scope, ...]
    venues: tuple[str, ...] | None
    made_at: datetime
    expires_at: datetime | None = None
    revoked_at: datetime | None = None
    last_used_on: datetime | None = None
    browser: ForBrowsers | None = None


JobState = Literal["waiting", "running", "done", "failed", "cancelled"]


class Job(msgspec.Struct, frozen=True, kw_only=True):
    """A plan that is made in the background. ``answer`` is there when it is done, ``failure`` (a kind, no facts) when it failed."""

    id: str
    at: datetime
    venue: str
    state: JobState
    progress: float
    answer: bytes | None = None
    failure: str | None = None


class Erased(msgspec.Struct, frozen=True, kw_only=True):
    """What erasing a work left: in how many evaluations it was, the digests of what was taken out, and how many plans went with it."""

    evaluations: int
    digests: tuple[str, ...]
    plans: int = 0


class Health(msgspec.Struct, frozen=True, kw_only=True):
    """How the store is: which kind, at which schema, how full its queue."""

    kind: str
    schema: str
    writable: bool
    waiting: int
    capacity: int


class Evaluations(Protocol):
    """Evaluations kept."""

    async def begin(self, one: Idempotency, at: datetime) -> Kept | None:
        """Claim a key before working: None when it is ours now, else the stored answer. Raises StillRunning, OtherBody, Busy."""

    async def abandon(self, one: Idempotency) -> None:
        """Give a claimed key free again, since nothing was kept under it."""

    async def record(self, one: NewEvaluation) -> Kept:
        """Keep an evaluation; returns after the commit. Raises Busy or NoSpace before anything is half done."""

    async def get(self, id: str) -> Stored | None:
        """Return one, or None."""

    def stored(self) -> AsyncIterator[Stored]:
        """Yield every evaluation, oldest first, as they are at the first look: many a second, for asking all of them again."""

    async def page(self, filters: Filters, *, after: str | None, before: str | None, most: int) -> Sequence[Summary]:
        """Return up to ``most``, newest first: those older than ``after``, or those newer than ``before`` (nearest to it)."""

    async def moments(self, ref: str, venues: tuple[str, ...] | None, *, after: str | None, most: int) -> Sequence[WorkMoment]:
        """Return the life of one work, newest first."""

    async def erase(self, ref: str, venues: tuple[str, ...] | None, at: datetime, by: str | None) -> Erased:
        """Take one work's facts out of every evaluation and leave a tombstone with digests; drop the plans that name it."""

    async def retain(self, venue: str, older_than: datetime, at: datetime) -> int:
        """Take the facts out of a venue's evaluations of before a time; returns of how many."""

    async def verify(self) -> Sequence[str]:
        """Return a sentence for each row that is missing or altered; none when all is as it was written."""

    def export(self) -> AsyncIterator[bytes]:
        """Yield everything as lines of JSON, oldest first."""

    async def load(self, lines: AsyncIterator[bytes]) -> int:
        """Take exported lines in; returns how many were new."""


class Venues(Protocol):
    """Venues kept, with every earlier version."""

    async def current(self) -> Sequence[VenueVersion]:
        """Return the current version of each."""

    async def version(self, name: str, number: int | None = None) -> VenueVersion | None:
        """Return one version, the current one by default."""

    async def versions(self, name: str) -> Sequence[VenueVersion]:
        """Return all versions of one, newest first."""

    async def put(
        self, name: str, content: bytes, digest: str, *, based_on: int, at: datetime, by: str | None, first: int = 1
    ) -> VenueVersion:
        """Keep the next version if ``based_on`` is still the current one (0: none yet). Raises Changed.

        The number is one more than ``based_on``; where there is none yet it is ``first``, so that a file's own number is kept.
        """

    async def stamp(self) -> int:
        """Return a number that grows with every change of any venue, so that replicas notice."""


class Keys(Protocol):
    """API keys kept."""

    async def add(self, one: ApiKey, secret_hash: bytes) -> None:
        """Keep a key with the hash of its secret."""

    async def find(self, id: str) -> tuple[ApiKey, bytes] | None:
        """Return a key and the hash of its secret."""

    async def every(self) -> Sequence[ApiKey]:
        """Return all keys, oldest first."""

    async def any(self) -> bool:
        """Return whether any key was ever made."""

    async def revoke(self, id: str, at: datetime) -> bool:
        """Revoke a key; returns whether there was one that was not revoked."""

    async def used(self, id: str, on: datetime) -> None:
        """Note that a key was used; the store may keep the day only."""

    async def for_browsers(self) -> Sequence[ApiKey]:
        """Return the keys for browsers, oldest first, also those that are no longer valid."""

    async def take(self, buckets: Sequence[Bucket], at: datetime) -> Sequence[Level]:
        """Take a token out of each bucket, or out of none when one of them has none; return how each stands then.

        All who share the store share the buckets. Raises Busy or NoSpace when it cannot be written.
        """


class Jobs(Protocol):
    """Plans made in the background. One replica at a time holds a job, by a lease that it renews; when it dies, another takes it up."""

    async def add(self, id: str, at: datetime, venue: str, given: bytes) -> None:
        """Keep a job that waits."""

    async def get(self, id: str) -> Job | None:
        """Return one, or None."""

    async def claim(self, worker: str, at: datetime, until: datetime) -> tuple[str, bytes] | None:
        """Take up the oldest job that waits, or whose lease has run out; return its id and input. One that killed its workers fails."""

    async def note(self, id: str, worker: str, progress: float, until: datetime) -> bool:
        """Note progress and renew the lease; False when the job is no longer ours: cancelled, or taken up by another."""

    async def finish(self, id: str, worker: str, answer: bytes | None, failure: str | None) -> bool:
        """Keep the answer, or the failure; False when the job is no longer ours."""

    async def cancel(self, id: str) -> bool:
        """Cancel a job that waits or runs; returns whether there was one."""

    async def forget(self, before: datetime) -> int:
        """Drop jobs from before a time, with all facts in them; returns how many."""

    async def erase(self, ref: str, venues: tuple[str, ...] | None) -> int:
        """Drop every job of these venues (None: of all) that names a work, be it waiting, running or done; returns how many."""


class History(Evaluations, Protocol):
    """Everything that is kept, behind one start and one stop."""

    venues: Venues
    keys: Keys
    jobs: Jobs

    async def start(self) -> None:
        """Open the store, migrate it forward, start the writer. Raises HistoryError with a sentence a person can act on."""

    async def stop(self) -> None:
        """Write what waits, then close."""

    async def health(self) -> Health:
        """Return how it is. Raises Busy when it cannot be reached."""

    async def tidy(self) -> None:
        """Finish what an erasure had to leave because somebody was reading, if there is any; called every now and then."""
