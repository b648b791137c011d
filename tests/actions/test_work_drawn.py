"""PDF pages and preview pictures on the plate of a press: their shares in its zones, worked out here by hand."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from filmsplit.actions.find import find_press
from filmsplit.actions.work import WorkAsked, read_work
from filmsplit.formats.pdf.asked import PageBox, PdfAsked
from filmsplit.messages import Refusal
from filmsplit.press import Press, Unit
from formats.made_ppf import job, separations
from formats.pdf.raw_pdf import document, page, stream

SHEET_MM = (440.0, 320.0)
"""On Heron: zones of 33 mm from 5 to 335 mm, the sheet from 10 to 330 mm (both in the press file)."""
POINTS_PER_MM = 72 / 25.4
BOX = b"/MediaBox [0 0 %.4f %.4f]" % (320 * POINTS_PER_MM, 100 * POINTS_PER_MM)
STRIPS = b"%.6f 0 0 %.6f 0 0 cm 1 0 0 0.4 k 25 0 3 100 re 155 0 10 100 re f" % (POINTS_PER_MM, POINTS_PER_MM)
BY_HAND = np.zeros(10)
BY_HAND[0], BY_HAND[4], BY_HAND[5] = 3 / 28, 5 / 33, 5 / 33
BY_HAND *= 100 / 440


@pytest.fixture(scope="module")
def heron() -> Press:
    return find_press("heron").press


@pytest.fixture(scope="module")
def unit(heron: Press) -> Unit:
    return heron.units[0]


def refused(what: Path, press: Press, **pdf: object) -> list[str]:
    with pytest.raises(Refusal) as refusal:
        read_work(WorkAsked(what=(str(what),), sheet_mm=SHEET_MM, pdf=PdfAsked(**pdf)), press, press.units[0])  # type: ignore[arg-type]
    return [problem.slug for problem in refusal.value.problems]


def test_a_pdf_lies_where_a_plate_file_would(tmp_path: Path, heron: Press, unit: Unit) -> None:
    path = tmp_path / "strips.pdf"
    path.write_bytes(page(STRIPS, entries=BOX))
    work = read_work(WorkAsked(what=(str(path),), sheet_mm=SHEET_MM), heron, unit)
    assert work.inks == ("Cyan", "Black")
    for plate, tint in zip(work.plates, (1.0, 0.4), strict=True):
        assert plate.zones == pytest.approx(BY_HAND * tint, abs=1e-3)
    assert {"setup-assumed-place", "pdf-ink-without-image"} <= {notice.slug for notice in work.notices}


def test_page_and_box_are_asked_for(tmp_path: Path, heron: Press, unit: Unit) -> None:
    trim = b"/TrimBox [%.4f 0 %.4f %.4f]" % tuple(each * POINTS_PER_MM for each in (100, 200, 100))
    leaf = b"<< /Type /Page /Parent 2 0 R /Contents %d 0 R /Resources << >> " + BOX + b" %s >>"
    tree = b"<< /Type /Pages /Kids [3 0 R 5 0 R] /Count 2 >>"
    both = {1: b"<< /Type /Catalog /Pages 2 0 R >>", 2: tree, 3: leaf % (4, b""), 5: leaf % (6, trim)}
    path = tmp_path / "two.pdf"
    path.write_bytes(document({**both, 4: stream(b""), 6: stream(STRIPS)}))
    assert refused(path, heron) == ["pdf-which-page"]
    assert refused(path, heron, page=1) == ["pdf-page-empty"]
    assert refused(path, heron, page=3) == ["pdf-page-missing"]
    asked = WorkAsked(what=(str(path),), sheet_mm=SHEET_MM, pdf=PdfAsked(page=2, box=PageBox.TRIM))
    work = read_work(asked, heron, unit)
    assert work.picture_mm == pytest.approx((100, 100), abs=0.1)
    # 100 mm in the middle of the sheet begin at 120 mm; the strip 55 mm from their left is at 175 to 185, in zone 6.
    by_hand = np.zeros(10)
    by_hand[5] = 10 / 33
    assert work.plates[0].zones == pytest.approx(by_hand * 100 / 440, abs=1e-3)


def test_a_preview_lies_where_a_plate_file_would(tmp_path: Path, heron: Press, unit: Unit) -> None:
    dots = np.zeros((200, 640), dtype=np.uint8)  # two to the millimetre
    dots[:, 50:56] = dots[:, 310:330] = 255
    path = tmp_path / "job.ppf"
    path.write_bytes(job(separations([dots], compression="RunLengthDecode", encoding="Binary"), names=["Green"]))
    work = read_work(WorkAsked(what=(str(path),), sheet_mm=SHEET_MM), heron, unit)
    assert work.inks == ("Green",)
    assert work.plates[0].zones == pytest.approx(BY_HAND, abs=1e-3)
