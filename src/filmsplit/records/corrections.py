"""Rows that take the place of older ones: which rows count, and how one is struck out."""

from __future__ import annotations

import sqlalchemy as sa


def standing(table: sa.Table) -> sa.ColumnElement[bool]:
    """The rows of ``table`` that count: neither replaced nor only there to strike another out."""
    later = table.alias("later")
    replaced = sa.exists().where(later.c.replaces_id == table.c.id)
    return sa.and_(table.c.strikes == 0, sa.not_(replaced))
