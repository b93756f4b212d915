"""Evaluations, their chain, tombstones, and claims on idempotency keys."""

import sqlalchemy as sa
from alembic import op

from hangworthy.history.migrations.columns import moment, number, text

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Go forward from an empty database."""
    op.create_table(
        "pack_sets",
        sa.Column("id", number(), primary_key=True, autoincrement=True),
        sa.Column("content", text(), nullable=False, unique=True),
    )
    _evaluations()
    _works()
    _chain()
    op.create_table(
        "claims",
        sa.Column("owner", text(), primary_key=True),
        sa.Column("key", text(), primary_key=True),
        sa.Column("digest", sa.LargeBinary, nullable=False),
        sa.Column("evaluation_id", text()),
        sa.Column("until", moment(), nullable=False),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_claims_until", "claims", ["until"])


def _evaluations() -> None:
    op.create_table(
        "evaluations",
        sa.Column("id", text(), primary_key=True),
        sa.Column("at", moment(), nullable=False),
        sa.Column("venue", text(), nullable=False),
        sa.Column("venue_version", sa.Integer, nullable=False),
        sa.Column("stage", text(), nullable=False),
        sa.Column("outcome", text(), nullable=False),
        sa.Column("at_worst", text(), nullable=False),
        sa.Column("settled", sa.Boolean, nullable=False),
        sa.Column("pack_set", number(), sa.ForeignKey("pack_sets.id"), nullable=False),
        sa.Column("made_by", text()),
        sa.Column("body", sa.LargeBinary, nullable=False),
    )
    if op.get_bind().dialect.name == "postgresql":  # the body is compressed already
        op.execute("ALTER TABLE evaluations ALTER COLUMN body SET STORAGE EXTERNAL")
    for name, columns in {
        "time": ["at", "id"],
        "venue": ["venue", "at", "id"],
        "outcome": ["outcome", "at", "id"],
        "stage": ["stage", "at", "id"],
        "pack_set": ["pack_set", "at", "id"],
        "venue_outcome": ["venue", "outcome", "at", "id"],
        "venue_stage": ["venue", "stage", "at", "id"],
    }.items():
        op.create_index(f"ix_evaluations_{name}", "evaluations", columns)


def _works() -> None:
    op.create_table(
        "works",
        sa.Column("evaluation_id", text(), sa.ForeignKey("evaluations.id"), primary_key=True),
        sa.Column("place", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("at", moment(), nullable=False),
        sa.Column("venue", text(), nullable=False),
        sa.Column("ref", text()),
        sa.Column("artist_ref", text()),
        sa.Column("outcome", text(), nullable=False),
        sa.Column("at_worst", text(), nullable=False),
        sa.Column("settled", sa.Boolean, nullable=False),
        sa.Column("unmet", text(), nullable=False),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_works_ref", "works", ["ref", "at", "evaluation_id"])
    op.create_table(
        "terms",
        sa.Column("kind", text(), sa.CheckConstraint("kind IN ('artist', 'unmet')"), primary_key=True),
        sa.Column("value", text(), primary_key=True),
        sa.Column("at", moment(), primary_key=True),
        sa.Column("evaluation_id", text(), sa.ForeignKey("evaluations.id"), primary_key=True),
        sa.Column("venue", text(), nullable=False),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_terms_venue", "terms", ["kind", "value", "venue", "at", "evaluation_id"])


def _chain() -> None:
    op.create_table(
        "chain",
        sa.Column("position", number(), primary_key=True, autoincrement=False),
        sa.Column("kind", text(), sa.CheckConstraint("kind IN ('evaluation', 'erasure')"), nullable=False),
        sa.Column("evaluation_id", text(), nullable=False),
        sa.Column("digest", sa.LargeBinary, nullable=False),
        sa.Column("link", sa.LargeBinary, nullable=False),
    )
    op.create_index("ix_chain_evaluation", "chain", ["evaluation_id"])
    head = op.create_table(
        "chain_head",
        sa.Column("id", sa.Integer, sa.CheckConstraint("id = 1"), primary_key=True, autoincrement=False),
        sa.Column("position", sa.BigInteger, nullable=False),
        sa.Column("link", sa.LargeBinary, nullable=False),
    )
    op.execute(head.insert().values(id=1, position=0, link=bytes(32)))
    op.create_table(
        "tombstones",
        sa.Column("position", number(), primary_key=True, autoincrement=False),
        sa.Column("evaluation_id", text(), sa.ForeignKey("evaluations.id"), nullable=False),
        sa.Column("at", moment(), nullable=False),
        sa.Column("made_by", text()),
        sa.Column("digests", text(), nullable=False),
        sa.Column("row_digest", sa.LargeBinary, nullable=False),
    )
    op.create_index("ix_tombstones_evaluation", "tombstones", ["evaluation_id", "position"])
