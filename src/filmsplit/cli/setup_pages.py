"""What `setup` prints."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Console

from filmsplit.actions.setup import Set
from filmsplit.actions.setup_paper import STANDING
from filmsplit.actions.setup_words import expected_of, start_lines, sweep_words, unit_heading
from filmsplit.cli.problems import echo_problems
from filmsplit.cli.show import console, name_line, print_bullet, table
from filmsplit.messages import label
from filmsplit.messages.problem import Severity
from filmsplit.press import Unit
from filmsplit.reports.keys import KeyOnPaper, how_to_read, keys_on_paper
from filmsplit.setup.readings import KeyReading
from filmsplit.studies.job_answer import SetInk, SetKey, SetUnit


def print_setup(found: Set) -> None:
    """The job, then ink by ink what to set, what to expect, what to do first, what cannot be reached."""
    out, answer = console(), found.answer
    press = found.press
    invented = f"  ({label('show.invented')})" if press.invented else ""
    title = f"{answer.title}: " if answer.title else ""
    out.print(f"[bold]{title}{press.name or press.id}[/]{invented}", markup=True)
    sheet = label("setup_page.sheet_mm", length=f"{answer.sheet_length_mm:.4g}", width=f"{answer.sheet_width_mm:.4g}")
    run = label("setup_page.run", sheets=answer.run) if answer.run is not None else label("setup_page.run_unknown")
    out.print(" · ".join(each for each in (answer.stock, sheet, run) if each), markup=False)
    for line in answer.work:
        print_bullet(line, out=out)
    echo_problems([notice for notice in answer.notices if notice.severity is Severity.WARNING])
    for unit in answer.units:
        out.print()
        _print_unit(found, unit, out=out)
    out.print()
    out.print(f"[bold]{label('film_page.limits')}[/]")
    for limit in answer.limits:
        print_bullet(limit.what, out=out)


def _print_unit(found: Set, unit: SetUnit, *, out: Console) -> None:
    of = found.press.unit(unit.unit)
    out.print(f"[bold]{unit_heading(found.answer, unit, press=found.press)}[/]", markup=True)
    out.print()
    _print_keys(unit, of, out=out)
    for name, value in _facts(unit, of):
        out.print(name_line(name, value))
    for wash in unit.washes:
        out.print(name_line(label("setup_page.change"), f"{wash.what} {wash.remedy}"))
    for line in unit.last_time:
        out.print(name_line(label("setup_page.last_time"), line))
    if unit.start is not None:
        out.print()
        out.print(f"[bold]{label('setup_page.start')}[/]")
        for number, line in enumerate(start_lines(unit), start=1):
            out.print(name_line(str(number), line))
    notes = (*found.answer.notices, *unit.notes)
    warnings = [note for note in unit.notes if note.severity is Severity.WARNING]
    out.print()
    echo_problems(warnings)
    for note in unit.notes:
        if note.slug in STANDING and note.severity is Severity.INFORMATION:
            print_bullet(note.what, out=out)
    out.print(f"[bold]{label('film_page.assumed')}[/]")
    for note in notes:
        if note.severity is Severity.INFORMATION and note.slug not in STANDING:
            print_bullet(note.what, out=out)


def _print_keys(unit: SetUnit, of: Unit, *, out: Console) -> None:
    assert of.fountain is not None
    kind = of.fountain.keys.kind
    begins = any(key.start_reading is not None for key in unit.keys)
    dense = any(key.density is not None for key in unit.keys)
    made = table(
        (label("setup_page.zone"), "right"),
        (label("setup_page.coverage"), "right"),
        (label("setup_page.key"), "right"),
        *([(label("setup_page.start_key"), "right")] if begins else []),
        (label("setup_page.open"), "right"),
        (label("setup_page.density" if dense else "setup_page.film"), "right"),
        (label("setup_page.band", percent=f"{100 * unit.band_coverage:.0f}"), "right"),
        ("", "left"),
    )
    widths = of.fountain.zone_widths_mm
    run = keys_on_paper([_reading(key, key.reading) for key in unit.keys], kind=kind, widths_mm=widths)
    first = keys_on_paper([_reading(key, key.start_reading) for key in unit.keys], kind=kind, widths_mm=widths)
    for key, set_to, start in zip(unit.keys, run, first, strict=True):
        cells = (str(key.zone), f"{100 * key.coverage:.1f}", set_to.reading, *([start.reading] if begins else []))
        made.add_row(*cells, *_prints(key, set_to, dense=dense))
    out.print(made)
    out.print(f"  {how_to_read(kind)}", style="dim", markup=False)


def _reading(key: SetKey, reading: float | None) -> KeyReading:
    shown = key.reading if reading is None else reading
    return KeyReading(zone=key.zone, reading=shown, opening=key.opening, film_off_um=0.0)


def _prints(key: SetKey, set_to: KeyOnPaper, *, dense: bool) -> Iterator[str]:
    value, low, high = (
        (key.density, key.density_low, key.density_high) if dense else (key.print_um, key.low_um, key.high_um)
    )
    yield f"{100 * set_to.opening:.0f}"
    yield "–" if value is None else f"{value:.2f}"
    yield "–" if low is None or high is None else f"{low:.2f}–{high:.2f}"
    yield "" if key.reached else label("setup_page.not_reached")


def _facts(unit: SetUnit, of: Unit) -> Iterator[tuple[str, str]]:
    yield label("setup_fact.sweep"), sweep_words(unit, of) or label("setup_fact.no-sweep")
    yield label("setup_page.mean_open"), f"{100 * unit.mean_open:.0f} %"
    yield label("setup_page.aim"), expected_of(unit)
    yield label("setup_fact.water"), unit.water.what
    if unit.look_again is not None:
        yield label("setup_page.look_again"), label("setup_page.after", sheets=unit.look_again)
    else:
        yield label("setup_page.look_again"), label("setup_page.look_long")
    yield label("setup_page.ink"), _ink(unit.ink_need)


def _ink(need: SetInk) -> str:
    if need.printed_kg is None or need.total_kg is None:
        return label("setup_page.ink_unknown", charge=_kg(need.charge_kg), thousand=_kg(need.per_1000_sheets_kg))
    parts = {"printed": need.printed_kg, "charge": need.charge_kg, "fountain": need.fountain_kg}
    shown = {name: _kg(kg) for name, kg in parts.items()}
    return label("setup_page.ink_value", total=_kg(need.total_kg), left=_kg(need.left_over_kg), **shown)


def _kg(kg: float) -> str:
    return f"{kg:.3f} kg" if kg >= 0.1 else f"{1000 * kg:.1f} g"
