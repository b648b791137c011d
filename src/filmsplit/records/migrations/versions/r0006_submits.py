"""What was sent once and must not be recorded twice."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "r0006"
down_revision = "r0005"


def upgrade() -> None:
    """Make the table of what was sent."""
    op.create_table(
        "submits",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("run_id", sa.Integer, sa.ForeignKey("runs.id", name="fk_submits_run_id"), nullable=False),
        sa.Column("key", sa.String(64), nullable=False),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.UniqueConstraint("key", name="uq_submits_key"),
    )
