"""What is typed after `filmsplit film`, read: numbers by zone, a sheet, constants."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypedDict, TypeVar

from filmsplit.cli.readings import read_sheet_mm
from filmsplit.ink.transfer import FixedShare, Transfer, WalkerFetsko
from filmsplit.messages import Problem, Refusal, label
from filmsplit.studies.film_question import FilmQuestion, Mode, Zoned

Value = TypeVar("Value")


class FilmWords(TypedDict):
    """The options as typed."""

    unit: str | None
    coverage: str | None
    sheet: str | None
    keys_um: str | None
    aim: float | None
    sweep: float | None
    ink: str | None
    ink_density: float | None
    tau: float | None
    ink_transfer: str | None
    mode: str
    thrown_off: tuple[str, ...]
    round_mm: float | None
    across_mm: float | None
    accuracy: float
    drawing: bool
    draw: Path | None
    map_: Path | None
    profile: Path | None
    start_up: Path | None
    over: bool
    as_json: bool


@dataclass(slots=True)
class _Reading:
    """Words read one after another; what is not understood is kept to be told all at once."""

    problems: list[Problem] = field(default_factory=list)

    def read(self, word: str, text: str | None, *, by: Callable[[str], Value]) -> Value | None:
        if text is None:
            return None
        try:
            return by(text)
        except (ValueError, Refusal):
            values = {"what": label(f"film_asked.{word}"), "text": text, "example": label(f"film_example.{word}")}
            self.problems.append(Problem("film-words-not-understood", values))
            return None


def read_question(words: FilmWords) -> tuple[FilmQuestion, list[Problem]]:
    """The question, and what of it could not be read."""
    reading = _Reading()
    question = FilmQuestion(
        coverage=reading.read("coverage", words["coverage"], by=_percents),
        sheet_mm=reading.read("sheet", words["sheet"], by=read_sheet_mm),
        key_films_um=reading.read("keys", words["keys_um"], by=_zoned),
        aim_um=words["aim"],
        sweep_mm=words["sweep"],
        transfer=_transfer(reading, words),
        mode=Mode(words["mode"]),
        thrown_off=frozenset(words["thrown_off"]),
        round_mm=words["round_mm"],
        across_mm=words["across_mm"],
        accuracy=words["accuracy"] / 100,
        density_g_per_cm3=1.0 if words["ink_density"] is None else words["ink_density"],
    )
    if words["ink"] is not None and words["ink_density"] is not None:
        reading.problems.append(Problem("film-two-densities"))
    return question, reading.problems


def _transfer(reading: _Reading, words: FilmWords) -> Transfer:
    tau = words["tau"]
    law = reading.read("transfer", words["ink_transfer"], by=_law)
    if law is not None and tau is not None:
        reading.problems.append(Problem("film-two-laws"))
    return law or (FixedShare() if tau is None else FixedShare(tau=tau))


def _zoned(text: str) -> Zoned:
    """One number, or several between commas."""
    values = tuple(float(part) for part in text.split(","))
    return values[0] if len(values) == 1 else values


def _percents(text: str) -> Zoned:
    values = _zoned(text)
    return tuple(each / 100 for each in values) if isinstance(values, tuple) else values / 100


def _law(text: str) -> WalkerFetsko:
    k, b, f = (float(part) for part in text.split(","))
    return WalkerFetsko(k=k, b=b, f=f)
