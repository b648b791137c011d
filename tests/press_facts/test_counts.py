"""Counts by looking at a train, and the sentences that facts are told in."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from filmsplit.messages import Severity
from filmsplit.press import Cover
from filmsplit.press.facts import facts_of
from filmsplit.press.makeup import MakeUp, make_up_of
from filmsplit.press.words import ContactKind, DriveKind, Material, MotionKind, Role, System
from press_facts.built import SEPARATE, WATER_ROLLERS, press, roller, rolls, unit
from trains import build_drive, random_press


def test_counts_of_a_train() -> None:
    counts = facts_of(press(unit(WATER_ROLLERS, SEPARATE))).unit("A").counts
    # By looking: IF, DU, D1, F1, F2 and WP, WT, WF; soft are DU, F1, F2, WF; one slip, two touch at times.
    assert dict(counts.by_system) == {System.INK: 5, System.DAMPENING: 3, System.SHARED: 0}
    assert dict(counts.by_make_up) == {MakeUp.BARE_HARD: 4, MakeUp.HARD_COVERED: 0, MakeUp.SOFT: 4, MakeUp.CLOTH: 0}
    assert dict(counts.by_motion) == {MotionKind.TURNS: 7, MotionKind.OSCILLATES: 0, MotionKind.DUCTS: 1}
    assert dict(counts.by_drive)[DriveKind.SPRING] == 8
    assert dict(counts.nips_by_kind) == {ContactKind.ROLLS: 6, ContactKind.SLIPS: 1, ContactKind.TOUCHES: 2}
    assert (counts.rollers, counts.nips) == (8, 9)


def test_rollers_that_lift_out() -> None:
    assert facts_of(press()).unit("A").lifts_out == ("F1", "F2")


# Source: trade usage (common practice): nylon and ebonite covers are hard, a sleeve is cloth.
@pytest.mark.parametrize(
    ("material", "expected"),
    [
        (None, MakeUp.BARE_HARD),
        (Material.NYLON, MakeUp.HARD_COVERED),
        (Material.EBONITE, MakeUp.HARD_COVERED),
        (Material.NITRILE, MakeUp.SOFT),
        (Material.POLYURETHANE, MakeUp.SOFT),
        (Material.CLOTH, MakeUp.CLOTH),
    ],
)
def test_make_up(material: Material | None, expected: MakeUp) -> None:
    cover = None if material is None else Cover(material=material, thickness_mm=8.0, hardness_shore_a=30.0)
    assert make_up_of(roller("X", Role.RIDER, cover=cover)) is expected


def test_one_unit_after_the_other() -> None:
    facts = facts_of(press(unit(), unit(id="B")))
    assert [there.id for there in facts.units] == ["A", "B"]
    with pytest.raises(KeyError):
        facts.unit("C")
    with pytest.raises(KeyError):
        facts.unit("A").roller("nobody")


def said(*rollers: object, contacts: list[object]) -> dict[str, str]:
    there = press(unit(list(rollers), contacts))  # type: ignore[arg-type]
    return {finding.slug: finding.what for finding in facts_of(there).findings}


def test_sentences_about_what_stacks() -> None:
    third = roller("F3", Role.FORM, mm=57.5)
    words = said(third, contacts=rolls("F3/plate", "F3/D1"))
    # Source: arithmetic: 173 / 57.5 = 3.0087; 3 x 57.5 - 173 = -0.5 mm of diameter, pi x -0.5 = -1.6 mm.
    assert "F3 comes out nearly even with the plate, 3 turns to one" in words["repeats-with-plate"]
    assert "walk only -1.6 mm" in words["repeats-with-plate"]
    twin = said(roller("F3", Role.FORM, mm=50.5), contacts=rolls("F3/plate", "F3/D1"))
    # By looking: F3 stands on top, so clockwise from the blanket it comes before F2.
    assert "F3 and F2" in twin["form-rollers-nearly-equal"]
    large = said(roller("D8", Role.DRUM, mm=346.0, cover=None), contacts=rolls("D8/F1"))
    assert "one turn to 2 " in large["repeats-over-plate-turns"]


def test_sentence_about_slip() -> None:
    drum = roller("D9", Role.DRUM, mm=64.8, cover=None, drawn_diameter_mm=65.0, drive=build_drive(DriveKind.GEAR))
    # Source: arithmetic as in the test of the slip itself: -1.67 mm, -0.31 %.
    assert "-1.67 mm a plate turn off (-0.31 %)" in said(drum, contacts=rolls("D9/F1"))["driven-roller-slips"]


@pytest.mark.parametrize("seed", range(40))
def test_findings_never_stop_anything_and_always_read(seed: int) -> None:
    for finding in facts_of(random_press(Random(seed))).findings:
        assert finding.severity is Severity.INFORMATION
        assert finding.what
        assert "{" not in finding.what + finding.remedy


def test_a_unit_without_a_fountain_has_no_feed() -> None:
    there = unit()
    dry = replace(there, fountain=None, rollers=there.rollers[2:], contacts=there.contacts[2:])
    facts = facts_of(press(dry)).unit("A")
    assert facts.ink_paths.paths == ()
    assert facts.ink_feed.value == "none"
    assert facts.zones == 0
