"""Contacts and every other part by form: each member of the press file has a field, and is written where it stands.

Source: the press file's own table of rows says what there is to tell.
"""

from __future__ import annotations

import html
import re

import pytest

from filmsplit.actions.press_part_fields import FIELDS, PartKind
from filmsplit.formats.press_fields import Kind
from filmsplit.formats.press_file import describe, load
from filmsplit.formats.press_table import column_names
from filmsplit.messages import Problem, label
from filmsplit.press import Contact
from filmsplit.press.words import AdjusterKind, TargetSource, TurnSense
from web.served import Visit
from web.test_press_edit import EVIL, file_of, send, small_press

NOT_ASKED = {("Press", "id"), ("Press", "invented")}
"""A press keeps its code, and one of the shop's own was not invented."""


@pytest.fixture
def wren(visit: Visit) -> Visit:
    visit.send("/presses/new", code="wren", name="Wren", plate_turns="clockwise")
    small_press(visit)
    return visit


def contact_of(visit: Visit, id: str) -> Contact:
    """As it is described, whether or not the press can be used."""
    unit = describe(file_of(visit).read_text()).press.units[0]
    return next(each for each in unit.contacts if each.id == id)


def ids_of(visit: Visit) -> list[str]:
    return [each.id for each in describe(file_of(visit).read_text()).press.units[0].contacts]


@pytest.mark.parametrize("kind", PartKind, ids=lambda each: each.value)
def test_a_form_asks_for_everything_the_press_file_can_say(kind: PartKind) -> None:
    cls, asked = FIELDS[kind]
    leaves = {name for name, shape in column_names(cls).items() if shape.kind is not Kind.RECORD}
    left_out = {name for of, name in NOT_ASKED if of == cls.__name__}
    assert leaves - left_out <= set(asked)
    assert len(asked) == len(set(asked))


def test_everything_about_a_contact_is_kept_and_shown_again(wren: Visit) -> None:
    before = file_of(wren).read_bytes()
    screw = {"kind": "screw", "mm_per_turn": "1.25", "tightens": "clockwise", "backlash_deg": "5"}
    lever = {"kind": "lever", "mm_per_deg": "0.02", "travel_left_mm": "3", "overhang_mm": "30", "also_moves": "D1/F1"}
    told = {
        **{"throws_off": "yes", "stripe.target_mm": "4.5", "stripe.source": "press manual"},
        **{f"adjusters.operator.{name}": value for name, value in screw.items()},
        **{f"adjusters.gear.{name}": value for name, value in lever.items()},
    }
    text = send(wren, part="contact", of="F1/plate", **told)
    found = contact_of(wren, "F1/plate")
    operator, gear = found.adjusters.operator, found.adjusters.gear
    assert (found.throws_off, found.stripe.target_mm, found.stripe.source) == (True, 4.5, TargetSource.MANUAL)
    assert operator is not None
    assert gear is not None
    assert (operator.kind, operator.mm_per_turn, operator.tightens, operator.backlash_deg) == (
        AdjusterKind.SCREW,
        1.25,
        TurnSense.CLOCKWISE,
        5.0,
    )
    assert (gear.kind, gear.mm_per_deg, gear.travel_left_mm, gear.overhang_mm, gear.also_moves) == (
        AdjusterKind.LEVER,
        0.02,
        3.0,
        30.0,
        "D1/F1",
    )
    for name, value in told.items():
        chosen = rf'[^<]*(?:<option[^<]*</option>\s*)*?<option value="{value}" selected'
        field = rf'name="{re.escape(name)}"(?:[^>]* value="{value}"|{chosen})'
        shown = re.search(field, text)
        assert shown, name
    send(wren, way="/undo")
    assert file_of(wren).read_bytes() == before


def test_an_adjuster_that_does_not_exist_is_said_so_and_taken_back(wren: Visit) -> None:
    send(wren, part="contact", of="F1/plate", **{"adjusters.gear.kind": "screw", "adjusters.gear.mm_per_turn": "1"})
    send(wren, part="contact", of="F1/plate", **{"adjusters.gear": "none"})
    assert contact_of(wren, "F1/plate").adjusters.gear is None
    assert re.search(r"gear: none", file_of(wren).read_text())
    both = {"adjusters.gear": "none", "adjusters.gear.kind": "lever"}
    text = send(wren, status=422, part="contact", of="F1/plate", **both)
    assert html.escape(Problem("press-no-adjuster-with-figures").what) in text or (
        Problem("press-no-adjuster-with-figures").what in text
    )
    assert 'id="p-adjusters.gear"' in text
    send(wren, part="contact", of="F1/plate", **{"adjusters.gear": "unknown", "adjusters.gear.kind": "lever"})
    found = contact_of(wren, "F1/plate").adjusters.gear
    assert found is not None
    assert found.kind is AdjusterKind.LEVER
    send(wren, part="contact", of="F1/plate", **{"adjusters.gear.kind": ""})
    assert contact_of(wren, "F1/plate").adjusters.gear is None, "not taken for a screw when nothing is known of it"


@pytest.mark.parametrize(
    ("told", "field"),
    [
        ({"stripe.target_mm": "400"}, "stripe.target_mm"),
        ({"adjusters.operator.kind": "lever", "adjusters.operator.mm_per_turn": "1"}, "adjusters.operator.mm_per_turn"),
        ({"adjusters.gear.also_moves": "F1/plate"}, "adjusters.gear.also_moves"),
        ({"adjusters.gear.also_moves": EVIL}, "adjusters.gear.also_moves"),
        ({"speed_ratio": "1.2"}, "speed_ratio"),
        ({"kind": "slips"}, None),
        ({"a": "plate", "b": "blanket"}, None),
        ({"a": "nobody"}, "a"),
        ({"b": ""}, "b"),
        ({"a": "D1", "b": "F1"}, None),
        ({"a": "F1", "b": "F1"}, None),
    ],
    ids=str,
)
def test_what_cannot_be_is_said_and_nothing_is_written(wren: Visit, told: dict[str, str], field: str | None) -> None:
    before = file_of(wren).read_bytes()
    text = send(wren, status=422, part="contact", of="F1/plate", **told)
    assert "<img src=x" not in text
    assert label("severity.refused") in text
    if field is not None:
        assert f'id="p-{field}"' in text
    assert file_of(wren).read_bytes() == before


def test_a_contact_is_made_one_of_other_rollers_wherever_it_is_named(wren: Visit) -> None:
    send(wren, part="contact", of="F1/plate", **{"adjusters.gear.kind": "screw", "adjusters.gear.also_moves": "D1/F1"})
    before = file_of(wren).read_text()
    text = send(wren, part="contact", of="D1/F1", a="F1", b="D1", throws_off="yes")
    assert ids_of(wren) == ["F1/plate", "F1/D1", "R1/D1", "Q/S", "Q/R1"]
    assert contact_of(wren, "F1/D1").throws_off
    gear = contact_of(wren, "F1/plate").adjusters.gear
    assert gear is not None
    assert gear.also_moves == "F1/D1"
    assert re.search(r'name="of" value="F1/D1"', text)
    lines = zip(before.splitlines(), file_of(wren).read_text().splitlines(), strict=True)
    assert len([1 for a, b in lines if a != b]) == 2
    send(wren, way="/undo")
    assert file_of(wren).read_text() == before


def test_no_contact_is_taken_for_another_while_its_two_ends_change(wren: Visit) -> None:
    """Half way, (Q, R1) would be (S, R1) or (Q, D1): both are there already."""
    send(wren, part="new-contact", a="S", b="R1", kind="touches at times", **{"stripe.target_mm": "1"})
    send(wren, part="new-contact", a="Q", b="D1", kind="touches at times", **{"stripe.target_mm": "2"})
    send(wren, part="contact", of="Q/R1", a="S", b="D1", **{"stripe.target_mm": "3"})
    said = {each: contact_of(wren, each).stripe.target_mm for each in ("S/R1", "Q/D1", "S/D1")}
    assert said == {"S/R1": 1.0, "Q/D1": 2.0, "S/D1": 3.0}


def test_a_contact_is_added_with_all_there_is_to_say_and_taken_away(wren: Visit) -> None:
    before = file_of(wren).read_bytes()
    told = {"adjusters.operator.kind": "eccentric", "adjusters.operator.mm_per_deg": "0.01", "adjusters.gear": "none"}
    send(wren, part="new-contact", a="S", b="R1", kind="slips", speed_ratio="0.5", slip_direction="opposite", **told)
    found = contact_of(wren, "S/R1")
    assert (found.speed_ratio, found.adjusters.gear) == (0.5, None)
    assert found.adjusters.operator is not None
    assert found.adjusters.operator.mm_per_deg == 0.01
    send(wren, way="/take-out", part="contact", of="S/R1")
    assert "S/R1" not in ids_of(wren)
    send(wren, way="/undo")
    send(wren, way="/undo")
    assert file_of(wren).read_bytes() == before


def test_a_contact_that_another_names_is_not_taken_away_from_under_it(wren: Visit) -> None:
    send(wren, part="contact", of="F1/plate", **{"adjusters.gear.kind": "screw", "adjusters.gear.also_moves": "D1/F1"})
    before = file_of(wren).read_bytes()
    send(wren, way="/take-out", status=422, part="contact", of="D1/F1")
    assert file_of(wren).read_bytes() == before


def test_the_rest_of_a_roller_can_be_told_too(wren: Visit) -> None:
    told = {"motion.swing_mm": "20", "motion.dwell_feed_mm": "90", "core.journal_mm": "17", "mass_kg": "3.5"}
    send(wren, part="roller", of="Q", **told)
    roller = load(file_of(wren)).press.units[0].roller("Q")
    assert (roller.motion.swing_mm, roller.motion.dwell_feed_mm) == (20.0, 90.0)
    assert (roller.core.journal_mm, roller.mass_kg) == (17.0, 3.5)


def test_what_is_folded_away_holds_nothing_that_was_told(wren: Visit) -> None:
    page = "/presses/wren/edit?unit=A&part=contact&id=F1%2Fplate"
    assert wren.page(page).count("<details><summary>Adjuster") == 2
    send(wren, part="contact", of="F1/plate", **{"adjusters.gear.backlash_deg": "5"})
    assert wren.page(page).count("<details><summary>Adjuster") == 1
