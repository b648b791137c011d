"""What each telling of the map shows: layers, a short mark on each roller, and words under the map."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import Enum

from filmsplit.actions.press_turning import spins_of
from filmsplit.condition.verdict import RollerVerdict
from filmsplit.figures.film_layout import two_figures
from filmsplit.figures.lines import Tells
from filmsplit.figures.map_layers import NOTHING, Layer, film_layer, path_layer, spin_layer
from filmsplit.messages import Problem, label
from filmsplit.press import Press, Roller, Unit
from filmsplit.press.paths import Paths, paths_of
from filmsplit.press.words import MotionKind, System
from filmsplit.studies.even_films import even_films
from filmsplit.studies.standard_job import STANDARD_JOB


class Telling(Enum):
    """What the map tells besides ids and contacts."""

    CONDITION = "condition"
    PURPOSE = "purpose"
    MAKE_UP = "make-up"
    MOTION = "motion"
    DRIVE = "drive"
    FILM = "film"
    INK_PATH = "ink-path"
    TURNING = "turning"


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """``marks`` stand on the rollers by id, ``words`` under the map; ``problems`` say why something is missing."""

    tells: Tells = Tells.MOTION
    layer: Layer = NOTHING
    marks: Mapping[str, str] = field(default_factory=dict)
    words: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()


def told_of(press: Press, unit: Unit, *, telling: Telling, verdicts: Mapping[str, RollerVerdict]) -> Told:
    """What the map of a unit shows for one telling."""
    if telling is Telling.FILM:
        return _film(press, unit)
    if telling is Telling.INK_PATH:
        return _ink_path(press, unit)
    if telling is Telling.TURNING:
        return _turning(press, unit)
    if telling is Telling.MOTION:
        return Told(tells=Tells.MOTION, marks={each.id: _motion(each) for each in unit.rollers})
    if telling is Telling.DRIVE:
        marks = {each.id: label(f"web_drive.{each.drive.kind.name.lower()}") for each in unit.rollers}
        return Told(tells=Tells.DRIVE, marks=marks)
    if telling is Telling.CONDITION:
        marks = {id: label(f"verdict.{each.verdict.value}") for id, each in verdicts.items()}
        return Told(tells=Tells.MAKE_UP, marks=marks)
    return Told(tells=Tells(telling.value))


def _motion(roller: Roller) -> str:
    motion = roller.motion
    if motion.kind is MotionKind.OSCILLATES:
        return label("web_map.stroke", mm=f"{motion.stroke_mm:g}")
    return label("web_map.swings", mm=f"{motion.swing_mm:g}") if motion.kind is MotionKind.DUCTS else ""


def _film(press: Press, unit: Unit) -> Told:
    films = even_films(press, unit)
    if films.problems:
        return Told(problems=films.problems)
    marks = {
        each.id: label("web_map.film", um=two_figures(films.loops_um[each.id]))
        for each in unit.rollers
        if each.id in films.loops_um
    }
    words = label("web_map.standard", tint=f"{100 * STANDARD_JOB.tint:g}", um=f"{STANDARD_JOB.film_um:g}")
    return Told(layer=film_layer(films.arcs), marks=marks, words=(words,))


def _ink_path(press: Press, unit: Unit) -> Told:
    films = even_films(press, unit)
    shares = films.form_shares
    marks = {form: label("web_map.share", percent=f"{100 * share:.0f}") for form, share in shares.items()}
    words = (*_ways(unit, System.INK, shares=shares), *_ways(unit, System.DAMPENING, shares={}))
    return Told(layer=path_layer(shares), marks=marks, words=words, problems=films.problems)


def _ways(unit: Unit, liquid: System, *, shares: Mapping[str, float]) -> Iterator[str]:
    """For each form roller: its share where it is known, and the shortest way there."""
    paths = paths_of(unit, liquid)
    for form in dict.fromkeys(each.form for each in paths.paths):
        way = " → ".join((*_shortest(paths, form), label("figure.plate")))
        told = {"form": form, "way": way, "nips": len(_shortest(paths, form))}
        if form in shares:
            yield label("web_map.ink_share", percent=f"{100 * shares[form]:.0f}", **told)
        else:
            yield label("web_map.ink_way" if liquid is System.INK else "web_map.water_way", **told)


def _shortest(paths: Paths, form: str) -> tuple[str, ...]:
    return next(each.rollers for each in paths.paths if each.form == form)


def _turning(press: Press, unit: Unit) -> Told:
    spins = spins_of(press, unit)
    marks = {
        each.id: label("web_map.turns", turns=f"{spins[each.id].turns:.2g}")
        for each in unit.rollers
        if each.id in spins and not spins[each.id].cycle_rev
    }
    words = [label("web_map.slowed"), *_ducting(unit)]
    still = [each.id for each in unit.rollers if each.id not in spins]
    words += [label("web_map.still", ids=", ".join(still))] if still else []
    return Told(layer=spin_layer(spins), marks=marks, words=tuple(words))


def _ducting(unit: Unit) -> Iterator[str]:
    for each in unit.rollers:
        if each.motion.kind is MotionKind.DUCTS:
            told = {"id": each.id, "name": each.name}
            yield label("web_map.ducting", cycle=f"{each.motion.cycle_rev:g}", mm=f"{each.motion.swing_mm:g}", **told)
