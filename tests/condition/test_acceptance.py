"""Accept, ask, return. Tolerances: common practice, or the drawing's own."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from condition.histories import DRAWING, day, diameter, hardness
from filmsplit.condition.acceptance import Acceptance, Arrival, Decision, accept
from filmsplit.condition.readings import RollerDrawing, RunOutReading
from filmsplit.condition.words import ArrivalTest, Grade
from filmsplit.library.roller_limits import usual_table
from filmsplit.press.words import Material, Role

WHOLE = replace(DRAWING, face_mm=330.0, journal_mm=15.0, diameter_tolerance_mm=0.15)
GOOD = Arrival(
    on=day(0),
    hardness=hardness(0, 26),
    diameter=diameter(0, 54.01, 54.0, 54.0),
    run_out=RunOutReading(on=day(0), values_mm=(0.01, 0.02)),
    face_mm=330.1,
    journal_mm=15.0,
    compound=Material.NITRILE,
    made_on=day(0) - timedelta(days=90),
)


def _accept(drawing: RollerDrawing = WHOLE, **changed: object) -> Acceptance:
    return accept(replace(GOOD, **changed), drawing, role=Role.DISTRIBUTOR, table=usual_table())  # type: ignore[arg-type]


def test_a_good_roller_is_accepted_on_every_count() -> None:
    found = _accept()
    assert found.decision is Decision.ACCEPT
    assert {finding.test for finding in found.findings} == set(ArrivalTest)


@pytest.mark.parametrize(
    ("value", "decision"),
    [(26, Decision.ACCEPT), (30, Decision.ASK), (34, Decision.RETURN)],  # within 5 points of 25 (common practice)
)
def test_hardness_on_arrival(value: float, decision: Decision) -> None:
    assert _accept(hardness=hardness(0, value)).decision is decision


@pytest.mark.parametrize(
    ("middle", "decision"), [(54.05, Decision.ACCEPT), (54.14, Decision.ASK), (54.4, Decision.RETURN)]
)
def test_the_tolerance_of_the_drawing_goes_before(middle: float, decision: Decision) -> None:
    assert _accept(diameter=diameter(0, middle, middle, middle)).decision is decision


def test_only_what_is_proved_out_is_returned() -> None:
    """Decision rules of ISO 14253-1 (memory): proof lies with whoever claims it, beyond the measuring error."""
    for middle in (54.16, 54.2):  # 0.01 and 0.05 mm beyond the tolerance, measured to 0.03 mm
        assert _accept(diameter=diameter(0, middle, middle, middle)).decision is Decision.ASK


@pytest.mark.parametrize(
    ("changed", "decision"),
    [
        ({"compound": Material.EPDM}, Decision.RETURN),
        ({"grades": (Grade.CUT,)}, Decision.RETURN),
        ({"made_on": day(0) - timedelta(days=700)}, Decision.ASK),
        ({"run_out": None}, Decision.ASK),
        ({"journal_mm": 15.2}, Decision.RETURN),
        ({"hardness": None}, Decision.ASK),
    ],
)
def test_other_reasons(changed: dict[str, object], decision: Decision) -> None:
    assert _accept(**changed).decision is decision


def test_without_a_drawing_nothing_is_accepted() -> None:
    assert _accept(RollerDrawing()).decision is Decision.ASK
