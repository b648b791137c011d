"""What `film` prints."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Console
from rich.padding import Padding
from rich.table import Table

from filmsplit.actions.film import Filmed
from filmsplit.actions.film_pictures import sketches
from filmsplit.cli.press_pages import draws_braille, print_sketch
from filmsplit.cli.problems import echo_problems
from filmsplit.cli.show import console, name_line, print_bullet, table
from filmsplit.messages import label
from filmsplit.studies.film_answer import FilmsAnswer, InkAnswer, LimitAnswer, ResponseAnswer, UnitAnswer
from filmsplit.studies.film_study import FilmStudy

_INDENT = (0, 0, 0, 2)
ROUNDING = 1e-9
"""What is fed per sheet is nothing if it is less than this part of what the train holds."""


def print_films(filmed: Filmed, *, drawing: bool) -> None:
    """Unit by unit: the verdict, the films, the budget, what was assumed, how it was computed; then the limits."""
    out = console()
    press = filmed.press
    invented = f"  ({label('show.invented')})" if press.invented else ""
    out.print(f"[bold]{press.name or press.id}[/]{invented}")
    if drawing:
        print_sketch(press, out=out)
    for unit, study in zip(filmed.answer.units, filmed.studies, strict=True):
        out.print()
        _print_unit(unit, out=out)
        if drawing:
            _print_sketches(study, out=out)
    out.print()
    _print_limits(filmed.answer.limits, out=out)


def _print_unit(unit: UnitAnswer, *, out: Console) -> None:
    for line in _verdict(unit):
        out.print(f"[bold]{line}[/]", markup=True)
    if not unit.settled:
        echo_problems([unit.outcome])
    if unit.films is not None and unit.ink is not None:
        out.print(_rollers(unit.films))
        for name, value in _facts(unit, unit.films, unit.ink):
            out.print(name_line(name, value))
        if _zones_differ(unit.films):
            out.print()
            out.print(_zones(unit.films))
    out.print()
    out.print(f"[bold]{label('film_page.assumed')}[/]")
    for note in unit.notes:
        print_bullet(note.what, out=out)
    for line in _foot(unit):
        out.print(Padding(line, _INDENT), style="dim", markup=False)


def _print_sketches(study: FilmStudy, *, out: Console) -> None:
    """Film across and start-up as far as a terminal can draw them."""
    for lines in sketches(study, columns=out.width, plain=not draws_braille()):
        print()
        for line in lines:
            print(line)


def _verdict(unit: UnitAnswer) -> Iterator[str]:
    name = label("film_page.unit", unit=unit.unit)
    if unit.films is None:
        yield label("film_page.unsettled", unit=name)
        return
    error = f"{100 * (unit.error or 0.0):.2g}"
    if unit.films.sheet_um == 0:
        yield label("film_page.verdict_silent", unit=name, error=error)
        return
    yield label("film_page.verdict", unit=name, film=_figures(unit.films.sheet_um), band=_band(unit), error=error)


def _band(unit: UnitAnswer) -> str:
    band = unit.band
    if band is None or not band.settled:
        return ""
    if not band.parts or band.sigma_um == 0:
        return label("film_page.verdict_sure")
    return label(
        "film_page.verdict_band",
        cases=f"{10 * band.coverage:g}",
        low=_figures(band.low_um),
        high=_figures(band.high_um),
        largest=band.parts[0].words,
    )


def _rollers(films: FilmsAnswer) -> Table:
    made = table(
        (label("film_page.roller"), "left"),
        (label("film_page.name"), "left"),
        (label("film_page.film"), "right"),
        (label("film_page.towards"), "right"),
        (label("film_page.away"), "right"),
        (label("film_page.stored"), "right"),
    )
    for roller in films.rollers:
        made.add_row(
            roller.id,
            roller.name,
            _figures(roller.film_um),
            _figures(roller.towards_um),
            _figures(roller.away_um),
            _figures(roller.stored_g),
        )
    return made


def _facts(unit: UnitAnswer, films: FilmsAnswer, ink: InkAnswer) -> Iterator[tuple[str, str]]:
    yield label("film_page.forms"), ", ".join(_forms(films))
    if unit.response is None:
        yield label("film_page.plate"), label("film_page.plate_silent", film=_figures(films.plate_um))
    else:
        yield from _print_films(films)
    yield from _feeding(unit)
    yield from _budget(ink)
    if unit.response is not None:
        yield label("film_page.start_up"), _start_up(unit.response)


def _print_films(films: FilmsAnswer) -> Iterator[tuple[str, str]]:
    yield label("film_page.plate"), label("film_page.plate_value", film=_figures(films.plate_um))
    yield label("film_page.blanket"), label("film_page.blanket_value", film=_figures(films.blanket_um))
    ends = {"low": _figures(films.sheet_least_um), "high": _figures(films.sheet_most_um)}
    yield label("film_page.sheet"), label("film_page.sheet_value", film=_figures(films.sheet_um), **ends)


def _forms(films: FilmsAnswer) -> Iterator[str]:
    for form in films.forms:
        if not form.on:
            yield label("film_page.form_off", id=form.id)
        elif form.share is None:
            yield label("film_page.no_share", id=form.id)
        else:
            yield label("film_page.form_share", id=form.id, percent=f"{100 * form.share:.1f}")


def _feeding(unit: UnitAnswer) -> Iterator[tuple[str, str]]:
    keys = unit.asked.key_films_um
    if keys is not None and len(set(keys)) == 1:
        yield label("film_page.keys"), label("film_page.keys_even", film=_figures(keys[0]))
    if unit.asked.sweep_mm is not None:
        yield label("film_page.sweep"), f"{unit.asked.sweep_mm:g} mm"


def _budget(ink: InkAnswer) -> Iterator[tuple[str, str]]:
    if abs(ink.fed_per_sheet_g) <= ROUNDING * ink.stored_g:
        yield label("film_page.fed"), label("film_page.fed_nothing")
    else:
        yield label("film_page.fed"), _amount(ink.fed_per_sheet_g, ink.fed_per_1000_sheets_kg)
        yield label("film_page.printed"), _amount(ink.printed_per_sheet_g, ink.printed_per_1000_sheets_kg)
        lacks_g = ink.fed_less_printed_per_sheet_g
        values = {"grams": f"{lacks_g:.1e}", "percent": f"{100 * lacks_g / ink.fed_per_sheet_g:.2g}"}
        yield label("film_page.lacks"), label("film_page.lacks_value", **values)
    yield label("film_page.stored_all"), label("film_page.grams", grams=_figures(ink.stored_g))


def _amount(grams: float, kg: float) -> str:
    return label("film_page.per_sheet", grams=f"{grams:.4g}", kg=f"{kg:.4g}")


def _start_up(response: ResponseAnswer) -> str:
    none = label("film_page.not_reached")
    sheets = {"sheets_63": response.sheets_63 or none, "sheets_95": response.sheets_95 or none}
    return label("film_page.start_up_value", **sheets)


def _zones_differ(films: FilmsAnswer) -> bool:
    return len({(zone.coverage, zone.key_film_um) for zone in films.zones}) > 1


def _zones(films: FilmsAnswer) -> Table:
    made = table(
        (label("film_page.zone"), "right"),
        (label("film_page.coverage"), "right"),
        (label("film_page.key"), "right"),
        (label("film_page.sheet_zone"), "right"),
    )
    for zone in films.zones:
        cells = (f"{100 * zone.coverage:.3g}", _figures(zone.key_film_um), _figures(zone.sheet_um))
        made.add_row(str(zone.zone), *cells)
    return made


def _foot(unit: UnitAnswer) -> Iterator[str]:
    yield label(
        "film_page.foot",
        revolutions=unit.revolutions,
        work=f"{unit.work_revolutions:.0f}",
        period=unit.common_period_rev,
        pulled=f"{100 * unit.cycles_pulled:.2g}",
        error="–" if unit.error is None else f"{100 * unit.error:.2g}",
        cells=unit.grid.cells,
    )
    yield from (problem.what for problem in unit.grid.reason)
    if unit.band is not None:
        differs = unit.band.coarse_grid_differs
        way = label("film_page.thicker" if differs >= 0 else "film_page.thinner")
        values = {"cells": unit.band.cells, "percent": _figures(100 * abs(differs)), "way": way}
        yield label("film_page.foot_band", **values)


def _print_limits(limits: tuple[LimitAnswer, ...], *, out: Console) -> None:
    out.print(f"[bold]{label('film_page.limits')}[/]")
    for limit in limits:
        print_bullet(limit.what, out=out)


def _figures(value: float | None) -> str:
    """Three figures that count, none of them as a power of ten."""
    if value is None:
        return "–"
    return f"{value:.0f}" if abs(value) >= 100 else f"{value:#.3g}"
