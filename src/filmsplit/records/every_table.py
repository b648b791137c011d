"""All tables of the records, those that others lead to first."""

from __future__ import annotations

import sqlalchemy as sa

from filmsplit.records import roller_tables, round_tables, solution_tables, struck_tables, tables
from filmsplit.records.metadata import metadata

EVERY_TABLE: tuple[sa.Table, ...] = tuple(metadata.sorted_tables)
"""Complete because all modules of tables have been read."""

__all__ = ["EVERY_TABLE", "metadata", "roller_tables", "round_tables", "solution_tables", "struck_tables", "tables"]
