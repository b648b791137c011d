"""The care of the whole shop: every roller of the register, what is due, the year ahead and the shelf."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.actions.care import due
from filmsplit.actions.care_spares import Spares, spares
from filmsplit.actions.register import Daybook, Standing, listed
from filmsplit.actions.shop import KeptPress, Shop, kept_presses
from filmsplit.actions.today import history_in
from filmsplit.actions.year_plan import YearPlan, year_plan
from filmsplit.condition.due import DueTask
from filmsplit.condition.verdict import RollerVerdict, judge
from filmsplit.library.roller_limits import care_table


@dataclass(frozen=True, slots=True, kw_only=True)
class JudgedRoller:
    """A roller of the register, where it is, and the verdict on it; ``None`` for a retired one."""

    standing: Standing
    verdict: RollerVerdict | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopCare:
    """What lies ahead: tasks of each press that has rollers on the register, the plan of the year, the shelf.

    ``plan`` is ``None`` and ``shelf`` empty where no press has any.
    """

    due: tuple[tuple[KeptPress, tuple[DueTask, ...]], ...]
    plan: YearPlan | None
    shelf: tuple[Spares, ...]


def judged_rollers(*, book: Daybook, press: str = "") -> tuple[JudgedRoller, ...]:
    """Every roller of the register, or those on the press with this id; the gravest verdict first."""
    table = care_table(None)
    verdicts = {each.id: judge(each, table) for each in history_in(book).rollers}
    found = [
        JudgedRoller(standing=each, verdict=verdicts.get(each.roller.mark)) for each in listed(book=book, press=press)
    ]
    return tuple(sorted(found, key=_gravity))


def _gravity(found: JudgedRoller) -> tuple[int, int, bool]:
    """Retired ones last; of one verdict, those with a reason before those that nobody has read."""
    verdict = found.verdict
    return (1, 0, False) if verdict is None else (0, -verdict.verdict.rank, not verdict.findings)


def shop_care(shop: Shop, *, book: Daybook) -> ShopCare:
    """What lies ahead in the whole shop. Reads the records, writes nothing."""
    mine = registered_presses(shop, book=book)
    files = [str(each.path) for each in mine]
    return ShopCare(
        due=tuple((each, due(str(each.path), book=book)) for each in mine),
        plan=year_plan(files, book=book) if files else None,
        shelf=spares(files, book=book) if files else (),
    )


def registered_presses(shop: Shop, *, book: Daybook) -> tuple[KeptPress, ...]:
    """Presses of the shop with a roller of the register fitted now."""
    there = {each.press for each in history_in(book).rollers}
    return tuple(each for each in kept_presses(shop) if each.press is not None and each.press.id in there)
