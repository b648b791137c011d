"""Plans and facts of rollers that are struck out, by a row that says who did it and why."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "r0010"
down_revision = "r0009"


def upgrade() -> None:
    """Make the two tables; plans and facts themselves stay as they are."""
    for table, column, of in (("struck_plans", "plan_id", "plans"), ("struck_facts", "facts_id", "roller_facts")):
        op.create_table(
            table,
            sa.Column("id", sa.Integer, primary_key=True),
            sa.Column("run_id", sa.Integer, sa.ForeignKey("runs.id", name=f"fk_{table}_run_id"), nullable=False),
            sa.Column(column, sa.Integer, sa.ForeignKey(f"{of}.id", name=f"fk_{table}_{column}"), nullable=False),
            sa.Column("day", sa.String(10), nullable=False),
            sa.Column("person", sa.Text, nullable=False),
            sa.Column("reason", sa.Text, nullable=False),
            sa.UniqueConstraint(column, name=f"uq_{table}_{column}"),
        )
