"""The command, and several cards together."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from filmsplit.actions.stripe_picture import read_pictures
from filmsplit.cli.stripe_picture_command import stripe_picture
from filmsplit.messages import Refusal
from filmsplit.stripe_picture.card import Place
from stripe_picture.drawn_pictures import Scene, Shot, draw

BOTH_ENDS = Scene(11, card=0, more_cards=((2, 162.0),), width=4.0, taper=0.3, stripe_to=400.0)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("pictures")
    (made / "ends.jpg").write_bytes(draw(BOTH_ENDS, Shot(px_per_mm=6.5, frame=(-8, -8, 320, 78))).jpeg)
    (made / "none.jpg").write_bytes(draw(Scene(12, card=None), Shot(px_per_mm=4.0)).jpeg)
    return made


def test_two_cards_in_one_picture_give_the_ends(folder: Path) -> None:
    found = read_pictures([folder / "ends.jpg", folder / "none.jpg"])
    assert {each.stripe.place for each in found.read} == {Place.OPERATOR, Place.GEAR}
    assert [each.problem.slug for each in found.unread] == ["stripe-picture-no-card"]
    assert found.end_to_end
    # The cards lie 162 mm apart, the stripe widens by 0.3 mm in 100 mm.
    assert found.end_to_end.wider_at_gear_mm == pytest.approx(0.3 * 1.62, abs=found.end_to_end.uncertainty_mm)


def test_the_table_the_overlay_and_nothing_else_kept(folder: Path) -> None:
    before = {path: path.read_bytes() for path in folder.iterdir()}
    overlay = folder / "seen.svg"
    done = CliRunner().invoke(stripe_picture, [str(folder / "ends.jpg"), "--overlay", str(overlay)])
    assert done.exit_code == 0, done.output
    assert "Operator's side" in done.output
    assert "wider at the gear side" in done.output
    assert set(folder.iterdir()) == {*before, overlay}
    assert all(path.read_bytes() == data for path, data in before.items())
    assert overlay.read_text(encoding="utf-8").count("<image") == 2


def test_json_has_units_in_its_names(folder: Path) -> None:
    done = CliRunner().invoke(stripe_picture, [str(folder / "ends.jpg"), "--json", "--check-line-mm", "99.5"])
    told = json.loads(done.output)
    assert told["filmsplit"] == "stripe-picture 1"
    assert told["check_line_mm"] == 99.5
    assert told["read"][0]["stripe"]["stations"][0].keys() >= {"along_mm", "width_mm", "uncertainty_mm"}


def test_the_card_alone(tmp_path: Path) -> None:
    done = CliRunner().invoke(stripe_picture, ["--card", str(tmp_path / "card.pdf"), "--paper", "letter"])
    assert done.exit_code == 0, done.output
    assert (tmp_path / "card.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    ("data", "slug"), [(b"", "picture-damaged"), (b"\xff\xd8\xff\xe0 no picture", "picture-damaged")]
)
def test_what_is_no_picture_is_refused(tmp_path: Path, data: bytes, slug: str) -> None:
    (tmp_path / "x.jpg").write_bytes(data)
    with pytest.raises(Refusal) as refusal:
        read_pictures([tmp_path / "x.jpg"])
    assert [each.slug for each in refusal.value.problems] == [slug]
