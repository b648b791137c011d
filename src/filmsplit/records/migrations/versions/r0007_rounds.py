"""Rounds at a press, so that one goes on where it was left."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "r0007"
down_revision = "r0006"


def upgrade() -> None:
    """Make the tables of rounds and of what happened in them."""
    op.create_table(
        "rounds",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("run_id", sa.Integer, sa.ForeignKey("runs.id", name="fk_rounds_run_id"), nullable=False),
        sa.Column("day", sa.String(10), nullable=False),
        sa.Column("press", sa.String(24), nullable=False),
        sa.Column("unit", sa.String(24), nullable=False),
    )
    op.create_index("ix_rounds_press", "rounds", ["press"])
    op.create_table(
        "round_steps",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("run_id", sa.Integer, sa.ForeignKey("runs.id", name="fk_round_steps_run_id"), nullable=False),
        _link("round_id", "rounds", nullable=False),
        sa.Column("day", sa.String(10), nullable=False),
        sa.Column("what", sa.String(12), nullable=False),
        sa.Column("person", sa.Text, nullable=False),
        sa.Column("contact", sa.String(49), nullable=False),
        _link("entry_id", "entries", nullable=True),
        _link("instrument_id", "instruments", nullable=True),
        sa.Column("temperature_c", sa.Float, nullable=True),
    )
    op.create_index("ix_round_steps_round_id", "round_steps", ["round_id"])


def _link(name: str, table: str, *, nullable: bool) -> sa.Column[int]:
    key = sa.ForeignKey(f"{table}.id", name=f"fk_round_steps_{name}")
    return sa.Column(name, sa.Integer, key, nullable=nullable)
