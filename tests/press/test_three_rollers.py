"""A train small enough for pencil and paper: every number below is worked out by hand from 3-4-5 triangles."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

import trains
from filmsplit.press import Point
from filmsplit.press.nips import nips_of, rounds_of
from filmsplit.press.plate_order import form_rollers
from filmsplit.press.repeats import repeat_of
from filmsplit.press.survey import survey
from filmsplit.press.turning import at_press_speed, senses_of
from filmsplit.press.words import ContactKind, Role, TurnSense
from three_rollers import three_rollers


def test_exact_centres_are_left_alone():
    press = trains.build_press(three_rollers())
    assert survey(press).press == press


def test_a_form_roller_read_too_far_out_comes_straight_in():
    # Alone on the plate, read 5 mm too far out along its own radius: (78, 104). The nearest place is (75, 100).
    unit = three_rollers(F1=(78.0, 104.0))
    alone = replace(unit, rollers=unit.rollers[:1], contacts=unit.contacts[:1])
    found = survey(trains.build_press(alone))
    centre = found.press.units[0].roller("F1").centre
    assert (centre.x_mm, centre.y_mm) == pytest.approx((75.0, 100.0), abs=1e-6)
    move = found.moves[0]
    assert (move.roller, move.moved_mm, move.placed_by_contacts) == ("F1", pytest.approx(5.0, abs=1e-6), False)
    assert [p.values["moved_mm"] for p in found.problems if p.slug == "roller-moved"] == pytest.approx([5.0], abs=1e-6)


def test_a_friction_roller_and_a_driven_one_share_a_gap_four_to_one():
    # R1 is read 2 mm too far from D1 along their line of centres, D1 free to turn round nothing else: with weights 1
    # and 4 the friction roller makes 4/5 of the way, the driven one 1/5.
    unit = three_rollers(R1=(105.0 - 24.0 * 1.05, 140.0 + 32.0 * 1.05))
    pair = replace(unit, rollers=unit.rollers[1:], contacts=unit.contacts[2:])
    after = survey(trains.build_press(pair)).press.units[0]
    assert math.dist((after.roller("D1").centre.x_mm, after.roller("D1").centre.y_mm), (105, 140)) == pytest.approx(0.4)
    read = (79.8, 173.6)
    assert math.dist((after.roller("R1").centre.x_mm, after.roller("R1").centre.y_mm), read) == pytest.approx(1.6)


def test_a_roller_without_a_centre_and_with_one_contact_is_said_to_be_a_choice():
    unit = three_rollers()
    blind = replace(unit, rollers=(*unit.rollers[:2], replace(unit.rollers[2], centre=None)))
    found = survey(trains.build_press(blind))
    assert "placed-by-choice" in {problem.slug for problem in found.problems}
    centre = found.press.units[0].roller("R1").centre
    assert isinstance(centre, Point)
    assert math.dist((centre.x_mm, centre.y_mm), (105.0, 140.0)) == pytest.approx(40.0, abs=1e-6)


def test_senses_alternate_from_the_plate():
    clockwise, anticlockwise = TurnSense.CLOCKWISE, TurnSense.ANTICLOCKWISE
    assert senses_of(three_rollers()) == {
        "plate": clockwise,
        "blanket": anticlockwise,
        "impression": clockwise,
        "F1": anticlockwise,
        "D1": clockwise,
        "R1": anticlockwise,
    }
    assert at_press_speed(three_rollers()) == {"plate", "blanket", "impression", "F1", "D1", "R1"}


def test_arcs_by_hand():
    rounds = {round_.member: round_ for round_ in rounds_of(three_rollers())}
    # F1 meets plate and D1 at opposite ends of a diameter: two arcs of half of 50 pi.
    assert [stop.arc_mm for stop in rounds["F1"].stops] == pytest.approx([25 * math.pi, 25 * math.pi])
    # D1 sees F1 at 180 + 53.130 deg and R1 at 180 - 53.130 deg. It turns clockwise, so from F1 on the angle falls:
    # R1 comes after 106.260 deg. Geared 4 turns a plate turn: 200 pi / 4 = 157.080 mm round, arcs 46.365 and 110.715.
    drum = rounds["D1"]
    assert drum.length_mm == pytest.approx(157.0796, abs=1e-4)
    assert [stop.partner for stop in drum.stops] == ["F1", "R1"]
    assert [stop.arc_mm for stop in drum.stops] == pytest.approx([46.365, 110.715], abs=1e-3)
    assert [stop.place_mm for stop in drum.stops] == pytest.approx([0.0, 46.365], abs=1e-3)
    # The plate sees the blanket at 270 deg and F1 at 53.130 deg: clockwise 216.870 deg on, 200 pi x 0.602416 mm.
    plate = rounds["plate"]
    assert [stop.partner for stop in plate.stops] == ["blanket", "F1"]
    assert plate.stops[0].arc_mm == pytest.approx(378.509, abs=1e-3)
    # One nip: the whole round.
    assert [stop.arc_mm for stop in rounds["R1"].stops] == pytest.approx([30 * math.pi])


def test_the_other_way_round_the_arcs_change_places():
    rounds = {round_.member: round_ for round_ in rounds_of(three_rollers(TurnSense.ANTICLOCKWISE))}
    assert [stop.arc_mm for stop in rounds["D1"].stops] == pytest.approx([110.715, 46.365], abs=1e-3)


def test_a_geared_round_keeps_its_length_whatever_the_roller_measures():
    unit = three_rollers()
    thin = replace(unit.rollers[1], diameter_mm=49.0)
    rounds = rounds_of(replace(unit, rollers=(unit.rollers[0], thin, unit.rollers[2])))
    assert rounds[4].length_mm == pytest.approx(157.0796, abs=1e-4)
    assert sum(stop.arc_mm for stop in rounds[4].stops) == pytest.approx(157.0796, abs=1e-4)


def test_nips_stand_between_the_centres():
    nips = {nip.id: nip for nip in nips_of(three_rollers())}
    first = nips["F1/plate"]
    assert (first.at.x_mm, first.at.y_mm) == pytest.approx((60.0, 80.0))
    assert (first.angle_a_deg, first.angle_b_deg) == pytest.approx((233.1301, 53.1301), abs=1e-4)
    assert first.gap_mm == 0.0
    assert (nips["R1/D1"].at.x_mm, nips["R1/D1"].at.y_mm) == pytest.approx((90.0, 160.0))
    assert nips["plate/blanket"].kind is ContactKind.ROLLS


def test_circumference_of_a_60_mm_roller():
    # Geometry: pi x 60 = 188.496 mm.
    unit = three_rollers()
    wide = replace(unit, rollers=(replace(unit.rollers[0], diameter_mm=60.0), *unit.rollers[1:]))
    assert repeat_of(wide, "F1").length_mm == pytest.approx(188.496, abs=5e-4)


@pytest.mark.parametrize(
    ("turns", "expected"), [(TurnSense.CLOCKWISE, ("F2", "F1")), (TurnSense.ANTICLOCKWISE, ("F1", "F2"))]
)
def test_form_order_begins_after_the_blanket(turns, expected):
    # The blanket is below. Clockwise, seen from the operator's side, the plate carries a place from below up the left
    # side and down the right: it meets the left roller first.
    unit = three_rollers(turns)
    left = trains.build_roller("F2", 50.0, role=Role.FORM, centre=trains.point((-75.0, 100.0)))
    contacts = (*unit.contacts, trains.build_contact("plate", "F2"))
    both = replace(unit, rollers=(*unit.rollers, left), contacts=contacts)
    assert tuple(form.id for form in form_rollers(both)) == expected


def test_a_roller_that_meets_nothing_has_no_stops():
    # The check of contacts refuses such a press; whoever asks for its nips all the same gets none.
    unit = three_rollers()
    alone = trains.build_roller("R9", 40.0, role=Role.RIDER, centre=trains.point((400.0, 400.0)))
    rounds = {each.member: each for each in rounds_of(replace(unit, rollers=(*unit.rollers, alone)))}
    assert rounds["R9"].stops == ()
