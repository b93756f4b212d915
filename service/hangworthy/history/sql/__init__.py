"""The store on SQL: SQLite by default, PostgreSQL by URL."""

from collections.abc import AsyncIterator, Callable, Sequence
from contextlib import suppress
from datetime import datetime, timedelta

from msgspec.structs import replace
from sqlalchemy import text, update

from hangworthy.history.port import (
    Busy,
    Erased,
    Filters,
    Health,
    HistoryError,
    Idempotency,
    Jobs,
    Kept,
    Keys,
    NewEvaluation,
    NoSpace,
    Stored,
    Summary,
    Venues,
    WorkMoment,
)  # fmt: skip
from hangworthy.history.sql import exchange, reading
from hangworthy.history.sql.chain import Checker
from hangworthy.history.sql.codecs import Codecs
from hangworthy.history.sql.engine import Database, finished
from hangworthy.history.sql.erasing import Eraser
from hangworthy.history.sql.evaluations import Abandon, Begin, Recorder, WriterEntry
from hangworthy.history.sql.idempotency import KEPT_FOR, LEASE, Claims
from hangworthy.history.sql.jobs import SqlJobs
from hangworthy.history.sql.keys import SqlKeys
from hangworthy.history.sql.opening import nowhere, unknown_words, unopened, wrong
from hangworthy.history.sql.tables import CHAIN_HEAD, EVALUATIONS
from hangworthy.history.sql.url import read_url
from hangworthy.history.sql.venues import SqlVenues
from hangworthy.history.sql.writer import Writer

__all__ = ["SqlHistory"]


class SqlHistory:
    """A history in a database; see :class:`hangworthy.history.port.History` for what each method does."""

    venues: Venues
    keys: Keys
    jobs: Jobs

    def __init__(
        self,
        url: str,
        *,
        clock: Callable[[], datetime],
        new_id: Callable[[], str],
        queue: int = 1024,
        group: int = 256,
        lease: timedelta = LEASE,
        kept_for: timedelta = KEPT_FOR,
        sample: bytes = b"",
    ) -> None:
        """Prepare the store; nothing is opened before ``start``.

        At most ``queue`` entries wait for a commit and ``group`` share one. A claimed idempotency key is free again after ``lease``, and
        forgotten ``kept_for`` after its answer. ``sample`` is text like what will be kept, but without anybody's facts: with it bodies
        are packed smaller. ``clock`` and ``new_id`` stamp exports. Raises HistoryError for a URL that is none.
        """
        self._url, self._database = url, Database(url)
        self._clock, self._new_id = clock, new_id
        self._codecs = Codecs(sample)
        recorder = Recorder(self._database, Claims(self._database.kind, lease=lease, kept_for=kept_for), self._codecs)
        self.writer: Writer[WriterEntry] = Writer(recorder.apply, queue=queue, group=group)
        self._eraser = Eraser(self._database, self._codecs)
        self.venues, self.keys, self.jobs = SqlVenues(self._database), SqlKeys(self._database), SqlJobs(self._database)

    async def start(self) -> None:
        """Open the store, migrate it forward, start the writer. Raises HistoryError with the place for one that cannot be opened."""
        try:
            await self._open()
        except BaseException:
            await self._database.close()
            raise
        self.writer.start()

    async def _open(self) -> None:
        from hangworthy.history.migrations.forward import migrate

        if place := nowhere(self._url):
            raise HistoryError(place)
        try:
            await migrate(self._database)
            with suppress(NoSpace):  # a read-only history can still be read
                await self._codecs.open(self._database)
        except Busy as busy:  # nobody sent anything yet, so whoever started is told where the store is looked for
            raise Busy(unopened(self._url), busy.retry_after) from busy
        except HistoryError as error:
            raise wrong(self._url, error) from error
        except TypeError:
            if not read_url(self._url)[1].query:
                raise
            raise HistoryError(unknown_words(self._url)) from None

    async def stop(self) -> None:
        """Write what waits, then close."""
        await self.writer.stop()
        await finished()
        await self._database.close()

    async def health(self) -> Health:
        """Return how it is. Raises Busy when it cannot be reached."""
        async with self._database.read() as connection:
            schema = (await connection.execute(text("SELECT version_num FROM alembic_version"))).scalar_one()
        return Health(
            kind=self._database.kind,
            schema=schema,
            writable=await self._writable(),
            waiting=self.writer.waiting,
            capacity=self.writer.capacity,
        )

    async def _writable(self) -> bool:
        """Return whether something can be written; after a failure for want of space this is tried, since nothing else would tell."""
        try:
            if not self.writer.out_of_space:
                return await self._database.writable()
            async with self._database.write() as connection:
                await connection.execute(update(CHAIN_HEAD).values(position=CHAIN_HEAD.c.position))
        except NoSpace:
            return False
        self.writer.out_of_space = False
        return True

    async def begin(self, one: Idempotency, at: datetime) -> Kept | None:
        """Claim a key before working."""
        found: Kept | None = await self.writer.submit(Begin(one, at))
        return found

    async def abandon(self, one: Idempotency) -> None:
        """Give a claimed key free again."""
        await self.writer.submit(Abandon(one), frees=True)

    async def record(self, one: NewEvaluation) -> Kept:
        """Keep an evaluation; return after the commit."""
        kept: Kept = await self.writer.submit(one)
        return kept

    async def get(self, id: str) -> Stored | None:
        """Return one, or None."""
        async with self._database.read() as connection:
            found = await reading.stored(connection, EVALUATIONS.c.id == id, 1, self._codecs)
        return found[0] if found else None

    async def stored(self) -> AsyncIterator[Stored]:
        """Yield every evaluation, oldest first, as they are at the first look: many a second, for asking all of them again."""
        async with self._database.read(snapshot=True) as connection:
            async for one in reading.every(connection, self._codecs):
                yield one

    async def page(self, filters: Filters, *, after: str | None = None, before: str | None = None, most: int) -> Sequence[Summary]:
        """Return up to ``most``, newest first."""
        async with self._database.read() as connection:
            return await reading.page(connection, filters, after, before, most)

    async def moments(self, ref: str, venues: tuple[str, ...] | None, *, after: str | None = None, most: int) -> Sequence[WorkMoment]:
        """Return the life of one work, newest first."""
        async with self._database.read() as connection:
            return await reading.moments(connection, ref, venues, after, most)

    async def erase(self, ref: str, venues: tuple[str, ...] | None, at: datetime, by: str | None) -> Erased:
        """Take one work's facts out of every evaluation, and drop the plans that name it."""
        plans = await self.jobs.erase(ref, venues)
        return replace(await self._eraser.erase(ref, venues, at, by), plans=plans)

    async def retain(self, venue: str, older_than: datetime, at: datetime) -> int:
        """Take the facts out of a venue's evaluations of before a time."""
        return await self._eraser.retain(venue, older_than, at)

    async def tidy(self) -> None:
        """Bring what was erased out of SQLite's log, if that could not be done at once."""
        if self._database.owes:
            with suppress(NoSpace):  # it cannot be written to, so nothing was erased from it either
                await self._database.tidy()

    async def verify(self) -> Sequence[str]:
        """Return a sentence for each row that is missing or altered."""
        async with self._database.read(snapshot=True) as connection:
            checker = Checker(await self._codecs.load(connection))
            await checker.check(connection)
        return checker.found

    async def export(self) -> AsyncIterator[bytes]:
        """Yield everything as lines of JSON, oldest first."""
        async with self._database.read(snapshot=True) as connection:
            start = exchange.Start(exchange.FORMAT, self._new_id(), self._clock())
            async for line in exchange.export(connection, start, await self._codecs.load(connection)):
                yield line

    async def load(self, lines: AsyncIterator[bytes]) -> int:
        """Take exported lines in; return how many were new."""
        return await exchange.Importer(self._database, self._codecs.now).load(lines)
