"""The tables, and the indexes by which every filter is served: each ends in (at, id), the order of every list.

Rows of ``evaluations``, ``chain`` and ``tombstones`` are only ever added; erasing rewrites a body in place and adds a tombstone.
"""

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import (
    BigInteger,
    Boolean,
    CheckConstraint,
    Column,
    Dialect,
    Float,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
    TypeDecorator,
)  # fmt: skip
from sqlalchemy.dialects.postgresql import TEXT, TIMESTAMP
from sqlalchemy.types import TypeEngine

METADATA = MetaData()


class Utc(TypeDecorator[datetime]):
    """A moment in UTC to the microsecond. SQLite knows no times: there it is a whole number of microseconds since 1970."""

    impl = BigInteger
    cache_ok = True

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        """Choose the database's own type where it keeps the zone."""
        return dialect.type_descriptor(TIMESTAMP(timezone=True) if dialect.name == "postgresql" else BigInteger())

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> Any:
        """Turn a moment into what is kept. Raises ValueError for one without a zone."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a time must say its zone")
        return value if dialect.name == "postgresql" else microseconds(value)

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:
        """Turn what is kept into a moment in UTC."""
        if value is None:
            return None
        if isinstance(value, datetime):
            return value.astimezone(UTC)
        whole, rest = divmod(value, 1_000_000)
        return datetime.fromtimestamp(whole, UTC).replace(microsecond=rest)


def microseconds(moment: datetime) -> int:
    """Return a moment as microseconds since 1970, exactly."""
    since = moment - datetime(1970, 1, 1, tzinfo=UTC)
    return (since.days * 86_400 + since.seconds) * 1_000_000 + since.microseconds


def _text() -> Text:
    """Text that sorts by its bytes on both databases, whatever the locale."""
    return Text().with_variant(TEXT(collation="C"), "postgresql")


def _number() -> BigInteger:
    return BigInteger().with_variant(Integer(), "sqlite")  # SQLite numbers rows by itself only in an INTEGER


PACK_SETS = Table(
    "pack_sets",
    METADATA,
    Column("id", _number(), primary_key=True, autoincrement=True),
    Column("content", _text(), nullable=False, unique=True),
)

DICTIONARIES = Table(
    "dictionaries",
    METADATA,
    Column("id", _number(), primary_key=True, autoincrement=True),
    Column("digest", LargeBinary, nullable=False, unique=True),
    Column("content", LargeBinary, nullable=False),
)

EVALUATIONS = Table(
    "evaluations",
    METADATA,
    Column("id", _text(), primary_key=True),
    Column("at", Utc, nullable=False),
    Column("venue", _text(), nullable=False),
    Column("venue_version", Integer, nullable=False),
    Column("stage", _text(), nullable=False),
    Column("outcome", _text(), nullable=False),
    Column("at_worst", _text(), nullable=False),
    Column("settled", Boolean, nullable=False),
    Column("pack_set", _number(), ForeignKey("pack_sets.id"), nullable=False),
    Column("made_by", _text()),
    Column("body", LargeBinary, nullable=False),
    Index("ix_evaluations_time", "at", "id"),
    Index("ix_evaluations_venue", "venue", "at", "id"),
    Index("ix_evaluations_outcome", "outcome", "at", "id"),
    Index("ix_evaluations_stage", "stage", "at", "id"),
    Index("ix_evaluations_pack_set", "pack_set", "at", "id"),
    Index("ix_evaluations_venue_outcome", "venue", "outcome", "at", "id"),
    Index("ix_evaluations_venue_stage", "venue", "stage", "at", "id"),
)

WORKS = Table(
    "works",
    METADATA,
    Column("evaluation_id", _text(), ForeignKey("evaluations.id"), primary_key=True),
    Column("place", Integer, primary_key=True, autoincrement=False),
    Column("at", Utc, nullable=False),
    Column("venue", _text(), nullable=False),
    Column("ref", _text()),  # none once the work was erased; its outcome stays, so that counts add up
    Column("artist_ref", _text()),
    Column("outcome", _text(), nullable=False),
    Column("at_worst", _text(), nullable=False),
    Column("settled", Boolean, nullable=False),
    Column("unmet", _text(), nullable=False),
    Index("ix_works_ref", "ref", "at", "evaluation_id"),
    sqlite_with_rowid=False,
)

# What an evaluation can be found by beside its own columns, each once: the artists in it, and the rules unmet in it.
TERMS = Table(
    "terms",
    METADATA,
    Column("kind", _text(), CheckConstraint("kind IN ('artist', 'unmet')"), primary_key=True),
    Column("value", _text(), primary_key=True),
    Column("at", Utc, primary_key=True),
    Column("evaluation_id", _text(), ForeignKey("evaluations.id"), primary_key=True),
    Column("venue", _text(), nullable=False),
    Index("ix_terms_venue", "kind", "value", "venue", "at", "evaluation_id"),
    sqlite_with_rowid=False,
)

CHAIN = Table(
    "chain",
    METADATA,
    Column("position", _number(), primary_key=True, autoincrement=False),
    Column("kind", _text(), CheckConstraint("kind IN ('evaluation', 'erasure')"), nullable=False),
    Column("evaluation_id", _text(), nullable=False),  # no foreign key: a row that is gone must not take its entry with it
    Column("digest", LargeBinary, nullable=False),
    Column("link", LargeBinary, nullable=False),
    Index("ix_chain_evaluation", "evaluation_id"),
)

CHAIN_HEAD = Table(
    "chain_head",
    METADATA,
    Column("id", Integer, CheckConstraint("id = 1"), primary_key=True, autoincrement=False),
    Column("position", BigInteger, nullable=False),
    Column("link", LargeBinary, nullable=False),
)

TOMBSTONES = Table(
    "tombstones",
    METADATA,
    Column("position", _number(), primary_key=True, autoincrement=False),
    Column("evaluation_id", _text(), ForeignKey("evaluations.id"), nullable=False),
    Column("at", Utc, nullable=False),
    Column("made_by", _text()),
    Column("digests", _text(), nullable=False),
    Column("row_digest", LargeBinary, nullable=False),
    Index("ix_tombstones_evaluation", "evaluation_id", "position"),
)

CLAIMS = Table(
    "claims",
    METADATA,
    Column("owner", _text(), primary_key=True),
    Column("key", _text(), primary_key=True),
    Column("digest", LargeBinary, nullable=False),
    Column("evaluation_id", _text()),  # none while the first request is still running
    Column("until", Utc, nullable=False),  # while running: when its lease ends; then: when the key is forgotten
    Index("ix_claims_until", "until"),
    sqlite_with_rowid=False,
)

PLAN_JOBS = Table(
    "plan_jobs",
    METADATA,
    Column("id", _text(), primary_key=True),
    Column("at", Utc, nullable=False),
    Column("venue", _text(), nullable=False),
    Column("state", _text(), CheckConstraint("state IN ('waiting', 'running', 'done', 'failed', 'cancelled')"), nullable=False),
    Column("progress", Float, nullable=False),
    Column("worker", _text()),
    Column("until", Utc),  # when the lease of its worker ends
    Column("tries", Integer, nullable=False),
    Column("given", LargeBinary),  # none once it is over: the answer is all that is kept
    Column("answer", LargeBinary),
    Column("failure", _text()),
    Index("ix_plan_jobs_state", "state", "id"),
    Index("ix_plan_jobs_at", "at"),
)

VENUE_VERSIONS = Table(
    "venue_versions",
    METADATA,
    Column("name", _text(), primary_key=True),
    Column("version", Integer, primary_key=True, autoincrement=False),
    Column("content", LargeBinary, nullable=False),
    Column("digest", _text(), nullable=False),
    Column("at", Utc, nullable=False),
    Column("made_by", _text()),
)

API_KEYS = Table(
    "api_keys",
    METADATA,
    Column("id", _text(), primary_key=True),
    Column("name", _text(), nullable=False),
    Column("scopes", _text(), nullable=False),
    Column("venues", _text()),
    Column("made_at", Utc, nullable=False),
    Column("expires_at", Utc),
    Column("revoked_at", Utc),
    Column("last_used_on", Utc),
    Column("secret_hash", LargeBinary, nullable=False),
)
