"""A question as a train under its keys: image by zone against arithmetic, keys as they stand against settled print."""

from __future__ import annotations

import numpy as np
import pytest

from filmsplit.formats.press_file import load
from filmsplit.library.workshop import demo_path
from filmsplit.setup.as_set import as_set
from filmsplit.setup.key_scale import key_scale
from filmsplit.setup.limits import limits_on
from filmsplit.simulation.settle import settle
from filmsplit.studies.film_question import FilmQuestion
from filmsplit.studies.film_setting import FilmSetting, settings_of
from filmsplit.studies.zoned import zoned_train

COVERAGE = (0.0, 0.05, 0.1, 0.2, 0.3, 0.1, 0.05, 0.0)
SHEET_MM = (260.0, 200.0)


@pytest.fixture(scope="module")
def setting() -> FilmSetting:
    press = load(demo_path("dipper")).press
    return settings_of(press, press.units[:1], FilmQuestion(coverage=COVERAGE, sheet_mm=SHEET_MM, sweep_mm=13.6))[0]


def test_image_by_zone_is_coverage_times_area(setting: FilmSetting) -> None:
    """34 mm of each inner zone by the sheet's 260 mm; half a cell at each edge may go to the neighbour (geometry)."""
    zoned = zoned_train(setting, most_cells=20_000)
    cell, rows = zoned.train.grid.across_mm, zoned.train.grid.round_mm
    for zone in (2, 3, 4, 5):
        wanted = COVERAGE[zone] * 34.0 * 260.0
        assert zoned.image_mm2[zone] == pytest.approx(wanted, rel=cell / 34.0 + rows / 260.0)
    assert zoned.image_mm2.sum() == pytest.approx(sum(COVERAGE) * 34.0 * 260.0, rel=0.04)  # a row and rounding of edges


def test_keys_as_they_stand_print_what_settles(setting: FilmSetting) -> None:
    """Response times film is the settled print: two ways to one answer, within what both were asked for (1e-4 each)."""
    zoned = zoned_train(setting, most_cells=20_000)
    fountain = setting.unit.fountain
    assert fountain is not None
    readings = np.array([0.0, 3.0, 4.0, 6.0, 7.0, 4.0, 3.0, 0.0])
    keys = as_set(
        zoned, readings, aim_um=1.0, scale=key_scale(fountain), limits=limits_on(fountain.blade), accuracy=1e-4
    )
    films_um = keys.films_um(keys.openings)
    settled = settle(zoned.train, zoned.keyed(films_um), accuracy=1e-4, throw=True)
    assert keys.response @ films_um == pytest.approx(zoned.prints_um(settled), rel=1e-3)
    assert [each.reading for each in keys.readings] == readings.tolist()
