"""Types of columns as the versions of the schema write them down; they must stay as they are, as the versions do."""

import sqlalchemy as sa
from sqlalchemy.dialects.postgresql import TEXT, TIMESTAMP


def moment() -> sa.BigInteger:
    """Return a time: with its zone on PostgreSQL, microseconds since 1970 on SQLite."""
    return sa.BigInteger().with_variant(TIMESTAMP(timezone=True), "postgresql")


def text() -> sa.Text:
    """Return text that sorts by its bytes."""
    return sa.Text().with_variant(TEXT(collation="C"), "postgresql")


def number() -> sa.BigInteger:
    """Return a whole number that SQLite can number rows by."""
    return sa.BigInteger().with_variant(sa.Integer(), "sqlite")
