"""Sheets made by hand: an invented fountain with keys of uneven width and readings of every kind."""

from __future__ import annotations

from filmsplit.actions.find import find_press
from filmsplit.figures.drawing import finish
from filmsplit.library.procedures import procedure
from filmsplit.press.words import KeyKind
from filmsplit.procedures.for_unit import fitted
from filmsplit.procedures.gate import passages_of
from filmsplit.reports.key_strip import KeyStrip
from filmsplit.reports.keys import KeyOnPaper, how_to_read, keys_on_paper
from filmsplit.reports.setup_sheet import Done, Expected, SetupSheet, Waits
from filmsplit.setup.quantity import InkNeed
from filmsplit.setup.readings import KeyReading

WIDTHS_MM = (33.0, 33.0, 28.5, 33.0, 33.0, 33.0, 33.0, 40.0, 33.0, 33.0)
TURNS = (0.0, 0.125, 1.0, 1.375, 2.5, 0.75, 3.0, 1.25, 2.0, 0.5)
CODE = "K7Q2-M9X4"


def keys() -> tuple[KeyOnPaper, ...]:
    readings = [
        KeyReading(zone=zone, reading=turns, opening=turns / 3, film_off_um=0.0)
        for zone, turns in enumerate(TURNS, start=1)
    ]
    return keys_on_paper(readings, kind=KeyKind.UNNUMBERED, widths_mm=WIDTHS_MM)


def strip() -> KeyStrip:
    how = how_to_read(KeyKind.UNNUMBERED)
    return KeyStrip(press="Heron", unit="", job="Form", keys=keys(), how_to_read=how, sweep="6 notches", code=CODE)


def sheet(*, job: str = "Form") -> SetupSheet:
    unit = find_press("heron").press.units[0]
    made = [fitted(procedure(id), unit) for id in ("start", "wash-up")]
    return SetupSheet(
        press="Heron",
        unit="",
        invented=True,
        job=job,
        ink="process black",
        stock="offset 90 g/m²",
        run=2000,
        keys=keys(),
        how_to_read=how_to_read(KeyKind.UNNUMBERED),
        sweep="6 notches",
        water="no record: bracket, start from the press manual",
        expected=Expected(quantity="Mean film", unit="µm", value=1.0, low=0.85, high=1.15, coverage=0.8),
        waits=Waits(sheets_63=52, sheets_95=139, judge_key=None),
        ink_need=InkNeed(printed_kg=0.5, charge_kg=0.002, fountain_kg=0.4, left_over_kg=0.1),
        curve=finish([], size_mm=(210.0, 120.0), title="curve", alt="film against sheet"),
        warnings=("a caution",),
        assumptions=("an assumption",),
        limits=("a limit",),
        procedures=tuple(Done(title=m.title, source=m.source, passages=passages_of(m)) for m in made),
        code=CODE,
    )
