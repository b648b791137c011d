"""Cards of rollers, on paper."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

from filmsplit.actions.care import Forecast, OneCare, care_of
from filmsplit.actions.entry_words import about, said, where
from filmsplit.actions.register import Daybook, RollerPage, looking, page_of
from filmsplit.actions.register import page as on_record
from filmsplit.actions.roller_labels import LabelsAsked, rollers_asked
from filmsplit.condition.verdict import Verdict
from filmsplit.figures.ageing import AgeingAsked, draw_ageing
from filmsplit.figures.drawing import Drawing
from filmsplit.formats.replace_file import write_file
from filmsplit.messages import label
from filmsplit.records.entries import Entry
from filmsplit.records.roller_facts import facts_told
from filmsplit.reports.roller_card import RollerCard, TextPair, roller_cards_pdf

LAST_ENTRIES = 6
EntryText = tuple[str, str, str]
"""Day, kind, what."""


def write_cards(to: Path, asked: LabelsAsked, *, book: Daybook, limits: Path | None = None, over: bool = False) -> int:
    """Write the cards asked for; how many. A file that is there stays unless ``over``."""
    cards = roller_cards(asked, book=book, limits=limits)
    write_file(to, roller_cards_pdf(cards, paper=asked.paper), over=over)
    return len(cards)


def roller_cards(asked: LabelsAsked, *, book: Daybook, limits: Path | None = None) -> tuple[RollerCard, ...]:
    """What the cards show, one for each roller asked for."""
    with looking(book) as connection:
        pages = [page_of(connection, each) for each in rollers_asked(connection, asked, day=book.day)]
    cares = care_of([each.roller.mark for each in pages], book=book, limits=limits)
    return tuple(_card(each, cares.get(each.roller.mark), today=book.day) for each in pages)


def trend_of(mark: str, *, book: Daybook) -> Drawing | None:
    """How the cover of a roller hardens; ``None`` where too little was read to tell."""
    one = care_of([mark], book=book).get(mark)
    forecast = None if one is None else one.care.forecast
    return None if one is None or forecast is None else _trend(one, forecast, today=book.day)


def last_entries(mark: str, *, book: Daybook) -> Iterator[EntryText]:
    """The last things read of a roller or done to it, the newest first."""
    found = on_record(mark, book=book)
    for each in tuple(reversed(found.entries))[:LAST_ENTRIES]:
        yield each.day.isoformat(), each.kind, said(each, found.hardness.get(each.number))


def _card(page: RollerPage, one: OneCare | None, *, today: date) -> RollerCard:
    roller, total = page.roller, sum(page.counts.values())
    here = where(page.history[-1]) if page.history else ""
    forecast = None if one is None else one.care.forecast
    return RollerCard(
        mark=roller.mark,
        code=roller.code,
        role=" · ".join(each for each in (roller.facts.role, here) if each),
        invented=roller.invented,
        as_of=label("roller_card.as-of", day=today.isoformat()),
        facts=tuple(facts_told(roller.facts)),
        verdict=label("roller_card.retired") if one is None else label(f"verdict.{one.care.verdict.verdict.value}"),
        reasons=() if one is None else tuple(_reasons(one)),
        notes=() if one is None else tuple(_notes(one)),
        forecast=(label("roller_card.no-forecast"),) if forecast is None else tuple(_forecast(forecast)),
        trend=None if one is None or forecast is None else _trend(one, forecast, today=today),
        places=tuple((each.day.isoformat(), where(each)) for each in page.history),
        entries=tuple(_row(each, page) for each in reversed(page.entries)),
        more="" if total <= len(page.entries) else label("roller_card.more", shown=len(page.entries), total=total),
    )


def _reasons(one: OneCare) -> Iterator[TextPair]:
    for finding in one.care.verdict.findings:
        if finding.verdict is not Verdict.KEEP:
            yield finding.problem.what, finding.problem.remedy


def _notes(one: OneCare) -> Iterator[str]:
    unread = dict.fromkeys(label(f"unread.{each.name.lower()}") for each in one.care.verdict.unread)
    if unread:
        yield label("roller_card.unread", what=", ".join(unread))
    elif one.care.verdict.verdict is Verdict.KEEP:
        yield label("roller_card.none-found")


def _forecast(found: Forecast) -> Iterator[str]:
    days = {name: _day(getattr(found, name)) for name in ("low", "median", "high")}
    percent, limit = round(100 * found.coverage), f"{found.limit_shore_a:g}"
    yield label("roller_card.crosses", limit=limit, percent=percent, count=found.readings, **days)
    if not found.began_known:
        yield label("roller_card.first-reading")


def _day(day: date | None) -> str:
    return label("care.open") if day is None else day.isoformat()


def _trend(one: OneCare, found: Forecast, *, today: date) -> Drawing | None:
    if one.ageing is None or not one.ageing.read:
        return None
    return draw_ageing(
        AgeingAsked(
            name=one.care.mark,
            ageing=one.ageing,
            limit_shore_a=found.limit_shore_a,
            low=found.low,
            median=found.median,
            high=found.high,
            today=today,
        )
    )


def _row(entry: Entry, page: RollerPage) -> tuple[str, ...]:
    warmth = "" if entry.temperature_c is None else f"{entry.temperature_c:g}"
    told = said(entry, page.hardness.get(entry.number))
    subject = about(entry, page.marks)
    return entry.day.isoformat(), entry.kind, subject, told, warmth, entry.person, entry.remarks
