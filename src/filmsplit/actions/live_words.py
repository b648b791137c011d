"""What the sheet answers, in the words of the press room."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from filmsplit.actions.live import OnTrial
from filmsplit.messages import label
from filmsplit.press.words import KeyKind
from filmsplit.reports.keys import in_words
from filmsplit.studies.live_answer import Against, LiveAnswer, LiveZone
from filmsplit.studies.live_job import Moved


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneWords:
    """One zone: its key in turns where this press counts them, its film and density with units, and the verdict."""

    zone: int
    key: str
    print: str
    against: str
    word: str


def said_of(answer: LiveAnswer, *, fine: bool) -> str:
    """How sure the answer is; never that it is refined where it is not."""
    if answer.problem is not None:
        return label("live.not_settled", what=answer.problem.what, remedy=answer.problem.remedy)
    size, percent = f"{answer.size_mm:.1f}", f"{100 * answer.error:.1g}"
    if not answer.solved:
        return label("live.summed", size=size)
    return label("live.refined" if fine else "live.rough", size=size, percent=percent)


def summary_of(answer: LiveAnswer) -> str:
    """How many zones are off their aim, and which way."""
    if answer.problem is not None:
        return label("live.no_figures")
    count = Counter(each.against for each in answer.zones)
    full, starved = count[Against.FULL], count[Against.STARVED]
    if not full and not starved:
        return label("live.all_right", zones=count[Against.RIGHT])
    return label("live.off", full=full, starved=starved, zones=len(answer.zones) - count[Against.NO_IMAGE])


def zones_of(trial: OnTrial, answer: LiveAnswer, moved: Moved) -> tuple[ZoneWords, ...]:
    """Every zone; without figures where the answer has none."""
    zones = answer.zones or tuple(
        LiveZone(zone=number, film_um=None, density=None, against=Against.NO_IMAGE)
        for number in range(1, len(moved.keys) + 1)
    )
    kind = trial.job.scale.kind
    return tuple(
        ZoneWords(
            zone=each.zone,
            key=label("live.turns", turns=in_words(key, kind)) if kind is KeyKind.UNNUMBERED else "",
            print=print_words(each),
            against=each.against.value,
            word=label(f"live_against.{each.against.value}") if answer.settled else label("web.unknown"),
        )
        for each, key in zip(zones, moved.keys, strict=True)
    )


def print_words(zone: LiveZone) -> str:
    """Film and density with their units."""
    if zone.film_um is None:
        return label("web.unknown")
    film = label("live.film", film=f"{zone.film_um:.2f}")
    return film if zone.density is None else label("live.density", film=film, density=f"{zone.density:.2f}")


def aim_words(trial: OnTrial) -> str:
    """The aim, and how far a good sheet may be off it."""
    job = trial.job
    if job.aim_density is None:
        return label("live.aim_film", aim=f"{job.aim_um:.2f}", percent=f"{100 * job.tolerance:.0f}")
    return label("live.aim_density", aim=f"{job.aim_density:.2f}", tolerance=f"{job.tolerance:.2f}")


def remarks_of(trial: OnTrial, moved: Moved) -> str:
    """What besides keys and sweep is not as planned, for the log; nothing where all of that is."""
    asked, said = moved.arrangement, []
    if asked.turned:
        said.append(label("live.remark_turned"))
    if asked.off:
        said.append(label("live.remark_off", forms=", ".join(sorted(asked.off))))
    if asked.stroke_mm is not None and asked.stroke_mm != trial.job.stroke_mm:
        said.append(label("live.remark_stroke", mm=f"{asked.stroke_mm:.3g}"))
    return "; ".join(said)
