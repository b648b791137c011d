"""Jobs as printed: settings by zone and densities."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "r0001"
down_revision = None


def upgrade() -> None:
    """Make the first tables."""
    op.create_table(
        "runs",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("began_at", sa.String(32), nullable=False),
        sa.Column("what", sa.String(80), nullable=False),
        sa.Column("version", sa.String(40), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_runs"),
    )
    _jobs()
    _zones()
    _readings()


def _jobs() -> None:
    op.create_table(
        "jobs",
        sa.Column("id", sa.Integer, nullable=False),
        _run("jobs"),
        sa.Column("code", sa.String(9), nullable=False),
        sa.Column("printed_on", sa.String(10), nullable=False),
        sa.Column("press", sa.String(24), nullable=False),
        sa.Column("unit", sa.String(24), nullable=False),
        sa.Column("title", sa.Text, nullable=False),
        *(sa.Column(name, sa.Text, nullable=False) for name in ("ink", "stock", "remarks", "operator")),
        *(sa.Column(name, sa.Integer) for name in ("sheets", "sheets_to_ok", "waste_sheets")),
        *(sa.Column(name, sa.Float) for name in ("sweep", "water", "aim_density")),
        sa.Column("invented", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_jobs"),
        sa.UniqueConstraint("code", name="uq_jobs_code"),
    )
    for column in ("run_id", "printed_on", "press"):
        op.create_index(f"ix_jobs_{column}", "jobs", [column])


def _zones() -> None:
    op.create_table(
        "zones",
        sa.Column("id", sa.Integer, nullable=False),
        _run("zones"),
        sa.Column("job_id", sa.Integer, sa.ForeignKey("jobs.id", name="fk_zones_job_id"), nullable=False),
        sa.Column("zone", sa.Integer, nullable=False),
        sa.Column("coverage", sa.Float),
        sa.Column("key", sa.Float),
        sa.PrimaryKeyConstraint("id", name="pk_zones"),
        sa.UniqueConstraint("job_id", "zone", name="uq_zones_job_id"),
    )
    op.create_index("ix_zones_job_id", "zones", ["job_id"])


def _readings() -> None:
    op.create_table(
        "readings",
        sa.Column("id", sa.Integer, nullable=False),
        _run("readings"),
        sa.Column("job_id", sa.Integer, sa.ForeignKey("jobs.id", name="fk_readings_job_id"), nullable=False),
        sa.Column("sheet", sa.Integer),
        sa.Column("zone", sa.Integer, nullable=False),
        sa.Column("density", sa.Float, nullable=False),
        sa.Column("status", sa.String(8), nullable=False),
        sa.Column("polarised", sa.Integer),
        sa.Column("backing", sa.String(8), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_readings"),
    )
    op.create_index("ix_readings_job_id", "readings", ["job_id"])


def _run(table: str) -> sa.Column[int]:
    return sa.Column("run_id", sa.Integer, sa.ForeignKey("runs.id", name=f"fk_{table}_run_id"), nullable=False)
