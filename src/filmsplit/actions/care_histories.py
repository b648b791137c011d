"""The records as histories of rollers: what was read and done, in the words of the verdicts and forecasts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import groupby, pairwise

import sqlalchemy as sa

from filmsplit.condition.due import CounterReading, PressLog
from filmsplit.condition.readings import (
    DiameterReading,
    Event,
    GradeReading,
    HardnessReading,
    PlayReading,
    RollerDrawing,
    RollerHistory,
    RunOutReading,
    StripeReading,
)
from filmsplit.condition.words import EventKind, Grade
from filmsplit.press.words import Material, Role
from filmsplit.records.entries import Entry, all_entries
from filmsplit.records.instruments import Instrument, all_instruments
from filmsplit.records.positions import Position, Whereabouts, positions_on
from filmsplit.records.roller_facts import RollerFacts
from filmsplit.records.rollers import RegisteredRoller, all_rollers

_DONE = {
    "deglaze": EventKind.DEGLAZED,
    "descale": EventKind.DESCALED,
    "bearings": EventKind.BEARINGS_RENEWED,
    "regrind": EventKind.REGROUND,
    "re-cover": EventKind.RECOVERED,
    "cloth-cover": EventKind.COVER_CHANGED,
    "stripe": EventKind.STRIPES_READ,
    "hardness": EventKind.HARDNESS_READ,
    "run-out": EventKind.RUN_OUT_READ,
}
PLATE = "plate"


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopHistory:
    """Every roller that is not retired, with its facts and where it is; and one log for each press."""

    rollers: tuple[RollerHistory, ...]
    facts: Mapping[str, RollerFacts]
    positions: Mapping[str, Position]
    logs: Mapping[str, PressLog]

    def of_press(self, press: str) -> tuple[RollerHistory, ...]:
        """The rollers now on a press."""
        return tuple(roller for roller in self.rollers if roller.press == press)

    def log(self, press: str) -> PressLog:
        """The log of a press, empty where nothing was written down."""
        return self.logs.get(press, PressLog(press=press, rollers=()))


def shop_history(connection: sa.Connection, day: date) -> ShopHistory:
    """Everything on record up to a day."""
    entries = [entry for entry in all_entries(connection) if entry.day <= day]
    instruments = {each.id: each for each in all_instruments(connection)}
    where = positions_on(connection, day)
    changes = _wash_changes(entries)
    rollers = {}
    for roller in all_rollers(connection):
        position = where.get(roller.id)
        if position is None or position.whereabouts is not Whereabouts.RETIRED:
            own = [entry for entry in entries if roller.id in (entry.roller_id, entry.partner_id)]
            rollers[roller.id] = (roller, _history(roller, own, position=position, instruments=instruments))
    histories = tuple(_with_washes(history, changes) for _, history in rollers.values())
    return ShopHistory(
        rollers=histories,
        facts={roller.mark: roller.facts for roller, _ in rollers.values()},
        positions={rollers[id][0].mark: position for id, position in where.items() if id in rollers},
        logs={log.press: log for log in _logs(histories, entries, instruments=list(instruments.values()))},
    )


def _history(
    roller: RegisteredRoller,
    entries: Sequence[Entry],
    *,
    position: Position | None,
    instruments: Mapping[int, Instrument],
) -> RollerHistory:
    facts, at = roller.facts, None if position is None else position.at
    own = [entry for entry in entries if entry.roller_id == roller.id]
    by_kind: dict[str, list[Entry]] = {}
    for entry in own:
        by_kind.setdefault(entry.kind, []).append(entry)
    events = [Event(on=entry.day, kind=_DONE[entry.kind]) for entry in entries if entry.kind in _DONE]
    if facts.received_on is not None:
        events.append(Event(on=facts.received_on, kind=EventKind.RECEIVED))
    return RollerHistory(
        id=roller.mark,
        role=next((role for role in Role if role.value == facts.role), None),
        press="" if at is None else at.press,
        unit="" if at is None else at.unit,
        drawing=drawing_of(facts),
        hardness=(*_arrival(facts), *_hardness(by_kind, instruments)),
        diameters=tuple(_diameters([*by_kind.get("diameter", []), *by_kind.get("regrind", [])], instruments)),
        run_outs=tuple(RunOutReading(on=each.day, values_mm=each.values) for each in _usable(by_kind, "run-out")),
        stripes=tuple(
            _stripe(each) for each in _usable({"stripe": [e for e in entries if e.kind == "stripe"]}, "stripe")
        ),
        grades=tuple(GradeReading(on=each.day, grades=(Grade(each.grade),)) for each in own if each.grade),
        plays=tuple(PlayReading(on=each.day, play_mm=max(each.values)) for each in _usable(by_kind, "play")),
        events=tuple(events),
    )


def _usable(by_kind: Mapping[str, Sequence[Entry]], kind: str) -> Iterator[Entry]:
    return (entry for entry in by_kind.get(kind, ()) if entry.values)


def drawing_of(facts: RollerFacts) -> RollerDrawing:
    """The drawing by the register. A roller of which no cover is known counts as bare."""
    covered = facts.cover_material or facts.cover_thickness_mm is not None or facts.drawn_hardness_shore_a is not None
    compound = next((each for each in Material if each.value == facts.cover_material), None)
    core = facts.core_diameter_mm
    if core is None and facts.drawn_diameter_mm is not None and facts.cover_thickness_mm is not None:
        core = facts.drawn_diameter_mm - 2 * facts.cover_thickness_mm
    return RollerDrawing(
        diameter_mm=facts.drawn_diameter_mm,
        diameter_tolerance_mm=facts.diameter_tolerance_mm,
        least_diameter_mm=facts.least_diameter_mm,
        core_mm=core,
        face_mm=facts.face_mm,
        length_mm=facts.overall_mm,
        journal_mm=facts.journal_mm,
        ends=facts.ends,
        hardness_shore_a=facts.drawn_hardness_shore_a,
        compound=compound if covered else Material.STEEL,
        number=facts.drawing_number,
    )


def _arrival(facts: RollerFacts) -> Iterator[HardnessReading]:
    """The arrival value of the register stands for a reading on that day."""
    if facts.received_on is not None and facts.arrival_hardness_shore_a is not None:
        yield HardnessReading(on=facts.received_on, values_shore_a=(facts.arrival_hardness_shore_a,))


def _hardness(
    by_kind: Mapping[str, Sequence[Entry]], instruments: Mapping[int, Instrument]
) -> Iterator[HardnessReading]:
    """One reading for each round: what one person read with one instrument on one day, wherever along the face."""
    usable = [entry for entry in _usable(by_kind, "hardness") if entry.reliable]
    looks = {entry.day: Grade(entry.grade) for entries in by_kind.values() for entry in entries if entry.grade}

    def round_of(entry: Entry) -> tuple[date, str, int]:
        return entry.day, entry.person, entry.instrument_id or 0

    for (day, person, number), together in groupby(sorted(usable, key=round_of), key=round_of):
        entries = list(together)
        instrument = instruments.get(number)
        temperatures = [entry.temperature_c for entry in entries if entry.temperature_c is not None]
        off = _offset(instrument, day)
        yield HardnessReading(
            on=day,
            values_shore_a=tuple(value - off for entry in entries for value in entry.values),
            temperature_c=sum(temperatures) / len(temperatures) if temperatures else None,
            instrument="" if instrument is None else instrument.name,
            reader=person,
            grade=looks.get(day),
        )


def _offset(instrument: Instrument | None, day: date) -> float:
    calibration = None if instrument is None else instrument.calibration_on(day)
    return 0.0 if calibration is None else calibration.offset


def _diameters(entries: Iterable[Entry], instruments: Mapping[int, Instrument]) -> Iterator[DiameterReading]:
    """Diameters at three places. A regrind that gave only the middle is taken for all three."""
    for entry in entries:
        if len(entry.values) in (1, 3):
            off = _offset(instruments.get(entry.instrument_id or 0), entry.day)
            first, middle, last = [value - off for value in entry.values] * (1 if len(entry.values) == 3 else 3)
            yield DiameterReading(on=entry.day, operator_side_mm=first, middle_mm=middle, gear_side_mm=last)


def _stripe(entry: Entry) -> StripeReading:
    partner = PLATE if PLATE in entry.contact.split("/") else entry.contact
    return StripeReading(on=entry.day, partner=partner, widths_mm=entry.values, temperature_c=entry.temperature_c)


def _wash_changes(entries: Sequence[Entry]) -> dict[str, list[Event]]:
    """By press, the days on which another wash than before was first used."""
    used: dict[str, list[Entry]] = {}
    for entry in sorted(entries, key=lambda each: each.day):
        if entry.kind == "wash-up" and entry.product:
            used.setdefault(entry.press, []).append(entry)
    return {
        press: [
            Event(on=after.day, kind=EventKind.WASH_CHANGED, note=after.product)
            for before, after in pairwise(washes)
            if after.product.casefold() != before.product.casefold()
        ]
        for press, washes in used.items()
    }


def _with_washes(history: RollerHistory, changes: Mapping[str, list[Event]]) -> RollerHistory:
    return replace(history, events=(*history.events, *changes.get(history.press, [])))


def _logs(
    histories: Sequence[RollerHistory], entries: Sequence[Entry], *, instruments: Sequence[Instrument]
) -> Iterator[PressLog]:
    checked = [max((each.day for each in instrument.calibrations), default=None) for instrument in instruments]
    days = [day for day in checked if day is not None]
    meters = [Event(on=min(days), kind=EventKind.METERS_CHECKED)] if days and len(days) == len(checked) else []
    presses = {history.press for history in histories} | {entry.press for entry in entries}
    for press in sorted(presses - {""}):
        own = [entry for entry in entries if entry.press == press]
        washed = [Event(on=entry.day, kind=EventKind.WASHED) for entry in own if entry.kind == "wash-up"]
        yield PressLog(
            press=press,
            rollers=tuple(history for history in histories if history.press == press),
            events=(*washed, *meters),
            counter=tuple(
                CounterReading(on=entry.day, impressions=float(entry.impressions))
                for entry in own
                if entry.impressions is not None
            ),
        )
