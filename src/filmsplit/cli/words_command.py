"""`filmsplit words`: the trade's vocabulary, found by any of its names."""

from __future__ import annotations

import click

from filmsplit.messages import label


@click.command(help=label("cli.words"))
@click.argument("query", nargs=-1, required=True)
def words(query: tuple[str, ...]) -> None:
    """Print the glossary entries nearest to the query."""
    from filmsplit.actions.words import look_up  # noqa: PLC0415 - help must not wait for it

    entries = look_up(" ".join(query))
    if not entries:
        click.echo(label("cli.words_none", query=" ".join(query)))
    for entry in entries:
        click.echo(click.style(entry.term, bold=True) + (f"  ({', '.join(entry.synonyms)})" if entry.synonyms else ""))
        click.echo(click.wrap_text(entry.meaning, width=96, initial_indent="  ", subsequent_indent="  "))
