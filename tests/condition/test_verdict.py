"""Keep, watch, act. Limits are common practice throughout (library/roller_limits.toml says for each which)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from condition.histories import day, diameter, event, hardness, roller
from filmsplit.condition.glaze import skin_of
from filmsplit.condition.limits import CareTable, LimitRow
from filmsplit.condition.measured import measured_now, newest
from filmsplit.condition.readings import GradeReading, HardnessReading, RunOutReading, StripeReading
from filmsplit.condition.verdict import RollerVerdict, Verdict, judge
from filmsplit.condition.words import Basis, EventKind, Grade, Measure
from filmsplit.library.roller_limits import usual_table
from filmsplit.press.words import Material, Role

TABLE = usual_table()
ROUND = {
    "diameters": (diameter(300, 54.0, 54.0, 54.0),),
    "run_outs": (RunOutReading(on=day(300), values_mm=(0.02,)),),
}
"""A roller of which all that must be read is read, and well."""


def _slugs(verdict: RollerVerdict) -> set[str]:
    return {finding.problem.slug for finding in verdict.findings if finding.verdict is not Verdict.KEEP}


def _aged(rise: float, **known: object) -> RollerVerdict:
    return judge(roller(hardness=(hardness(1, 25), hardness(300, 25 + rise)), **ROUND | known), TABLE)


@pytest.mark.parametrize(
    ("rise", "verdict"),
    [
        (2, Verdict.KEEP),  # a change of 2 points is noise (common practice)
        (8, Verdict.WATCH),  # warned at 6 to 8 (common practice)
        (12, Verdict.ACT),  # 10 to 15 over life is usual, beyond it transfer suffers (common practice)
    ],
)
def test_hardness_since_arrival(rise: float, verdict: Verdict) -> None:
    assert _aged(rise).verdict is verdict


def test_hardness_is_judged_by_the_arrival_value_and_not_by_the_drawing() -> None:
    # New covers arrive within 5 points (common practice): this one came at 30 where 25 was drawn.
    late = judge(roller(hardness=(hardness(1, 30), hardness(300, 34)), **ROUND), TABLE)
    assert late.verdict is Verdict.KEEP
    unknown = judge(roller(hardness=(hardness(300, 34),), **ROUND), TABLE)
    assert unknown.verdict is Verdict.WATCH


def test_a_new_reader_makes_a_rise_less_sure() -> None:
    # Two instruments or readers differ by 4 points or more (common practice), so 11 by another hand is no proof of 10.
    readings = (hardness(1, 25, reader="AB"), hardness(300, 36, reader="CD"))
    other = judge(roller(hardness=readings, **ROUND), TABLE)
    assert other.verdict is Verdict.WATCH
    assert "roller-limit-unsure" in _slugs(other)
    assert _aged(11).verdict is Verdict.ACT


def test_a_warm_roller_is_not_taken_for_a_soft_one() -> None:
    """Rubber reads softer when warm (common practice): the same reading on a warm roller means a harder one."""
    warm = replace(hardness(300, 31), temperature_c=38.0)
    rises = [
        next(each.value for each in measured_now(roller(hardness=(hardness(1, 25), last))) if each.measure is HARD)
        for last in (hardness(300, 31), warm)
    ]
    assert rises[1] > rises[0] + 1


HARD = Measure.HARDNESS_RISE


def test_readings_outside_the_scale_are_kept_and_never_judged() -> None:
    """Type A is not relied on outside 20 to 90 (ASTM D2240 / ISO 48-4, memory)."""
    history = roller(hardness=(hardness(1, 25), hardness(300, 95)), **ROUND)
    assert history.hardness[1].median_shore_a == 95
    assert judge(history, TABLE).verdict is Verdict.KEEP
    soft = HardnessReading(on=day(1), values_shore_a=(18.0, 18.0, 19.0))
    assert not soft.is_reliable


def test_a_recover_begins_a_new_life() -> None:
    done = event(400, EventKind.RECOVERED)
    history = roller(hardness=(hardness(1, 25), hardness(390, 40), hardness(405, 27)), events=(done,), **ROUND)
    rise = [each.value for each in measured_now(history) if each.measure is HARD]
    assert rise == [pytest.approx(0)]


def test_glaze_comes_off_and_hardening_does_not() -> None:
    deglazed = event(300, EventKind.DEGLAZED)
    open_question = _aged(12)
    assert "roller-hard-or-glazed" in _slugs(open_question)
    glaze = roller(hardness=(hardness(1, 25), hardness(299, 37), hardness(301, 28)), events=(deglazed,), **ROUND)
    assert skin_of(glaze).was_glaze
    assert judge(glaze, TABLE).verdict is Verdict.KEEP
    true = roller(hardness=(hardness(1, 25), hardness(299, 37), hardness(301, 37)), events=(deglazed,), **ROUND)
    assert not skin_of(true).was_glaze
    assert "roller-hardened" in _slugs(judge(true, TABLE))
    both = roller(hardness=(hardness(1, 25), hardness(299, 41), hardness(301, 37)), events=(deglazed,), **ROUND)
    assert "roller-hardened-below-glaze" in _slugs(judge(both, TABLE))


def test_a_face_that_is_shiny_again_leaves_the_question_open() -> None:
    readings = (hardness(1, 25), hardness(299, 37), hardness(301, 37, grade=Grade.SHINY))
    assert skin_of(roller(hardness=readings, events=(event(300, EventKind.DEGLAZED),))).is_open


@pytest.mark.parametrize(
    ("widths", "verdict", "slug"),
    [
        ((3.5, 3.5, 3.5), Verdict.KEEP, None),
        ((3.1, 3.0, 3.0), Verdict.KEEP, None),  # about 3 mm on small presses (common practice)
        ((2.7, 2.7, 2.7), Verdict.WATCH, "roller-stripe-narrow"),
        ((2.0, 2.0, 2.0), Verdict.ACT, "roller-stripe-narrow"),
        ((6.0, 6.0, 6.0), Verdict.ACT, "roller-stripe-wide"),
        ((3.2, 4.0, 4.8), Verdict.ACT, "roller-stripe-uneven"),  # parallel and even end to end (common practice)
    ],
)
def test_stripes_of_a_form_roller_on_the_plate(widths: tuple[float, ...], verdict: Verdict, slug: str | None) -> None:
    stripe = StripeReading(on=day(300), partner="plate", widths_mm=widths)
    found = _aged(1, stripes=(stripe,))
    assert found.verdict is verdict
    assert slug is None or slug in _slugs(found)


@pytest.mark.parametrize(
    ("ends", "slug"),
    [
        ((54.25, 54.0, 54.25), "roller-ends-thick"),
        ((53.4, 53.4, 53.4), "roller-shrunk"),
        ((54.5, 54.5, 54.5), "roller-swollen"),
        ((54.2, 54.1, 54.0), "roller-tapered"),
    ],
)
def test_diameters(ends: tuple[float, float, float], slug: str) -> None:
    found = _aged(1, diameters=(diameter(300, *ends),))
    assert slug in _slugs(found)
    assert found.verdict is Verdict.ACT


def test_a_reground_roller_is_not_called_shrunk() -> None:
    reground = event(200, EventKind.REGROUND)
    thin = (diameter(1, 54.0, 54.0, 54.0), diameter(201, 53.2, 53.2, 53.2), diameter(300, 53.2, 53.2, 53.2))
    assert _aged(1, diameters=thin, events=(reground,)).verdict is Verdict.KEEP
    assert "roller-shrunk" in _slugs(_aged(1, diameters=(*thin, diameter(310, 52.5, 52.5, 52.5)), events=(reground,)))


def test_the_manual_goes_before_common_practice_and_the_nearest_row_before_a_general_one() -> None:
    def row(basis: Basis, act: float, **narrow: object) -> LimitRow:
        return LimitRow(measure=HARD, watch=act / 2, act=act, basis=basis, source="made up", **narrow)  # type: ignore[arg-type]

    table = CareTable(
        limits=(
            row(Basis.MANUAL, 14),
            row(Basis.MANUAL, 16, press="heron"),
            row(Basis.SHOP, 8, press="heron", roller="F1"),
            row(Basis.MANUAL, 6, press="dipper"),
            *TABLE.limits,
        ),
        arrivals=(),
        intervals=(),
    )
    found = table.limit(HARD, role=Role.FORM, press="heron", roller="F1")
    assert found is not None
    assert found.act == 16


@pytest.mark.parametrize("grade", Grade)
def test_every_look_says_something_except_matt(grade: Grade) -> None:
    found = _aged(1, grades=(GradeReading(on=day(301), grades=(grade,)),))
    assert (found.verdict is not Verdict.KEEP) is (grade is not Grade.MATT)


def test_what_nobody_read_is_named_and_never_called_good() -> None:
    blank = judge(roller(), TABLE)
    assert blank.unread == (HARD, Measure.END_TO_MIDDLE, Measure.RUN_OUT)
    assert blank.verdict is Verdict.WATCH
    steel = judge(roller(drawing=replace(roller().drawing, compound=Material.STEEL)), TABLE)
    assert HARD not in steel.unread


def test_a_reading_taken_again_on_the_same_day_counts_instead_of_the_first() -> None:
    twice = (RunOutReading(on=day(300), values_mm=(0.02,)), RunOutReading(on=day(300), values_mm=(0.30,)))
    assert newest(twice) is twice[1]
    assert judge(roller(run_outs=twice), TABLE).verdict is Verdict.ACT
