"""Packing: geometry by hand, stripes by the law of bonded covers, and what is refused."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import pytest

from cli.terminal import run
from filmsplit.actions.find import find_press
from filmsplit.contact.nip import Known, squeeze
from filmsplit.contact.packing import Dressing, FormAfter, PackingAnswer, PackingChange, PackingLimits, answer_packing
from filmsplit.contact.rollers import Body, Pair, SoftCover
from filmsplit.messages import Refusal

Capture = pytest.CaptureFixture[str]


def change(press: str = "heron", *, stripes: dict[str, float] | None = None, **sizes: float) -> PackingChange:
    described = find_press(press).press
    unit = described.units[0]
    dressing = replace(Dressing.of(unit), **sizes)
    return PackingChange(press=described, unit=unit, dressing=dressing, stripes_mm=stripes or {})


def form(answer: PackingAnswer, roller: str) -> FormAfter:
    return next(one for one in answer.forms if one.contact.startswith(roller))


def test_heights_and_squeeze_over_bearers() -> None:
    """Half of body plus twice cover and packing, less the bearer: 179.3 + 0.7 - 180 = 0; 0.1 more is 0.1 (geometry)."""
    answer = answer_packing(change("bittern", plate_packing_mm=0.15, blanket_packing_mm=0.22))
    assert answer.before.plate_height_mm == pytest.approx(0.0, abs=1e-9)
    assert answer.after.plate_height_mm == pytest.approx(0.10, abs=1e-9)
    assert answer.after.blanket_height_mm == pytest.approx(0.02, abs=1e-9)
    assert answer.after.squeeze_mm == pytest.approx(0.12, abs=1e-9)
    assert answer.squeeze_gain_mm == pytest.approx(0.12, abs=1e-9)


def test_without_bearers_only_the_change_of_the_squeeze_is_known() -> None:
    answer = answer_packing(change(plate_packing_mm=0.10, blanket_packing_mm=0.18))
    assert answer.after.squeeze_mm is None
    assert answer.squeeze_gain_mm == pytest.approx(-0.05 + 0.08, abs=1e-9)
    assert "squeeze-without-bearers" in {note.slug for note in answer.notes}


def test_more_under_the_plate_prints_shorter() -> None:
    """0.1 mm more: about 2 pi 0.1 = 0.63 mm shorter round the whole cylinder (geometry)."""
    answer = answer_packing(change(plate_packing_mm=0.25))
    round_it = math.pi * answer.before.plate_diameter_mm
    assert answer.print_longer * round_it == pytest.approx(-2 * math.pi * 0.1, rel=3e-3)
    assert answer_packing(change(blanket_packing_mm=0.2)).print_longer == 0.0


def test_a_thicker_plate_with_less_packing_of_the_same_height_prints_longer() -> None:
    """Its middle lies deeper: by half the added thickness over the radius (a bent plate's neutral fibre; geometry)."""
    answer = answer_packing(change(plate_mm=0.30, plate_packing_mm=0.0))
    assert answer.plate_gain_mm == pytest.approx(0.0, abs=1e-12)
    assert answer.print_longer == pytest.approx(0.075 / 86.5, rel=3e-3)


def test_stripes_after_follow_the_bonded_cover() -> None:
    """54 on 173 mm, 9 mm cover: read 3.8 mm, plate 0.02 mm higher: the engagement grows by just that (geometry)."""
    answer = answer_packing(change(plate_packing_mm=0.17, stripes={"F1": 3.8}))
    found = form(answer, "F1")
    cover = SoftCover(thickness_mm=9, hardness_shore_a=27)
    nip = Pair(a=Body(diameter_mm=54, cover=cover), b=Body(diameter_mm=173)).nip
    engagement = squeeze(nip, Known.STRIPE, 3.8).engagement_mm
    assert found.read
    assert found.before.stripe_mm == pytest.approx(3.8)
    after = squeeze(nip, Known.ENGAGEMENT, engagement + 0.02).stripe_mm
    assert found.after is not None
    assert found.after.stripe_mm == pytest.approx(after, rel=1e-3)
    assert found.back_mm == pytest.approx(0.02, abs=1e-12)


def test_a_blanket_changes_no_form_roller() -> None:
    answer = answer_packing(change(blanket_mm=1.9))
    assert answer.allowed
    assert answer.forms
    for one in answer.forms:
        assert one.after is not None
        assert one.after.stripe_mm == pytest.approx(one.before.stripe_mm, rel=1e-9)


def test_beyond_the_band_is_refused() -> None:
    """A plate 0.1 mm higher moves every form stripe by far more than the half millimetre allowed (common practice)."""
    answer = answer_packing(change(plate_packing_mm=0.25))
    assert not answer.allowed
    assert {problem.slug for problem in answer.refusals} == {"packing-beyond-the-band"}
    assert len(answer.refusals) == len(answer.forms) == 2
    lower = answer_packing(change(plate_packing_mm=0.0))
    assert {problem.slug for problem in lower.refusals} == {"packing-parts-a-form"}
    assert answer_packing(change(plate_packing_mm=0.25), limits=PackingLimits(stripe_mm=3.0)).allowed


def test_cloth_is_left_out_and_said() -> None:
    answer = answer_packing(change(plate_packing_mm=0.15))
    assert answer.allowed
    assert [problem.slug for problem in answer.left_out] == ["form-not-worked-out"]
    assert "cloth" in answer.left_out[0].what


@pytest.mark.parametrize("size", [-0.01, 10.5, math.nan])
def test_no_thickness_is_refused(size: float) -> None:
    with pytest.raises(Refusal) as refused:
        answer_packing(change(plate_packing_mm=size))
    assert refused.value.problems[0].slug == "packing-not-a-thickness"


def test_as_typed(capsys: Capture) -> None:
    ran = run(capsys, "packing", "heron", "--plate-packing-mm", "0.16", "--stripe", "F1=3.5")
    assert ran.code == 0, ran.err
    assert "(read)" in ran.out
    assert "stays within its band" in ran.out
    assert "isolate and lock" in ran.out
    beyond = run(capsys, "packing", "heron", "--plate-packing-mm", "0.25", "--json")
    assert beyond.code == 2
    told = json.loads(beyond.out)
    assert told["filmsplit"] == "packing 1"
    assert told["allowed"] is False
    assert told["answer"]["refusals"][0]["slug"] == "packing-beyond-the-band"


@pytest.mark.parametrize(
    ("arguments", "slug"),
    [
        (("heron",), "packing-nothing-changed"),
        (("dipper", "--plate-mm", "0.3"), "packing-which-unit"),
        (("heron", "--plate-mm", "0.15", "--stripe", "D1=3"), "stripe-of-no-form-roller"),
        (("heron", "--plate-mm", "0.15", "--stripe", "F1"), "stripe-not-understood"),
        (("heron", "--plate-mm", "0.15", "--stripe", "F1=x"), "length-not-understood"),
        (("heron", "--plate-mm", "0.15", "--stripe", "F1=0"), "squeeze-not-positive"),
    ],
)
def test_what_cannot_be_is_refused_in_plain_words(capsys: Capture, arguments: tuple[str, ...], slug: str) -> None:
    ran = run(capsys, "packing", *arguments)
    assert ran.code == 2
    assert slug in ran.err
