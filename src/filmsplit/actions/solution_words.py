"""A sample of fountain solution in words, in the units of whoever reads it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from filmsplit.actions.solution import PressSolution
from filmsplit.condition.solution import MOST_RISE_US_PER_CM, Rise, Sample
from filmsplit.condition.titration import Dosed, TitrationLine
from filmsplit.messages import Problem, Refusal, label
from filmsplit.units.conductivity import ConductivitySystem, format_conductivity, parse_conductivity_us_per_cm
from filmsplit.units.writing import TemperatureSystem, format_temperature

_NUMBER = re.compile(r"-?[0-9]{1,6}(\.[0-9]{0,6})?")


def place_words(sample: Sample) -> str:
    """Where it was taken, and whether of a fresh batch or in use."""
    where = label(f"solution_where.{sample.where.value}")
    if sample.series:
        return label("solution_said.measured", where=where)
    state = "fresh" if sample.fresh else "in_use" if sample.in_use else ""
    named = f"{sample.unit} {where}".strip()
    return label(f"solution_said.{state}", where=named) if state else named


def sample_words(
    sample: Sample,
    *,
    conductivities: ConductivitySystem = ConductivitySystem.MICROSIEMENS,
    temperatures: TemperatureSystem = TemperatureSystem.CELSIUS,
) -> str:
    """Everything that was read of it, with units."""
    return ", ".join(_parts(sample, conductivities=conductivities, temperatures=temperatures))


def _parts(sample: Sample, *, conductivities: ConductivitySystem, temperatures: TemperatureSystem) -> Iterator[str]:
    yield place_words(sample)
    if sample.us_per_cm is not None:
        yield format_conductivity(sample.us_per_cm, conductivities)
    if sample.ph is not None:
        yield label("solution_said.ph", ph=f"{sample.ph:g}")
    if sample.temperature_c is not None:
        yield format_temperature(sample.temperature_c, temperatures)
    for name in ("dose_percent", "alcohol_percent", "hardness_dh"):
        value = getattr(sample, name)
        if value is not None:
            yield label(f"solution_said.{name}", value=f"{value:g}")
    if sample.note:
        yield sample.note


def line_words(line: TitrationLine, *, written: ConductivitySystem) -> str:
    """The titration line in a sentence."""
    water = format_conductivity(line.water_us_per_cm, written)
    step, off = format_conductivity(line.step_us_per_cm, written), format_conductivity(line.off_us_per_cm, written)
    return label("solution.line", water=water, step=step, off=off, at=f"{line.off_at_percent:g}")


def state_rows(found: PressSolution, *, written: ConductivitySystem) -> tuple[tuple[str, str], ...]:
    """The last fresh batch, what is in use now, how far it has risen, the dose, the bands: name and value."""
    judged = found.judged
    verdict = "none" if judged.verdict is None else judged.verdict.value
    rows = [(label("solution.verdict"), label(f"solution_verdict.{verdict}"))]
    rows.append((label("solution.fresh"), _read_words(judged.fresh, written)))
    for each in judged.rises:
        rows.append((label("solution.now"), _read_words(each.now, written)))
        rows.append((label("solution.rise"), rise_words(each, written)))
    if not judged.rises:
        rows.append((label("solution.now"), label("solution.not_sampled")))
    if judged.dose_percent is not None:
        rows.append((label("solution.dose_told"), f"{judged.dose_percent:.1f} %"))
    return (*rows, *_band_rows(found))


def rise_words(rise: Rise, written: ConductivitySystem) -> str:
    """How far a sample lies over its batch, beside what is allowed."""
    if rise.rise_us_per_cm is None:
        return label("solution.not_compared")
    change = format_conductivity(MOST_RISE_US_PER_CM, written, signed=True)
    return label("solution.rise_of", rise=format_conductivity(rise.rise_us_per_cm, written, signed=True), most=change)


def _read_words(sample: Sample | None, written: ConductivitySystem) -> str:
    if sample is None:
        return label("solution.not_sampled")
    read = label("solution.not_read") if sample.us_per_cm is None else format_conductivity(sample.us_per_cm, written)
    return f"{read} ({place_words(sample)}, {sample.day.isoformat()})"


def _band_rows(found: PressSolution) -> Iterator[tuple[str, str]]:
    """Bands that hold for what was sampled last, with what they rest on."""
    last = found.judged.last.now if found.judged.last else found.judged.fresh
    band = found.bands.ph_band(last.alcohol_percent if last else None)
    values = {"low": f"{band.low:g}", "high": f"{band.high:g}", "basis": band.basis.value}
    yield label("solution.ph_band"), label("solution.band", **values)


def dosed_in(words: Sequence[str], *, written: ConductivitySystem) -> tuple[Dosed, ...]:
    """Readings written as ``DOSE=READING``, such as ``0=310 1=690``."""
    return tuple(_dosed(each, written) for each in words)


def _dosed(text: str, written: ConductivitySystem) -> Dosed:
    dose, _, read = text.partition("=")
    percent = number_in(dose, what="dose_percent")
    if percent is None:
        raise Refusal(Problem("solution-number-unclear", {"what": label("solution_what.dose_percent"), "given": text}))
    return Dosed(dose_percent=percent, us_per_cm=parse_conductivity_us_per_cm(read, system=written))


def number_in(text: str, *, what: str) -> float | None:
    """A number as typed, with point or comma; ``None`` where nothing was. ``what`` is the field, for the message."""
    typed = text.strip().rstrip("%").strip().replace(",", ".")
    if not typed:
        return None
    if not _NUMBER.fullmatch(typed):
        raise Refusal(Problem("solution-number-unclear", {"what": label(f"solution_what.{what}"), "given": text[:30]}))
    return float(typed)
