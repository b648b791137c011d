"""Widths from pictures on record: only after a yes, with their uncertainty, and never with a place that lacks."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from filmsplit.cli.main import filmsplit
from stripe_picture.drawn_pictures import Scene, Shot, draw

WIDTH_MM = 4.0


@pytest.fixture(scope="module")
def pictures(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, ...]:
    """One drawn picture for each place, the stripe everywhere of one width."""
    folder = tmp_path_factory.mktemp("pictures")
    made = []
    for card in range(3):
        made.append(folder / f"{card}.jpg")
        made[-1].write_bytes(draw(Scene(20 + card, card=card, width=WIDTH_MM), Shot(px_per_mm=8.0)).jpeg)
    return tuple(made)


@pytest.fixture(autouse=True)
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FILMSPLIT_RECORDS", str(tmp_path / "shop.records"))
    assert ran("roller register heron").exit_code == 0


def ran(line: str, *, answer: str = "") -> Result:
    return CliRunner().invoke(filmsplit, line.split(), input=answer)


def stripes() -> list[dict[str, object]]:
    found: list[dict[str, object]] = json.loads(ran("reading list heron:F1 --kind stripe --json").output)["entries"]
    return found


def asked(pictures: tuple[Path, ...]) -> str:
    names = " ".join(map(str, pictures))
    return f"stripe-picture {names} --record heron:plate/F1 --temperature 24 --by Kim"


def test_a_yes_puts_three_widths_on_record(pictures: tuple[Path, ...]) -> None:
    done = ran(asked(pictures), answer="y\n")
    assert done.exit_code == 0, done.output
    (entry,) = stripes()
    values = [point["value"] for point in entry["points"]]  # type: ignore[attr-defined]
    assert values == pytest.approx([WIDTH_MM] * 3, abs=0.15)
    assert (entry["person"], entry["temperature_c"]) == ("Kim", 24)
    assert str(entry["remarks"]).count("±") == 3
    assert "picture" in ran("instrument list").output


@pytest.mark.parametrize("answer", ["n\n", "", "\n\n"])
def test_without_a_yes_nothing_is_recorded(pictures: tuple[Path, ...], answer: str) -> None:
    ran(asked(pictures), answer=answer)
    assert stripes() == []


def test_a_place_that_lacks_is_refused_before_anything_is_asked(pictures: tuple[Path, ...]) -> None:
    done = ran(asked(pictures[:2]), answer="y\n")
    assert [each.slug for each in done.exception.problems] == ["stripe-record-place-lacks"]  # type: ignore[union-attr]
    assert stripes() == []
