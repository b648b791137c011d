"""The run-down test: the ductor held off, and what the fading print tells of the ink store and of each form roller.

How fast a patch fades tells how much ink the rollers really hold. It tells nothing of the single form rollers as long
as all of them work: they fade together. So the test goes by stages: first all form rollers, then each of them alone,
and the steps from stage to stage tell them apart.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.messages import Problem, Refusal
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.demand import Running
from filmsplit.simulation.parameters import Asked, Parameter, ParameterKind, moved
from filmsplit.simulation.press_run import Leg, run
from filmsplit.simulation.settle import ACCURACY, settle
from filmsplit.simulation.state import State
from filmsplit.simulation.train import NipKind, Train

FEWEST_SHEETS, MOST_SHEETS = 30, 60
"""Sheets of the test: fewer fade too little, and more are hardly inked any longer (common practice)."""

SHORTEST_STAGE = 6
"""A form roller alone is given so many sheets at least: about three to settle into it, and as many to read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """So many sheets with these form rollers on the plate."""

    forms: tuple[str, ...]
    sheets: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RunDownPlan:
    """The plate, the key films it was settled with, the zone that is read on every sheet (from 1), and the stages."""

    zoned: ZonedTrain
    films_um: Array
    zone: int
    stages: tuple[Stage, ...]

    @property
    def sheets(self) -> int:
        return sum(stage.sheets for stage in self.stages)

    @property
    def forms(self) -> tuple[str, ...]:
        """Every form roller, in the order of their stages."""
        return self.stages[0].forms

    @property
    def tells_forms(self) -> bool:
        """Whether form rollers are run alone."""
        return len(self.stages) > 1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RunDownPrint:
    """Film of the zone on each sheet, and the ink on the whole train at the start (um mm2), both per um of the settled
    film."""

    films: Array
    stored_um_mm2: float


def plan_run_down(
    zoned: ZonedTrain, films_um: Array, *, zone: int, singly: bool = True, sheets: int = MOST_SHEETS
) -> RunDownPlan:
    """The stages for a plate with image in ``zone``. ``singly``: can each form roller be thrown off by itself?

    :class:`Refusal` where the zone has no image, or the sheets do not do.
    """
    forms = forms_of(zoned.train)
    stages = len(forms) + 1 if singly and len(forms) > 1 else 1
    problems = []
    if zoned.image_cells[zone - 1] <= 0:
        problems.append(Problem("setup-run-down-no-image", {"zone": zone}))
    if not FEWEST_SHEETS <= sheets <= MOST_SHEETS or sheets < stages * SHORTEST_STAGE:
        fewest = max(FEWEST_SHEETS, stages * SHORTEST_STAGE)
        problems.append(Problem("setup-run-down-sheets", {"sheets": sheets, "fewest": fewest, "most": MOST_SHEETS}))
    if problems:
        raise Refusal(problems)
    alone = sheets // stages
    first = Stage(forms=forms, sheets=sheets - alone * (stages - 1))
    rest = tuple(Stage(forms=(form,), sheets=alone) for form in forms) if stages > 1 else ()
    return RunDownPlan(zoned=zoned, films_um=films_um, zone=zone, stages=(first, *rest))


def forms_of(train: Train) -> tuple[str, ...]:
    """Form rollers, in the order of the train's nips."""
    return tuple(train.loops[nip.a].id for nip in train.nips if nip.kind is NipKind.FORM)


def run_down(plan: RunDownPlan, *, split: float, contacts: Sequence[float]) -> RunDownPrint:
    """March the test on a press of this split and these contact shares of the form rollers on the plate.

    ``split`` counts from the train's own. :class:`NotSettledError` where the print before the test does not settle.
    """
    asked = _pressed(plan, split=split, contacts=contacts)
    settled = settle(asked.train, asked.demand, accuracy=ACCURACY, throw=True)
    assert settled.state is not None
    assert settled.answers is not None
    off = [frozenset(plan.forms) - frozenset(stage.forms) for stage in plan.stages]
    legs = [
        Leg(
            demand=replace(asked.demand, running=Running(thrown_off=thrown_off)),
            revolutions=stage.sheets,
            feeding=False,
        )
        for stage, thrown_off in zip(plan.stages, off, strict=True)
    ]
    done = run(asked.train, legs, state=State(0, settled.state.films))
    printed = np.array([plan.zoned.films_of(sheet)[plan.zone - 1] for leg in done.legs for sheet in leg.printed])
    level = float(plan.zoned.prints_um(settled)[plan.zone - 1])
    return RunDownPrint(films=printed / level, stored_um_mm2=settled.answers.stored_um_mm2 / level)


def _pressed(plan: RunDownPlan, *, split: float, contacts: Sequence[float]) -> Asked:
    """The train and its demand with another split and other contacts."""
    asked = Asked(train=plan.zoned.train, demand=plan.zoned.keyed(plan.films_um))
    if split:
        asked = moved(asked, Parameter(kind=ParameterKind.SPLIT), by=split)
    nips = [nip.id for nip in plan.zoned.train.nips if nip.kind is NipKind.FORM]
    for nip, contact in zip(nips, contacts, strict=True):
        asked = moved(asked, Parameter(kind=ParameterKind.CONTACT, name=nip), by=float(contact) - 1.0)
    return asked
