"""Samples of fountain solution looked over at entry: what cannot be is refused, what is doubtful needs a yes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from filmsplit.condition.solution import Sample, Where
from filmsplit.condition.solution_bands import Band, SolutionBands
from filmsplit.messages import Problem, label
from filmsplit.units.conductivity import ConductivitySystem

CAN_BE: Mapping[str, tuple[float, float, str]] = {
    "us_per_cm": (0.0, 20_000.0, ""),
    "ph": (1.0, 13.0, "pH"),
    "temperature_c": (-5.0, 60.0, "°C"),
    "alcohol_percent": (0.0, 40.0, "%"),
    "dose_percent": (0.0, 20.0, "%"),
    "hardness_dh": (0.0, 60.0, "°dH"),
}
"""Wide, to catch slips of the finger only: nothing of the trade comes near. Conductivity has the unit of its reader."""

USUAL: Mapping[str, tuple[float, float, str]] = {"us_per_cm": (200.0, 5000.0, ""), "ph": (3.0, 9.0, "pH")}
USUAL_OF_WATER: Mapping[str, tuple[float, float, str]] = {"us_per_cm": (2.0, 1500.0, ""), "ph": (5.0, 9.5, "pH")}
"""Outside these a sample is asked about (invented defaults; a meter that shows mS is a thousand times off)."""

FAR = {"us_per_cm": 1000.0, "ph": 1.0}
"""So is one that differs by more from the last of its kind: two changes' worth, a whole step (invented defaults)."""

DOUBTS = frozenset({"solution-far-off", "solution-looks-unusual"})
"""What a person may say yes to."""


def problems_of(sample: Sample, *, written: ConductivitySystem) -> Iterator[Problem]:
    """Why a sample cannot go on record; nothing where it can. Conductivity is ``written`` as its reader has it."""
    if sample.us_per_cm is None and sample.ph is None:
        yield Problem("solution-nothing-read")
    for name, (low, high, unit) in CAN_BE.items():
        given = getattr(sample, name)
        if given is not None and not low <= given <= high:  # NaN is out of every range
            yield Problem("solution-out-of-range", _values(name, given, bounds=(low, high, unit or written.value)))
    if sample.where is Where.WATER and (sample.dose_percent or sample.alcohol_percent):
        yield Problem("solution-water-in-use")


def doubts_of(sample: Sample, before: Sequence[Sample], *, written: ConductivitySystem) -> Iterator[Problem]:
    """What is unusual, or unlike the last sample of the same kind among those ``before``, the oldest first."""
    usual = USUAL_OF_WATER if sample.where is Where.WATER else USUAL
    for name, (low, high, unit) in usual.items():
        given = getattr(sample, name)
        if given is not None and not low <= given <= high:
            yield Problem("solution-looks-unusual", _values(name, given, bounds=(low, high, unit or written.value)))
    alike = [each for each in before if not each.series and _kind(each) == _kind(sample)]
    for name, far in FAR.items():
        given = getattr(sample, name)
        known = next((value for each in reversed(alike) if (value := getattr(each, name)) is not None), None)
        if given is not None and known is not None and abs(given - known) > far:
            values = {"what": _name(name), "given": f"{given:g}", "known": f"{known:g}"}
            yield Problem("solution-far-off", values)


def band_problems(bands: SolutionBands) -> Iterator[Problem]:
    """Why bands cannot go on record."""
    for name, band in (("ph", bands.ph), ("temperature_c", bands.temperature_c)):
        if band is not None:
            yield from _ends(name, band)


def _ends(name: str, band: Band) -> Iterator[Problem]:
    low, high, _ = CAN_BE[name]
    if not low <= band.low < band.high <= high:
        values = {"what": _name(name), "low": f"{band.low:g}", "high": f"{band.high:g}"}
        yield Problem("solution-band-upside-down", values)


def _kind(sample: Sample) -> tuple[str, Where, bool]:
    return sample.unit, sample.where, sample.fresh


def _values(name: str, given: float, *, bounds: tuple[float, float, str]) -> dict[str, object]:
    low, high, unit = bounds
    return {"what": _name(name), "given": f"{given:g}", "low": f"{low:g}", "high": f"{high:g}", "unit": unit}


def _name(name: str) -> str:
    return label(f"solution_what.{name}")
