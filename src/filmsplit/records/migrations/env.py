"""What the migration tool runs: on the connection it is given, inside the transaction that is open there."""

from __future__ import annotations

from alembic import context

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=None,
    transactional_ddl=False,  # the store has opened the transaction, and ends it
)
context.run_migrations()
