"""`filmsplit demo`: the main job, on presses that exist only on paper."""

from __future__ import annotations

from pathlib import Path

import click

from filmsplit.messages import label

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs


@click.command(help=label("cli.demo"))
@click.option(
    "--folder",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("filmsplit-demo"),
    show_default=True,
    help=label("cli.demo_folder"),
)
@click.option("--gigapixel", is_flag=True, help=label("cli.demo_gigapixel"))
@click.option("--records", type=click.Path(path_type=Path, dir_okay=False), help=label("cli.demo_records"))
def demo(folder: Path, gigapixel: bool, records: Path | None) -> None:
    """Draw the first demo press, print its facts, match a striped sheet, show its ink, draw works, set the demo job."""
    from filmsplit.actions.demo import DEMO_MARKS_MM, run_demo
    from filmsplit.actions.invented_log import put_on_record
    from filmsplit.cli.film_pages import print_films
    from filmsplit.cli.film_progress import Watching
    from filmsplit.cli.marks_pages import print_match
    from filmsplit.cli.press_pages import print_press
    from filmsplit.cli.setup_pages import print_setup
    from filmsplit.cli.work_pages import print_works

    with Watching() as watching:
        made = run_demo(folder, gigapixel=gigapixel, progress=lambda file, part: watching.show(file, part=part))
    click.echo(label("demo.workshop", name=made.workshop.name, presses=", ".join(made.workshop.presses)))
    click.echo()
    print_press(made.shown, drawing=True)
    click.echo()
    distances = " ".join(f"{mm:g}" for mm in DEMO_MARKS_MM)
    click.echo(label("demo.striped_sheet", distances=distances))
    print_match(made.matched)
    click.echo()
    click.echo(label("demo.films"))
    print_films(made.filmed, drawing=False)
    click.echo()
    print_works(made.works)
    click.echo()
    click.echo(label("demo.job"))
    print_setup(made.job)
    click.echo()
    for file in made.files:
        click.echo(label("cli.written", file=file))
    if records is not None:
        click.echo(label("demo.recorded", jobs=len(put_on_record(records)), file=records))
    click.echo(label("demo.next", press=made.shown.press.id, distances=distances))
