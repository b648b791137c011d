"""`filmsplit records`: everything on record, exported, imported, backed up and restored."""

from __future__ import annotations

from pathlib import Path

import click

from filmsplit.cli.record_options import RECORDS, daybook
from filmsplit.messages import label

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs

_PATH = click.Path(path_type=Path)
_OVER = click.option("--over", is_flag=True, help=label("cli.over"))


@click.group("records", help=label("cli_records.records"))
def records_group() -> None:
    """Commands about the records as a whole."""


@records_group.command(help=label("cli_records.export"))
@click.argument("to", type=_PATH)
@_OVER
@RECORDS
def export(to: Path, over: bool, records: Path | None) -> None:
    """Write everything on record as JSON or CSV."""
    from filmsplit.actions.record_files import export as export_rows

    rows = export_rows(to, book=daybook(records, ""), over=over)
    click.echo(label("records.exported", rows=rows, file=to))


@records_group.command("import", help=label("cli_records.import"))
@click.argument("source", type=_PATH)
@RECORDS
def import_(source: Path, records: Path | None) -> None:
    """Read an export into empty records."""
    from filmsplit.actions.record_files import import_export

    book = daybook(records, "")
    click.echo(label("records.imported", rows=import_export(source, book=book), file=book.records))


@records_group.command(help=label("cli_records.backup"))
@click.argument("to", type=_PATH)
@RECORDS
def backup(to: Path, records: Path | None) -> None:
    """Copy the records into a new file."""
    from filmsplit.actions.record_files import make_backup

    click.echo(label("records.backed_up", rows=make_backup(to, book=daybook(records, "")), file=to))


@records_group.command(help=label("cli_records.restore"))
@click.argument("source", metavar="BACKUP", type=_PATH)
@click.option("--over", is_flag=True, help=label("cli_records.over"))
@RECORDS
def restore(source: Path, over: bool, records: Path | None) -> None:
    """Put a backup in the place of the records."""
    from filmsplit.actions.record_files import restore_backup

    book = daybook(records, "")
    kept = restore_backup(source, book=book, over=over)
    click.echo(label("records.restored", file=book.records))
    if kept is not None:
        click.echo(label("records.kept", file=kept))
