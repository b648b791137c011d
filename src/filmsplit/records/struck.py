"""Plans and facts of rollers struck out: which count, and a row that says who struck one out and why."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import sqlalchemy as sa

from filmsplit.records.roller_tables import roller_facts
from filmsplit.records.store import Writer
from filmsplit.records.struck_tables import struck_facts, struck_plans
from filmsplit.records.tables import plans


@dataclass(frozen=True, slots=True, kw_only=True)
class StruckOut:
    """Who struck something out, when and why."""

    day: date
    person: str
    reason: str


def plans_count() -> sa.ColumnElement[bool]:
    """Plans that are not struck out."""
    return sa.not_(sa.exists().where(struck_plans.c.plan_id == plans.c.id))


def facts_count() -> sa.ColumnElement[bool]:
    """Facts of rollers that are not struck out."""
    return sa.not_(sa.exists().where(struck_facts.c.facts_id == roller_facts.c.id))


def strike_plan(writer: Writer, number: int, *, said: StruckOut) -> bool:
    """Strike a plan out; whether there was one of that number that counts."""
    query = sa.select(plans.c.id).where(plans.c.id == number, plans_count())
    if writer.connection.execute(query).first() is None:
        return False
    _strike(writer, struck_plans, "plan_id", number=number, said=said)
    return True


def strike_facts(writer: Writer, number: int, *, said: StruckOut) -> bool:
    """Strike facts of a roller out: those before hold again. Whether there were any of that number that count."""
    query = sa.select(roller_facts.c.id).where(roller_facts.c.id == number, facts_count())
    if writer.connection.execute(query).first() is None:
        return False
    _strike(writer, struck_facts, "facts_id", number=number, said=said)
    return True


def only_facts(connection: sa.Connection, number: int) -> bool:
    """Whether nothing else is stated of the roller that these facts are about: without them it would be none."""
    roller = sa.select(roller_facts.c.roller_id).where(roller_facts.c.id == number).scalar_subquery()
    query = sa.select(roller_facts.c.id).where(
        roller_facts.c.roller_id == roller, roller_facts.c.id != number, facts_count()
    )
    return connection.execute(query).first() is None


def plan_struck(connection: sa.Connection, code: str) -> StruckOut | None:
    """Who struck the plan with a code out; ``None`` where it counts, or there is none."""
    columns = (struck_plans.c.day, struck_plans.c.person, struck_plans.c.reason)
    query = sa.select(*columns).join(plans, plans.c.id == struck_plans.c.plan_id).where(plans.c.code == code)
    row = connection.execute(query).first()
    return None if row is None else StruckOut(day=date.fromisoformat(row.day), person=row.person, reason=row.reason)


def _strike(writer: Writer, table: sa.Table, of: str, *, number: int, said: StruckOut) -> None:
    row = {"run_id": writer.run_id, of: number, "day": said.day.isoformat()}
    writer.connection.execute(sa.insert(table).values(row | {"person": said.person, "reason": said.reason}))
