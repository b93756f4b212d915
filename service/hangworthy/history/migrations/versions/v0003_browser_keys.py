"""Keys for browsers, and the buckets that bound how often each may ask."""

import sqlalchemy as sa
from alembic import op

from hangworthy.history.migrations.columns import text

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Go forward from 0002."""
    op.add_column("api_keys", sa.Column("browser", text()))
    op.create_table(
        "rates",
        sa.Column("bucket", text(), primary_key=True),
        sa.Column("full_at", sa.BigInteger, nullable=False),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_rates_full_at", "rates", ["full_at"])
