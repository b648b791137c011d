"""Plans on record: a job that was set, under the code on its paper; and the job logged under the same code."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from filmsplit.actions.jobs import Told, today
from filmsplit.actions.setup import Set
from filmsplit.messages import Problem, Refusal
from filmsplit.records.codes import read_code
from filmsplit.records.jobs import JobRecord, job_of
from filmsplit.records.plans import Plan, PlannedZone, codes_of_run, plan_of, record_plan
from filmsplit.records.store import Store
from filmsplit.records.struck import plan_struck
from filmsplit.records.submits import recorded_before
from filmsplit.studies.job_answer import SetUnit
from filmsplit.studies.job_study import JobStudy


def record(found: Set, records: Path) -> tuple[str, ...]:
    """Put every ink of a job that is set on record, all in one transaction; their codes in the order of the answer."""
    store = Store.at(records)
    with store.write("setup") as writer:
        units = zip(found.answer.units, found.studies, strict=True)
        codes = tuple(record_plan(writer, _plan(found, unit, study)) for unit, study in units)
    store.close()
    return codes


def record_once(found: Set, records: Path, *, key: str) -> tuple[str, ...]:
    """The same; sent again under the same ``key``, they are the codes of the first time."""
    plans = [_plan(found, unit, study) for unit, study in zip(found.answer.units, found.studies, strict=True)]
    store = Store.at(records)
    try:
        with store.write("setup") as writer:
            before = recorded_before(writer, key, said=repr(plans))
            if before is not None:
                return codes_of_run(writer.connection, before)
            return tuple(record_plan(writer, plan) for plan in plans)
    finally:
        store.close()


def still_planned(found: Set, codes: Sequence[str], records: Path) -> bool:
    """Whether the plans of these codes say what the job is set to now: keys and sweep, ink by ink."""
    if len(codes) != len(found.answer.units) or not records.exists():
        return False
    store = Store.at(records)
    with store.read() as connection:
        plans = [plan_of(connection, code) for code in codes]
    store.close()
    return all(_says(plan, unit) for plan, unit in zip(plans, found.answer.units, strict=True))


def _says(plan: Plan | None, unit: SetUnit) -> bool:
    if plan is None:
        return False
    now = (unit.unit, unit.ink, unit.sweep.reading if unit.sweep else None, [key.reading for key in unit.keys])
    return now == (plan.unit, plan.ink, plan.sweep, [zone.key for zone in plan.zones])


def _plan(found: Set, unit: SetUnit, study: JobStudy) -> Plan:
    answer, curve = found.answer, study.question.curve
    return Plan(
        press=answer.press,
        unit=unit.unit,
        title=answer.title,
        planned_on=today(),
        ink=unit.ink,
        stock=answer.stock,
        sheets=answer.run,
        sweep=None if unit.sweep is None else unit.sweep.reading,
        aim_density=unit.aim_density,
        saturation=None if curve is None else curve.saturation,
        rate_per_um=None if curve is None else curve.rate,
        sheet_length_mm=answer.sheet_length_mm,
        sheet_width_mm=answer.sheet_width_mm,
        invented=found.press.invented,
        zones=tuple(PlannedZone(zone=key.zone, coverage=key.coverage, key=key.reading) for key in unit.keys),
    )


def planned(records: Path, text: str) -> Plan:
    """The plan whose code was typed. :class:`Refusal` where it is mistyped, unknown here, or printed and logged."""
    code = read_code(text)
    if code is None:
        raise Refusal(Problem("job-code-mistyped", {"asked": text}))
    plan = logged = struck = None
    if records.exists():
        store = Store.at(records)
        with store.read() as connection:
            plan, logged, struck = plan_of(connection, code), job_of(connection, code), plan_struck(connection, code)
        store.close()
    if logged is not None:
        raise Refusal(Problem("job-plan-logged", {"code": code, "title": logged.title}))
    if struck is not None:
        values = {"code": code, "day": struck.day.isoformat(), "person": struck.person, "reason": struck.reason}
        raise Refusal(Problem("job-plan-struck-out", values))
    if plan is None:
        raise Refusal(Problem("job-plan-not-found", {"code": code, "file": str(records)}))
    return plan


def with_plan(plan: Plan, job: JobRecord, told: Told, *, as_planned: bool) -> tuple[JobRecord, Told]:
    """The job and what was told, completed by its plan: what somebody said stands, what nobody said is the plan's.

    Keys and sweep are taken from the plan only where somebody says that they were set ``as_planned``.
    """
    facts = {
        name: getattr(job, name) or getattr(plan, name)
        for name in ("unit", "title", "ink", "stock", "aim_density", "saturation", "rate_per_um")
    }
    if job.sheet_length_mm is None:
        facts |= {name: getattr(plan, name) for name in ("sheet_length_mm", "sheet_width_mm")}
    if not told.coverage_percent:
        told = replace(told, coverage_percent=tuple(100 * zone.coverage for zone in plan.zones))
    if as_planned and not told.keys:
        told = replace(told, keys=tuple(zone.key for zone in plan.zones))
    if as_planned and job.sweep is None:
        facts["sweep"] = plan.sweep
    return replace(job, invented=job.invented or plan.invented, **facts), told
