"""The sheets of a job's inks in one PDF: a cover line each, every sheet as it is by itself, counted through.

Texts are read back by another program than the one that made them.
"""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from filmsplit.messages import label
from filmsplit.reports.setup_pdf import setup_pdf, setups_pdf
from filmsplit.reports.setup_sheet import SetupSheet
from filmsplit.reports.typeset import Paper
from reports.made_sheets import sheet
from reports.pages import Page, pages

INKS = (("black", "A", "AAAA-1111"), ("warm red", "B", "BBBB-2222"), ("green", "A", "CCCC-3333"))
FOOT = re.compile(label("setup_sheet.page") + r" (\d+) / (\d+)")


def made() -> list[SetupSheet]:
    return [replace(sheet(), ink=ink, unit=f"unit {unit}", code=code) for ink, unit, code in INKS]


def without_number(page: Page) -> str:
    return " ".join(FOOT.sub("", page.text).split())


@pytest.mark.parametrize("paper", list(Paper))
def test_cover_then_every_sheet_as_it_is_by_itself(paper: Paper) -> None:
    whole = pages(setups_pdf(made(), paper=paper))
    alone = [pages(setup_pdf(each, paper=paper)) for each in made()]
    assert len(whole) == 1 + sum(map(len, alone))
    assert all(page.size_mm == pytest.approx(paper.size_mm, abs=0.05) for page in whole)
    first, cover = 2, " ".join(whole[0].text.split())
    for (ink, unit, code), own in zip(INKS, alone, strict=True):
        assert re.search(rf"{ink} · unit {unit} {code} {label('setup_sheet.page')} {first}\b", cover), cover
        here = whole[first - 1 : first - 1 + len(own)]
        assert [without_number(page) for page in here] == [without_number(page) for page in own]
        first += len(own)
    counted = [FOOT.search(page.text) for page in whole]
    assert [each and (int(each[1]), int(each[2])) for each in counted] == [
        (number, len(whole)) for number in range(1, len(whole) + 1)
    ]


def test_one_ink_has_no_cover() -> None:
    (one, *_) = made()
    assert setups_pdf([one], paper=Paper.A4) == setup_pdf(one, paper=Paper.A4)


def test_nothing_lies_over_anything_and_it_is_tagged() -> None:
    """ISO 14289-1: document title, language, tags, identification."""
    data = setups_pdf(made(), paper=Paper.LETTER)
    assert pages(data)[0].overlapping() == []
    for word in (b"/Lang", b"/StructTreeRoot", b"pdfuaid", b"/DisplayDocTitle true"):
        assert word in data, word
