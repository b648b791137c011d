"""How far the adjusters of a contact were turned."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "r0005"
down_revision = "r0004"


def upgrade() -> None:
    """Make room for turns among the values of an entry."""
    op.add_column("points", sa.Column("tightened_deg", sa.Float))
