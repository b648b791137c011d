"""Passes of setting out of entries. The cases are counted by hand; there is no outside source for them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from filmsplit.actions.setting_passes import passes_of
from filmsplit.condition.setting_belief import PassDone, believed, gains, of_now
from filmsplit.condition.setting_group import Side, set_group
from filmsplit.condition.stripe_shape import StripeRead
from filmsplit.formats.press_file import load
from filmsplit.library.workshop import demo_path
from filmsplit.records.entries import Entry, Point

MONDAY = date(2030, 3, 4)
HERE = frozenset({1, 2})


def stripe(*widths: float, day: date = MONDAY, warmth: float | None = 24.0, contact: str = "F1/D1") -> Entry:
    points = tuple(Point(value=width) for width in widths)
    return Entry(
        kind="stripe", day=day, roller_id=1, partner_id=2, contact=contact, temperature_c=warmth, points=points
    )


def turned(operator: float, gear: float, *, day: date = MONDAY) -> Entry:
    points = (Point(value=operator, place="operator"), Point(value=gear, place="gear"))
    return Entry(kind="adjusted", day=day, roller_id=1, partner_id=2, contact="F1/D1", points=points)


def found(*entries: Entry, rollers: frozenset[int] = HERE):
    return passes_of(entries, ["F1/D1", "F1/plate"], rollers=rollers)


def test_nothing_on_record_is_nothing() -> None:
    assert found() == found(stripe(1, 1, 1, contact="S1/D1"))
    assert not found().passes
    assert not found().stripes


def test_a_turn_between_two_readings_is_a_pass() -> None:
    one = found(stripe(3, 3, 4), turned(20, -10), stripe(3.4, 3.4, 3.4))
    assert one.passes == (
        PassDone(
            stripes={"F1/D1": StripeRead(widths_mm=(3, 3, 4), temperature_c=24.0)},
            turns={("F1/D1", Side.OPERATOR): 20.0, ("F1/D1", Side.GEAR): -10.0},
        ),
    )
    assert one.stripes["F1/D1"].widths_mm == (3.4, 3.4, 3.4)
    assert not one.unread


def test_two_turns_in_a_row_are_one() -> None:
    (made,) = found(stripe(3, 3, 4), turned(20, -10), turned(5, 5), stripe(3, 3, 3)).passes
    assert made.turns == {("F1/D1", Side.OPERATOR): 25.0, ("F1/D1", Side.GEAR): -5.0}


def test_a_turn_that_nobody_read_after_is_named() -> None:
    one = found(stripe(3, 3, 4), turned(20, -10))
    assert one.unread == ("F1/D1",)
    assert not one.stripes
    assert len(one.passes) == 1


def test_a_stripe_read_twice_is_kept_beside_the_first() -> None:
    one = found(stripe(3, 3, 4), stripe(3.2, 3, 4))
    assert [made.turns for made in one.passes] == [{}]
    assert one.stripes["F1/D1"].widths_mm == (3.2, 3, 4)


def test_a_stripe_without_temperature_is_not_used_and_named() -> None:
    one = found(stripe(3, 3, 4, warmth=None))
    assert not one.stripes
    assert one.cold == ("F1/D1",)


def test_a_roller_that_was_ground_begins_anew() -> None:
    ground = Entry(kind="regrind", day=MONDAY, roller_id=1, points=(Point(value=53.0),))
    one = found(stripe(3, 3, 4), turned(20, -10), ground, stripe(3.4, 3.4, 3.4))
    assert one.passes[-1].afresh
    assert not one.passes[-1].turns
    assert one.stripes["F1/D1"].widths_mm == (3.4, 3.4, 3.4)


def test_a_stripe_of_a_roller_since_moved_is_not_used() -> None:
    one = found(stripe(3, 3, 4), rollers=frozenset({2, 7}))
    assert not one.stripes


def test_a_long_rest_begins_anew() -> None:
    later = replace(stripe(3.4, 3.4, 3.4), day=date(2030, 6, 1))
    one = found(stripe(3, 3, 4), turned(20, -10), later)
    assert one.passes[-1].afresh
    assert list(one.days.values()) == [date(2030, 6, 1)]


def test_what_adjusters_do_is_kept_when_everything_else_begins_anew() -> None:
    """An adjuster that does half of what is written is believed to do so after a new cover as well."""
    press = load(demo_path("heron")).press
    unit = press.units[0]
    group = set_group(press, unit, next(each for each in unit.contacts if each.id == "F1/D1"))

    def shown(width):
        return {"F1/D1": StripeRead(widths_mm=(width,) * 3, temperature_c=24.0)}

    turns = {("F1/D1", Side.OPERATOR): 90.0, ("F1/D1", Side.GEAR): 90.0}
    passes = [PassDone(stripes=shown(2.0), turns=turns), PassDone(stripes=shown(2.2), turns=turns)]
    before = believed(group, passes, shown(2.4))
    after = believed(group, [*passes, PassDone(stripes=shown(2.4), turns={}), _AFRESH], {})
    link = ("F1/D1", "F1/D1")
    assert (gains(group, before, link) < 0.9).all()
    assert (abs(gains(group, after, link) - gains(group, before, link)) < 0.05).all()
    assert of_now([*passes, _AFRESH]) == [_AFRESH]


_AFRESH = PassDone(stripes={}, turns={}, afresh=True)
