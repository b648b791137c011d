"""A job that is set, in the words of the press room: what page and paper both say."""

from __future__ import annotations

from collections.abc import Iterator

from filmsplit.figures.stage import unit_name
from filmsplit.messages import label
from filmsplit.press import Press, Unit
from filmsplit.press.words import SweepKind
from filmsplit.studies.job_answer import SetStart, SetUnit, SetupAnswer


def unit_heading(answer: SetupAnswer, unit: SetUnit, *, press: Press) -> str:
    """Ink, unit and pass, as far as there are several."""
    parts = [unit.ink or label("setup_page.one_ink")]
    if len(press.units) > 1:
        parts.append(unit_name(press.unit(unit.unit)))
    if answer.passes > 1:
        parts.append(pass_words(answer, unit))
    return " · ".join(parts)


def pass_words(answer: SetupAnswer, unit: SetUnit) -> str:
    """Which pass of how many; nothing where there is one."""
    if answer.passes == 1:
        return ""
    return label("setup_page.pass", number=unit.pass_number, passes=answer.passes)


def sweep_words(unit: SetUnit, of: Unit) -> str:
    """The sweep in the press's own words; nothing for a feed without one."""
    if unit.sweep is None or of.fountain is None:
        return ""
    mm, reading = f"{unit.sweep.mm:.3g}", unit.sweep.reading
    if of.fountain.sweep.kind is SweepKind.NOTCHED:
        return label("paper_sweep.notched", notches=f"{reading:.4g}", mm=mm)
    return label("paper_sweep.continuous", divisions=f"{reading:.3g}", mm=mm)


def expected_of(unit: SetUnit) -> str:
    """What is aimed at: a film, or a density and the film that gives it."""
    film = f"{unit.aim_um:.3g}"
    if unit.aim_density is None:
        return label("setup_page.aim_film", film=film)
    return label("setup_page.aim_density", density=f"{unit.aim_density:.2f}", film=film)


def start_lines(unit: SetUnit, *, first_keys: str = "") -> Iterator[str]:
    """What to do with the first and the last sheets, in order.

    ``first_keys`` are the readings to begin with, where they do not stand in a column beside the others.
    """
    start = unit.start
    if start is None:
        return
    if start.charge_revolutions:
        yield label("setup_start.charge", turns=start.charge_revolutions)
    else:
        yield label("setup_start.no_charge")
    if start.run_settings_from > 1:
        begin = "setup_start.begin_keys" if first_keys else "setup_start.begin"
        yield label(begin, percent=f"{100 * start.factor:.0f}", keys=first_keys)
        yield label("setup_start.change", sheet=start.run_settings_from)
    if start.first_good is None:
        yield label("setup_start.none_good", sheets=start.sheets, tolerance=_tolerance(start))
    else:
        yield label("setup_start.good", sheet=start.first_good, tolerance=_tolerance(start))
    if start.ductor_off_after is not None:
        yield label("setup_start.ductor_off", sheet=start.ductor_off_after)
    yield label("setup_start.gain", waste=start.waste, plain=start.plain_waste, sheets=start.sheets)


def _tolerance(start: SetStart) -> str:
    return f"{start.tolerance:.2f} {start.values_unit}"
