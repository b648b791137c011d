"""`filmsplit order --to`: everything a supplier is told or will ask for stands on the sheet."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from filmsplit.cli.care_commands import order
from filmsplit.cli.roller_commands import roller
from filmsplit.reports.typeset import Paper
from reports.pages import pages


@pytest.fixture(autouse=True)
def records(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FILMSPLIT_RECORDS", str(tmp_path / "shop.records"))


def sheet(to: Path, *facts: str, size: Paper = Paper.A4) -> str:
    """The text of the order for K1 with some facts, on one page of that size."""
    stated = [part for each in ("role=form", *facts) for part in ("--fact", each)]
    CliRunner().invoke(roller, ["add", "K1", *stated], catch_exceptions=False)
    asked = ["K1", "--ink", "oil", "--to", str(to), "--paper", size.value]
    result = CliRunner().invoke(order, asked, catch_exceptions=False)
    assert result.exit_code == 0, result.output
    (page,) = pages(to.read_bytes())
    assert page.size_mm == pytest.approx(size.size_mm, abs=0.1)
    assert page.overlapping() == []
    assert page.crossed() == []
    return " ".join(page.text.split())


@pytest.mark.parametrize("size", list(Paper))
def test_known_values_missing_ones_and_a_line_to_sign_on(size: Paper, tmp_path: Path) -> None:
    facts = (
        "drawn_diameter_mm=54.5",
        "face_mm=340",
        "cover_thickness_mm=9",
        "cover_material=nitrile rubber",
        "ends=plain",
    )
    said = sheet(tmp_path / "order.pdf", *facts, size=size)
    for each in ("K1", "form", "54.5", "340", "36.5", "plain", "oil"):
        assert each in said
    wanted = said[said.index("A supplier will ask for") :]
    for each in ("tolerance of the diameter", "length over all", "journal diameter", "hardness", "wash", "Signature"):
        assert each in wanted
    assert "Not to be sent" not in said


def test_what_cannot_be_made_says_so_on_top(tmp_path: Path) -> None:
    said = sheet(tmp_path / "order.pdf", "drawn_diameter_mm=54", "journal_mm=60")
    assert said.index("Not to be sent like this.") < said.index("The roller")
