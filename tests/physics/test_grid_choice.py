"""The grid a train gets unless somebody asks for another: by hand from its lengths, and affordable."""

import math
from dataclasses import replace

import pytest

from filmsplit.simulation.from_press import ink_network, width_of
from filmsplit.simulation.grid import ACCURACY, MOST_CELLS, Cause, automatic_grid, grid_of
from filmsplit.simulation.network import Swing
from filmsplit.simulation.train import compile_network
from physics.test_conservation import demo_units
from physics.trains import chain, small_press


def causes(grid):
    return [choice.cause for choice in grid.reason]


def test_sizes_by_hand():
    """Chain: the arcs of the rollers are 10 mm; a cell of 2 x 0.05 x 10 = 1 mm is off by half of it, 5 %, at most.
    Across, a column of sqrt(0.05) x 5 mm for a stroke of 5 mm."""
    net = chain(3)
    swung = replace(net, loops=(replace(net.loops[0], swing=Swing(stroke_mm=5.0, cycle_rev=2.0)), *net.loops[1:]))
    grid = automatic_grid(swung, width_mm=100.0, accuracy=0.05)
    assert grid.round_mm == pytest.approx(1.0)
    assert grid.across_mm == pytest.approx(math.sqrt(0.05) * 5, rel=0.01)
    assert causes(grid) == [Cause.ARC, Cause.STROKE]
    assert [choice.length_mm for choice in grid.reason] == [10.0, 5.0]
    assert [choice.size_mm for choice in grid.reason] == [grid.round_mm, grid.across_mm]


@pytest.mark.parametrize(
    ("options", "expected"),
    [
        ({}, [Cause.ARC, Cause.FACE]),
        ({"gap_mm": 4.0}, [Cause.GAP, Cause.FACE]),
        ({"zone_mm": 6.0}, [Cause.ARC, Cause.ZONE]),
        ({"round_mm": 3.0}, [Cause.ASKED, Cause.FACE]),
        ({"across_mm": 3.0, "zone_mm": 6.0}, [Cause.ARC, Cause.ASKED]),
        ({"cells_most": 100}, [Cause.CELLS, Cause.CELLS]),
        ({"cells_most": 100, "round_mm": 1.0}, [Cause.ASKED, Cause.CELLS]),
        ({"cells_most": 100, "round_mm": 1.0, "across_mm": 1.0}, [Cause.ASKED, Cause.ASKED]),
    ],
)
def test_what_decided(options, expected):
    """The shortest length decides; the caller's own sizes win over everything, the number of cells included."""
    grid = automatic_grid(chain(3), width_mm=100.0, **options)
    assert causes(grid) == expected
    for name in ("round_mm", "across_mm"):
        if name in options:
            assert getattr(grid, name) == pytest.approx(options[name], rel=0.02)
    for choice in grid.reason:
        assert choice.problem.what.startswith("Cells of")
        assert choice.problem.remedy


def test_a_dwell_shorter_than_any_arc_decides():
    """Dwells of 30 and 50 mm, shortest arc 3 mm (by the rider): the arc; with the arcs left out of reach, the dwell."""
    net = small_press()
    assert causes(automatic_grid(net, width_mm=40.0))[0] is Cause.ARC
    feed = replace(net.feeds[0], dwell_feed_mm=2.5)
    assert causes(automatic_grid(replace(net, feeds=(feed,)), width_mm=40.0))[0] is Cause.DWELL


@pytest.mark.parametrize("unit", list(demo_units()))
def test_demo_presses_get_grids_that_compile_and_can_be_afforded(unit):
    net = ink_network(unit)
    gap, zone = unit.cylinders.plate.gap_mm, min(unit.fountain.zone_widths_mm)
    grid = automatic_grid(net, width_mm=width_of(unit), gap_mm=gap, zone_mm=zone)
    train = compile_network(net, grid)
    assert train.cells * grid.columns <= 1.02 * MOST_CELLS  # whole cells may round it up a little
    assert grid.cells(gap) * grid.round_mm == pytest.approx(gap, rel=ACCURACY)
    assert grid.across_mm <= math.sqrt(ACCURACY) * zone * 1.01


def test_sizes_asked_for_need_no_reason():
    assert grid_of(60.0, 10.0, round_mm=1.0, across_mm=1.0).reason == ()
