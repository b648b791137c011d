"""What the shop should know this morning: its presses, what is out of limits or overdue, the last jobs, what to do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum

from filmsplit.actions.care_histories import ShopHistory, shop_history
from filmsplit.actions.jobs import find
from filmsplit.actions.register import Daybook, looking
from filmsplit.actions.shop import KeptPress, Shop, kept_presses
from filmsplit.actions.solution_due import SolutionState, solution_states
from filmsplit.condition.due import DueTask, due_board
from filmsplit.condition.limits import CareTable
from filmsplit.condition.verdict import Finding, RollerVerdict, Verdict, judge
from filmsplit.library.roller_limits import care_table
from filmsplit.records.jobs import JobRecord
from filmsplit.units.conductivity import ConductivitySystem

MOST_TO_DO = 3
"""More than three things to do now are none."""
LAST_JOBS = 5


class Reason(Enum):
    """Why something should be done now, the weightiest first."""

    MEND_FILE = "mend-file"
    ACT = "act"
    SOLUTION = "solution"
    SAMPLE = "sample"
    OVERDUE = "overdue"
    REGISTER = "register"
    UNREAD = "unread"
    WATCH = "watch"


@dataclass(frozen=True, slots=True, kw_only=True)
class ToDo:
    """One thing to do now on a press: about a roller, a task of the due board, or the press itself.

    ``finding`` and ``due`` say more where the reason is a verdict or a date; ``rollers`` counts those nobody has read.
    """

    reason: Reason
    press: str
    roller: str = ""
    rollers: int = 0
    finding: Finding | None = None
    due: DueTask | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PressToday:
    """A press of the shop: the verdicts on its rollers, the gravest first, what is overdue on it, and its fountain
    solution; ``None`` where the press cannot be used."""

    kept: KeptPress
    verdicts: tuple[RollerVerdict, ...]
    overdue: tuple[DueTask, ...]
    solution: SolutionState | None = None

    def count(self, verdict: Verdict) -> int:
        """Rollers of the press with this verdict."""
        return sum(each.verdict is verdict for each in self.verdicts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Today:
    """The presses, the jobs printed last, and no more than three things to do, the weightiest first."""

    presses: tuple[PressToday, ...]
    jobs: tuple[JobRecord, ...]
    to_do: tuple[ToDo, ...]


def today_in(shop: Shop, *, book: Daybook, written: ConductivitySystem = ConductivitySystem.MICROSIEMENS) -> Today:
    """Look over the whole shop. Reads the records, writes nothing. Conductivity is told as it is ``written``."""
    history, table, kept = history_in(book), care_table(None), kept_presses(shop)
    states = {each.kept.name: each for each in solution_states(kept, book=book, written=written)}
    judged = (_press(each, history, table=table, book=book) for each in kept)
    presses = tuple(replace(each, solution=states.get(each.kept.name)) for each in judged)
    return Today(
        presses=presses,
        jobs=find(book.records, most=LAST_JOBS),
        to_do=tuple(sorted((todo for each in presses for todo in _to_do(each)), key=_weight)[:MOST_TO_DO]),
    )


def history_in(book: Daybook) -> ShopHistory:
    """Everything on record; nothing where there are no records yet, as in a shop on its first morning."""
    if not book.records.exists():
        return ShopHistory(rollers=(), facts={}, positions={}, logs={})
    with looking(book) as connection:
        return shop_history(connection, book.day)


def _press(kept: KeptPress, history: ShopHistory, *, table: CareTable, book: Daybook) -> PressToday:
    if kept.press is None:
        return PressToday(kept=kept, verdicts=(), overdue=())
    verdicts = [judge(roller, table) for roller in history.of_press(kept.press.id)]
    board = due_board(history.log(kept.press.id), table, today=book.day)
    return PressToday(
        kept=kept,
        verdicts=tuple(sorted(verdicts, key=lambda each: (-each.verdict.rank, each.roller))),
        overdue=tuple(task for task in board if task.on is not None and (task.overdue_days(book.day) or 0) > 0),
    )


def _about_solution(press: PressToday) -> Iterator[ToDo]:
    state = press.solution
    if state is None:
        return
    acting = [each for each in state.judged.findings if each.verdict is Verdict.ACT]
    if acting:
        yield ToDo(reason=Reason.SOLUTION, press=press.kept.name, finding=acting[0])
    elif state.sample_due:
        yield ToDo(reason=Reason.SAMPLE, press=press.kept.name)


def _to_do(press: PressToday) -> Iterator[ToDo]:
    name = press.kept.name
    if press.kept.press is None:
        yield ToDo(reason=Reason.MEND_FILE, press=name)
    elif not press.verdicts:
        yield ToDo(reason=Reason.REGISTER, press=name)
    for each in press.verdicts:
        for finding in each.findings[:1]:
            if finding.verdict is not Verdict.KEEP:
                reason = Reason.ACT if finding.verdict is Verdict.ACT else Reason.WATCH
                yield ToDo(reason=reason, press=name, roller=each.roller, finding=finding)
    unread = sum(bool(each.unread) and not each.findings for each in press.verdicts)
    if unread:
        yield ToDo(reason=Reason.UNREAD, press=name, rollers=unread)
    yield from _about_solution(press)
    for task in press.overdue:
        yield ToDo(reason=Reason.OVERDUE, press=name, due=task)


def _weight(todo: ToDo) -> tuple[int, str, str]:
    return list(Reason).index(todo.reason), todo.press, todo.roller
