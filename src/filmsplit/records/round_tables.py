"""The tables of rounds at a press: a round goes on where it was left, whatever stopped in between."""

from __future__ import annotations

from sqlalchemy import Column, Float, ForeignKey, String, Table

from filmsplit.records.metadata import day, key, metadata, run, text

rounds = Table(
    "rounds",
    metadata,
    key(),
    run(),
    day("day", "when it began"),
    Column("press", String(24), nullable=False, index=True, comment="id of the press"),
    Column("unit", String(24), nullable=False, comment="id of the unit"),
    comment="A round of readings at one unit of a press.",
)

round_steps = Table(
    "round_steps",
    metadata,
    key(),
    run(),
    Column("round_id", ForeignKey("rounds.id"), nullable=False, index=True, comment="the round it belongs to"),
    day("day", "when it was"),
    Column("what", String(12), nullable=False, comment="gate, moved, read, left-out or ended"),
    text("person", "who stated what the gate asks, or did it"),
    Column("contact", String(49), nullable=False, default="", comment="contact that was read or left out; else empty"),
    Column("entry_id", ForeignKey("entries.id"), comment="the reading, where there is one"),
    Column("instrument_id", ForeignKey("instruments.id"), comment="what is read with from here on; empty: not said"),
    Column("temperature_c", Float, comment="of the covers from here on, °C; empty: not said"),
    comment="What happened in a round, in its order: what was stated at the gate, that rollers moved, what was read.",
)
