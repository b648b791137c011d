"""The sheet foreseen on paper: everything that was told is on it, beside the set-up sheet of the same ink."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from filmsplit.actions.foresee import Foreseen, foresee
from filmsplit.actions.foresee_paper import foreseen_sheet, write_paper
from filmsplit.actions.job_asked import JobAsked
from filmsplit.actions.setup_files import Targets
from filmsplit.actions.work import WorkAsked
from filmsplit.messages import Refusal
from filmsplit.reports.foreseen_sheet import foreseen_pdf
from filmsplit.reports.typeset import Paper
from filmsplit.studies.cure_list import Allowed


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Foreseen:
    """A tint with a bare window (invented), its cures tried."""
    tint = np.full((590, 551), 90, dtype=np.uint8)
    tint[40:120, 200:320] = 255
    path = tmp_path_factory.mktemp("work") / "poster.png"
    Image.fromarray(tint).save(path, dpi=(50, 50))
    asked = WorkAsked(what=(str(path),), sheet_mm=(360.0, 300.0))
    return foresee("heron", asked, JobAsked(title="Window"), visible=0.01, allowed=Allowed())


def text_of(data: bytes) -> str:
    """All text of a PDF, its lines joined."""
    with pypdfium2.PdfDocument(data) as document:
        pages = [page.get_textpage().get_text_bounded() for page in document]
    return " ".join(" ".join(pages).split())


@pytest.mark.parametrize("paper", [Paper.A4, Paper.LETTER])
def test_everything_told_is_on_the_page(found: Foreseen, paper: Paper) -> None:
    sheet = foreseen_sheet(found, 0, code="M0JK-9AEC")
    assert sheet.ghosts
    assert sheet.cures
    told = text_of(foreseen_pdf(sheet, paper=paper))
    rows = [cell for row in (*sheet.ghosts, *sheet.cures) for cell in row]
    for words in (sheet.job, sheet.press, sheet.threshold, sheet.code, *rows, *sheet.remarks, *sheet.refused):
        assert " ".join(words.split()) in told, words


def test_it_lies_beside_the_set_up_sheet(found: Foreseen, tmp_path: Path) -> None:
    written = write_paper(found, Targets(paper=tmp_path), over=False)
    names = sorted(path.name for path in written)
    assert names == ["heron-window-foreseen.pdf", "heron-window-keys.pdf", "heron-window-setup.pdf"]
    before = {path: path.read_bytes() for path in written}
    with pytest.raises(Refusal):
        write_paper(found, Targets(paper=tmp_path), over=False)
    assert {path: path.read_bytes() for path in written} == before


def test_where_no_ghost_is_seen_the_page_says_so(found: Foreseen) -> None:
    (ink,) = found.answer.inks
    bare = replace(found, answer=replace(found.answer, inks=(replace(ink, ghosts=()),)))
    sheet = foreseen_sheet(bare, 0)
    assert sheet.ghosts == ()
    assert sheet.none
    assert sheet.none in text_of(foreseen_pdf(sheet, paper=Paper.A4))
