"""Jobs as they were set, under the code that stands on their paper."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "r0004"
down_revision = "r0003"


def upgrade() -> None:
    """Make the tables of plans."""
    op.create_table(
        "plans",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("run_id", sa.Integer, sa.ForeignKey("runs.id", name="fk_plans_run_id"), nullable=False),
        sa.Column("code", sa.String(9), nullable=False),
        sa.Column("planned_on", sa.String(10), nullable=False),
        sa.Column("press", sa.String(24), nullable=False),
        sa.Column("unit", sa.String(24), nullable=False),
        *(sa.Column(name, sa.Text, nullable=False) for name in ("title", "ink", "stock")),
        sa.Column("sheets", sa.Integer),
        *(sa.Column(name, sa.Float) for name in ("sweep", "aim_density", "saturation", "rate_per_um")),
        *(sa.Column(name, sa.Float) for name in ("sheet_length_mm", "sheet_width_mm")),
        sa.Column("invented", sa.Integer, nullable=False),
        sa.UniqueConstraint("code", name="uq_plans_code"),
    )
    op.create_table(
        "plan_zones",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("run_id", sa.Integer, sa.ForeignKey("runs.id", name="fk_plan_zones_run_id"), nullable=False),
        sa.Column("plan_id", sa.Integer, sa.ForeignKey("plans.id", name="fk_plan_zones_plan_id"), nullable=False),
        sa.Column("zone", sa.Integer, nullable=False),
        sa.Column("coverage", sa.Float, nullable=False),
        sa.Column("key", sa.Float, nullable=False),
        sa.UniqueConstraint("plan_id", "zone", name="uq_plan_zones_plan_id"),
    )
    for table, column in (("plans", "press"), ("plan_zones", "plan_id")):
        op.create_index(f"ix_{table}_{column}", table, [column])
