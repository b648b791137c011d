"""What to keep on the shelf over all presses, and to what diameters form rollers are ground."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from filmsplit.actions.care import crossings_of
from filmsplit.actions.care_histories import ShopHistory, shop_history
from filmsplit.actions.find import find_press
from filmsplit.actions.register import Daybook, looking
from filmsplit.condition.readings import RollerHistory
from filmsplit.condition.regrinding import FormToGrind, GrindPlan, grind_plan
from filmsplit.condition.spares import SpareGroup, SparePlan, spare_plan
from filmsplit.library.roller_limits import care_table
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press, Unit
from filmsplit.press.asked import units_asked
from filmsplit.press.fits import InterchangeTolerances
from filmsplit.press.interchange import interchange_groups
from filmsplit.press.plate_order import FormRoller, form_rollers
from filmsplit.press.words import System
from filmsplit.records.positions import PressPlace, Whereabouts
from filmsplit.records.roller_facts import RollerFacts

USUAL_LEAD_DAYS = 21
"""10 to 30 days from order to delivery (memory), where the register says nothing."""

USUAL_GRIND_MM = 0.5
"""Off the drawn diameter, where the register has no least diameter: 0.5 to 1.0 mm (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spares:
    """A plan for each group; ``check`` names what nobody has measured on some member of it (keys of labels)."""

    plan: SparePlan
    shelf: tuple[str, ...]
    check: tuple[str, ...]
    lead_assumed: bool


def spares(references: Sequence[str], *, book: Daybook, limits: Path | None = None) -> tuple[Spares, ...]:
    """Groups of soft rollers that interchange over the presses named, those to be ordered first.

    A roller that stands in several groups is counted in the largest of them.
    """
    presses = [find_press(reference).press for reference in references]
    with looking(book) as connection:
        shop = shop_history(connection, book.day)
    at = {position.at: mark for mark, position in shop.positions.items() if position.at is not None}
    crossings = crossings_of(shop, table=care_table(limits), today=book.day)
    found = []
    for marks, check in _groups(presses, shop, at):
        shelf = tuple(_on_shelf(shop, marks))
        leads = [shop.facts[mark].lead_time_days for mark in marks]
        known = [lead for lead in leads if lead is not None]
        group = SpareGroup(rollers=marks, stock=len(shelf), lead_days=max(known, default=USUAL_LEAD_DAYS))
        plan = spare_plan(group, crossings, today=book.day)
        found.append(Spares(plan=plan, shelf=shelf, check=check, lead_assumed=not known))
    return tuple(sorted(found, key=lambda each: (-each.plan.order, each.plan.order_by or book.day.max)))


def _groups(
    presses: Sequence[Press], shop: ShopHistory, at: Mapping[PressPlace, str]
) -> Iterator[tuple[tuple[str, ...], tuple[str, ...]]]:
    """Marks of each group, and what is to be checked; a roller like no other is a group of its own.

    Hard rollers do not age, so they are left out.
    """
    soft = {roller.id for roller in shop.rollers if roller.is_soft}
    taken: set[str] = set()
    for group in interchange_groups(presses).groups:
        places = (PressPlace(press=each.press, unit=each.unit, place=each.roller) for each in group.members)
        marks = tuple(mark for mark in (at.get(place) for place in places) if mark in soft and mark not in taken)
        kept = tuple(mark for mark in marks if mark is not None)
        taken |= set(kept)
        if kept:
            yield kept, group.check
    here = {press.id for press in presses}
    for roller in shop.rollers:
        if roller.press in here and roller.id in soft - taken:
            yield (roller.id,), ()


def _on_shelf(shop: ShopHistory, marks: Sequence[str]) -> Iterator[str]:
    """Rollers on the shelf that agree with a member of the group in all that the register knows of both."""
    for mark, position in shop.positions.items():
        if position.whereabouts is Whereabouts.SHELF and any(
            _agree(shop.facts[mark], shop.facts[member]) for member in marks
        ):
            yield mark


def _agree(a: RollerFacts, b: RollerFacts) -> bool:
    """Diameter, hardness and material must be known and agree; face and journal where both are known."""
    allowed = InterchangeTolerances()
    needed = (
        (a.drawn_diameter_mm, b.drawn_diameter_mm, allowed.diameter_mm),
        (a.drawn_hardness_shore_a, b.drawn_hardness_shore_a, allowed.hardness_shore_a),
    )
    other = ((a.face_mm, b.face_mm, allowed.face_mm), (a.journal_mm, b.journal_mm, allowed.journal_mm))
    return (
        bool(a.cover_material)
        and a.cover_material == b.cover_material
        and all(x is not None and y is not None and abs(x - y) <= most for x, y, most in needed)
        and all(x is None or y is None or abs(x - y) <= most for x, y, most in other)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Grinding:
    """The plan for one unit. ``assumed`` names rollers whose least diameter is common practice."""

    press: str
    unit: str
    now_mm: Mapping[str, float]
    plan: GrindPlan
    assumed: tuple[str, ...]


def grind(reference: str, *, book: Daybook, unit: str | None = None, must: Sequence[str] = ()) -> Grinding:
    """To what diameters the ink form rollers of a unit are best ground. ``must``: places that have to be."""
    press = find_press(reference).press
    of = units_asked(press, unit)[0]
    with looking(book) as connection:
        shop = shop_history(connection, book.day)
    forms = [each for each in form_rollers(of) if each.system is not System.DAMPENING]
    unknown = set(must) - {each.id for each in forms}
    if unknown or not forms:
        values = {"asked": ", ".join(sorted(unknown)) or "-", "known": ", ".join(each.id for each in forms) or "-"}
        raise Refusal(Problem("grind-no-such-form", values))
    wanted, assumed = _wanted(shop, forms, press=press, unit=of, must=must)
    spent = [each.roller for each in wanted if each.must and each.diameter_mm - each.least_mm < 0.2]
    if spent:
        raise Refusal(Problem("grind-nothing-left", {"rollers": ", ".join(spent)}))
    return Grinding(
        press=press.id,
        unit=of.id,
        now_mm={each.roller: each.diameter_mm for each in wanted},
        plan=grind_plan(wanted, plate_mm=of.cylinders.plate.diameter_mm),
        assumed=assumed,
    )


def _wanted(
    shop: ShopHistory, forms: Sequence[FormRoller], *, press: Press, unit: Unit, must: Sequence[str]
) -> tuple[list[FormToGrind], tuple[str, ...]]:
    """Diameters as last measured, else as the press file has them."""
    by_id = {roller.id: roller for roller in shop.rollers}
    at = {position.at: mark for mark, position in shop.positions.items()}
    wanted, assumed = [], []
    for form in forms:
        mark = at.get(PressPlace(press=press.id, unit=unit.id, place=form.id))
        facts = None if mark is None else shop.facts[mark]
        now = form.diameter_mm if mark is None else _measured_mm(by_id[mark], form.diameter_mm)
        least = None if facts is None else facts.least_diameter_mm
        if least is None:
            drawn = form.diameter_mm if facts is None or facts.drawn_diameter_mm is None else facts.drawn_diameter_mm
            least = drawn - USUAL_GRIND_MM
            assumed.append(form.id)
        wanted.append(FormToGrind(roller=form.id, diameter_mm=now, least_mm=min(least, now), must=form.id in must))
    return wanted, tuple(assumed)


def _measured_mm(roller: RollerHistory, otherwise: float) -> float:
    newest = max(roller.diameters, key=lambda each: each.on, default=None)
    return otherwise if newest is None else round(newest.mean_mm, 3)
