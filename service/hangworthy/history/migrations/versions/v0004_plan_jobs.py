"""Plans that are made in the background."""

import sqlalchemy as sa
from alembic import op

from hangworthy.history.migrations.columns import moment, text

revision = "0004"
down_revision = "0002"


def upgrade() -> None:
    """Go forward from the schema before."""
    op.create_table(
        "plan_jobs",
        sa.Column("id", text(), primary_key=True),
        sa.Column("at", moment(), nullable=False),
        sa.Column("venue", text(), nullable=False),
        sa.Column("state", text(), sa.CheckConstraint("state IN ('waiting', 'running', 'done', 'failed', 'cancelled')"), nullable=False),
        sa.Column("progress", sa.Float, nullable=False),
        sa.Column("worker", text()),
        sa.Column("until", moment()),
        sa.Column("tries", sa.Integer, nullable=False),
        sa.Column("given", sa.LargeBinary),
        sa.Column("answer", sa.LargeBinary),
        sa.Column("failure", text()),
    )
    op.create_index("ix_plan_jobs_state", "plan_jobs", ["state", "id"])
    op.create_index("ix_plan_jobs_at", "plan_jobs", ["at"])
