"""The set-up sheet as it comes out: the gate first and never ticked, every figure there, the same every time."""

from __future__ import annotations

from dataclasses import fields, replace

import pytest

from filmsplit.actions.find import find_press
from filmsplit.actions.job_asked import JobAsked
from filmsplit.actions.setup import set_job
from filmsplit.actions.setup_paper import sheet_of, strip_of
from filmsplit.actions.work import WorkAsked
from filmsplit.messages import Problem
from filmsplit.press.words import KeyKind
from filmsplit.procedures.words import PressState
from filmsplit.records.codes import new_code, read_code
from filmsplit.reports.key_strip import KeyStrip
from filmsplit.reports.keys import KeyOnPaper, how_to_read, keys_on_paper
from filmsplit.reports.setup_pdf import rows_of, setup_pdf
from filmsplit.reports.setup_sheet import Done, Expected, SetupSheet, Waits
from filmsplit.reports.typeset import Paper
from filmsplit.setup.readings import KeyReading
from reports.made_sheets import CODE, keys, sheet
from reports.pages import pages

PAPERS = pytest.mark.parametrize("paper", list(Paper))
SENTENCE = "filmsplit cannot see your press. This records what you checked; it makes nothing safe."


def flat(text: str) -> str:
    return " ".join(text.split())


@PAPERS
def test_gate_comes_first_and_is_never_ticked(paper: Paper) -> None:
    made = pages(setup_pdf(sheet(), paper=paper))
    first = flat(made[0].text)
    assert made[0].size_mm == pytest.approx(paper.size_mm, abs=0.05)
    assert SENTENCE in first
    assert first.index(SENTENCE) < first.index("Signature") < first.index("Stock") < first.index("Keys ")
    assert not set("☑☒✓✔✗✘") & set("".join(page.text for page in made))


@PAPERS
def test_everything_told_is_on_the_paper(paper: Paper) -> None:
    text = flat(" ".join(page.text for page in pages(setup_pdf(sheet(), paper=paper))))
    for word in (
        "process black", "offset 90 g/m²", "2 000 sheets", "6 notches", "bracket, start from the press manual",
        "1.00 µm", "0.85–1.15 µm", "52", "139", "not known", "0.400 kg", "1.002 kg", "a caution", "an assumption",
        "a limit", CODE, "shut", "3/8", "Operator’s side", "Gear side",
    ):  # fmt: skip
        assert word in text.replace("\u00a0", " "), word


def test_every_step_stands_under_its_press_state() -> None:
    made = sheet()
    text = flat(" ".join(page.text for page in pages(setup_pdf(made, paper=Paper.A4))))
    at = text.index("Steps for this press")
    for done in made.procedures:
        at = text.index(done.title, at)
        for passage in done.passages:
            at = text.index(passage.state.text, at)
            for step in passage.steps:
                at = text.index(flat(step.do)[:40], at)
    assert {passage.state for done in made.procedures for passage in done.passages} >= {PressState.ISOLATED}


@PAPERS
def test_same_data_same_bytes(paper: Paper) -> None:
    assert setup_pdf(sheet(), paper=paper) == setup_pdf(sheet(), paper=paper)


def test_a_title_is_never_markup() -> None:
    """Text with the template language's signs comes out as it went in."""
    nasty = "#panic() *x* $y$ <z> [w] \\ `v` @u"
    assert nasty in flat(pages(setup_pdf(sheet(job=nasty), paper=Paper.A4))[0].text)


def test_tagged_with_title_and_language() -> None:
    """ISO 14289-1: document title, language, tags, identification."""
    data = setup_pdf(replace(sheet(), procedures=()), paper=Paper.A4)
    for word in (b"/Lang", b"/StructTreeRoot", b"pdfuaid", b"/DisplayDocTitle true", b"Set-up sheet"):
        assert word in data, word


@pytest.mark.parametrize("of", [SetupSheet, KeyStrip, KeyOnPaper, Expected, Waits, Done])
def test_every_field_says_what_it_is(of: type) -> None:
    assert all(each.metadata["printed"] and "unit" in each.metadata for each in fields(of))


@pytest.mark.parametrize(
    ("turns", "whole", "part"), [(0.125, "", "1/8"), (1.0, "1", ""), (1.375, "1", "3/8"), (2.5, "2", "1/2")]
)
def test_turns_as_a_hand_counts_them(turns: float, whole: str, part: str) -> None:
    reading = KeyReading(zone=1, reading=turns, opening=turns / 3, film_off_um=0.0)
    (key,) = keys_on_paper([reading], kind=KeyKind.UNNUMBERED, widths_mm=[30.0])
    assert (key.whole, key.part) == (whole, part)


def test_paper_and_message_say_the_same_of_turns() -> None:
    said = Problem("setup-keys-from-closed", {"unit": "ink"}).what
    assert said.removeprefix("ink: ").casefold() == how_to_read(KeyKind.UNNUMBERED).casefold()


def test_turns_nobody_can_set_are_an_error() -> None:
    reading = KeyReading(zone=1, reading=1.3, opening=0.4, film_off_um=0.0)
    with pytest.raises(ValueError, match="eighths"):
        keys_on_paper([reading], kind=KeyKind.UNNUMBERED, widths_mm=[30.0])


@pytest.mark.parametrize("count", [1, 10, 12, 13, 24, 32])
def test_rows_hold_all_keys_in_order(count: int) -> None:
    many = [replace(keys()[0], zone=zone) for zone in range(1, count + 1)]
    rows = rows_of(many)
    assert [key.zone for row in rows for key in row] == list(range(1, count + 1))
    assert max(map(len, rows)) <= 12


@pytest.mark.parametrize("press", ["heron", "wagtail"])
def test_a_demo_press_from_its_settings(press: str) -> None:
    """What the sheet says is what the answer says: keys, sweep, waits, amounts, and the code to find it by."""
    zones = len(find_press(press).press.units[0].fountain.zone_widths_mm)  # type: ignore[union-attr]
    found = set_job(press, WorkAsked(what=(f"{zones}x12",)), JobAsked(title="Form", stock="offset", run=500))
    (unit,) = found.answer.units
    made = sheet_of(found, unit, code=new_code())
    assert read_code(made.code) is not None
    text = flat(" ".join(page.text for page in pages(setup_pdf(made, paper=Paper.A4))))
    assert made.code in text
    assert [key.opening for key in made.keys] == [key.opening for key in unit.keys]
    for key in made.keys:
        assert key.reading.replace(" ", "") in text.replace(" ", "")
    assert made.sweep in text
    assert made.waits.judge_key == unit.look_again
    assert made.ink_need is not None
    assert made.ink_need.printed_kg == unit.ink_need.printed_kg
    assert all(flat(line) in text for line in made.start)
    assert strip_of(found, unit).keys == made.keys
