"""Whether a roller may be set at all. A bad one never is: a stripe that looks right on it hides what is wrong."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from filmsplit.condition.limits import CareTable
from filmsplit.condition.readings import RollerHistory
from filmsplit.condition.verdict import Finding, Verdict, judge
from filmsplit.condition.words import Measure
from filmsplit.messages import Problem, label

_STRIPES = (Measure.STRIPE_NARROW, Measure.STRIPE_WIDE, Measure.STRIPE_UNEVEN)
"""What setting itself puts right."""


def withheld(
    places: Sequence[str], histories: Mapping[str, RollerHistory], *, table: CareTable, soft: Sequence[str]
) -> tuple[Problem, ...]:
    """Why the rollers at ``places`` may not be set; empty where they may.

    ``histories`` by place. A soft roller that is not on record, or of which hardness, ends or run-out are unread,
    holds everything back; a hard one only where it was read and is over a limit.
    """
    return tuple(problem for place in places for problem in _of(place, histories, table=table, soft=place in soft))


def _of(place: str, histories: Mapping[str, RollerHistory], *, table: CareTable, soft: bool) -> Iterator[Problem]:
    history = histories.get(place)
    if history is None:
        if soft:
            yield Problem("setting-roller-not-on-record", {"roller": place})
        return
    judged = judge(history, table)
    if soft and judged.unread:
        unread = ", ".join(dict.fromkeys(label(f"unread.{measure.name.lower()}") for measure in judged.unread))
        yield Problem("setting-roller-unread", {"roller": place, "mark": history.id, "unread": unread})
    for finding in judged.findings:
        if _holds_back(finding):
            values = {"roller": place, "mark": history.id, "reason": finding.problem.what}
            yield Problem("setting-roller-not-fit", values)


def _holds_back(finding: Finding) -> bool:
    """Over a limit, also where the reading is not sure of it: then it is read again first."""
    if finding.measured is None or finding.limit is None:
        return finding.verdict is Verdict.ACT
    return finding.measured.measure not in _STRIPES and finding.measured.value >= finding.limit.act
