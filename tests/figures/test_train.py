"""The drawing itself: true to scale, whole, accessible, the same every time."""

from __future__ import annotations

import math
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from figures.trains import bare_press, full_press, two_unit_press
from filmsplit.figures.drawing import Drawing
from filmsplit.figures.lines import Tells
from filmsplit.figures.train import draw_train
from filmsplit.messages import Refusal
from filmsplit.press.words import TurnSense

GOLD = Path(__file__).parent / "gold"
GOLD_CASES = {
    "full-everything": lambda: draw_train(full_press()),
    "full-purpose": lambda: draw_train(full_press(), tells="purpose", ink_path=False),
    "bare-drive": lambda: draw_train(bare_press(), tells="drive", contacts=False),
}
SVG = "{http://www.w3.org/2000/svg}"


def texts(drawing: Drawing) -> list[str]:
    return [node.text or "" for node in ET.fromstring(drawing.svg).iter(f"{SVG}text")]


@pytest.mark.parametrize("tells", [each.value for each in Tells])
def test_it_is_an_accessible_document_with_nothing_from_outside(tells: str) -> None:
    """Named picture with title and description (W3C SVG accessibility), real text, no reference but to itself."""
    drawing = draw_train(full_press(), tells=tells)
    root = ET.fromstring(drawing.svg)
    assert root.get("role") == "img"
    ids = {node.get("id") for node in root.iter() if node.tag in (f"{SVG}title", f"{SVG}desc") and node.text}
    assert set((root.get("aria-labelledby") or "").split()) <= ids
    assert drawing.alt == root.findtext(f"{SVG}desc")
    addresses = re.findall(r'(?:href|src)="([^"]*)"|url\(([^)]*)\)', drawing.svg)
    assert all(target.startswith("#") for pair in addresses for target in pair if target)
    defined = {node.get("id") for node in root.iter()}
    assert all(local[1:] in defined for _, local in addresses)


def test_size_is_in_millimetres() -> None:
    drawing = draw_train(full_press(), paper="A3")
    root = ET.fromstring(drawing.svg)
    assert {drawing.width_mm, drawing.height_mm} == {297.0, 420.0}
    assert root.get("width") == f"{drawing.width_mm:g}mm"
    assert root.get("viewBox") == f"0 0 {drawing.width_mm:g} {drawing.height_mm:g}"


def test_circles_and_distances_are_true_to_the_stated_scale() -> None:
    """By hand: D1 and F1 have 70 and 54 mm; the circle on paper is that divided by the scale in the subtitle."""
    drawing = draw_train(full_press())
    scale = float(next(re.search(r"1 : ([\d.]+)$", t) for t in texts(drawing) if "1 : " in t)[1])
    filled = [
        (float(n.get("cx", 0)), float(n.get("cy", 0)), float(n.get("r", 0)))
        for n in ET.fromstring(drawing.svg).iter(f"{SVG}circle")
        if n.get("fill") == "#ffffff"
    ]
    unit = full_press().units[0]
    for roller, (_, _, r) in zip(unit.rollers, filled, strict=True):
        assert r == pytest.approx(roller.diameter_mm / 2 / scale, abs=0.006)
    by_id = dict(zip([roller.id for roller in unit.rollers], filled, strict=True))
    apart = math.dist(by_id["D1"][:2], by_id["F1"][:2])
    assert apart * scale == pytest.approx((70 + 54) / 2, abs=0.1)
    assert by_id["F4"][0] > by_id["F1"][0]
    assert by_id["IF"][1] < by_id["F1"][1], "up on the machine is up on paper"


def test_it_says_what_must_be_said() -> None:
    shown = texts(draw_train(full_press()))
    assert "Everything press" in shown
    assert any("invented" in words for words in shown)
    assert "Ø ~40 mm" in shown, "an assumed diameter is marked"
    assert "~4 P" in shown or "~4 M" in shown, "an assumed target is marked"
    assert any("isolate" in words for words in shown)
    assert any(words.endswith("mm") and words[:-3].isdigit() for words in shown), "the scale bar has its length"


def test_a_press_that_is_not_invented_does_not_say_so() -> None:
    shown = texts(draw_train(bare_press()))
    assert "full" in shown, "without a name the id is the title"
    assert not any("invented" in words for words in shown)
    assert "~" not in "".join(shown)


def test_the_legend_lists_what_is_used_and_nothing_else() -> None:
    full, bare = texts(draw_train(full_press())), texts(draw_train(bare_press()))
    for words in ("cloth cover", "own motor", "slips", "touches at times", "other place of a ductor"):
        assert words in full
        assert words not in bare


def test_paths_and_contacts_can_be_left_out() -> None:
    bare = texts(draw_train(full_press(), ink_path=False, contacts=False))
    assert not any("shortest way" in words or "stripe target" in words for words in bare)
    assert not any(re.fullmatch(r"~?[\d.]+ [MDSP]", words) for words in bare)


def test_several_units_stand_side_by_side_each_with_its_name() -> None:
    drawing = draw_train(two_unit_press())
    shown = texts(drawing)
    assert "Unit A" in shown
    assert "Unit B" in shown
    assert shown.count("plate") == 2
    assert drawing.width_mm > drawing.height_mm
    alone = texts(draw_train(two_unit_press(), two_unit_press().unit("B")))
    assert "Everything press · Unit B" in alone


def test_a_roller_without_a_place_is_named_not_dropped_in_silence() -> None:
    press = full_press()
    unit = press.units[0]
    lost = tuple(replace(r, centre=None) if r.id == "RD1" else r for r in unit.rollers)
    shown = texts(draw_train(replace(press, units=(replace(unit, rollers=lost),))))
    assert any("RD1" in words and "place unknown" in words for words in shown)


def test_mirrored_turn_mirrors_the_arrows() -> None:
    press = full_press()
    unit = press.units[0]
    other = replace(unit, cylinders=replace(unit.cylinders, plate_turns=TurnSense.ANTICLOCKWISE))
    assert draw_train(press).svg != draw_train(replace(press, units=(other,))).svg


def test_paper_too_small_is_refused_in_words() -> None:
    press = two_unit_press()
    with pytest.raises(Refusal) as refused:
        draw_train(replace(press, units=press.units * 4), paper="A4")
    assert [problem.slug for problem in refused.value.problems] == ["drawing-does-not-fit"]


def test_markup_in_a_name_stays_text() -> None:
    press = replace(full_press(), name='Rose & "Son" <1>')
    assert 'Rose & "Son" <1>' in texts(draw_train(press))


@pytest.mark.parametrize("case", GOLD_CASES)
def test_the_drawing_is_the_gold_one(case: str) -> None:
    """Looked at on screen and in grey before it was kept. `python tests/figures/make_gold.py` draws them anew."""
    assert GOLD_CASES[case]().svg == (GOLD / f"{case}.svg").read_text(encoding="utf-8")


def test_drawing_needs_no_heavy_package() -> None:
    """How long a drawing takes is measured by the benchmark; here only that nothing slow is imported for it."""
    heavy = "{'numpy', 'scipy', 'rich', 'ruamel', 'resvg_py', 'PIL'} & set(sys.modules)"
    code = f"import sys, filmsplit.figures.train, filmsplit.figures.raster, filmsplit.figures.terminal; print({heavy})"
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "set()"
