"""The facts worth a sentence, as problems of the lightest kind: nothing is wrong, but a person should know."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from filmsplit.messages import Problem, label
from filmsplit.press.dampening import BridgePosition, Continuity, WaterSupply, WaterWay
from filmsplit.press.surfaces import RollerFacts

if TYPE_CHECKING:
    from filmsplit.press.facts import UnitFacts


def findings_of(facts: UnitFacts) -> tuple[Problem, ...]:
    """What the facts of one unit say: dampening first, then what stacks, slips or was cut short."""
    return (
        *(_dampening(facts, way) for way in facts.dampening.ways),
        *_continuity(facts),
        *(_near_whole(facts, roller) for roller in facts.near_whole),
        *_nearly_equal(facts),
        *_slips(facts),
        *_cut_short(facts),
    )


_SLUG_BY_SUPPLY = {
    WaterSupply.INTEGRATED: "dampening-integrated",
    WaterSupply.SEPARATE: "dampening-separate",
    WaterSupply.CONTACTLESS: "dampening-contactless",
    WaterSupply.NONE: "dampening-none",
}


def _dampening(facts: UnitFacts, way: WaterWay) -> Problem:
    switched_off = way.supply is WaterSupply.NONE and way.position is BridgePosition.OUT
    slug = "dampening-cut-off" if switched_off else _SLUG_BY_SUPPLY[way.supply]
    values: dict[str, object] = {
        "place": label(f"bridge-place.{way.position.value}", unit=facts.id, bridge=", ".join(facts.dampening.bridges)),
        "forms": ", ".join(way.ink_forms or way.own_forms),
        "way": _way(way),
    }
    return Problem(slug, values, ("units", facts.id))


def _way(way: WaterWay) -> str:
    return " – ".join((*way.reason_path.rollers, "plate")) if way.reason_path else ""


def _continuity(facts: UnitFacts) -> Iterator[Problem]:
    dampening = facts.dampening
    if dampening.continuity is Continuity.INTERMITTENT:
        values = {"unit": facts.id, "ductors": ", ".join(dampening.ductors)}
        yield Problem("dampening-intermittent", values, ("units", facts.id, "rollers", dampening.ductors[0]))
    elif dampening.continuity is Continuity.CONTINUOUS:
        yield Problem("dampening-continuous", {"unit": facts.id}, ("units", facts.id))


def _near_whole(facts: UnitFacts, roller: RollerFacts) -> Problem:
    near = roller.near_whole
    assert near is not None
    slug = "repeats-with-plate" if near.plate_turns == 1 else "repeats-over-plate-turns"
    values: dict[str, object] = {
        "unit": facts.id,
        "roller": roller.id,
        "repeat_mm": roller.repeat_mm,
        "plate_mm": facts.plate_circumference_mm,
        "turns": near.roller_turns if near.plate_turns == 1 else near.plate_turns,
        "walk_mm": f"{near.walk_mm:+.1f}",
    }
    return Problem(slug, values, ("units", facts.id, "rollers", roller.id, "diameter_mm"))


def _nearly_equal(facts: UnitFacts) -> Iterator[Problem]:
    for pair in facts.nearly_equal_forms:
        values = {
            "unit": facts.id,
            "a": pair.a,
            "b": pair.b,
            "difference_mm": abs(pair.difference_mm),
            "percent": 100 * pair.difference,
        }
        yield Problem("form-rollers-nearly-equal", values, ("units", facts.id, "rollers", pair.b, "diameter_mm"))


def _slips(facts: UnitFacts) -> Iterator[Problem]:
    for slip in facts.slips:
        values = {
            "unit": facts.id,
            "roller": slip.member,
            "measured_mm": slip.measured_diameter_mm,
            "drawn_mm": slip.drawn_diameter_mm,
            "slip_mm": f"{slip.slip_mm_per_plate_turn:+.2f}",
            "percent": f"{100 * slip.slip:+.2f}",
        }
        yield Problem("driven-roller-slips", values, ("units", facts.id, "rollers", slip.member, "diameter_mm"))


def _cut_short(facts: UnitFacts) -> Iterator[Problem]:
    for paths in (facts.ink_paths, facts.water_paths):
        if not paths.complete:
            values = {
                "unit": facts.id,
                "liquid": label(f"system.{paths.liquid.value}"),
                "count": len(paths.paths),
            }
            yield Problem("paths-cut-short", values, ("units", facts.id, "contacts"))
