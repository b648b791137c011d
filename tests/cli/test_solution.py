"""`filmsplit solution` as typed. The worked figures are those of PIA guidance on conductivity (memory); the press is
invented."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cli.terminal import Ran, run

Capture = pytest.CaptureFixture[str]


@pytest.fixture
def records(tmp_path: Path) -> Path:
    return tmp_path / "shop.records"


def typed(capsys: Capture, records: Path, *words: str) -> Ran:
    return run(capsys, "solution", *words, "--records", str(records))


def test_from_the_titration_line_to_the_change(capsys: Capture, records: Path) -> None:
    line = typed(capsys, records, "titrate", "heron", "0=310", "1=690", "2=1070", "3=1450", "4=1830")
    assert "310 µS/cm for the water, 380 µS/cm more for each 1 %" in line.out
    assert typed(capsys, records, "add", "heron", "tank", "1450", "--fresh", "--dose", "3", "--ph", "4.9").code == 0
    assert typed(capsys, records, "add", "heron", "pan", "2020", "--by", "Kim").code == 0
    shown = typed(capsys, records, "show", "heron")
    assert "+570 µS/cm; a change is due beyond +500 µS/cm" in shown.out
    assert "Dose by titration         3.0 %" in shown.out
    assert "solution-change" in shown.out
    judged = json.loads(typed(capsys, records, "show", "heron", "--json").out)["judged"]
    assert (judged["verdict"], judged["rises"][0]["rise_us_per_cm"]) == ("act", 570.0)
    assert judged["dose_percent"] == pytest.approx(3.0)


def test_one_who_reads_micromho_is_told_in_micromho(capsys: Capture, records: Path) -> None:
    typed(capsys, records, "add", "heron", "tank", "1450", "--fresh", "--in", "umho")
    typed(capsys, records, "add", "heron", "pan", "1.6 mS", "--in", "umho")
    shown = typed(capsys, records, "show", "heron", "--in", "umho").out
    assert "+150 µmho/cm" in shown
    assert "µS" not in shown


def test_what_looks_like_a_slip_needs_a_yes(capsys: Capture, records: Path) -> None:
    refused = typed(capsys, records, "add", "heron", "pan", "1.45")
    assert refused.code == 2
    assert "solution-looks-unusual" in refused.err
    assert typed(capsys, records, "add", "heron", "pan", "1.45", "--sure").code == 0


@pytest.mark.parametrize(
    ("words", "slug"),
    [
        (("add", "heron", "pan"), "solution-nothing-read"),
        (("add", "heron", "pan", "1450", "--ph", "15"), "solution-out-of-range"),
        (("add", "heron", "pan", "nan"), "conductivity-not-understood"),
        (("add", "heron", "water", "310", "--dose", "2"), "solution-water-in-use"),
        (("add", "heron:Z", "pan", "1450"), "unit-not-found"),
        (("titrate", "heron", "0=310", "1=690"), "solution-line-few-doses"),
        (("titrate", "heron", "0=900", "1=690", "2=500"), "solution-line-does-not-rise"),
        (("titrate", "heron", "0=310", "x=690", "2=900"), "solution-number-unclear"),
        (("titrate", "heron", "0=310", "=690", "2=900"), "solution-number-unclear"),
        (("bands", "heron", "--ph", "5.5", "4.8"), "solution-band-upside-down"),
        (("strike", "9", "--reason", "wrong"), "history-undone-already"),
    ],
)
def test_what_cannot_be_is_refused_and_leaves_nothing(
    capsys: Capture, records: Path, words: tuple[str, ...], slug: str
) -> None:
    ran = typed(capsys, records, *words)
    assert ran.code == 2
    assert slug in ran.err
    assert json.loads(typed(capsys, records, "show", "heron", "--json").out)["samples"] == []


def test_a_sample_struck_out_counts_no_longer(capsys: Capture, records: Path) -> None:
    typed(capsys, records, "add", "heron", "tank", "1450", "--fresh")
    typed(capsys, records, "add", "heron", "pan", "2020")
    typed(capsys, records, "strike", "2", "--reason", "wrong pan", "--by", "Kim")
    assert json.loads(typed(capsys, records, "show", "heron", "--json").out)["judged"]["verdict"] == "keep"
    assert typed(capsys, records, "strike", "2", "--reason", "again").code == 2


def test_the_bands_of_the_maker_win(capsys: Capture, records: Path) -> None:
    typed(capsys, records, "add", "heron", "tank", "1450", "--fresh", "--ph", "4.9")
    assert "3.8 to 5.5 (common practice)" in typed(capsys, records, "show", "heron").out
    typed(capsys, records, "bands", "heron", "--ph", "4.0", "4.6", "--product", "Invented 3")
    shown = typed(capsys, records, "show", "heron").out
    assert "4 to 4.6 (shop experience)" in shown
    assert "solution-ph-outside" in shown
