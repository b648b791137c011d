"""Rollers: what they are, where they were, what was read on them and done to them, and with what."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "r0002"
down_revision = "r0001"

_TEXT_FACTS = ("role", "drawing_number", "colour", "ends", "bearings", "cover_material", "made", "supplier", "remarks")
_NUMBER_FACTS = (
    "drawn_diameter_mm", "diameter_tolerance_mm", "least_diameter_mm", "face_mm", "overall_mm", "core_diameter_mm",
    "journal_mm", "cover_thickness_mm", "crown_mm", "roughness_um", "drawn_hardness_shore_a",
    "arrival_hardness_shore_a", "arrival_diameter_mm", "arrival_run_out_mm", "price",
)  # fmt: skip
_QUANTITIES = (
    "hardness_shore_a", "diameter_mm", "run_out_mm", "width_mm", "play_mm", "stroke_mm", "dwell_mm", "zero_divisions",
)  # fmt: skip


def upgrade() -> None:
    """Make the tables of rollers."""
    _rollers()
    _positions()
    _instruments()
    _entries()
    _points()


def _rollers() -> None:
    _table(
        "rollers",
        sa.Column("code", sa.String(9), nullable=False),
        sa.Column("mark", sa.String(40), nullable=False),
        sa.Column("invented", sa.Integer, nullable=False),
        sa.UniqueConstraint("code", name="uq_rollers_code"),
        sa.UniqueConstraint("mark", name="uq_rollers_mark"),
    )
    _table(
        "roller_facts",
        _leads_to("roller_facts", "roller_id", "rollers"),
        sa.Column("since", sa.String(10), nullable=False),
        *(sa.Column(name, sa.Text, nullable=False) for name in _TEXT_FACTS),
        *(sa.Column(name, sa.Float) for name in _NUMBER_FACTS),
        sa.Column("received_on", sa.String(10)),
        sa.Column("lead_time_days", sa.Integer),
    )
    op.create_index("ix_roller_facts_roller_id", "roller_facts", ["roller_id"])


def _positions() -> None:
    _table(
        "positions",
        _leads_to("positions", "roller_id", "rollers"),
        sa.Column("day", sa.String(10), nullable=False),
        sa.Column("whereabouts", sa.String(12), nullable=False),
        *(sa.Column(name, sa.String(24), nullable=False) for name in ("press", "unit", "place")),
        sa.Column("note", sa.Text, nullable=False),
        *_correction("positions"),
    )
    op.create_index("ix_positions_roller_id", "positions", ["roller_id"])
    op.create_index("ix_positions_press", "positions", ["press", "unit", "place"])


def _instruments() -> None:
    _table(
        "instruments",
        sa.Column("name", sa.String(40), nullable=False),
        sa.Column("kind", sa.String(16), nullable=False),
        sa.Column("unit", sa.String(8), nullable=False),
        sa.Column("remarks", sa.Text, nullable=False),
        sa.UniqueConstraint("name", name="uq_instruments_name"),
    )
    _table(
        "calibrations",
        _leads_to("calibrations", "instrument_id", "instruments"),
        sa.Column("day", sa.String(10), nullable=False),
        sa.Column("offset", sa.Float, nullable=False),
        sa.Column("uncertainty", sa.Float, nullable=False),
        sa.Column("due", sa.String(10)),
        sa.Column("against", sa.Text, nullable=False),
        *_correction("calibrations"),
    )
    op.create_index("ix_calibrations_instrument_id", "calibrations", ["instrument_id"])


def _entries() -> None:
    _table(
        "entries",
        sa.Column("kind", sa.String(16), nullable=False),
        sa.Column("day", sa.String(10), nullable=False),
        _leads_to("entries", "roller_id", "rollers", nullable=True),
        _leads_to("entries", "partner_id", "rollers", nullable=True),
        *(sa.Column(name, sa.String(24), nullable=False) for name in ("press", "unit")),
        sa.Column("contact", sa.String(49), nullable=False),
        sa.Column("person", sa.Text, nullable=False),
        _leads_to("entries", "instrument_id", "instruments", nullable=True),
        sa.Column("temperature_c", sa.Float),
        *(sa.Column(name, sa.Integer, nullable=False) for name in ("reliable", "arrival")),
        sa.Column("grade", sa.String(16), nullable=False),
        sa.Column("product", sa.Text, nullable=False),
        sa.Column("impressions", sa.Integer),
        sa.Column("remarks", sa.Text, nullable=False),
        *_correction("entries"),
    )
    op.create_index("ix_entries_roller_id", "entries", ["roller_id", "day"])
    op.create_index("ix_entries_partner_id", "entries", ["partner_id", "day"])
    op.create_index("ix_entries_press", "entries", ["press", "unit", "kind", "day"])


def _points() -> None:
    _table(
        "points",
        _leads_to("points", "entry_id", "entries"),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("place", sa.String(16), nullable=False),
        sa.Column("angle_deg", sa.Float),
        *(sa.Column(name, sa.Float) for name in _QUANTITIES),
        sa.UniqueConstraint("entry_id", "number", name="uq_points_entry_id"),
    )


def _table(name: str, *parts: sa.schema.SchemaItem) -> None:
    """A table with its number and its run."""
    op.create_table(
        name,
        sa.Column("id", sa.Integer, nullable=False),
        _leads_to(name, "run_id", "runs"),
        *parts,
        sa.PrimaryKeyConstraint("id", name=f"pk_{name}"),
    )


def _leads_to(table: str, column: str, other: str, *, nullable: bool = False) -> sa.Column[int]:
    key = sa.ForeignKey(f"{other}.id", name=f"fk_{table}_{column}")
    return sa.Column(column, sa.Integer, key, nullable=nullable)


def _correction(table: str) -> tuple[sa.schema.SchemaItem, ...]:
    return (
        _leads_to(table, "replaces_id", table, nullable=True),
        sa.Column("strikes", sa.Integer, nullable=False),
        sa.UniqueConstraint("replaces_id", name=f"uq_{table}_replaces_id"),
    )
