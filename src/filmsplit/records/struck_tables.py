"""The tables of plans and facts of rollers that were struck out: a row each, with who and why."""

from __future__ import annotations

from sqlalchemy import Column, ForeignKey, Table, Text

from filmsplit.records.metadata import day, key, metadata, run

struck_plans = Table(
    "struck_plans",
    metadata,
    key(),
    run(),
    Column(
        "plan_id", ForeignKey("plans.id"), nullable=False, unique=True, comment="the plan; it stays, and is not used"
    ),
    day("day", "when it was struck out"),
    Column("person", Text, nullable=False, comment="who struck it out"),
    Column("reason", Text, nullable=False, comment="why it counts no longer"),
    comment="Plans that were put on record by mistake.",
)

struck_facts = Table(
    "struck_facts",
    metadata,
    key(),
    run(),
    Column(
        "facts_id",
        ForeignKey("roller_facts.id"),
        nullable=False,
        unique=True,
        comment="the row of roller_facts; it stays, and those before it hold",
    ),
    day("day", "when they were struck out"),
    Column("person", Text, nullable=False, comment="who struck them out"),
    Column("reason", Text, nullable=False, comment="why they count no longer"),
    comment="Facts of rollers that were stated by mistake.",
)
