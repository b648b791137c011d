"""The judgement on fountain solution: which batch a pan belongs to, bands, doses. Everything here is invented; limits
are this product's own or common practice, as their constants say."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from filmsplit.condition.solution import Sample, SolutionVerdict, Where, judge_solution
from filmsplit.condition.solution_bands import Band, SolutionBands
from filmsplit.condition.verdict import Verdict
from filmsplit.condition.words import Basis

DAY = date(2026, 5, 4)
PAN = Sample(day=DAY, press="heron", where=Where.PAN, us_per_cm=1500.0)
FRESH = Sample(day=DAY, press="heron", where=Where.TANK, fresh=True, us_per_cm=1400.0)
OWN = SolutionBands(product="Invented 3", ph=Band(low=4.0, high=4.4, basis=Basis.SHOP))


def judged(*samples: Sample, bands: SolutionBands | None = None) -> SolutionVerdict:
    numbered = [replace(each, number=number) for number, each in enumerate(samples, start=1)]
    return judge_solution(numbered, bands or SolutionBands(), written="µS/cm")


def slugs(found: SolutionVerdict) -> list[str]:
    return [each.problem.slug for each in found.findings]


def test_nothing_on_record_is_judged_as_nothing() -> None:
    found = judged()
    assert (found.verdict, found.findings, found.last) == (None, (), None)


def test_a_fresh_batch_by_itself_is_kept() -> None:
    assert judged(FRESH).verdict is Verdict.KEEP


def test_solution_in_use_without_a_batch_is_watched_and_said() -> None:
    found = judged(PAN)
    assert found.verdict is Verdict.WATCH
    assert slugs(found) == ["solution-no-fresh-batch"]


def test_a_pan_belongs_to_the_batch_before_it_and_a_new_batch_ends_it() -> None:
    found = judged(FRESH, replace(PAN, us_per_cm=2000.0))
    assert found.last is not None
    assert found.last.rise_us_per_cm == 600.0
    assert judged(FRESH, replace(PAN, us_per_cm=2000.0), FRESH).rises == ()
    assert judged(FRESH, replace(PAN, us_per_cm=2000.0), FRESH, PAN).verdict is Verdict.KEEP


def test_the_batch_of_another_unit_counts_for_no_pan() -> None:
    other = replace(FRESH, where=Where.PAN, unit="B", us_per_cm=900.0)
    found = judged(FRESH, other, replace(PAN, unit="A"))
    assert found.last is not None
    assert found.last.rise_us_per_cm == 100.0


def test_each_pan_and_tank_is_judged_by_its_last_sample_and_the_gravest_counts() -> None:
    a, b = replace(PAN, unit="A"), replace(PAN, unit="B")
    found = judged(FRESH, replace(a, us_per_cm=2500.0), replace(b, us_per_cm=2100.0), a)
    assert sorted((each.now.unit, each.rise_us_per_cm) for each in found.rises) == [("A", 100.0), ("B", 700.0)]
    assert found.verdict is Verdict.ACT
    assert found.findings[0].problem.slug == "solution-change"


def test_a_pan_weaker_than_its_batch_is_watched() -> None:
    """The default is a tenth: 1260 of 1400."""
    assert judged(FRESH, replace(PAN, us_per_cm=1261.0)).verdict is Verdict.KEEP
    assert slugs(judged(FRESH, replace(PAN, us_per_cm=1259.0))) == ["solution-weaker"]


def test_a_batch_without_conductivity_compares_with_nothing() -> None:
    found = judged(replace(FRESH, us_per_cm=None, ph=4.2), PAN)
    assert found.verdict is Verdict.WATCH
    assert slugs(found) == ["solution-not-compared"]


@pytest.mark.parametrize(
    ("ph", "alcohol", "verdict"),
    [
        (5.0, 8.0, Verdict.KEEP),
        (4.2, 8.0, Verdict.WATCH),
        (4.2, 0.0, Verdict.KEEP),
        (5.0, 0.0, Verdict.WATCH),
        (5.0, None, Verdict.KEEP),
        (5.9, None, Verdict.WATCH),
        (3.5, None, Verdict.WATCH),
    ],
)
def test_usual_bands_of_ph(ph: float, alcohol: float | None, verdict: Verdict) -> None:
    """4.8 to 5.5 with alcohol, 3.8 to 4.6 without (trade literature, a trade tip list): watched, never acted on."""
    assert judged(replace(FRESH, ph=ph, alcohol_percent=alcohol)).verdict is verdict


def test_the_shops_own_band_wins_and_is_acted_on() -> None:
    assert judged(replace(FRESH, ph=4.2, alcohol_percent=8.0), bands=OWN).verdict is Verdict.KEEP
    found = judged(replace(FRESH, ph=5.0, alcohol_percent=8.0), bands=OWN)
    assert found.verdict is Verdict.ACT
    assert found.findings[0].problem.values["basis"] == Basis.SHOP.value


def test_a_warm_room_is_said_and_not_held_against_the_solution() -> None:
    warm = replace(FRESH, temperature_c=22.0)
    assert judged(warm).verdict is Verdict.KEEP
    assert slugs(judged(warm)) == ["solution-temperature-outside"]
    own = SolutionBands(temperature_c=Band(low=12.0, high=15.0, basis=Basis.SHOP))
    assert judged(warm, bands=own).verdict is Verdict.WATCH


LINE = [
    replace(FRESH, where=Where.MIX if dose else Where.WATER, dose_percent=dose, us_per_cm=310 + 380 * dose, series=7)
    for dose in (0.0, 1.0, 2.0, 3.0, 4.0)
]


def test_the_dose_of_the_batch_is_read_from_the_newest_line() -> None:
    older = [replace(each, series=3, us_per_cm=2.0 * (each.us_per_cm or 0)) for each in LINE]
    found = judged(*older, *LINE, replace(FRESH, us_per_cm=1450.0, dose_percent=3.0))
    assert found.dose_percent == pytest.approx(3.0)
    assert found.verdict is Verdict.KEEP
    assert slugs(judged(*LINE, replace(FRESH, us_per_cm=1450.0, dose_percent=2.0))) == ["solution-dose-off"]


def test_a_titration_line_is_no_batch() -> None:
    assert judged(*LINE).fresh is None
    assert judged(*LINE).verdict is None


def test_no_dose_is_told_of_a_mix_with_alcohol_or_from_a_crooked_line() -> None:
    with_alcohol = judged(*LINE, replace(FRESH, alcohol_percent=8.0))
    assert with_alcohol.dose_percent is None
    assert "solution-dose-with-alcohol" in slugs(with_alcohol)
    crooked = [replace(each, us_per_cm=(each.us_per_cm or 0) + 200 * (each.dose_percent == 2)) for each in LINE]
    found = judged(*crooked, FRESH)
    assert found.dose_percent is None
    assert slugs(found) == ["solution-line-not-straight"]


def test_what_is_left_of_a_line_after_an_undoing_is_said_to_be_too_little() -> None:
    assert slugs(judged(*LINE[:2], FRESH)) == ["solution-line-few-doses"]
