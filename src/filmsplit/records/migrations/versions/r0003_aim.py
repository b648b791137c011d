"""How the aim is meant to be measured, the ink's constants, and the sheet."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "r0003"
down_revision = "r0002"


def upgrade() -> None:
    """Columns of jobs. Older jobs leave them unsaid."""
    for name in ("aim_status", "aim_backing"):
        op.add_column("jobs", sa.Column(name, sa.String(8), nullable=False, server_default=""))
    op.add_column("jobs", sa.Column("aim_polarised", sa.Integer))
    for name in ("saturation", "rate_per_um", "sheet_length_mm", "sheet_width_mm"):
        op.add_column("jobs", sa.Column(name, sa.Float))
