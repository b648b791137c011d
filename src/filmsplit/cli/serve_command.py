"""`filmsplit serve`: the workbench in a browser."""

from __future__ import annotations

from pathlib import Path

import click

from filmsplit.messages import label

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs


@click.command(help=label("cli_serve.serve"))
@click.argument("folder", required=False, type=click.Path(path_type=Path, file_okay=False))
@click.option("--port", type=click.IntRange(0, 65535), default=8650, show_default=True, help=label("cli_serve.port"))
@click.option("--no-browser", is_flag=True, help=label("cli_serve.open"))
@click.option("--shop", "to_shop", is_flag=True, help=label("cli_serve.shop"))
def serve(folder: Path | None, *, port: int, no_browser: bool, to_shop: bool) -> None:
    """Listen, say where, open a browser there, and serve until stopped."""
    import webbrowser

    from platformdirs import user_data_path

    from filmsplit.actions.shop import Shop
    from filmsplit.web.serve import listen, run

    served = listen(Shop(folder or user_data_path("filmsplit", appauthor=False)), port=port, to_shop=to_shop)
    if served.access is None:
        click.echo(label("web.serving", address=served.address))
    else:
        click.echo(label("web_shop.serving_here", address=served.address))
        click.echo(label("web_shop.serving", addresses=", ".join(served.shop_addresses) or "-"))
        click.echo(label("web_shop.first_code", code=served.access.code()))
    if not no_browser:
        webbrowser.open(served.address)
    run(served)
