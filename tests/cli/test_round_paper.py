"""`filmsplit reading paper`: everything that is to be read has room on the sheet, and no box comes ticked."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from filmsplit.cli.reading_commands import reading
from filmsplit.cli.roller_commands import roller
from filmsplit.formats.press_file import load
from filmsplit.library.workshop import demo_path
from filmsplit.press import Press
from filmsplit.press.words import ContactKind
from filmsplit.reports.typeset import Paper
from reports.pages import Box, Page, pages

BOX_MM = 5.2
"""Of a box with its line, as the reader of PDFs bounds it."""
AT_GATE, AGAIN = 8, 3
"""Boxes of the gate, and of each time that it is checked again."""


@pytest.fixture(autouse=True)
def records(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FILMSPLIT_RECORDS", str(tmp_path / "shop.records"))


def paper(press: str, to: Path, *, size: Paper = Paper.A4) -> list[Page]:
    asked = ["paper", press, str(to), "--paper", size.value]
    result = CliRunner().invoke(reading, asked, catch_exceptions=False)
    assert result.exit_code == 0, result.output
    return pages(to.read_bytes())


def words(found: list[Page]) -> list[str]:
    return [word for page in found for word in page.text.split()]


def expected(press: Press) -> list[str]:
    """Contacts with a stripe to read, then rollers, unit by unit."""
    names = []
    for unit in press.units:
        soft = {each.id for each in unit.rollers if each.is_soft}
        read = [each for each in unit.contacts if each.kind is not ContactKind.TOUCHES and soft & {each.a, each.b}]
        names += [each.id for each in read] + [each.id for each in unit.rollers]
    return names


@pytest.mark.parametrize("size", list(Paper))
@pytest.mark.parametrize("name", ["heron", "dipper"])
def test_contacts_and_rollers_stand_in_the_order_of_the_press_file(name: str, size: Paper, tmp_path: Path) -> None:
    found = paper(name, tmp_path / "round.pdf", size=size)
    assert [page.size_mm for page in found] == [pytest.approx(size.size_mm, abs=0.1)] * len(found)
    names = expected(load(demo_path(name)).press)
    assert [word for word in words(found) if word in set(names)] == names
    assert "Nothing was on record" in " ".join(words(found))


@pytest.mark.parametrize("name", ["heron", "dipper"])
def test_no_box_comes_ticked_and_nothing_lies_over_anything(name: str, tmp_path: Path) -> None:
    found = paper(name, tmp_path / "round.pdf")
    boxes = [(page, box) for page in found for box in page.closed_mm if _is_a_box(box)]
    places = {(found.index(page), round(box[0]), round(box[1])) for page, box in boxes}
    assert len(places) == AT_GATE + 2 * AGAIN * len(load(demo_path(name)).press.units)
    for page, (left, low, right, high) in boxes:
        inside = [each for each in page.glyphs if left < each.box_mm[0] < right and low < each.box_mm[1] < high]
        assert inside == []
    for page in found:
        assert page.overlapping() == []
        assert page.crossed() == []


def _is_a_box(box: Box) -> bool:
    return (box[2] - box[0], box[3] - box[1]) == pytest.approx((BOX_MM, BOX_MM), abs=0.15)


def test_the_last_values_on_record_stand_beside_the_blanks(tmp_path: Path) -> None:
    runner = CliRunner()
    runner.invoke(roller, ["register", "heron"], catch_exceptions=False)
    for told in (
        "hardness heron:F1 41 42 41 40 41 --at middle --temperature 23",
        "hardness heron:F1 31 32 31 30 31 --at middle --temperature 23",
        "stripe heron:F1/plate 3.4 3.6 3.9",
        "run-out heron:F1 0.02 0.03 0.04",
        "grade heron:F1 swollen end",
    ):
        runner.invoke(reading, ["add", *told.split()], catch_exceptions=False)
    said = " ".join(words(paper("heron", tmp_path / "round.pdf")))
    for each in ("31.0 ±", "3.4 / 3.6 / 3.9 mm on", "run-out 0.02 / 0.03 / 0.04 mm", "swollen end on", "heron-F1"):
        assert each in said
    assert "41.0 ±" not in said, "only the last"
