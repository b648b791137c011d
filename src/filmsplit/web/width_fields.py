"""The fields in which a stripe's widths are given without a keyboard: one touch for a likely width, three for others.

Likely widths are those around what was read there last, or the target. "Another" shows whole millimetres and tenths.
Whatever was given stays in the form until it is on record.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from filmsplit.messages import Problem, Refusal, label
from filmsplit.records.kinds import ACROSS_3
from filmsplit.units.length import MM_PER_INCH
from filmsplit.units.reading import parse_length_mm
from filmsplit.units.water import celsius_from_fahrenheit
from filmsplit.units.writing import LengthSystem, TemperatureSystem, format_length
from filmsplit.web.look import Look

OTHER = "other"
STEPS = {LengthSystem.METRIC: 0.1, LengthSystem.INCH: 0.005 * MM_PER_INCH}
"""As fine as a rule and an eye read a stripe (common practice), in mm."""
EACH_WAY = 10
MOST_WHOLE_MM = 14
LONGEST = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class WidthField:
    """One place across the stripe: likely widths as sent and as shown, and what was given before."""

    place: str
    likely: tuple[tuple[str, str], ...]
    given: str
    whole: str
    tenth: str
    typed: str


def width_fields(known_mm: tuple[float, ...], *, sent: Mapping[str, str], look: Look) -> tuple[WidthField, ...]:
    """The fields of the three places. ``known_mm`` are widths known there, ``sent`` what was given before."""
    return tuple(
        WidthField(
            place=place,
            likely=tuple(_likely(known, look.lengths)),
            given=sent.get(f"width_{place}", ""),
            whole=sent.get(f"whole_{place}", ""),
            tenth=sent.get(f"tenth_{place}", ""),
            typed=sent.get(f"typed_{place}", "")[:LONGEST],
        )
        for place, known in zip(ACROSS_3, known_mm, strict=True)
    )


def _likely(known_mm: float, system: LengthSystem) -> Iterator[tuple[str, str]]:
    step = STEPS[system]
    first = max(1, round(known_mm / step) - EACH_WAY)
    for count in range(first, first + 2 * EACH_WAY + 1):
        width_mm = round(count * step, 3)
        yield f"{width_mm:g}", format_length(width_mm, system).partition(" ")[0]


def widths_in(sent: Mapping[str, str], *, look: Look) -> tuple[float, ...]:
    """The widths given at the three places, mm; :class:`Refusal` naming every place where none was."""
    widths, problems = list[float](), list[Problem]()
    for place in ACROSS_3:
        try:
            widths.append(_width(sent, place, look=look))
        except Refusal as refusal:
            problems.extend(refusal.problems)
    if problems:
        raise Refusal(problems)
    return tuple(widths)


def _width(sent: Mapping[str, str], place: str, *, look: Look) -> float:
    given = sent.get(f"width_{place}", "")
    typed = sent.get(f"typed_{place}", "").strip()
    if given and given != OTHER:
        return parse_length_mm(given)
    if typed:
        return round(parse_length_mm(typed, unit=look.lengths.value), 3)
    whole, tenth = sent.get(f"whole_{place}", ""), sent.get(f"tenth_{place}", "")
    if given == OTHER and whole.isdecimal() and tenth.isdecimal():
        return parse_length_mm(f"{whole}.{tenth}")
    raise Refusal(Problem("round-width-missing", {"place": label(f"web_read_place.{place}")}))


def celsius_in(text: str, *, look: Look) -> float | None:
    """A temperature as typed, in °C; ``None`` where nothing was."""
    typed = text.strip().replace(",", ".")
    if not typed:
        return None
    try:
        number = float(typed)
    except ValueError as error:
        raise Refusal(Problem("round-temperature-unclear", {"given": typed[:LONGEST]})) from error
    return number if look.temperatures is TemperatureSystem.CELSIUS else celsius_from_fahrenheit(number)
