"""The one owner of the database: opens it, brings it up to date, and lends out transactions.

A single file by default. Whatever is recorded together is written in one transaction under one run; it is there whole
once the call has returned, and not at all if the machine stopped before (write-ahead log, synchronous = FULL).
"""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import sqlalchemy as sa

from filmsplit import __version__
from filmsplit.messages import Problem, Refusal
from filmsplit.records.tables import runs

NEWEST = "r0010"
"""The newest revision; a test holds it to the files of ``migrations``."""

WAIT_S = 30.0
"""How long a writer waits for another before it gives up."""


@dataclass(frozen=True, slots=True)
class Writer:
    """A transaction that is open for writing, and the run its rows belong to."""

    connection: sa.Connection
    run_id: int


class Store:
    """The shop's records in one database. Opening it migrates an older one."""

    def __init__(self, url: str) -> None:
        self._engine = sa.create_engine(url)
        if self._engine.dialect.name == "sqlite":
            _prepare_sqlite(self._engine)
        self._bring_up_to_date()

    @classmethod
    def at(cls, path: Path) -> Store:
        """The store in a file, made if it is not there."""
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            return cls(f"sqlite:///{path}")
        except OSError as error:
            raise Refusal(Problem("records-not-opened", {"file": str(path), "reason": error.strerror or ""})) from error
        except sa.exc.DBAPIError as error:
            raise Refusal(Problem("records-not-opened", {"file": str(path), "reason": str(error.orig)})) from error

    @contextlib.contextmanager
    def write(self, what: str) -> Iterator[Writer]:
        """One transaction for one thing recorded. An exception inside leaves the records as they were."""
        with self.transaction() as connection:
            began = datetime.now().astimezone().isoformat(timespec="seconds")
            run = sa.insert(runs).values(began_at=began, what=what, version=__version__)
            key = connection.execute(run).inserted_primary_key
            assert key is not None
            yield Writer(connection, key[0])

    @contextlib.contextmanager
    def transaction(self) -> Iterator[sa.Connection]:
        """A transaction that writes no run of its own: for rows that bring their runs along."""
        with self._engine.begin() as connection:
            yield connection

    @contextlib.contextmanager
    def read(self) -> Iterator[sa.Connection]:
        """A consistent view of the records. It never holds a writer up."""
        with self._engine.connect().execution_options(filmsplit_reads=True) as connection:
            yield connection

    def close(self) -> None:
        self._engine.dispose()

    def _bring_up_to_date(self) -> None:
        """Migrate in one transaction; a database newer than this program is left alone."""
        with self._engine.connect().execution_options(filmsplit_reads=True) as connection:
            if _revision(connection) == NEWEST:
                return
        with self._engine.begin() as connection:
            if _revision(connection) != NEWEST:
                _migrate(connection)


def _revision(connection: sa.Connection) -> str | None:
    """The revision of a database; ``None`` for an empty one."""
    if not sa.inspect(connection).has_table("alembic_version"):
        return None
    found = connection.execute(sa.text("SELECT version_num FROM alembic_version")).scalar()
    return None if found is None else str(found)


def _migrate(connection: sa.Connection) -> None:
    """All steps that are missing, on this connection: the transaction that is open there holds them together."""
    from alembic.config import Config  # noqa: PLC0415  (costly to import, and hardly ever needed)
    from alembic.runtime.environment import EnvironmentContext  # noqa: PLC0415
    from alembic.script import ScriptDirectory  # noqa: PLC0415

    script = ScriptDirectory(str(Path(__file__).parent / "migrations"))
    found = _revision(connection)
    if found is not None and found not in {each.revision for each in script.walk_revisions()}:
        raise Refusal(Problem("records-newer", {"found": found, "newest": NEWEST}))

    def missing(revision: object, _: object) -> object:
        return script._upgrade_revs("head", revision)  # type: ignore[arg-type]  # as its manual shows for use from code

    with EnvironmentContext(Config(), script, fn=missing) as environment:
        environment.configure(connection=connection, transactional_ddl=False)
        environment.run_migrations()


def _prepare_sqlite(engine: sa.Engine) -> None:
    """Let the transactions of the driver be ours: everything, tables too, is written whole or not at all."""

    @sa.event.listens_for(engine, "connect")
    def connect(connection: object, _: object) -> None:
        connection.isolation_level = None  # type: ignore[attr-defined]
        cursor = connection.cursor()  # type: ignore[attr-defined]
        cursor.execute(f"PRAGMA busy_timeout = {int(1000 * WAIT_S)}")
        cursor.execute("PRAGMA journal_mode = WAL")
        cursor.execute("PRAGMA synchronous = FULL")
        cursor.execute("PRAGMA foreign_keys = ON")
        cursor.close()

    @sa.event.listens_for(engine, "begin")
    def begin(connection: sa.Connection) -> None:
        # A writer takes its place at once: two that only later find out about each other would both have to start anew.
        reads = connection.get_execution_options().get("filmsplit_reads", False)
        connection.exec_driver_sql("BEGIN" if reads else "BEGIN IMMEDIATE")
