"""The train of one unit as a map: what its rollers are, or what condition they are in, as the person chooses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from filmsplit.actions.care_histories import ShopHistory
from filmsplit.actions.map_tells import Telling, told_of
from filmsplit.actions.register import Daybook
from filmsplit.actions.today import history_in
from filmsplit.condition.verdict import RollerVerdict, judge
from filmsplit.figures.train_map import Place, map_train
from filmsplit.library.roller_limits import care_table
from filmsplit.messages import Problem, label
from filmsplit.press import Press, Unit


def telling_of(text: str) -> Telling:
    """The telling meant; the condition of the rollers where nothing that is known was asked for."""
    return next((each for each in Telling if each.value == text), Telling.CONDITION)


@dataclass(frozen=True, slots=True, kw_only=True)
class PressMap:
    """The map as inline SVG, what it tells, its legend (pictures with their words), and words that belong to it.

    ``verdicts`` are on the rollers fitted, by place; ``problems`` say why something is not told.
    """

    svg: str
    telling: Telling
    verdicts: Mapping[str, RollerVerdict]
    legend: tuple[tuple[str, str], ...]
    words: tuple[str, ...]
    problems: tuple[Problem, ...]


def map_of(press: Press, unit: Unit, *, telling: Telling, places: Mapping[str, Place], book: Daybook) -> PressMap:
    """The map of a unit on which everything in ``places`` can be touched."""
    verdicts = verdicts_at(press, unit, history=history_in(book))
    told = told_of(press, unit, telling=telling, verdicts=verdicts)
    shown = dict(places)
    for id, said in told.marks.items():
        if id in places and said:
            shown[id] = replace(places[id], mark=said, name=f"{places[id].name}: {said}")
    name = label("web.map", press=press.name, unit=unit.id)
    drawn = map_train(press, unit, tells=told.tells.value, places=shown, name=name, layer=told.layer)
    return PressMap(
        svg=drawn.svg,
        telling=telling,
        verdicts=verdicts,
        legend=drawn.legend,
        words=told.words,
        problems=told.problems,
    )


def verdicts_at(press: Press, unit: Unit, *, history: ShopHistory) -> Mapping[str, RollerVerdict]:
    """The verdict on the roller now fitted at each place of a unit; a place nobody registered is left out."""
    table = care_table(None)
    rollers = {each.id: each for each in history.rollers}
    found = {}
    for mark, position in history.positions.items():
        at = position.at
        if at is not None and (at.press, at.unit) == (press.id, unit.id) and mark in rollers:
            found[at.place] = judge(rollers[mark], table)
    return found
