"""Changes of ink from pass to pass and from the job before, and what is learned: joined to a job that is set."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from filmsplit.actions.job_asked import JobAsked
from filmsplit.actions.setup import set_job
from filmsplit.actions.work import WorkAsked
from filmsplit.records.jobs import DensityReading, JobRecord, ZoneRecord, log_job
from filmsplit.records.store import Store
from filmsplit.setup.cover_checks import InkFamily

ZONES = "4 12 16 20 22 16 10 6"
WORK = WorkAsked(what=(ZONES,), inks=("process-yellow",))


def slugs(problems: object) -> list[str]:
    return [problem.slug for problem in problems]  # type: ignore[attr-defined]


def logged(path: Path, **more: object) -> str:
    """A job on Dipper as a person logs it."""
    zones = tuple(ZoneRecord(zone=zone, coverage=0.15, key=10.0) for zone in range(1, 9))
    facts = {"press": "dipper", "unit": "A", "title": "before", "printed_on": date(2026, 1, 5), "sweep": 4.0}
    job = JobRecord(**{**facts, "zones": zones, **more})  # type: ignore[arg-type]
    with Store.at(path).write("test") as writer:
        return log_job(writer, job)


def test_another_ink_before_is_a_change_and_the_same_ink_a_charge(tmp_path: Path) -> None:
    records = tmp_path / "shop.records"
    black, yellow = logged(records, ink="process-black"), logged(records, ink="Process-Yellow")
    nameless, red = logged(records), logged(records, ink="brick red")
    asked = {"run": 500, "use_learned": False}
    found = {
        code: set_job("dipper", WORK, JobAsked(after=code, **asked), records=records).answer.units[0]  # type: ignore[arg-type]
        for code in (black, yellow, nameless, red)
    }
    assert slugs(found[black].washes)[0] == "setup-change-of-ink"
    # Black into yellow shows at once (CIEDE2000 between solids far above any tolerance): never simply run out.
    assert slugs(found[black].washes)[1] in ("setup-change-wash", "setup-change-must-wash")
    assert found[yellow].washes == found[nameless].washes == ()
    assert slugs(found[red].washes) == ["setup-change-of-ink", "setup-change-colour-unknown"]
    assert found[yellow].ink_need.charge_kg < found[black].ink_need.charge_kg  # charged already; after a wash it is not


def test_passes_on_one_unit_tell_wash_and_order() -> None:
    work = WorkAsked(what=(ZONES,), inks=("process-black",))
    once = set_job("dipper", work, JobAsked(passes=((("A", "process-black"),), (("A", "process-black"),))))
    assert [unit.washes for unit in once.answer.units] == [(), ()]


@pytest.mark.parametrize(
    ("aim_um", "family", "wanted"),
    [
        (1.0, InkFamily.OIL, set()),
        (1.4, InkFamily.OIL, {"setup-aim-thick"}),  # check 14: 0.9 to 1.1 um accepted, 1.4 flagged (ISO 2846-1)
        (0.5, InkFamily.OIL, {"setup-aim-thin"}),
    ],
)
def test_aims_out_of_range_are_flagged(aim_um: float, family: InkFamily, wanted: set[str]) -> None:
    found = set_job("dipper", WORK, JobAsked(aim_um=aim_um, family=family))
    assert {slug for slug in slugs(found.answer.units[0].notes) if slug.startswith("setup-aim-")} == wanted


def test_ultraviolet_ink_on_covers_for_oil_is_warned_of() -> None:
    oil, radiation = (
        set_job("dipper", WORK, JobAsked(family=family)) for family in (InkFamily.OIL, InkFamily.ULTRAVIOLET)
    )
    covers = {slug for slug in slugs(radiation.answer.units[0].notes) if slug.startswith("setup-cover")}
    assert covers
    assert covers > {slug for slug in slugs(oil.answer.units[0].notes) if slug.startswith("setup-cover")}


def test_keys_are_set_as_the_log_has_taught_them(tmp_path: Path) -> None:
    """A press that printed a third more than thought, three jobs long, is set to smaller openings."""
    records = tmp_path / "shop.records"
    plain = set_job("dipper", WORK, JobAsked(constants=(1.9, 1.4)))
    (unit,) = plain.answer.units
    assert unit.sweep is not None
    dense = [1.9 * (1 - 2.718281828 ** (-1.4 * 1.05 * 1.33 * (key.print_um or 0.0))) for key in unit.keys]
    for day in (1, 2, 3):
        logged(
            records,
            printed_on=date(2026, 2, day),
            sweep=unit.sweep.reading,
            zones=tuple(ZoneRecord(zone=key.zone, coverage=key.coverage, key=key.reading) for key in unit.keys),
            readings=tuple(DensityReading(zone=zone, density=value) for zone, value in enumerate(dense, start=1)),
            saturation=1.9,
            rate_per_um=1.4 * 1.05,
        )
    asked = JobAsked(constants=(1.9, 1.4), sweep=unit.sweep.reading)
    learned = set_job("dipper", WORK, asked, records=records).answer.units[0]
    assert learned.learned_jobs == 3
    assert sum(key.opening for key in learned.keys) < 0.9 * sum(key.opening for key in unit.keys)
    assert unit.learned_jobs == 0
    # The job most like it is the newest of three that had the same coverage; its settings stand there.
    told = " ".join(learned.last_time)
    assert "2026-02-03" in told
    assert f"sweep {unit.sweep.reading:g}" in told
    assert unit.last_time == ()
