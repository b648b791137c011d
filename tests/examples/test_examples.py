"""The examples teach what is true: one physical number each, and pictures that are up to date."""

import cmath
import itertools
import re
import sys
from importlib import import_module
from pathlib import Path

import pytest

from examples.pictures import differ

FOLDER = Path(__file__).parents[2] / "docs" / "examples"


@pytest.fixture(autouse=True)
def examples_on_path(monkeypatch):
    monkeypatch.syspath_prepend(str(FOLDER))
    yield
    for name in [n for n, m in sys.modules.items() if Path(getattr(m, "__file__", None) or ".").parent == FOLDER]:
        del sys.modules[name]


def test_chain_steps_by_the_sheet_film():
    """q, 2q, 3q, 4q, 5q (algebra of the even split); 1e-6: what 400 turns from empty leave to settle."""
    assert import_module("ex01_chain").main().over_sheet == pytest.approx([1, 2, 3, 4, 5], rel=1e-6)


def test_unequal_split_is_far_off_at_the_ductor():
    """T_n = q (1 - r^n)/(2 alpha - 1), r = (1 - alpha)/alpha; 2 n q for an even split (algebra).

    1e-5: the settled print is asked for to 1e-6, and the fifth nip is four nips from it.
    """
    for found in import_module("ex02_unequal_split").main():
        r = (1 - found.share) / found.share
        totals = [2 * n if r == 1 else (1 - r**n) / (2 * found.share - 1) for n in range(1, 6)]
        assert found.over_sheet == pytest.approx(totals, rel=1e-5)


def test_form_rollers_share_by_the_order_of_feeding():
    """3/4, 1/4; 1/2, 1/2; each two thirds of the one before (algebra of the even split); 1e-4: settled to 1e-6."""
    found = import_module("ex03_form_rollers").main()
    assert found.same_order == pytest.approx((3 / 4, 1 / 4), rel=1e-4)
    assert found.other_order == pytest.approx((1 / 2, 1 / 2), rel=1e-4)
    weights = [(2 / 3) ** n for n in range(4)]
    assert found.each_fed == pytest.approx([weight / sum(weights) for weight in weights], rel=1e-4)


def test_rider_changes_an_even_print_by_nothing_and_a_gap_by_something():
    """Algebra of the even split: nothing where coverage is constant; with a gap it may change the print: it must."""
    found = import_module("ex04_rider").main()
    assert found.even == pytest.approx([1.0] * len(found.even), abs=1e-5)  # both settled to 1e-6
    assert max(abs(ratio - 1) for ratio in found.with_gap) > 0.01


def test_ghost_of_a_bar_is_an_eighth_then_three_eighths_of_that():
    """q/8, then x 3/8 a turn; on the first sheet q/16, then x 1/4 a turn (algebra of the even split).

    1e-3 of the strength: the settled print is asked for to 1e-6 of the film.
    """
    found = import_module("ex05_ghost").main()
    assert [found.after(turns) for turns in (1, 2, 3)] == pytest.approx([1 / 8, 3 / 64, 9 / 512], rel=1e-3)
    assert [found.after(turns, first=True) for turns in (1, 2)] == pytest.approx([1 / 16, 1 / 64], rel=1e-3)


def test_start_up_area_is_ink_stored_over_ink_printed():
    """Conservation of ink; 1e-6: what 500 turns from empty leave to settle at 20 %."""
    heavy, light = import_module("ex06_start_up").main()
    for found in (heavy, light):
        assert found.missing == pytest.approx(found.stored_over_printed, rel=1e-6)
    assert light.sheets_63 > heavy.sheets_63
    assert light.sheets_95 > heavy.sheets_95


def test_mixing_goes_with_the_stroke():
    """Nothing else has a length across, far from the ends (dimensions); 3 %: what is promised for the columns."""
    still, *moving = import_module("ex07_stroke").main()
    assert still.stroke_mm == 0.0
    assert still.mixing_mm == pytest.approx(0.0, abs=1e-9)  # rounding of places of some hundred mm
    strokes = [each.mixing_mm / each.stroke_mm for each in moving]
    assert strokes == pytest.approx([strokes[-1]] * len(strokes), rel=0.03)


def test_rider_is_a_comb():
    """What is left is 1/|2 - exp(-i theta)| (algebra); 1e-4: 16 turns of the rider were left to settle."""
    for found in import_module("ex08_rider_comb").main():
        assert found.left == pytest.approx(1 / abs(2 - cmath.exp(-2j * cmath.pi * found.waves)), abs=1e-4)


def test_either_form_roller_thrown_off_costs_an_eighth():
    """Feed nip 17/2 q with both, 10 q with one (algebra of the even split): 5.25/6; 1e-5: settled to 1e-6."""
    for found in import_module("ex09_thrown_off").main():
        assert found.settled == pytest.approx(7 / 8, rel=1e-5)
        assert found.course[-1] == pytest.approx(7 / 8, abs=1e-3)  # marched, not solved


def test_shut_key_takes_its_own_width_of_print_away():
    """The train is linear and the same all along: a key of 30 mm takes away 30 mm of an even print, however spread.

    1 %: what little of the valley reaches the roller ends, and the solver's 1e-6 over 120 columns.
    """
    still, moving = import_module("ex10_dry_key").main()
    assert still.lowest == 0.0
    assert moving.lowest > 0.2
    for found in (still, moving):
        assert found.missing_mm == pytest.approx(30.0, rel=0.01)


def test_turns_without_sheets_come_out_on_the_sheets_that_follow():
    """Conservation of ink: ten turns fed and not printed are ten sheets too much; 1e-3: 400 sheets were followed."""
    found = import_module("ex11_no_sheets").main()
    assert found.excess_sheets == pytest.approx(10, rel=1e-3)


def test_sweep_brings_less_than_it_promises():
    """In proportion to the keys exactly (the train is linear in them), less than in proportion to the sweep: the
    ductor takes up (g - d)/2 and d grows (algebra)."""
    found = import_module("ex12_sweep_or_keys").main()
    for smaller, larger in itertools.pairwise(found):
        assert larger.same_keys > smaller.same_keys
        assert larger.same_keys / larger.sweep_mm < smaller.same_keys / smaller.sweep_mm
        assert larger.traded == pytest.approx(larger.same_keys * found[0].sweep_mm / larger.sweep_mm, rel=1e-4)


def test_a_week_of_records_teaches_the_press():
    """0.08 D on a first sheet after five logged jobs, 0.05 D after a correction: what this project promises.

    0.15 D: what there was to learn, without which the week would show nothing.
    """
    week = import_module("ex13_learning_week").main()
    assert week.days[0].first > 0.15
    assert week.without_log > 0.15
    assert week.days[-1].jobs_logged == 5
    assert week.days[-1].first < 0.08
    assert max(day.corrected for day in week.days) < 0.05


def test_pictures_are_up_to_date():
    gallery = import_module("make_gallery")
    assert {file.stem for file in FOLDER.glob("ex*.py")} == set(gallery.EXAMPLES)
    for name in gallery.EXAMPLES:
        assert differ((gallery.PICTURES / f"{name}.svg").read_text(encoding="utf-8"), gallery.drawn(name)) == "", name


def test_a_picture_that_is_out_of_date_is_noticed():
    kept = (FOLDER.parent / "pictures" / "examples" / "ex05_ghost.svg").read_text(encoding="utf-8")
    curve = max(re.findall(r'\bd="(M[^"]*)"', kept), key=len)
    points = re.findall(r"-?[\d.]+ -?[\d.]+", curve)
    x, y = map(float, points[len(points) // 2].split())
    assert differ(kept, kept) == ""
    assert differ(kept, kept.replace(points[len(points) // 2], f"{x:g} {y + 0.2:g}")) != ""
    assert differ(kept, kept.replace("settled", "unsettled")) != ""
