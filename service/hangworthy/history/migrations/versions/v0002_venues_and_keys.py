"""Venues with their versions, API keys, and dictionaries that bodies are compressed with."""

import sqlalchemy as sa
from alembic import op

from hangworthy.history.migrations.columns import moment, number, text

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Go forward from 0001."""
    op.create_table(
        "venue_versions",
        sa.Column("name", text(), primary_key=True),
        sa.Column("version", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("content", sa.LargeBinary, nullable=False),
        sa.Column("digest", text(), nullable=False),
        sa.Column("at", moment(), nullable=False),
        sa.Column("made_by", text()),
    )
    op.create_table(
        "api_keys",
        sa.Column("id", text(), primary_key=True),
        sa.Column("name", text(), nullable=False),
        sa.Column("scopes", text(), nullable=False),
        sa.Column("venues", text()),
        sa.Column("made_at", moment(), nullable=False),
        sa.Column("expires_at", moment()),
        sa.Column("revoked_at", moment()),
        sa.Column("last_used_on", moment()),
        sa.Column("secret_hash", sa.LargeBinary, nullable=False),
    )
    op.create_table(
        "dictionaries",
        sa.Column("id", number(), primary_key=True, autoincrement=True),
        sa.Column("digest", sa.LargeBinary, nullable=False, unique=True),
        sa.Column("content", sa.LargeBinary, nullable=False),
    )
