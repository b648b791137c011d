"""What marks on a sheet say, in the trade's words: who is suspected, how surely, and what to do next."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from filmsplit.actions.marks import MatchedMarks
from filmsplit.faults.result import RankedSuspect
from filmsplit.messages import label
from filmsplit.press import Unit

_MOST_SHOWN = 6
_LEAST_SHOWN = 0.005


@dataclass(frozen=True, slots=True, kw_only=True)
class SuspectLine:
    """One suspect. ``roller`` is its id where it is a single roller, ``off_mm`` its worst miss by the marks alone."""

    who: str
    roller: str
    percent: str
    how: str
    repeat_mm: float
    sd_mm: float
    assumed: bool
    off_mm: float | None


def suspect_lines(matched: MatchedMarks) -> Iterator[SuspectLine]:
    """The suspects worth naming, the likeliest first."""
    for number, ranked in enumerate(matched.match.ranked[:_MOST_SHOWN]):
        if number and ranked.probability < _LEAST_SHOWN:
            return
        yield _line(ranked, matched.press.unit(ranked.suspect.unit))


def _line(ranked: RankedSuspect, unit: Unit) -> SuspectLine:
    suspect = ranked.suspect
    single = suspect.members[0] if suspect.is_roller and len(suspect.members) == 1 else ""
    name = label(f"mark_suspect.{suspect.kind.value}", members=", ".join(suspect.members), unit=suspect.unit)
    own = unit.roller(single).name if single else ""
    who = name if own in ("", single) else f"{name}: {own}"
    alike = f" {label('marks.alike', names='; '.join(ranked.alike_names))}" if ranked.alike else ""
    return SuspectLine(
        who=who + alike,
        roller=single,
        percent=percent_said(ranked.probability),
        how=ranked.rule_text,
        repeat_mm=ranked.expected_mm,
        sd_mm=ranked.expected_sd_mm,
        assumed=suspect.assumed,
        off_mm=None if ranked.fitted_mm is None else max((abs(each) for each in ranked.residuals_mm), default=0.0),
    )


def percent_said(probability: float) -> str:
    """In whole percent, but never as if it were certain."""
    if probability < _LEAST_SHOWN:
        return label("web_marks.hardly")
    return label("web_marks.all_but") if probability > 1 - _LEAST_SHOWN else f"{100 * probability:.0f} %"


def next_lines(matched: MatchedMarks) -> Iterator[str]:
    """What to do next, each with the state the press must be in."""
    for step in matched.match.next_steps:
        yield label("web_marks.step", state=step.state.text, text=step.text)
