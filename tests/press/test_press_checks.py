"""Each check finds what it is for, and only that: a sound unit is broken in one way at a time."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

import trains
from filmsplit.messages import Problem
from filmsplit.press import Assumption, Core, Cover, Press, Unit
from filmsplit.press.survey import survey
from filmsplit.press.words import ContactKind, DriveKind, Material, MotionKind, Role, System
from three_rollers import three_rollers

HARD = Cover(material=Material.EBONITE, thickness_mm=2.0, hardness_shore_a=95.0)


def sound() -> Unit:
    """The three rollers with a ductor (radius 20) and a fountain roller (radius 30) to the right of the drum."""
    unit = three_rollers()
    ductor = trains.build_roller("ID", 40.0, role=Role.DUCTOR, motion=trains.build_motion(MotionKind.DUCTS))
    fountain = trains.build_roller("IF", 60.0, role=Role.FOUNTAIN, drive=trains.build_drive(DriveKind.MOTOR))
    # D1 reaches to x = 130. The ductor stands 2 mm off it, the fountain roller 3 mm off the ductor; swing 6 mm.
    ductor = replace(ductor, centre=trains.point((105.0 + 25 + 2 + 20, 140.0)))
    fountain = replace(fountain, centre=trains.point((105.0 + 25 + 2 + 40 + 3 + 30, 140.0)))
    contacts = (
        *unit.contacts,
        trains.build_contact("ID", "D1", ContactKind.TOUCHES),
        trains.build_contact("ID", "IF", ContactKind.TOUCHES),
    )
    return replace(
        unit, rollers=(*unit.rollers, ductor, fountain), contacts=contacts, fountain=trains.build_fountain("IF")
    )


def changed(unit: Unit, id: str, **fields: object) -> Unit:
    assert any(roller.id == id for roller in unit.rollers)
    rollers = (replace(roller, **fields) if roller.id == id else roller for roller in unit.rollers)
    return replace(unit, rollers=tuple(rollers))


def without(unit: Unit, *contacts: str) -> Unit:
    return replace(unit, contacts=tuple(contact for contact in unit.contacts if contact.id not in contacts))


def plus(unit: Unit, a: str, b: str, kind: ContactKind = ContactKind.ROLLS) -> Unit:
    return replace(unit, contacts=(*unit.contacts, trains.build_contact(a, b, kind)))


def cylinder(unit: Unit, name: str, **fields: object) -> Unit:
    changed_one = replace(getattr(unit.cylinders, name), **fields)
    return replace(unit, cylinders=replace(unit.cylinders, **{name: changed_one}))


def problems(unit: Unit, **press: object) -> tuple[Problem, ...]:
    return survey(replace(trains.build_press(unit), **press)).problems


def test_a_sound_unit_has_no_problems():
    assert problems(sound()) == ()


def damped(unit: Unit, system: System = System.DAMPENING) -> Unit:
    """A dampening roller on the left of the form roller's drum: it touches F1 only through a bridge."""
    pan = trains.build_roller("WP", 40.0, role=Role.PAN, system=system, centre=trains.point((-300.0, 0.0)))
    return replace(unit, rollers=(*unit.rollers, pan))


def rigid_ductor(swing_mm: float) -> Unit:
    """A ductor between two rollers that touch each other: nothing can bring them closer, 5 mm are to be swung."""
    unit = sound()
    ductor = replace(unit.roller("ID"), motion=trains.build_motion(MotionKind.DUCTS, swing_mm=swing_mm))
    rollers = tuple(ductor if roller.id == "ID" else roller for roller in unit.rollers if roller.id != "IF")
    unit = replace(unit, rollers=rollers, fountain=None)
    return plus(without(unit, "ID/IF"), "ID", "impression", ContactKind.TOUCHES)


def geared(teeth: int, pitch_mm: float) -> Unit:
    drive = replace(trains.build_drive(DriveKind.GEAR, teeth=teeth), pitch_diameter_mm=pitch_mm)
    return cylinder(changed(sound(), "D1", drive=drive), "plate", gear_teeth=80, gear_module_mm=2.5)


def loose_bridge() -> Unit:
    bridge = trains.build_roller("B1", 30.0, role=Role.BRIDGE, centre=trains.point((105.0, 140.0 + 60.0)))
    unit = replace(sound(), rollers=(*sound().rollers, bridge))
    return plus(unit, "B1", "D1", ContactKind.TOUCHES)


def neighbour(apart_mm: float) -> Unit:
    """A second rider of radius 15 on the drum, so far round that it stands ``apart_mm`` from the first."""
    # Both are 40 mm from the drum's axis; the first stands at 126.870 deg. Their chord is 30 mm + apart.
    angle = math.radians(126.8699) - 2 * math.asin((30.0 + apart_mm) / 80.0)
    place = (105.0 + 40.0 * math.cos(angle), 140.0 + 40.0 * math.sin(angle))
    rider = trains.build_roller("R2", 30.0, role=Role.RIDER, centre=trains.point(place))
    return plus(replace(sound(), rollers=(*sound().rollers, rider)), "R2", "D1")


def two_roofs() -> Unit:
    """A roller too small to touch plate, blanket and impression at once."""
    unit = sound()
    roller = trains.build_roller("F9", 20.0, role=Role.FORM, centre=trains.point((140.0, -200.0)))
    unit = plus(replace(unit, rollers=(*unit.rollers, roller)), "F9", "plate")
    # Three circles of radius 100 that touch each other leave room for one of 100 (2 / sqrt 3 - 1) = 15.5 mm between
    # them; further apart, for a larger one. One of radius 10 cannot touch all three.
    return plus(plus(unit, "F9", "impression"), "F9", "blanket")


BROKEN = [
    ("contact-of-nobody", lambda: plus(sound(), "F1", "X9"), "refused"),
    ("contact-with-itself", lambda: plus(sound(), "F1", "F1"), "refused"),
    ("contact-twice", lambda: plus(sound(), "plate", "F1"), "refused"),
    ("roller-touches-nothing", lambda: without(sound(), "R1/D1"), "refused"),
    ("contact-out-of-reach", lambda: plus(sound(), "IF", "plate"), "refused"),
    ("ductor-cannot-reach", lambda: rigid_ductor(swing_mm=1.0), "refused"),
    ("contact-out-of-reach", lambda: changed(sound(), "R1", centre=trains.point((60.0, 200.0))), "refused"),
    ("contact-does-not-close", two_roofs, "refused"),
    ("touching-overlap", lambda: changed(sound(), "ID", centre=trains.point((130.0, 150.0))), "refused"),
    # R1 (radius 15) drawn on F1's own centre line: 25 + 15 - 20 = 20 mm into F1, more than half of 15.
    ("bodies-overlap", lambda: changed(sound(), "R1", centre=trains.point((87.0, 116.0))), "refused"),
    ("no-way-to-plate", lambda: without(sound(), "D1/F1"), "refused"),
    ("no-ink-source", lambda: replace(changed(sound(), "IF", role=Role.DRUM), fountain=None), "warning"),
    ("no-water-to-plate", lambda: plus(damped(sound()), "WP", "R9"), "warning"),
    ("hard-on-hard", lambda: changed(sound(), "F1", cover=HARD), "warning"),
    ("soft-on-soft", lambda: changed(sound(), "D1", cover=trains.build_cover()), "information"),
    ("form-off-plate", lambda: changed(sound(), "R1", role=Role.FORM), "warning"),
    (
        "oscillator-without-stroke",
        lambda: changed(sound(), "D1", motion=trains.build_motion(MotionKind.OSCILLATES, stroke_mm=0.0)),
        "warning",
    ),
    ("ductor-one-sided", lambda: changed(sound(), "R1", motion=trains.build_motion(MotionKind.DUCTS)), "warning"),
    (
        "gearing-off-drawn",
        lambda: changed(sound(), "D1", drive=trains.build_drive(DriveKind.CHAIN, turns=4.2)),
        "information",
    ),
    ("teeth-and-pitch-disagree", lambda: geared(teeth=20, pitch_mm=55.0), "information"),
    ("form-shorter-than-sheet", lambda: changed(sound(), "F1", face_mm=300.0), "warning"),
    ("face-very-long", lambda: changed(sound(), "D1", face_mm=450.0), "information"),
    ("cylinders-differ", lambda: cylinder(sound(), "blanket", body_diameter_mm=203.0), "refused"),
    ("gaps-differ", lambda: cylinder(sound(), "blanket", gap_mm=93.0), "refused"),
    ("ink-and-dampening-joined", lambda: changed(sound(), "R1", system=System.SHARED), "information"),
    ("zones-beyond-roller", lambda: changed(sound(), "IF", face_mm=335.0), "warning"),
    ("touching-far-apart", loose_bridge, "warning"),
    ("bodies-just-clear", lambda: neighbour(0.2), "information"),
    ("bodies-moved-apart", lambda: neighbour(-4.0), "information"),
]


@pytest.mark.parametrize(("slug", "build", "severity"), BROKEN, ids=[slug for slug, _, _ in BROKEN])
def test_what_is_broken_is_named(slug, build, severity):
    found = [problem for problem in problems(build()) if problem.slug == slug]
    assert found
    assert found[0].severity.value == severity
    assert found[0].path[:2] == ("units", "A")
    # Every placeholder of the text has a value.
    assert "{" not in found[0].what + found[0].remedy


def test_chrome_and_ceramic_are_hard_too():
    hard = Core(material=Material.CERAMIC, ends="", journal_mm=15.0)
    assert "hard-on-hard" in {p.slug for p in problems(changed(sound(), "F1", cover=None, core=hard))}


def test_gaps_of_which_one_is_assumed_only_warn():
    unit = cylinder(sound(), "blanket", gap_mm=120.0)
    path = ("units", "A", "cylinders", "plate", "gap_mm")
    assumed = Assumption(path=path, value=90.0, unit="mm", source="", spread=None, counts_for=())
    assert [problem.slug for problem in problems(unit, assumptions=(assumed,))] == ["gaps-differ-assumed"]


def test_an_assumed_swing_moves_nothing_and_refuses_nothing():
    unit = changed(sound(), "ID", motion=trains.build_motion(MotionKind.DUCTS, swing_mm=1.0))
    path = ("units", "A", "rollers", "ID", "motion", "swing_mm")
    assumed = Assumption(path=path, value=1.0, unit="mm", source="", spread=None, counts_for=())
    found = survey(replace(trains.build_press(unit), assumptions=(assumed,)))
    assert found.press.units == (unit,)
    assert [problem.slug for problem in found.problems] == ["ductor-swing-assumed"]
    assert found.problems[0].values["needed_mm"] == pytest.approx(5.0)


def test_units_are_surveyed_each_on_its_own():
    bad = replace(plus(sound(), "F1", "F1"), id="B")
    press: Press = trains.build_press(sound(), bad)
    assert {problem.path[1] for problem in survey(press).problems} == {"B"}
