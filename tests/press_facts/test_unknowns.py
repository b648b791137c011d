"""Which unknown matters most: effects worked out by hand, on a press read from a file with gaps in it."""

from __future__ import annotations

import math
from dataclasses import fields, is_dataclass
from types import UnionType
from typing import Any, get_args, get_type_hints

import pytest

from filmsplit.formats.press_file import describe
from filmsplit.press import Press
from filmsplit.press.measures import Measure, Quantity
from filmsplit.press.replacing import row_at, value_at, with_assumed, with_value
from filmsplit.press.unknowns import PURPOSES, ranked_unknowns

FILE = """\
filmsplit: press 1
id: gaps
invented: yes
face_mm: unknown
sheet_width_mm: 320
sheet_length_mm: 450
hand_wheel: yes
units:
  - id: A
    cylinders:
      plate_turns: clockwise
      plate: {centre: {x_mm: 0, y_mm: 0}, body_diameter_mm: 172.4, gap_mm: 90, cover_mm: 0.15, packing_mm: 0.15}
      blanket: {centre: {x_mm: 0, y_mm: -173}, body_diameter_mm: 169.4, gap_mm: 90, cover_mm: 1.7, packing_mm: 0.1}
      impression: {centre: {x_mm: 0, y_mm: -346}, diameter_mm: 173}
    rollers:
      - {id: F1, role: form, system: ink, diameter_mm: 54, drive: {kind: friction by spring}}
      - {id: F2, role: form, system: ink, diameter_mm: unknown, cover: unknown, drive: {kind: friction by spring}}
      - {id: D1, role: drum, system: ink, diameter_mm: unknown, drive: {kind: gear, turns_per_plate_turn: 2.6}}
      - {id: D2, role: drum, system: ink, diameter_mm: unknown, drive: {kind: gear}}
    contacts:
      - {a: F1, b: plate, stripe: {target_mm: 3, source: press manual}}
      - {a: F2, b: plate}
      - {a: D1, b: F1}
      - {a: D2, b: F2}
"""


@pytest.fixture(scope="module")
def gaps() -> Press:
    return describe(FILE).press


def effects(press: Press, purpose: str) -> dict[str, float | None]:
    return {".".join(one.path[3:] or one.path): one.effect for one in ranked_unknowns(press, purpose)}


def test_marks_in_mm_of_repeat(gaps: Press) -> None:
    found = effects(gaps, "marks")
    # By hand: the diameter is assumed with a spread of 8 mm, so a friction-driven repeat is pi x 8 mm out.
    assert found["F2.diameter_mm"] == pytest.approx(math.pi * 8)
    # A drum whose gearing is unknown repeats by its drawn diameter, which is assumed from the measured one.
    assert found["D2.diameter_mm"] == pytest.approx(math.pi * 8)
    # One that repeats by its gearing does so whatever its diameter.
    assert found["D1.diameter_mm"] == 0.0
    # Drums oscillate unless told otherwise: their cycle is one turn of the plate out.
    assert found["D1.motion.cycle_rev"] == pytest.approx(math.pi * 173)


def test_the_weightiest_comes_first(gaps: Press) -> None:
    ranked = [one.effect or 0.0 for one in ranked_unknowns(gaps, "marks")]
    assert ranked == sorted(ranked, reverse=True)
    assert ranked[0] > 0


def test_a_stand_in_for_ink_lists_what_it_cannot_see(gaps: Press) -> None:
    found = effects(gaps, "ink")
    # By hand: carrying (54 + 50 + 60 + 60) x pi x face; one diameter 8 mm out, beside (pi x 173 - 90) x face.
    assert found["F2.diameter_mm"] == pytest.approx(100 * math.pi * 8 / (math.pi * 173 - 90))
    # All faces are assumed from the press's, so the share does not move; the stand-in is blind to strokes.
    assert found["face_mm"] is None
    assert found["D1.motion.stroke_mm"] is None


def test_setting_by_practice(gaps: Press) -> None:
    ranked = [".".join(one.path[3:] or one.path) for one in ranked_unknowns(gaps, "setting")]
    # Common practice: target, cover thickness, diameter, hardness.
    first = {end: min(n for n, name in enumerate(ranked) if name.endswith(end)) for end in PRACTICE_ENDS}
    assert sorted(first, key=first.__getitem__) == list(PRACTICE_ENDS)
    assert "F1/plate.stripe.target_mm" not in ranked
    assert "F2/plate.stripe.target_mm" in ranked


PRACTICE_ENDS = ("stripe.target_mm", "cover.thickness_mm", "diameter_mm", "cover.hardness_shore_a")


def test_a_known_press_has_nothing_to_rank(gaps: Press) -> None:
    for purpose in PURPOSES:
        paths = [one.path for one in ranked_unknowns(gaps, purpose)]
        assert ("units", "A", "rollers", "F1", "diameter_mm") not in paths


def test_an_unknown_purpose_is_a_mistake_of_the_caller(gaps: Press) -> None:
    with pytest.raises(ValueError, match="no such purpose"):
        ranked_unknowns(gaps, "colour")


def test_a_later_use_brings_its_own_measure(gaps: Press) -> None:
    quantity = Quantity("quantity.gap", "A", "plate")
    mass = Measure(
        unit="kg",
        quantities=lambda press: {quantity: sum(roller.mass_kg for roller in press.units[0].rollers)},
        sees_all=True,
    )
    ranked = ranked_unknowns(gaps, "lifting", measure=mass)
    masses = [one for one in ranked if one.path[-1] == "mass_kg"]
    # By hand: mass is assumed with a spread of 2 kg.
    assert [one.effect for one in masses] == pytest.approx([2.0] * 4)
    assert masses[0].effect_unit == "kg"


def test_the_sentence(gaps: Press) -> None:
    (one,) = [u for u in ranked_unknowns(gaps, "marks") if u.path[-2:] == ("F2", "diameter_mm")]
    said = one.sentence(where="roller F2, diameter_mm").what
    assert "roller F2, diameter_mm is unknown: 50 mm is assumed (common practice)." in said
    assert "8 mm out" in said
    assert "25.13 mm" in said
    practice = ranked_unknowns(gaps, "setting")[0].sentence(where="the target")
    assert "3.5 mm is assumed" in practice.what


def test_what_is_assumed_from_a_value_follows_it(gaps: Press) -> None:
    path = ("units", "A", "rollers", "F2", "diameter_mm")
    assert value_at(with_value(gaps, path, 61.0), (*path[:-1], "drawn_diameter_mm")) == 50.0
    assert value_at(with_assumed(gaps, path, 61.0), (*path[:-1], "drawn_diameter_mm")) == 61.0
    wider = with_assumed(gaps, ("face_mm",), 500.0)
    assert {roller.face_mm for roller in wider.units[0].rollers} == {500.0}


def test_a_derived_value_follows_too() -> None:
    derived = FILE.replace("body_diameter_mm: 172.4", "body_diameter_mm: unknown").replace(
        "body_diameter_mm: 169.4", "body_diameter_mm: unknown"
    )
    there = describe(derived).press
    bigger = with_assumed(there, ("units", "A", "cylinders", "plate", "body_diameter_mm"), 200.0)
    blanket = bigger.units[0].cylinders.blanket
    # By hand: plate 200 + 2 x 0.3 = 200.6 over all; the blanket matches it with 2 x 1.8 on its body.
    assert blanket.diameter_mm == pytest.approx(200.6)


def test_paths_lead_to_rows(gaps: Press) -> None:
    for assumption in gaps.assumptions:
        assert value_at(gaps, assumption.path) == assumption.value
        assert row_at(gaps, assumption.path).unit == assumption.unit
    with pytest.raises(KeyError):
        value_at(gaps, ("units", "A", "rollers", "F9", "diameter_mm"))
    with pytest.raises(KeyError):
        row_at(gaps, ("colour",))


def test_the_purposes_are_those_of_the_rows() -> None:
    assert set(_purposes(Press)) == PURPOSES


def _purposes(cls: type) -> set[str]:
    found: set[str] = set()
    hints = get_type_hints(cls)
    for field in fields(cls):
        row = field.metadata.get("row")
        found |= set(row.counts_for) if row is not None else set()
        for inner in _records(hints[field.name]):
            found |= _purposes(inner) if row is not None else set()
    return found


def _records(hint: Any) -> list[type]:
    parts = get_args(hint) if isinstance(hint, UnionType) or get_args(hint) else (hint,)
    return [part for part in parts if is_dataclass(part) and isinstance(part, type)]
