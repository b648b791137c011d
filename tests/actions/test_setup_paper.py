"""A plate file that nobody prepared, with records behind it: paper with nothing left out."""

from __future__ import annotations

from dataclasses import fields
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from filmsplit.actions.job_asked import JobAsked
from filmsplit.actions.setup import Set, set_job
from filmsplit.actions.setup_paper import sheet_of, strip_of
from filmsplit.actions.work import WorkAsked
from filmsplit.records.jobs import JobRecord, ZoneRecord, log_job
from filmsplit.records.store import Store
from filmsplit.reports.key_strip import key_strip_pdf
from filmsplit.reports.setup_pdf import setup_pdf
from filmsplit.reports.setup_sheet import SetupSheet
from filmsplit.reports.typeset import Paper
from reports.pages import pages

DPI = 1270.0
NOT_HERE = {"unit", "passes"}
"""Empty on a press of one unit that prints in one pass."""


def plate(path: Path) -> Path:
    """A heavy half beside a nearly empty one, with a fringe of hair lines: out of reach of one blade, and slow."""
    dots = np.zeros((380 * 50, 300 * 50), dtype=bool)
    dots[1000:13000, 500:5500] = True
    dots[1000:1100, 5500:14500] = True
    dots[::97, 9000:9010] = True
    Image.fromarray(~dots).save(path, compression="group4", dpi=(DPI, DPI))
    return path


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Set:
    folder = tmp_path_factory.mktemp("paper")
    records = folder / "shop.records"
    zones = tuple(ZoneRecord(zone=zone, coverage=0.15, key=1.5) for zone in range(1, 11))
    before = JobRecord(
        press="heron",
        unit="A",
        title="Handbill",
        printed_on=date(2026, 3, 2),
        ink="process-black",
        stock="offset 90",
        sweep=4.0,
        water=37.0,
        sheets_to_ok=120,
        zones=zones,
    )
    with Store.at(records).write("test") as writer:
        code = log_job(writer, before)
    work = WorkAsked(what=(str(plate(folder / "plate.tif")),), inks=("process-cyan",), sheet_mm=(440.0, 320.0))
    asked = JobAsked(title="Unseen", stock="offset 90", run=3000, after=code, constants=(1.7, 1.3), least_fill_kg=0.5)
    return set_job("heron", work, asked, records=records)


@pytest.fixture(scope="module")
def sheet(found: Set) -> SetupSheet:
    return sheet_of(found, found.answer.units[0], code="K7Q2-M9X4")


def test_no_field_of_the_sheet_is_left_empty(sheet: SetupSheet) -> None:
    empty = {each.name for each in fields(sheet) if getattr(sheet, each.name) in ("", (), None)}
    assert empty == NOT_HERE


@pytest.mark.parametrize("paper", list(Paper))
def test_what_the_records_and_the_plate_say_stands_on_the_paper(sheet: SetupSheet, paper: Paper) -> None:
    text = " ".join(" ".join(page.text for page in pages(setup_pdf(sheet, paper=paper))).split())
    for word in (
        "Unseen", "process-cyan", "plate.tif", "1270", "CCITT group 4",  # what was read
        "37", "Handbill", "120",  # what the records say
        "process-cyan follows process-black",
        "0.500 kg", "3 000 sheets", "K7Q2-M9X4",
    ):  # fmt: skip
        assert word in text.replace("\u00a0", " ").replace("\u200b", ""), word


def test_other_keys_for_the_first_sheets_stand_on_the_paper() -> None:
    found = set_job("dipper", WorkAsked(what=("4 12 16 20 22 16 10 6",)), JobAsked(run=120, constants=(1.9, 1.4)))
    (unit,) = found.answer.units
    first = [key.start_reading for key in unit.keys]
    assert None not in first, "a short run from clean rollers begins with other keys here: nothing was tested"
    line = " · ".join(f"{reading:.4g}" for reading in first if reading is not None)
    assert any(line in step for step in sheet_of(found, unit).start)


def test_the_strip_has_every_key_at_its_pitch(found: Set) -> None:
    unit = found.answer.units[0]
    strip = strip_of(found, unit)
    assert [key.width_mm for key in strip.keys] == [33.0] * 10
    assert [key.opening for key in strip.keys] == [key.opening for key in unit.keys]
    assert len(pages(key_strip_pdf(strip, paper=Paper.A4))) >= 1
