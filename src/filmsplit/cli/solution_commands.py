"""`filmsplit solution`: samples of fountain solution, the titration line, and whether to change it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from filmsplit.cli.record_options import JSON, ON, RECORDS, daybook
from filmsplit.messages import label

if TYPE_CHECKING:
    from filmsplit.units.conductivity import ConductivitySystem

# ruff: noqa: PLC0415 - `--help` must not wait for what a command needs when it runs

_UNITS = ("uS", "umho")
IN = click.option(
    "--in", "unit", type=click.Choice(_UNITS), default="uS", show_default=True, help=label("cli_solution.in")
)
BY = click.option("--by", "person", default="", help=label("cli_solution.by"))


@click.group(help=label("cli_solution.solution"))
def solution() -> None:
    """Commands about fountain solution."""


@solution.command(help=label("cli_solution.add"))
@click.argument("press")
@click.argument("where", type=click.Choice(["water", "mix", "pan", "tank"]))
@click.argument("conductivity", default="")
@click.option("--fresh", is_flag=True, help=label("cli_solution.fresh"))
@click.option("--ph", type=float, help=label("cli_solution.ph"))
@click.option("--temperature", "temperature_c", type=float, help=label("cli_solution.temperature"))
@click.option("--alcohol", "alcohol_percent", type=float, help=label("cli_solution.alcohol"))
@click.option("--dose", "dose_percent", type=float, help=label("cli_solution.dose"))
@click.option("--hardness", "hardness_dh", type=float, help=label("cli_solution.hardness"))
@click.option("--note", default="", help=label("cli_solution.note"))
@click.option("--sure", is_flag=True, help=label("cli_solution.sure"))
@BY
@IN
@ON
@RECORDS
def add(press: str, where: str, conductivity: str, day: str, records: Path | None, **given: Any) -> None:
    """Put a sample on record."""
    from filmsplit.actions.solution import Telling, press_sampled, put_sample
    from filmsplit.actions.solution_words import sample_words
    from filmsplit.condition.solution import Sample, Where
    from filmsplit.units.conductivity import parse_conductivity_us_per_cm

    system, sure = _system(given.pop("unit")), given.pop("sure")
    book, (found, unit) = daybook(records, day), press_sampled(press)
    read = parse_conductivity_us_per_cm(conductivity, system=system) if conductivity else None
    told = Sample(day=book.day, press=found.id, unit=unit, where=Where(where), us_per_cm=read, **given)
    done = put_sample(found, told, book=book, telling=Telling(sure=sure, written=system))
    click.echo(label("solution.recorded", number=done.number, said=sample_words(done, conductivities=system)))
    click.echo(label("solution.caution"))


@solution.command(help=label("cli_solution.titrate"))
@click.argument("press")
@click.argument("readings", nargs=-1, required=True, metavar="DOSE=READING...")
@BY
@IN
@ON
@RECORDS
def titrate(press: str, readings: tuple[str, ...], day: str, records: Path | None, **given: Any) -> None:
    """Put a titration line on record."""
    from filmsplit.actions.solution import Telling, press_sampled, put_titration
    from filmsplit.actions.solution_words import dosed_in, line_words

    system = _system(given["unit"])
    found, _ = press_sampled(press)
    doses, telling = dosed_in(readings, written=system), Telling(written=system)
    made = put_titration(found, doses, book=daybook(records, day), person=given["person"], telling=telling)
    click.echo(line_words(made, written=system))


@solution.command(help=label("cli_solution.show"))
@click.argument("press")
@IN
@JSON
@RECORDS
def show(press: str, unit: str, as_json: bool, records: Path | None) -> None:
    """Tell the state of the solution."""
    from filmsplit.actions.solution import press_sampled, solution_of

    system = _system(unit)
    found = solution_of(press_sampled(press)[0], book=daybook(records, ""), written=system)
    if as_json:
        from filmsplit.actions.answers import to_json

        click.echo(to_json("solution 1", judged=found.judged, bands=found.bands, samples=found.samples))
        return
    from filmsplit.cli.solution_pages import print_solution

    print_solution(found, written=system)


@solution.command(help=label("cli_solution.bands"))
@click.argument("press")
@click.option("--product", default="", help=label("cli_solution.product"))
@click.option("--ph", nargs=2, type=float, metavar="LOW HIGH", help=label("cli_solution.ph_band"))
@click.option("--temperature", nargs=2, type=float, metavar="LOW HIGH", help=label("cli_solution.temperature_band"))
@BY
@ON
@RECORDS
def bands(press: str, product: str, person: str, day: str, records: Path | None, **given: Any) -> None:
    """Put bands on record."""
    from filmsplit.actions.solution import press_sampled, say_solution_bands
    from filmsplit.condition.solution_bands import SolutionBands, own_band

    said = SolutionBands(product=product, ph=own_band(given["ph"]), temperature_c=own_band(given["temperature"]))
    say_solution_bands(press_sampled(press)[0], said, book=daybook(records, day), person=person)
    click.echo(label("solution.bands_recorded"))


@solution.command(help=label("cli_solution.strike"))
@click.argument("number", type=int)
@click.option("--reason", required=True, help=label("cli_solution.reason"))
@BY
@RECORDS
def strike(number: int, reason: str, person: str, records: Path | None) -> None:
    """Strike a sample out that was wrong."""
    from filmsplit.actions.solution import strike_out

    strike_out(number, reason=reason, person=person, book=daybook(records, ""))
    click.echo(label("solution.struck", number=number))


def _system(unit: str) -> ConductivitySystem:
    from filmsplit.units.conductivity import ConductivitySystem

    return ConductivitySystem.MICROMHO if unit == "umho" else ConductivitySystem.MICROSIEMENS
