"""The tables of fountain solution: samples of it, and the bands the shop holds it to."""

from __future__ import annotations

from sqlalchemy import Column, Float, Integer, String, Table

from filmsplit.records.metadata import correction, day, key, metadata, run, text

solution_samples = Table(
    "solution_samples",
    metadata,
    key(),
    run(),
    day("day", "when it was taken"),
    Column("press", String(24), nullable=False, index=True, comment="id of the press"),
    Column("unit", String(24), nullable=False, default="", comment="id of the unit; empty: of the whole press"),
    Column("taken_from", String(8), nullable=False, comment="water, mix, pan or tank"),
    Column("fresh", Integer, nullable=False, default=0, comment="1: a batch nobody had printed with yet"),
    Column(
        "titration",
        Integer,
        nullable=False,
        default=0,
        comment="1: a reading of a titration line, dose measured out; those of one run belong together",
    ),
    Column("conductivity_us_per_cm", Float, comment="conductivity, µS/cm; empty: not read"),
    Column("ph", Float, comment="pH; empty: not read"),
    Column("temperature_c", Float, comment="of the sample, °C; empty: not read"),
    Column("alcohol_percent", Float, comment="alcohol in it, percent; empty: not said"),
    Column("dose_percent", Float, comment="concentrate measured out, percent; empty: not said"),
    Column("hardness_dh", Float, comment="hardness, German degrees; empty: not read"),
    text("person", "who took it"),
    text("note", "anything else; of a row that strikes another out, why"),
    *correction("solution_samples"),
    comment="One sample of fountain solution, or of the water it is made with.",
)

solution_bands = Table(
    "solution_bands",
    metadata,
    key(),
    run(),
    day("since", "from when on these hold"),
    Column("press", String(24), nullable=False, index=True, comment="id of the press"),
    text("product", "whose bands they are: the concentrate and its maker"),
    Column("ph_low", Float, comment="lower end; empty: not said"),
    Column("ph_high", Float, comment="upper end; empty: not said"),
    Column("low_c", Float, comment="lower end of its temperature, °C; empty: not said"),
    Column("high_c", Float, comment="upper end of its temperature, °C; empty: not said"),
    text("person", "who said so"),
    text("note", "of a row that strikes another out, why"),
    *correction("solution_bands"),
    comment="What the maker of the concentrate, or the shop, asks of the solution. The last row of a press counts.",
)
