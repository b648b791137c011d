"""The tables of runs, of what was sent, and of jobs as printed.

How all tables came to be stands in ``migrations``; a test holds both to each other.
"""

from __future__ import annotations

from sqlalchemy import Column, Float, ForeignKey, Integer, String, Table, Text, UniqueConstraint

from filmsplit.records.metadata import day, key, metadata, run

runs = Table(
    "runs",
    metadata,
    key(),
    Column("began_at", String(32), nullable=False, comment="when, with the zone of the clock (ISO 8601)"),
    Column("what", String(80), nullable=False, comment="the command or page"),
    Column("version", String(40), nullable=False, comment="of the program"),
    comment="One row for everything that was recorded together.",
)

submits = Table(
    "submits",
    metadata,
    key(),
    run(),
    Column("key", String(64), nullable=False, unique=True, comment="the sender's own name for what was sent"),
    Column("digest", String(64), nullable=False, comment="SHA-256 of what was sent"),
    comment="What was sent under a key: the same sent again is not recorded again.",
)

jobs = Table(
    "jobs",
    metadata,
    key(),
    run(index=True),
    Column("code", String(9), nullable=False, unique=True, comment="printed on paper to find the record again"),
    Column("printed_on", String(10), nullable=False, index=True, comment="day, ISO 8601"),
    Column("press", String(24), nullable=False, index=True, comment="id of the press"),
    Column("unit", String(24), nullable=False, comment="id of the unit"),
    Column("title", Text, nullable=False, comment="what was printed"),
    Column("ink", Text, nullable=False, default="", comment="ink used"),
    Column("stock", Text, nullable=False, default="", comment="stock used"),
    Column("remarks", Text, nullable=False, default="", comment="anything worth knowing next time"),
    Column("operator", Text, nullable=False, default="", comment="who printed it"),
    Column("sheets", Integer, comment="good sheets printed"),
    Column("sheets_to_ok", Integer, comment="sheets until the first good one"),
    Column("waste_sheets", Integer, comment="sheets wasted in all"),
    Column("sweep", Float, comment="in the divisions or notches of the press"),
    Column("water", Float, comment="on the scale of the press"),
    Column("aim_density", Float, comment="density that was aimed at"),
    Column("aim_status", String(8), nullable=False, server_default="", comment="how the aim is meant: density status"),
    Column("aim_polarised", Integer, comment="how the aim is meant: 1 with, 0 without a polarising filter"),
    Column("aim_backing", String(8), nullable=False, server_default="", comment="how the aim is meant: backing"),
    Column("saturation", Float, comment="density that no solid of this ink on this stock exceeds"),
    Column("rate_per_um", Float, comment="how fast it is reached: Tollenaar and Ernst's constant per um"),
    Column("sheet_length_mm", Float, comment="in the direction of travel"),
    Column("sheet_width_mm", Float, comment="across the press"),
    Column("invented", Integer, nullable=False, default=0, comment="1 for demo data"),
    comment="A job as it was really printed on one unit.",
)

struck_jobs = Table(
    "struck_jobs",
    metadata,
    key(),
    run(),
    Column(
        "job_id", ForeignKey("jobs.id"), nullable=False, unique=True, comment="the job; it stays, and counts no more"
    ),
    day("day", "when it was struck out"),
    Column("person", Text, nullable=False, comment="who struck it out"),
    Column("reason", Text, nullable=False, comment="why it counts no longer"),
    comment="Jobs that were put on record by mistake.",
)

zones = Table(
    "zones",
    metadata,
    key(),
    run(),
    Column("job_id", ForeignKey("jobs.id"), nullable=False, index=True, comment="the job it belongs to"),
    Column("zone", Integer, nullable=False, comment="from 1 at the operator's side"),
    Column("coverage", Float, comment="0 to 1"),
    Column("key", Float, comment="as read on the press"),
    UniqueConstraint("job_id", "zone"),
    comment="What each zone asked for and was set to at the OK sheet.",
)

readings = Table(
    "readings",
    metadata,
    key(),
    run(),
    Column("job_id", ForeignKey("jobs.id"), nullable=False, index=True, comment="the job it belongs to"),
    Column("sheet", Integer, comment="sheet number since the start; empty: the OK sheet"),
    Column("zone", Integer, nullable=False, comment="from 1 at the operator's side"),
    Column("density", Float, nullable=False, comment="density of the solid"),
    Column("status", String(8), nullable=False, comment="density status: E, T, A, I; empty: not said"),
    Column("polarised", Integer, comment="1 with, 0 without a polarising filter; empty: not said"),
    Column("backing", String(8), nullable=False, comment="black, white, self; empty: not said"),
    comment="Densities of solids, zone by zone.",
)

plans = Table(
    "plans",
    metadata,
    key(),
    run(),
    Column("code", String(9), nullable=False, unique=True, comment="printed on paper; the job logged takes it over"),
    Column("planned_on", String(10), nullable=False, comment="day, ISO 8601"),
    Column("press", String(24), nullable=False, index=True, comment="id of the press"),
    Column("unit", String(24), nullable=False, comment="id of the unit"),
    Column("title", Text, nullable=False, comment="what is to be printed"),
    Column("ink", Text, nullable=False, comment="ink, as the work calls it"),
    Column("stock", Text, nullable=False, comment="stock to print on"),
    Column("sheets", Integer, comment="good sheets to print"),
    Column("sweep", Float, comment="in the divisions or notches of the press"),
    Column("aim_density", Float, comment="density that is aimed at"),
    Column("saturation", Float, comment="density that no solid of this ink on this stock exceeds"),
    Column("rate_per_um", Float, comment="how fast it is reached: Tollenaar and Ernst's constant per um"),
    Column("sheet_length_mm", Float, comment="in the direction of travel"),
    Column("sheet_width_mm", Float, comment="across the press"),
    Column("invented", Integer, nullable=False, default=0, comment="1 for demo data"),
    comment="A job as it was set before it was printed, on one unit.",
)

plan_zones = Table(
    "plan_zones",
    metadata,
    key(),
    run(),
    Column("plan_id", ForeignKey("plans.id"), nullable=False, index=True, comment="the plan it belongs to"),
    Column("zone", Integer, nullable=False, comment="from 1 at the operator's side"),
    Column("coverage", Float, nullable=False, comment="0 to 1"),
    Column("key", Float, nullable=False, comment="to be set, as read on the press"),
    UniqueConstraint("plan_id", "zone"),
    comment="What each zone asks for and is to be set to.",
)
