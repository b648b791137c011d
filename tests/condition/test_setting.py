"""Setting: its order, its shapes, its targets, when it is withheld, and that it gets presses right."""

from __future__ import annotations

from dataclasses import replace

import pytest

from condition.histories import diameter, hardness, roller
from condition.setting_oracle import oracle_off_mm
from condition.setting_trial import groups, try_setting
from condition.simulated_press import HABITS, Screw, SimulatedPress, engagement_mm, stripe_mm
from filmsplit.condition.readings import RunOutReading
from filmsplit.condition.setting_advice import Way, advise
from filmsplit.condition.setting_allowed import withheld
from filmsplit.condition.setting_belief import PassDone, believed, gains
from filmsplit.condition.setting_group import SetGroup, Side, set_group
from filmsplit.condition.setting_order import Stage, freedom, setting_order
from filmsplit.condition.setting_targets import Temperatures, stripe_targets
from filmsplit.condition.stripe_shape import Look, Shape, StripeRead, shapes_of
from filmsplit.contact.nip import Known, squeeze
from filmsplit.contact.rollers import Body, Pair, SoftCover
from filmsplit.formats.press_file import load
from filmsplit.library.roller_limits import care_table
from filmsplit.library.workshop import demo_path, demo_presses
from filmsplit.messages import Refusal

PAIR = Pair(
    a=Body(diameter_mm=50.0, cover=SoftCover(thickness_mm=10.0, hardness_shore_a=28.0)), b=Body(diameter_mm=60.0)
)
COLD = Temperatures(target_holds_c=20.0)


def heron() -> SetGroup:
    """F1 against its drum and the plate, targets taken as true when cold."""
    press = load(demo_path("heron")).press
    (unit, *_) = press.units
    contact = next(each for each in unit.contacts if each.id == "F1/D1")
    return set_group(press, unit, contact, temperatures=COLD)


def read(*widths: float, temperature_c: float = 20.0, **more: object) -> StripeRead:
    return StripeRead(widths_mm=widths, temperature_c=temperature_c, **more)  # type: ignore[arg-type]


def shapes(*widths: float, **more: object) -> set[Shape]:
    return {found.shape for found in shapes_of(read(*widths, **more), target_mm=4.0)}


@pytest.mark.parametrize("name", demo_presses())
def test_every_roller_is_set_against_one_that_has_its_place(name: str) -> None:
    """Outwards from fixed rollers to free ones (common practice): nothing is set against what is not yet set."""
    for unit in load(demo_path(name)).press.units:
        free, placed = freedom(unit), set[str]()
        for each in setting_order(unit):
            assert free[each.reference] == 0 or each.reference in placed, each
            placed |= {each.moved, each.reference}


@pytest.mark.parametrize("name", demo_presses())
def test_forms_go_to_their_drum_before_the_plate_and_the_bridge_comes_last(name: str) -> None:
    """Common practice; every contact of a roller is in the plan once."""
    for unit in load(demo_path(name)).press.units:
        plan = setting_order(unit)
        assert len({each.contact.id for each in plan}) == len(plan)
        for each in plan:
            later = [other.stage for other in plan if other.number > each.number and other.moved == each.moved]
            if each.stage in (Stage.FORMS_TO_PLATE, Stage.DAMP_FORMS_TO_PLATE):
                assert not {Stage.FORMS_TO_DRUMS, Stage.DAMP_FORMS_TO_DRUMS} & set(later)
        stages = [each.stage for each in plan]
        assert Stage.BRIDGE not in stages[: len(stages) - stages.count(Stage.BRIDGE)]


@pytest.mark.parametrize(
    ("widths", "expected"),
    [
        ((4.0, 4.1, 3.9), {Shape.EVEN}),
        ((5.0, 5.1, 4.9), {Shape.WIDE}),
        ((3.0, 3.1, 2.9), {Shape.NARROW}),
        ((3.3, 4.0, 4.7), {Shape.TAPER}),
        ((4.8, 3.2, 4.6), {Shape.DOG_BONE}),
        ((4.8, 4.2, 3.0, 4.2, 4.8), {Shape.DOG_BONE}),
        ((4.6, 0.0, 4.4), {Shape.HOLLOW, Shape.NARROW}),
        ((3.4, 4.8, 3.5), {Shape.BARREL}),
        ((4.0, 2.8, 4.0, 4.1, 4.0), {Shape.BLOTCHY}),
        ((6.0, 5.2, 4.6), {Shape.WIDE, Shape.TAPER}),
    ],
)
def test_shapes_by_widths(widths: tuple[float, ...], expected: set[Shape]) -> None:
    """What each is called is common practice; widths are drawn by hand from the pictures of the words."""
    assert shapes(*widths) == expected


def test_shapes_that_only_an_eye_or_a_turn_tells() -> None:
    assert shapes(4.0, 4.0, 4.0, looks=frozenset({Look.TWO_LINES})) == {Shape.DOUBLE}
    assert shapes(4.0, 4.0, 4.0, looks=frozenset({Look.ISLANDS})) == {Shape.BLOTCHY}
    assert shapes(4.0, 4.0, 4.0, turn_mm=(3.5, 4.0, 4.5, 4.0)) == {Shape.ROUND_THE_TURN}
    assert shapes(4.0, 4.0, 4.0, centres_mm=(0.0, 1.5)) == {Shape.SKEW}


@pytest.mark.parametrize(
    "wrong",
    [
        {"widths_mm": (4.0, 4.0)},
        {"widths_mm": (4.0, -1.0, 4.0)},
        {"widths_mm": (4.0, float("nan"), 4.0)},
        {"temperature_c": 200.0},
        {"turn_mm": (4.0, 4.0)},
        {"places": (0.1, 0.9)},
        {"places": (0.9, 0.5, 0.1)},
    ],
)
def test_readings_that_cannot_be_are_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(Refusal):
        StripeRead(**({"widths_mm": (4.0, 4.0, 4.0), "temperature_c": 20.0} | wrong))  # type: ignore[arg-type]


def test_cold_target_runs_out_at_the_warm_one() -> None:
    """10 mm of cover on 50/60, 15 K: 4.0 mm cold is 4.8 mm warm (docs/stripe.md; 3 alpha dT h, handbook constants)."""
    found = stripe_targets(PAIR, target_mm=4.8, temperatures=Temperatures())
    assert found.warm_mm == pytest.approx(4.8)
    assert found.cold_mm == pytest.approx(4.0, abs=0.06)


def test_a_thin_stripe_may_not_exist_cold() -> None:
    assert stripe_targets(PAIR, target_mm=1.0, temperatures=Temperatures()).cold_mm is None


def test_moves_at_both_ends_are_those_of_the_contact() -> None:
    """3 and 5 mm to 4 mm: each end by the difference of its engagements, against the direct law of the pair."""
    group = heron()
    drum = group.contact("F1/D1")
    assert drum.pair is not None
    target = drum.target_mm
    widths = (target - 1.0, target, target + 1.0)
    advice = advise(group, {"F1/D1": read(*widths, places=(0.0, 0.5, 1.0))})
    found = advice.contacts[0]
    low, right, high = (squeeze(drum.pair.nip, Known.STRIPE, width).engagement_mm for width in widths)
    assert found.ways == (Way.CLOSER, Way.APART)
    assert found.closer_mm == pytest.approx((right - low, right - high), abs=0.006)
    assert [note.slug for note in advice.notes] == ["setting-also-moves"]


def test_easing_ends_tightening_and_tightening_takes_half_the_travel_at_most() -> None:
    group = heron()
    drum = group.contact("F1/D1")
    assert drum.handles is not None
    wide = advise(group, {"F1/D1": read(*[drum.target_mm + 1.5] * 3)}).contacts[0].turns or ()
    assert all(turn.ease_deg > turn.tighten_deg > drum.handles[0].backlash_deg for turn in wide)
    short = replace(drum, handles=(replace(drum.handles[0], travel_left_mm=0.04), drum.handles[1]))
    tight = advise(replace(group, contacts=(short, group.contacts[1])), {"F1/D1": read(*[drum.target_mm - 1.5] * 3)})
    turns = tight.contacts[0].turns or ()
    assert turns[0].closer_mm == pytest.approx(0.02, abs=0.5 * drum.handles[0].mm_per_deg)
    assert tight.part < 1.0
    assert "setting-half-the-travel" in [note.slug for note in tight.notes]


def test_unknown_cover_or_adjuster_leaves_the_direction_alone() -> None:
    group = heron()
    drum, plate = group.contacts
    narrow = {"F1/D1": read(2.0, 2.0, 2.0)}
    without_cover = advise(replace(group, contacts=(replace(drum, pair=None), plate)), narrow).contacts[0]
    assert (without_cover.ways, without_cover.closer_mm, without_cover.turns) == ((Way.CLOSER,) * 2, None, None)
    without_screw = advise(replace(group, contacts=(replace(drum, handles=None), plate)), narrow).contacts[0]
    assert without_screw.ways == (Way.CLOSER,) * 2
    assert without_screw.turns is None


def test_shapes_that_turning_does_not_cure_withhold_the_turns() -> None:
    group = heron()
    target = group.contacts[0].target_mm
    advice = advise(group, {"F1/D1": read(target + 1, target - 1, target + 1)})
    assert [problem.slug for problem in advice.withheld] == ["setting-shape-not-set"]
    assert not advice.turns
    assert not advice.right


def test_a_misread_place_is_read_again_and_a_real_shape_stays_withheld() -> None:
    """One width misread by 1 mm and read rightly after is a mean 0.5 mm off; a roller with that shape keeps it."""
    group = heron()
    target = group.contacts[0].target_mm
    hollow, even = (read(target + 1, target + off, target + 1) for off in (0.0, 1.0))
    for again, withheld_now in ((even, False), (hollow, True)):
        before = PassDone(stripes={"F1/D1": hollow}, turns={})
        assert bool(advise(group, {"F1/D1": again}, passes=[before]).withheld) is withheld_now
    turned = PassDone(stripes={"F1/D1": even}, turns={("F1/D1", Side.GEAR): 5.0})
    assert advise(group, {"F1/D1": hollow}, passes=[turned]).withheld


def test_the_first_turn_of_an_adjuster_takes_up_its_play_and_later_ones_towards_tighter_do_not() -> None:
    """Play is a gap (simulated_press.Screw): less than it moves nothing unless it was eased past first."""
    group = heron()
    narrow = {"F1/D1": read(*[group.contacts[0].target_mm - 1.5] * 3)}
    first = advise(group, narrow).contacts[0].turns or ()
    backlash = (group.contacts[0].handles or ())[0].backlash_deg
    assert all(turn.tighten_deg > turn.ease_deg > 2.0 * backlash for turn in first)
    done = PassDone(stripes=narrow, turns={("F1/D1", side): 1.0 for side in Side})
    assert all(turn.ease_deg == 0.0 for turn in advise(group, narrow, passes=[done]).contacts[0].turns or ())


def test_one_cold_reading_does_not_tell_more_than_its_temperature_lets_it() -> None:
    """Five places share how much covers grow (a fifth of it unknown): no more of them makes that smaller."""
    group = heron()
    warm = replace(group, temperatures=Temperatures())
    growing = believed(warm, [], {"F1/D1": read(*[4.0] * 5)}).covariance[0, 0]
    still = believed(group, [], {"F1/D1": read(*[4.0] * 5)}).covariance[0, 0]
    assert growing > still + (0.15 * 3.0 * 1.8e-4 * 15.0 * 9.0) ** 2


def test_one_who_knows_the_press_sets_it_right_by_the_same_rules() -> None:
    """So rules and hand leave room, and what the advice misses it misses for what it does not know."""
    off = [oracle_off_mm(group, HABITS["usual"], seed=1000 * n) for n, group in enumerate(groups())]
    assert sum(one <= 0.5 for one in off) >= 30


def test_passes_teach_what_each_adjuster_does() -> None:
    """Three passes on a screw that does twice what is written, without errors: the gain learned is near 2."""
    group = heron()
    drum = group.contact("F1/D1")
    assert drum.pair is not None
    assert drum.handles is not None
    engaged, passes = [0.15, 0.15], list[PassDone]()
    for turned in (20.0, 40.0, 40.0, -60.0):
        widths = [
            squeeze(drum.pair.nip, Known.ENGAGEMENT, e).stripe_mm for e in (engaged[0], sum(engaged) / 2, engaged[1])
        ]
        turns = {("F1/D1", side): turned for side in Side}
        passes.append(PassDone(stripes={"F1/D1": read(*widths, places=(0.0, 0.5, 1.0))}, turns=turns))
        engaged = [e + 2.0 * turned * drum.handles[0].mm_per_deg for e in engaged]
    learned = gains(group, believed(group, passes, {}), ("F1/D1", "F1/D1"))
    assert learned == pytest.approx([2.0, 2.0], abs=0.35)


def test_a_bad_or_unread_roller_is_never_set() -> None:
    """Withheld until hardness, ends and run-out are read and within limits; limits are those of the care table."""
    table = care_table(None)
    good = roller(
        hardness=(hardness(1, 25.0),),
        diameters=(diameter(1, 54.0, 54.0, 54.0),),
        run_outs=(RunOutReading(on=hardness(1, 25.0).on, values_mm=(0.02, 0.02)),),
    )

    def slugs(history: object) -> list[str]:
        histories = {} if history is None else {"F1": history}
        return [each.slug for each in withheld(["F1", "D1"], histories, table=table, soft=["F1"])]  # type: ignore[arg-type]

    assert slugs(good) == []
    assert slugs(None) == ["setting-roller-not-on-record"]
    for field in ("hardness", "diameters", "run_outs"):
        assert slugs(replace(good, **{field: ()})) == ["setting-roller-unread"], field  # type: ignore[arg-type]
    bent = replace(good, run_outs=(RunOutReading(on=good.run_outs[0].on, values_mm=(0.5, 0.5)),))
    assert slugs(bent) == ["setting-roller-not-fit"]
    swollen = replace(good, diameters=(diameter(1, 55.0, 54.0, 55.0),))
    assert set(slugs(swollen)) == {"setting-roller-not-fit"}
    hard = replace(good, hardness=(*good.hardness, hardness(200, 60.0)))
    assert slugs(hard) == ["setting-roller-not-fit"]


def test_withheld_advice_tells_shapes_and_nothing_to_turn() -> None:
    group = heron()
    barred = withheld(["F1"], {}, table=care_table(None), soft=["F1"])
    advice = advise(group, {"F1/D1": read(2.0, 2.0, 2.0)}, withheld=barred)
    assert advice.withheld == barred
    assert not advice.turns
    assert advice.contacts[0].closer_mm is None
    assert not advice.right


def test_stripes_of_contacts_that_are_not_set_together_are_refused() -> None:
    with pytest.raises(Refusal):
        advise(heron(), {"F2/D1": read(4.0, 4.0, 4.0)})
    with pytest.raises(Refusal):
        advise(heron(), {})


def test_simulated_stripe_is_another_formula_and_near_the_contact() -> None:
    """The simulator's power law against the solved contact, 2.5 to 5 mm: within 3 %, and not the same."""
    for wide in (2.5, 3.0, 4.0, 5.0):
        solved = squeeze(PAIR.nip, Known.STRIPE, wide).engagement_mm
        power = engagement_mm(wide, cover_mm=10.0, radius_mm=PAIR.relative_radius_mm)
        assert power == pytest.approx(solved, rel=0.03)
        assert power != solved
        assert stripe_mm(power, cover_mm=10.0, radius_mm=PAIR.relative_radius_mm) == pytest.approx(wide)


def test_simulated_screw_has_lost_motion() -> None:
    screw = Screw(mm_per_deg=0.01, play_deg=10.0, overhang_mm=0.0, knob_deg=10.0)
    assert screw.turn(10.0) == pytest.approx(0.1)
    assert screw.turn(-10.0) == 0.0
    assert screw.turn(-10.0) == pytest.approx(-0.1)
    assert screw.turn(5.0) == 0.0


def test_advice_sets_most_simulated_presses_right_in_three_passes() -> None:
    """One draw of every group, judged by true stripes; the promise of 90 % is the campaign's, on ten times as many.

    Of 31 at 90 %, 22 or fewer come by chance once in a hundred times (binomial).
    """
    trials = [try_setting(group, HABITS["usual"], seed=1000 * n) for n, group in enumerate(groups())]
    assert len(trials) == 31
    assert sum(trial.set_right for trial in trials) > 22


def test_advice_that_does_not_learn_or_turns_the_wrong_way_would_be_found_out() -> None:
    """Left alone the same presses are mostly wrong, so the trial above can fail."""
    left = [SimulatedPress(group, HABITS["usual"], seed=1000 * n).worst_off_mm() for n, group in enumerate(groups())]
    assert sum(off <= 0.5 for off in left) < 5
