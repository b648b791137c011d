"""What all tables share: how their parts are named, and the columns that every row of a kind carries.

Every row written by a command carries that command's run, so that what one run wrote can be found again. Numbers are
in the units of their names; a value nobody gave is empty, never 0. Nothing is deleted: what was wrong is replaced or
struck out by a later row.
"""

from __future__ import annotations

from sqlalchemy import Column, ForeignKey, Integer, MetaData, String, Text

metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_name)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "pk": "pk_%(table_name)s",
    }
)


def key() -> Column[int]:
    """The number of a row."""
    return Column("id", Integer, primary_key=True, comment="number of the row")


def run(*, index: bool = False) -> Column[int]:
    """The run that wrote a row."""
    return Column("run_id", ForeignKey("runs.id"), nullable=False, index=index, comment="the run that wrote the row")


def text(name: str, comment: str) -> Column[str]:
    """A text; empty where nobody said."""
    return Column(name, Text, nullable=False, default="", comment=comment)


def day(name: str, comment: str, *, required: bool = True) -> Column[str]:
    """A day as ISO 8601 writes it."""
    return Column(name, String(10), nullable=not required, comment=f"{comment} (day, ISO 8601)")


def correction(table: str) -> tuple[Column[int], Column[int]]:
    """The two columns by which a row of ``table`` takes the place of an older one, or strikes it out."""
    replaces: Column[int] = Column(
        "replaces_id",
        ForeignKey(f"{table}.id"),
        unique=True,
        comment="the row whose place this one takes; that one stays, and no longer counts",
    )
    strikes = Column(
        "strikes",
        Integer,
        nullable=False,
        default=0,
        comment="1: the row only strikes out the one it replaces, and says nothing itself",
    )
    return replaces, strikes
