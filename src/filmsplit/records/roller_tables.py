"""The tables of rollers, of what measures them, and of what was read on them and done to them."""

from __future__ import annotations

from sqlalchemy import Column, Float, ForeignKey, Index, Integer, String, Table, UniqueConstraint

from filmsplit.records.kinds import QUANTITIES
from filmsplit.records.metadata import correction, day, key, metadata, run, text
from filmsplit.records.roller_facts import fact_columns

rollers = Table(
    "rollers",
    metadata,
    key(),
    run(),
    Column("code", String(9), nullable=False, unique=True, comment="printed on its label to find it again"),
    Column("mark", String(40), nullable=False, unique=True, comment="identity as stamped or written at the journal"),
    Column("invented", Integer, nullable=False, default=0, comment="1 for demo data"),
    comment="A roller: the thing itself, wherever it is.",
)

roller_facts = Table(
    "roller_facts",
    metadata,
    key(),
    run(),
    Column("roller_id", ForeignKey("rollers.id"), nullable=False, index=True, comment="the roller"),
    day("since", "from when on this holds"),
    *fact_columns(),
    comment="A roller as drawn and as it arrived. The row with the latest day counts, of those the last written.",
)

positions = Table(
    "positions",
    metadata,
    key(),
    run(),
    Column("roller_id", ForeignKey("rollers.id"), nullable=False, index=True, comment="the roller"),
    day("day", "from when on it is there"),
    Column("whereabouts", String(12), nullable=False, comment="press, shelf, sent out or retired"),
    Column("press", String(24), nullable=False, default="", comment="id of the press; empty: on none"),
    Column("unit", String(24), nullable=False, default="", comment="id of the unit; empty: on none"),
    Column("place", String(24), nullable=False, default="", comment="id the press file gives that place, such as F1"),
    text("note", "rack and box, who has it, or why it was retired"),
    *correction("positions"),
    Index("ix_positions_press", "press", "unit", "place"),
    comment="Where a roller went, and when. It stays there until its next row.",
)

instruments = Table(
    "instruments",
    metadata,
    key(),
    run(),
    Column("name", String(40), nullable=False, unique=True, comment="as written on it"),
    Column("kind", String(16), nullable=False, comment="durometer, micrometer, tape, dial, rule, thermometer or other"),
    Column("unit", String(8), nullable=False, comment="unit it reads in: Shore A, mm or °C"),
    text("remarks", "maker's number, where it is kept"),
    comment="What readings are taken with.",
)

calibrations = Table(
    "calibrations",
    metadata,
    key(),
    run(),
    Column("instrument_id", ForeignKey("instruments.id"), nullable=False, index=True, comment="the instrument"),
    day("day", "when it was compared"),
    Column("offset", Float, nullable=False, comment="how much it reads too high, in the unit of the instrument"),
    Column("uncertainty", Float, nullable=False, comment="one standard deviation, in the unit of the instrument"),
    day("due", "when the next is due", required=False),
    text("against", "test block, gauge or other instrument it was compared with"),
    *correction("calibrations"),
    comment="How far an instrument was off, and how sure that is. The latest not after a reading counts for it.",
)

entries = Table(
    "entries",
    metadata,
    key(),
    run(),
    Column("kind", String(16), nullable=False, comment="what was read or done: hardness, stripe, wash-up …"),
    day("day", "when it was read or done"),
    Column("roller_id", ForeignKey("rollers.id"), comment="the roller; of a contact, the first named"),
    Column("partner_id", ForeignKey("rollers.id"), comment="the other roller of a contact; empty: a cylinder, or none"),
    Column("press", String(24), nullable=False, default="", comment="id of the press; empty: off the press"),
    Column("unit", String(24), nullable=False, default="", comment="id of the unit; empty: off the press"),
    Column(
        "contact", String(49), nullable=False, default="", comment="contact as the press file has it, such as F1/D1"
    ),
    text("person", "who read it or did it"),
    Column("instrument_id", ForeignKey("instruments.id"), comment="what it was read with; empty: not said"),
    Column("temperature_c", Float, comment="of the roller when it was read, °C"),
    Column("reliable", Integer, nullable=False, default=1, comment="0: kept, but not to be used for verdicts"),
    Column("arrival", Integer, nullable=False, default=0, comment="1: read when the roller came or came back"),
    Column("grade", String(16), nullable=False, default="", comment="what the cover looks like; empty: not said"),
    text("product", "wash, cleaner or parts used"),
    Column("impressions", Integer, comment="the press's counter"),
    text("remarks", "anything else"),
    *correction("entries"),
    Index("ix_entries_roller_id", "roller_id", "day"),
    Index("ix_entries_partner_id", "partner_id", "day"),
    Index("ix_entries_press", "press", "unit", "kind", "day"),
    comment="One reading, or one thing done, to a roller, at a contact or on a unit.",
)

_QUANTITY_WORDS = {
    "hardness_shore_a": "apparent hardness, Shore A",
    "diameter_mm": "diameter, mm",
    "run_out_mm": "run-out (total indicator reading), mm",
    "width_mm": "width of the stripe, mm",
    "play_mm": "play in the socket or bearing, mm",
    "stroke_mm": "whole sideways stroke of an oscillator, mm",
    "dwell_mm": "press travel while a ductor touches, mm",
    "tightened_deg": "net turn of an adjuster towards tighter, degrees",
    "zero_divisions": "key or blade setting at which it just closes, in the press's own divisions",
}

points = Table(
    "points",
    metadata,
    key(),
    run(),
    Column("entry_id", ForeignKey("entries.id"), nullable=False, comment="the entry it belongs to"),
    Column("number", Integer, nullable=False, comment="from 1, in the order read"),
    Column("place", String(16), nullable=False, default="", comment="operator, middle, gear …; empty: not said"),
    Column("angle_deg", Float, comment="how far round from the mark on the journal; empty: not said"),
    *(Column(name, Float, comment=_QUANTITY_WORDS[name]) for name in QUANTITIES),
    UniqueConstraint("entry_id", "number"),
    comment="One value of a reading as read, uncorrected. Only the column of the entry's kind is filled.",
)
