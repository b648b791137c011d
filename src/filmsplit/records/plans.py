"""Jobs as they were set: put on record with the code that goes on paper, and found again by it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import sqlalchemy as sa

from filmsplit.records.codes import new_code
from filmsplit.records.store import Writer
from filmsplit.records.struck import plans_count
from filmsplit.records.tables import plan_zones, plans


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedZone:
    """One zone: its coverage (0..1) and the key to be set, as read on the press."""

    zone: int
    coverage: float
    key: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A job set for one ink on one unit. ``sheets`` is the run; ``None`` is what nobody said, as in a job's record."""

    press: str
    unit: str
    title: str
    planned_on: date
    ink: str = ""
    stock: str = ""
    sheets: int | None = None
    sweep: float | None = None
    aim_density: float | None = None
    saturation: float | None = None
    rate_per_um: float | None = None
    sheet_length_mm: float | None = None
    sheet_width_mm: float | None = None
    invented: bool = False
    zones: tuple[PlannedZone, ...] = ()
    code: str = ""


_PLAIN = tuple(column.name for column in plans.columns if column.name not in ("id", "run_id", "code"))


def record_plan(writer: Writer, plan: Plan) -> str:
    """Put a plan on record inside the writer's transaction; its code."""
    code = new_code()
    plain = {name: getattr(plan, name) for name in _PLAIN}
    plain["planned_on"], plain["invented"] = plan.planned_on.isoformat(), int(plan.invented)
    row = sa.insert(plans).values(run_id=writer.run_id, code=code, **plain)
    key = writer.connection.execute(row).inserted_primary_key
    assert key is not None
    zones = [
        {"run_id": writer.run_id, "plan_id": key[0], "zone": each.zone, "coverage": each.coverage, "key": each.key}
        for each in plan.zones
    ]
    if zones:
        writer.connection.execute(sa.insert(plan_zones), zones)
    return code


def plan_of(connection: sa.Connection, code: str) -> Plan | None:
    """The plan with a code, or ``None``; one that was struck out counts as none."""
    row = connection.execute(sa.select(plans).where(plans.c.code == code, plans_count())).mappings().first()
    if row is None:
        return None
    plain = {name: row[name] for name in _PLAIN}
    plain |= {"planned_on": date.fromisoformat(row["planned_on"]), "invented": bool(row["invented"])}
    own = sa.select(plan_zones).where(plan_zones.c.plan_id == row["id"]).order_by(plan_zones.c.zone)
    zones = tuple(
        PlannedZone(zone=each["zone"], coverage=each["coverage"], key=each["key"])
        for each in connection.execute(own).mappings()
    )
    return Plan(code=code, zones=zones, **plain)


def codes_of_run(connection: sa.Connection, run_id: int) -> tuple[str, ...]:
    """The codes of the plans that a run put on record, in their order."""
    query = sa.select(plans.c.code).where(plans.c.run_id == run_id).order_by(plans.c.id)
    return tuple(connection.execute(query).scalars())
