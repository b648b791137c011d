"""Made-up rollers and readings for the tests of the records."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from filmsplit.records.entries import Entry, Point, log_entry
from filmsplit.records.instruments import Calibration, Instrument, add_instrument
from filmsplit.records.positions import Position, PressPlace, Whereabouts, move
from filmsplit.records.roller_facts import no_facts
from filmsplit.records.rollers import add_roller
from filmsplit.records.store import Store, Writer

DAY = date(2030, 3, 4)
AT_F1 = PressPlace(press="heron", unit="A", place="F1")
FACTS = replace(no_facts(), role="form", drawn_diameter_mm=54.0, received_on=date(2030, 1, 5), lead_time_days=20)
HARDNESS = Entry(
    kind="hardness",
    day=DAY,
    roller_id=1,
    press="heron",
    unit="A",
    person="Kim",
    instrument_id=1,
    temperature_c=22.5,
    points=tuple(Point(value=value, place="middle", angle_deg=90.0) for value in (27, 28, 26.5, 27, 29)),
)
STRIPE = Entry(
    kind="stripe",
    day=DAY,
    roller_id=1,
    partner_id=2,
    press="heron",
    unit="A",
    contact="F1/D1",
    points=(Point(value=3.5, place="operator"), Point(value=3.6, place="middle"), Point(value=0.1, place="gear")),
)
ENTRIES = (
    HARDNESS,
    STRIPE,
    Entry(kind="grade", day=DAY, roller_id=1, grade="semi-shiny", remarks='"quoted", with ½ and\na second line'),
    Entry(kind="wash-up", day=DAY, press="heron", unit="A", product="=W1, strong"),
    Entry(kind="impressions", day=DAY, press="heron", unit="A", impressions=1_250_000),
    replace(HARDNESS, arrival=True, reliable=False, points=(Point(value=95.0),)),
)


def fill(writer: Writer) -> None:
    """Two rollers on a press, an instrument, an entry of each shape."""
    for mark, at in (("K1", AT_F1), ("K2", replace(AT_F1, place="D1"))):
        roller_id = add_roller(writer, mark, FACTS, since=DAY)
        move(writer, roller_id, Position(day=DAY, whereabouts=Whereabouts.PRESS, at=at))
    calibration = Calibration(day=date(2030, 1, 1), offset=0.7, uncertainty=0.6, due=date(2031, 1, 1), against="block")
    add_instrument(writer, Instrument(name="D1", kind="durometer", calibrations=(calibration,)))
    for entry in ENTRIES:
        log_entry(writer, entry)


def filled(store: Store) -> Store:
    """The same store, filled."""
    with store.write("fill") as writer:
        fill(writer)
    return store
