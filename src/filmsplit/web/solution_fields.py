"""What is typed on the forms of fountain solution, as samples, doses and bands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import date

from filmsplit.actions.solution_words import number_in
from filmsplit.condition.solution import Sample, Where
from filmsplit.condition.solution_bands import Band, SolutionBands, own_band
from filmsplit.condition.titration import Dosed
from filmsplit.messages import Problem, Refusal, label
from filmsplit.press import Press
from filmsplit.units.conductivity import parse_conductivity_us_per_cm
from filmsplit.web.look import Look
from filmsplit.web.width_fields import celsius_in

DOSES = ("0", "1", "2", "3", "4")
"""Percent, as the usual titration line is mixed."""
FRESH = "fresh"
LONGEST_NOTE = 200


def sample_in(sent: Mapping[str, str], *, press: Press, day: date, look: Look, person: str) -> Sample:
    """The sample as told; :class:`Refusal` naming everything that could not be read."""
    problems = list[Problem]()
    us_per_cm = temperature_c = None
    numbers = dict[str, float | None]()
    with _noting(problems):
        us_per_cm = _conductivity(sent.get("conductivity", ""), look)
    with _noting(problems):
        temperature_c = celsius_in(sent.get("temperature", ""), look=look)
    for name in ("ph", "alcohol_percent", "dose_percent", "hardness_dh"):
        with _noting(problems):
            numbers[name] = number_in(sent.get(name, ""), what=name)
    if problems:
        raise Refusal(problems)
    where = next((each for each in Where if each.value == sent.get("where")), Where.PAN)
    return Sample(
        day=day,
        press=press.id,
        unit=sent.get("unit", "")[:24],
        where=where,
        fresh=sent.get("state") == FRESH and where is not Where.WATER,
        us_per_cm=us_per_cm,
        temperature_c=temperature_c,
        ph=numbers["ph"],
        alcohol_percent=numbers["alcohol_percent"],
        dose_percent=numbers["dose_percent"],
        hardness_dh=numbers["hardness_dh"],
        person=person,
        note=sent.get("note", "").strip()[:LONGEST_NOTE],
    )


def doses_in(sent: Mapping[str, str], *, look: Look) -> tuple[Dosed, ...]:
    """The readings of the doses that were read; a field left empty was not."""
    problems, found = list[Problem](), list[Dosed]()
    for dose in DOSES:
        with _noting(problems):
            read = _conductivity(sent.get(f"read_{dose}", ""), look)
            found += [] if read is None else [Dosed(dose_percent=float(dose), us_per_cm=read)]
    if problems:
        raise Refusal(problems)
    return tuple(found)


def bands_in(sent: Mapping[str, str], *, look: Look) -> SolutionBands:
    """The bands as told; two empty ends say that the shop has none of its own."""
    problems = list[Problem]()
    ph = warm = None
    with _noting(problems):
        ends = (number_in(sent.get(name, ""), what="ph") for name in ("ph_low", "ph_high"))
        ph = _band(*ends, what="ph")
    with _noting(problems):
        ends = (celsius_in(sent.get(name, ""), look=look) for name in ("warm_low", "warm_high"))
        warm = _band(*ends, what="temperature_c")
    if problems:
        raise Refusal(problems)
    return SolutionBands(product=sent.get("product", "").strip()[:LONGEST_NOTE], ph=ph, temperature_c=warm)


def _band(low: float | None, high: float | None, *, what: str) -> Band | None:
    if low is None and high is None:
        return None
    if low is None or high is None:
        unsaid = label("web.unknown")
        values = {"what": label(f"solution_what.{what}"), "low": low or unsaid, "high": high or unsaid}
        raise Refusal(Problem("solution-band-upside-down", values))
    return own_band((low, high))


def _conductivity(text: str, look: Look) -> float | None:
    return parse_conductivity_us_per_cm(text, system=look.conductivities) if text.strip() else None


@contextmanager
def _noting(problems: list[Problem]) -> Iterator[None]:
    """What one field refuses is noted, so that all fields are read before anything is said."""
    try:
        yield
    except Refusal as refusal:
        problems += refusal.problems
