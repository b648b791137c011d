"""Reorder points against the binomial distribution, orders against what can be made, diameters against geometry."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from scipy.stats import binom

from condition.histories import day
from condition.test_costs import certain
from filmsplit.condition.orders import Duty, Order, order_for
from filmsplit.condition.readings import RollerDrawing
from filmsplit.condition.regrinding import FormToGrind, grind_plan, miss_mm
from filmsplit.condition.spares import SpareGroup, demand, enough_for, spare_plan
from filmsplit.library.cover_rules import cover_rules
from filmsplit.press.words import Material, Role
from filmsplit.setup.cover_checks import Bearing

TODAY = day(300)


def test_demand_of_equal_rollers_is_binomial() -> None:
    assert demand([0.2] * 6) == pytest.approx(binom.pmf(range(7), 6, 0.2))
    assert enough_for([0.2] * 6) == int(binom.ppf(0.95, 6, 0.2))
    assert enough_for([]) == 0
    assert enough_for([1.0, 1.0]) == 2


def test_the_reorder_point_covers_the_lead_time() -> None:
    crossings = {name: certain(1000, 150, roller=name) for name in ("A", "B", "C")}
    calm = spare_plan(SpareGroup(rollers=("A", "B", "C"), stock=0, lead_days=20), crossings, today=TODAY)
    assert (calm.reorder_point, calm.order) == (0, 0)
    late = spare_plan(SpareGroup(rollers=("A", "B", "C"), stock=1, lead_days=700), crossings, today=TODAY)
    # Each has crossed by day 1000 with a chance of one half: 0.5³ for all three, so 3 are needed for 95 %.
    assert (late.reorder_point, late.order) == (3, 2)
    assert late.expected == pytest.approx(1.5, abs=0.05)


def test_the_last_day_to_order_is_a_lead_time_before_the_shelf_is_short() -> None:
    crossings = {"A": certain(1000, 100, roller="A")}
    found = spare_plan(SpareGroup(rollers=("A",), stock=0, lead_days=30), crossings, today=TODAY)
    # Short from the day the chance passes 5 %: 1.645 deviations before the mean (normal table), 30 days earlier.
    assert found.order_by is not None
    assert (found.order_by - day(0)).days == pytest.approx(1000 - 164.5 - 30, abs=14)
    stocked = spare_plan(SpareGroup(rollers=("A",), stock=1, lead_days=30), crossings, today=TODAY)
    assert stocked.order_by is None


def test_a_roller_nobody_can_forecast_is_named() -> None:
    found = spare_plan(SpareGroup(rollers=("A", "Z"), stock=0, lead_days=30), {"A": certain(900, 50)}, today=TODAY)
    assert found.without_forecast == ("Z",)


WHOLE = RollerDrawing(
    diameter_mm=54.0,
    diameter_tolerance_mm=0.1,
    least_diameter_mm=53.2,
    core_mm=36.0,
    face_mm=330.0,
    length_mm=402.0,
    journal_mm=15.0,
    ends="flat on the gear side",
    hardness_shore_a=25.0,
    compound=Material.NITRILE,
)
DUTY = Duty(inks=("oil",), wash="mineral")
UNFIT = {(rule.material, rule.against.value) for rule in cover_rules() if rule.bearing is Bearing.UNFIT}


def _order(duty: Duty = DUTY, **changed: object) -> Order:
    return order_for("F1", role=Role.FORM, drawing=replace(WHOLE, **changed), duty=duty, unfit=UNFIT)  # type: ignore[arg-type]


def test_a_whole_order_can_be_sent() -> None:
    assert _order().can_be_sent


@pytest.mark.parametrize(
    ("changed", "slug"),
    [
        ({"core_mm": 54.0}, "order-size-not-smaller"),
        ({"core_mm": 52.5}, "order-cover-not-made"),
        ({"journal_mm": 40.0}, "order-size-not-smaller"),
        ({"least_diameter_mm": 54.5}, "order-size-not-smaller"),
        ({"face_mm": 410.0}, "order-size-not-smaller"),
        ({"hardness_shore_a": 5.0}, "order-hardness-not-made"),
        ({"compound": Material.STEEL}, "order-hard-with-shore"),
        ({"compound": Material.EPDM}, "order-compound-unfit"),
        ({"diameter_tolerance_mm": 0.0}, "order-tolerance-none"),
    ],
)
def test_what_cannot_be_made_is_refused(changed: dict[str, object], slug: str) -> None:
    found = _order(**changed)
    assert slug in {problem.slug for problem in found.problems}
    assert not found.can_be_sent


def test_what_a_supplier_will_ask_for_is_named() -> None:
    found = _order(Duty(), core_mm=None, ends="")
    assert set(found.missing) == {"core_mm", "ends", "inks", "wash"}
    assert not found.can_be_sent


def test_a_miss_is_measured_at_the_surface() -> None:
    """Geometry: three turns of 54 mm miss one of 172 mm by pi x 10 mm. Whole ratios miss by none."""
    assert miss_mm(172.0, 54.0) == pytest.approx(math.pi * 10)
    assert miss_mm(162.0, 54.0) == pytest.approx(0)
    assert miss_mm(54.0, 54.0) == 0


def test_grinding_moves_look_alikes_apart() -> None:
    forms = [FormToGrind(roller=f"F{n}", diameter_mm=54.0, least_mm=53.0) for n in (1, 2, 3)]
    found = grind_plan(forms, plate_mm=175.0)
    assert found.miss_before_mm == 0
    # Three diameters within 1 mm: half a millimetre apart at best, pi x 0.5 at the surface (geometry).
    assert found.miss_mm == pytest.approx(math.pi * 0.5, abs=0.05)
    assert all(53.0 <= each <= 54.0 for each in found.diameters_mm.values())
    assert sorted(found.diameters_mm.values()) == pytest.approx([53.0, 53.5, 54.0], abs=0.051)


def test_grinding_moves_off_a_whole_ratio_to_the_plate() -> None:
    found = grind_plan([FormToGrind(roller="F1", diameter_mm=54.0, least_mm=53.0)], plate_mm=162.0)
    assert found.diameters_mm["F1"] == 53.0
    assert found.nearest == ("F1", "plate")


def test_nothing_is_ground_for_nothing_and_what_must_be_is() -> None:
    good = FormToGrind(roller="F1", diameter_mm=50.0, least_mm=50.0)
    assert grind_plan([good], plate_mm=175.0).diameters_mm == {"F1": 50.0}
    with pytest.raises(ValueError, match="nothing left"):
        grind_plan([replace(good, must=True)], plate_mm=175.0)
    ground = grind_plan([replace(good, least_mm=49.0, must=True)], plate_mm=175.0)
    assert ground.diameters_mm["F1"] <= 49.8


def test_many_rollers_are_searched_more_coarsely_and_say_so() -> None:
    forms = [FormToGrind(roller=f"F{n}", diameter_mm=54.0 + n, least_mm=52.0 + n) for n in range(5)]
    found = grind_plan(forms, plate_mm=175.0)
    assert found.step_mm > 0.05
    assert found.miss_mm >= found.miss_before_mm
