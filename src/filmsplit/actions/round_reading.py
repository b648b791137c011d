"""A stripe read in a round goes on record: only behind its gate, once however often it is sent, and not before a
person said yes where it is unlike what was known."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from filmsplit.actions.readings import Recorded, Told, again, record_in
from filmsplit.actions.register import Daybook, opened
from filmsplit.actions.round_at_press import RoundContact, RoundNow, standing_of
from filmsplit.actions.shop import Shop
from filmsplit.messages import Problem, Refusal
from filmsplit.records.entries import entries_of_run
from filmsplit.records.instruments import all_instruments
from filmsplit.records.rounds import Happened, RoundStep, add_step
from filmsplit.records.store import Writer
from filmsplit.records.submits import recorded_before

FAR_MM = 2.0
"""A width so far from what was known is asked about: four tolerances of a stripe (invented default)."""
UNEVEN_MM = 2.0
"""So are widths of one stripe that differ so much from each other (invented default)."""
DOUBTS = frozenset({"round-width-far", "round-widths-uneven"})
"""What a person may say yes to. Nothing of the gate is among it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StripeTold:
    """Widths from the operator's side, mm, and the temperature of the covers. ``sure``: yes, it does read so.

    ``instrument`` and ``remarks`` are said where it is not the round's own instrument that read it; ``person`` where
    somebody else sends it than stated the gate.
    """

    contact: str
    widths_mm: tuple[float, ...]
    temperature_c: float | None = None
    sure: bool = False
    instrument: str = ""
    remarks: str = ""
    person: str = ""


def put_stripe(shop: Shop, number: int, *, told: StripeTold, book: Daybook, key: str) -> Recorded:
    """Put a stripe on record with the step of its round, in one transaction; the same ``key`` again changes nothing.

    A contact that was read in this round before is corrected: the older reading stays, and counts no longer.
    :class:`Refusal` where the gate is shut, where the values cannot be, or with what a person has to say yes to.
    """
    with opened(book) as store, store.write("round reading") as writer:
        said = repr((number, told.contact, told.widths_mm, told.temperature_c, told.remarks))
        before = recorded_before(writer, key, said=said)
        if before is not None:
            return again(writer.connection, entries_of_run(writer.connection, before)[0])
        return _put(writer, standing_of(writer.connection, number, shop=shop, book=book), told=told, book=book)


def _put(writer: Writer, now: RoundNow, *, told: StripeTold, book: Daybook) -> Recorded:
    at = now.contact(told.contact)
    if now.round.ended:
        raise Refusal(Problem("round-ended", {"number": now.round.number}))
    if now.shut or now.stated is None:
        raise Refusal(now.shut)
    person = told.person or now.stated.person
    whole = Told(
        kind="stripe",
        where=f"{now.kept.path}:{now.unit.id}.{told.contact}",
        values=told.widths_mm,
        temperature_c=told.temperature_c,
        person=person,
        instrument=told.instrument or _gauge(writer, now.stated),
        remarks=told.remarks,
        instead_of=None if at.read is None else at.read.number,
    )
    recorded = record_in(writer, [whole], book=book)[0]
    doubts = () if told.sure else tuple(doubts_of(at, told.widths_mm))
    if doubts:
        raise Refusal(doubts)  # the transaction is undone: nothing is on record yet
    step = RoundStep(
        what=Happened.READ,
        day=book.day,
        person=person,
        contact=told.contact,
        entry_id=recorded.entry.number,
        temperature_c=told.temperature_c,
    )
    add_step(writer, now.round.number, step)
    return recorded


def doubts_of(at: RoundContact, widths_mm: tuple[float, ...]) -> Iterator[Problem]:
    """What is unlike the last reading there, or the target where nothing was read; and unlike within itself."""
    last = at.last.values if at.last is not None else ()
    known = last if len(last) == len(widths_mm) else (at.contact.stripe.target_mm,) * len(widths_mm)
    slug = "round-width-far"
    for width, before in zip(widths_mm, known, strict=True):
        if abs(width - before) > FAR_MM:
            yield Problem(slug, {"contact": at.contact.id, "given": f"{width:g}", "known": f"{before:g}"})
    if max(widths_mm) - min(widths_mm) > UNEVEN_MM:
        values = {"contact": at.contact.id, "least": f"{min(widths_mm):g}", "most": f"{max(widths_mm):g}"}
        yield Problem("round-widths-uneven", values)


def _gauge(writer: Writer, stated: RoundStep) -> str:
    """What the round is read with, by its name."""
    gauges = {each.id: each.name for each in all_instruments(writer.connection)}
    return gauges.get(stated.instrument_id or 0, "")
