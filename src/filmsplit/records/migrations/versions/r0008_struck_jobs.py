"""Jobs that are struck out, by a row that says who did it and why."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "r0008"
down_revision = "r0007"


def upgrade() -> None:
    """Make the table of jobs that count no longer; the jobs themselves stay as they are."""
    op.create_table(
        "struck_jobs",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("run_id", sa.Integer, sa.ForeignKey("runs.id", name="fk_struck_jobs_run_id"), nullable=False),
        sa.Column("job_id", sa.Integer, sa.ForeignKey("jobs.id", name="fk_struck_jobs_job_id"), nullable=False),
        sa.Column("day", sa.String(10), nullable=False),
        sa.Column("person", sa.Text, nullable=False),
        sa.Column("reason", sa.Text, nullable=False),
        sa.UniqueConstraint("job_id", name="uq_struck_jobs_job_id"),
    )
