"""Ghost left, mixing, ink store and response: against closed forms on simple trains, and never a figure unsettled."""

import json
from dataclasses import replace
from functools import partial

import numpy as np
import pytest

from cli.terminal import run
from filmsplit.actions.find import find_press
from filmsplit.simulation.from_press import INK_FEED
from filmsplit.simulation.march import march
from filmsplit.simulation.network import Swing
from filmsplit.simulation.settle import settle
from filmsplit.studies import ghost, mixing, standard_job
from filmsplit.studies.character import character_of, light_figures, store_figures
from filmsplit.studies.ghost import ghost_figures
from filmsplit.studies.mixing import mixing_figure
from filmsplit.studies.standard_job import STANDARD_JOB, Cells, Subject, even_train
from physics.trains import chain


def subject(net, *, width_mm=100.0, cells=None):
    """A chain as the standard jobs see it: the sheet as long as the plate, no gap."""
    net = replace(net, feeds=tuple(replace(feed, id=INK_FEED) for feed in net.feeds))
    sheet = (net.plate_mm, width_mm)
    return Subject(network=net, width_mm=width_mm, sheet_mm=sheet, sweep_mm=None, cells=cells or Cells())


def test_ghost_of_one_form_roller_is_an_eighth_then_three_eighths_of_that():
    """One form roller fed by a held film, each place met once: q/8, then x 3/8 a turn (algebra of the even split).

    1e-3: the settled print is asked for to 1e-5 of the film, a ten-thousandth of that ghost.
    """
    net = chain(1, plate_mm=1225.0, roller_mm=188.5)  # six and a half turns: nothing that counts comes round again
    one, two = ghost_figures(subject(net))
    assert one.value == pytest.approx(100 / 8, rel=1e-3)
    assert two.value == pytest.approx(100 / 8 * 3 / 8, rel=1e-3)


def test_nothing_mixes_without_oscillators():
    """Without oscillation columns across do not interact: exactly 0."""
    assert mixing_figure(subject(chain(3))).value == 0.0


def swinging(stroke_mm, net=None):
    net = net or chain(3, plate_mm=120.0, roller_mm=40.0)
    swing = Swing(stroke_mm=stroke_mm, cycle_rev=3.0)
    return replace(net, loops=tuple(replace(each, swing=swing) if each.id == "R2" else each for each in net.loops))


def test_mixing_goes_with_the_stroke():
    """Far from the ends nothing but the stroke has a length across, so the mixing goes with it (dimensions).

    Same columns for both strokes: 1 % is left of what their width adds.
    """
    cells = Cells(mixing_mm=4.0, across_mm=1.0)
    short, long = (mixing_figure(subject(swinging(mm), width_mm=401.0, cells=cells)).value for mm in (8.0, 16.0))
    assert short is not None
    assert long is not None
    assert long / short == pytest.approx(2.0, rel=0.01)


def test_width_of_the_columns_is_taken_out_of_the_mixing():
    """Halved columns change the figure by less than is promised, 3 % or 0.3 mm."""

    def asked(mm):
        return subject(swinging(12.0), width_mm=301.0, cells=Cells(across_mm=mm))

    found = [mixing_figure(asked(mm)).value for mm in (2.5, 1.25)]
    assert found[0] == pytest.approx(found[1], rel=standard_job.ERRORS["mixing"] / 100, abs=0.3)


def test_ink_store_of_a_chain():
    """The nth roller from the plate carries (4 + (n - 1) c) t towards it, c t less away from it; the plate 3t and 2t on
    its image, the blanket 2t and t (algebra of the even split, no gap). Half of each loop is on each side."""
    net, c = chain(3, plate_mm=120.0, roller_mm=40.0), STANDARD_JOB.tint
    rollers = sum((4 + (n - 1) * c - c / 2) * 40.0 for n in (1, 2, 3))
    image = c * (2.5 + 1.5) * 120.0
    grams, sheets = store_figures(subject(net, width_mm=100.0))
    assert sheets.value == pytest.approx((rollers + image) / (c * 120.0), rel=1e-3)  # settled to 1e-4
    assert grams.value == pytest.approx((rollers + image) * 100.0 * 1e-6, rel=1e-3)  # 1 um x 1 mm2 = 1e-6 g at 1 g/cm3


def test_step_of_the_keys_takes_as_many_sheets_as_the_figure_says():
    """A step of all keys marched: the same sheets (the train is linear in the keys)."""
    asked = subject(chain(3, plate_mm=120.0, roller_mm=40.0))
    train = even_train(asked, round_mm=asked.cells.tint_mm)
    coverage = asked.tint(train.grid, STANDARD_JOB.light)
    before, after = (settle(train, asked.demand(coverage, films_um=um), accuracy=1e-7) for um in (1.0, 1.1))
    stepped = march(train, asked.demand(coverage, films_um=1.1), state=before.state, revolutions=1000).sheet_means_um
    made = (stepped - before.answers.sheet_mean_um) / (after.answers.sheet_mean_um - before.answers.sheet_mean_um)
    assert [figure.value for figure in light_figures(asked)] == [int(np.argmax(made >= p)) + 1 for p in (0.63, 0.95)]


@pytest.fixture
def heron():
    return find_press("heron").press


def test_an_unsettled_figure_is_never_shown(heron, monkeypatch, capsys):
    for module in (ghost, mixing, standard_job):
        monkeypatch.setattr(module, "settle", partial(settle, most_periods=1))
    figures = character_of(heron, heron.units[0]).figures
    assert {figure.value for figure in figures} == {None}
    assert {figure.missing for figure in figures} == {standard_job.NOT_SETTLED}
    shown = run(capsys, "press", "compare", "heron").out
    assert next(line for line in shown.splitlines() if "ink store g" in line).split()[-2:] == ["not", "settled"]


def test_a_unit_without_a_fountain_says_why_it_has_no_figures(heron):
    found = character_of(heron, replace(heron.units[0], fountain=None))
    assert not found.figures
    assert [problem.slug for problem in found.problems] == ["ink-no-fountain"]


def test_comparison_as_json_keeps_its_fields_and_says_what_was_computed(capsys):
    answer = json.loads(run(capsys, "press", "compare", "heron", "--json").out)
    assert answer["filmsplit"] == "press-comparison 1"
    assert {"comparison", "interchange"} < set(answer)
    assert answer["characters"]["job"]["film_um"] == STANDARD_JOB.film_um
    (unit,) = answer["characters"]["presses"][0]["units"]
    assert {"name", "unit", "value", "missing"} == set(unit["figures"][0])
    assert json.loads(run(capsys, "press", "compare", "heron", "--no-ink", "--json").out)["characters"] is None


def test_every_figure_shown_is_defined_below_the_table(capsys):
    shown = run(capsys, "press", "compare", "heron", "wagtail").out
    for words in ("Standard job:", "Ghost left:", "Sideways mixing length:", "Ink store:", "Sheets to respond:"):
        assert words in shown
