"""The demo works, as a list in the terminal."""

from __future__ import annotations

from collections.abc import Sequence

import click

from filmsplit.actions.demo_works import WorkWritten
from filmsplit.library.works import DEMO_JOB
from filmsplit.messages import label


def print_works(written: Sequence[WorkWritten]) -> None:
    """Each work with its plates: true coverage, size, the press it is for, where its file is."""
    click.echo(label("demo.works"))
    for each in written:
        work = each.work
        mark = label("demo.the_job") if work.slug == DEMO_JOB else ""
        click.echo(label("demo.work", title=work.title, press=work.press, stock=work.stock, run=work.run, mark=mark))
        for plate, file in zip(work.plates, each.files, strict=True):
            down, across = plate.size_mm
            dots = plate.size[0] * plate.size[1] / 1e6
            values = {"ink": plate.ink, "percent": 100 * plate.coverage, "across": across, "down": down, "dots": dots}
            click.echo(label("demo.plate", file=file, dpi=plate.dpi, **values))
