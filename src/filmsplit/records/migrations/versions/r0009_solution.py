"""Fountain solution: samples of it, and the bands the shop holds it to."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "r0009"
down_revision = "r0008"

_READ = ("conductivity_us_per_cm", "ph", "temperature_c", "alcohol_percent", "dose_percent", "hardness_dh")
_ENDS = ("ph_low", "ph_high", "low_c", "high_c")


def upgrade() -> None:
    """Make the two tables."""
    op.create_table(
        "solution_samples",
        *_begin("solution_samples", "day"),
        sa.Column("unit", sa.String(24), nullable=False),
        sa.Column("taken_from", sa.String(8), nullable=False),
        sa.Column("fresh", sa.Integer, nullable=False),
        sa.Column("titration", sa.Integer, nullable=False),
        *(sa.Column(name, sa.Float, nullable=True) for name in _READ),
        *_end("solution_samples"),
    )
    op.create_index("ix_solution_samples_press", "solution_samples", ["press"])
    op.create_table(
        "solution_bands",
        *_begin("solution_bands", "since"),
        sa.Column("product", sa.Text, nullable=False),
        *(sa.Column(name, sa.Float, nullable=True) for name in _ENDS),
        *_end("solution_bands"),
    )
    op.create_index("ix_solution_bands_press", "solution_bands", ["press"])


def _begin(table: str, day: str) -> tuple[sa.Column[object], ...]:
    return (
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("run_id", sa.Integer, sa.ForeignKey("runs.id", name=f"fk_{table}_run_id"), nullable=False),
        sa.Column(day, sa.String(10), nullable=False),
        sa.Column("press", sa.String(24), nullable=False),
    )


def _end(table: str) -> tuple[sa.Column[object] | sa.UniqueConstraint, ...]:
    replaces = sa.ForeignKey(f"{table}.id", name=f"fk_{table}_replaces_id")
    return (
        sa.Column("person", sa.Text, nullable=False),
        sa.Column("note", sa.Text, nullable=False),
        sa.Column("replaces_id", sa.Integer, replaces, nullable=True),
        sa.Column("strikes", sa.Integer, nullable=False),
        sa.UniqueConstraint("replaces_id", name=f"uq_{table}_replaces_id"),
    )
