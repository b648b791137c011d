"""What the map of a press tells. Turns follow from diameters (rolling without slip), shares of the ink sum to one."""

from __future__ import annotations

import math
import re

import pytest

from filmsplit.actions.find import find_press
from filmsplit.actions.map_tells import Telling
from filmsplit.actions.press_turning import spins_of
from filmsplit.library.workshop import demo_presses
from filmsplit.messages import label
from filmsplit.studies.even_films import even_films
from filmsplit.studies.standard_job import STANDARD_JOB
from web.served import Visit

UNITS = [(name, unit) for name in demo_presses() for unit in find_press(name).press.units]


@pytest.mark.parametrize("telling", list(Telling))
def test_every_telling_of_every_demo_press_has_a_map_and_its_signs(at_heron: Visit, telling: Telling) -> None:
    for name, unit in UNITS:
        if not (at_heron.folder / "presses" / f"{name}.yaml").exists():
            at_heron.send("/presses/bring", press=name)
        text = at_heron.page(f"/presses/{name}/{unit.id}?tells={telling.value}")
        assert 'class="train-map"' in text
        assert label("web_map.legend") in text
        assert 'style="' not in text


def test_the_map_says_the_film_of_each_roller_with_its_unit(at_heron: Visit) -> None:
    text = at_heron.page("/presses/heron/A?tells=film")
    for id in ("F1", "F2", "D1", "D2", "S1", "R1", "R2", "DU"):
        assert re.search(rf'aria-label="{id}: [^"]+: [\d.]+ µm"', text), id


@pytest.mark.parametrize("name", demo_presses())
def test_films_are_those_of_the_standard_job(name: str) -> None:
    """Ink is kept: the form rollers together give all the plate prints, and no film on the way is thinner than what
    half of it leaves on the sheet (mass balance)."""
    press = find_press(name).press
    for each in press.units:
        films = even_films(press, each)
        assert films.problems == ()
        assert math.isclose(sum(films.form_shares.values()), 1.0, rel_tol=1e-6)
        assert all(film >= STANDARD_JOB.film_um for film in films.loops_um.values())


@pytest.mark.parametrize("name", demo_presses())
def test_rolling_surfaces_run_equally_fast(name: str) -> None:
    """Where two rollers roll on one another turns go as one over diameters (kinematics of rolling)."""
    press = find_press(name).press
    for each in press.units:
        spins = spins_of(press, each)
        checked = 0
        for roller in each.rollers:
            spin = spins.get(roller.id)
            if spin is None or spin.cycle_rev or roller.system.name != "INK" or not roller.is_soft:
                continue
            checked += 1
            plate_mm = each.cylinders.plate.diameter_mm
            assert math.isclose(spin.turns * roller.diameter_mm, plate_mm, rel_tol=0.01), roller.id
        assert checked


def test_a_ductor_touches_one_side_at_a_time() -> None:
    for name, unit in UNITS:
        for id, spin in spins_of(find_press(name).press, unit).items():
            assert spin.feed_part + spin.train_part <= 1.0, (name, id)
            assert (spin.cycle_rev > 0) == (spin.feed_part > 0), (name, id)


def test_the_fountain_gives_the_ductor_as_much_surface_as_it_moves() -> None:
    """They roll on one another: equal surface in the dwell (kinematics of rolling)."""
    press = find_press("heron").press
    unit = press.units[0]
    spins = spins_of(press, unit)
    moved = {id: spins[id].feed_turns * math.pi * unit.roller(id).diameter_mm for id in ("IF", "DU")}
    assert math.isclose(moved["IF"], moved["DU"], rel_tol=1e-9)
    assert moved["IF"] > 0


def test_shares_are_told_in_words_and_wide_in_lines(at_heron: Visit) -> None:
    text = at_heron.page("/presses/heron/A?tells=ink-path")
    shares = [int(each) for each in re.findall(r"gives (\d+) % of the ink", text)]
    assert len(shares) == 2
    assert sum(shares) == pytest.approx(100, abs=1)
    widths = [
        float(each) for each in re.findall(r'stroke="#96360f" stroke-width="([\d.]+)" stroke-linecap="butt"', text)
    ]
    assert sorted(widths[:2]) == pytest.approx(sorted(3.2 * each / 100 for each in shares), abs=0.03)


def test_without_a_script_every_roller_still_has_its_arrow(at_heron: Visit) -> None:
    press = find_press("heron").press
    rollers, spins = press.units[0].rollers, spins_of(press, press.units[0])
    text = at_heron.page("/presses/heron/A?tells=turning")
    assert len(re.findall(r'fill="#1a1a1a" stroke="none"', text)) >= len(rollers)
    assert len(re.findall('class="spin"', text)) == len(spins)
    still = {each.id for each in rollers} - set(spins)
    assert still == {"PR"}  # its own motor's speed is not in the file
    assert label("web_map.still", ids="PR") in text
    assert re.search(r'<button type="button" class="turner" hidden', text)
