"""A press as found: measured diameters, hardness and stripes in place of what its file says, beside it as drawn.

Diameters, speeds and widths follow from mechanics. The step from a stripe to the ink it exchanges is an assumption with
a band (:mod:`filmsplit.condition.exchange_share`); a share found by the shop's own run-down test replaces it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path

from filmsplit.actions.care_histories import ShopHistory, shop_history
from filmsplit.actions.find import press_path
from filmsplit.actions.register import Daybook, looking
from filmsplit.actions.stripe_map import ContactStripe, stripe_map
from filmsplit.condition.exchange_share import ShareAt, Strength, exchange_share, shares_along
from filmsplit.condition.measured import newest
from filmsplit.condition.readings import RollerHistory
from filmsplit.condition.words import EventKind
from filmsplit.formats.press_edit import set_value
from filmsplit.formats.press_file import loads, read_text
from filmsplit.formats.replace_file import write_file
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press, Roller, Unit
from filmsplit.press.asked import units_asked
from filmsplit.press.facts import facts_of
from filmsplit.studies.as_found import DEFAULT_QUESTION, Case, Shares, Told, compare
from filmsplit.studies.film_question import FilmQuestion
from filmsplit.studies.film_setting import settings_of

OLD_DAYS = 365
"""A reading older than this is used and named: covers change within a year (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundAsked:
    """Which unit, what is printed, shares (0..1) that the shop's own run-down test has told, by contact, and who is
    ``told`` what is settled of each unit."""

    unit: str | None = None
    question: FilmQuestion = DEFAULT_QUESTION
    shares: Mapping[str, float] = field(default_factory=dict)
    told: Told | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundRoller:
    """A roller as in the file and as read. What was not read is ``None`` and stays as in the file.

    ``repeat_mm`` is press travel for one turn: where its marks repeat on the sheet. ``slip`` is the part by which a
    driven roller's surface runs ahead of what it was drawn to do.
    """

    place: str
    mark: str | None
    file_diameter_mm: float
    diameter_mm: float | None
    file_hardness_shore_a: float | None
    hardness_shore_a: float | None
    read_on: date | None
    file_repeat_mm: float
    repeat_mm: float
    slip: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundContact:
    """A contact: stripe as read beside its target at that temperature, and its mean exchange share by strength.

    ``told`` is the share from a run-down test, which then stands in every case.
    """

    contact: str
    widths_mm: tuple[float, ...]
    target_mm: float
    read_on: date | None
    shares: Mapping[str, float]
    told: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundUnit:
    """One unit: rollers, contacts, and what it prints with the same keys."""

    unit: str
    rollers: tuple[FoundRoller, ...]
    contacts: tuple[FoundContact, ...]
    cases: tuple[Case, ...]

    @property
    def rollers_read(self) -> int:
        return sum(each.diameter_mm is not None for each in self.rollers)

    @property
    def contacts_read(self) -> int:
        return sum(bool(each.widths_mm) or each.told is not None for each in self.contacts)


@dataclass(frozen=True, slots=True, kw_only=True)
class AsFound:
    """The press as found. ``notes`` begin with the assumption every figure rests on."""

    press: str
    invented: bool
    today: date
    units: tuple[FoundUnit, ...]
    notes: tuple[Problem, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Read:
    """The roller fitted at each place of a unit, as the records have it."""

    at: Mapping[tuple[str, str], RollerHistory]


def as_found(reference: str, asked: FoundAsked, *, book: Daybook) -> AsFound:
    """Compare. Reads the records, writes nothing; :class:`Refusal` where what was read cannot be assembled."""
    text, drawn = _file(reference)
    read = _read(drawn, book)
    found = loads(_found_text(text, drawn, read=read), name=reference).press
    stripes = {
        each.unit: tuple(_if_still_true(contact, each.unit, read=read) for contact in each.contacts)
        for each in stripe_map(reference, book=book).units
    }
    _refuse_shares(drawn, asked)
    units = tuple(
        _unit(found, unit, was=drawn, read=read, stripes=stripes.get(unit.id, ()), asked=asked)
        for unit in units_asked(drawn, asked.unit)
    )
    return AsFound(
        press=drawn.id,
        invented=drawn.invented,
        today=book.day,
        units=units,
        notes=(Problem("as-found-assumption", {}), *_notes(units, today=book.day)),
    )


def write_found(reference: str, to: Path, *, book: Daybook, over: bool = False) -> int:
    """Write the press file with measured diameters and hardness in place of its own; how many rollers were read."""
    text, drawn = _file(reference)
    read = _read(drawn, book)
    found = _found_text(text, drawn, read=read)
    loads(found, name=str(to))
    write_file(to, found.encode("utf-8"), over=over)
    return sum(_diameter(each) is not None for each in read.at.values())


def _file(reference: str) -> tuple[str, Press]:
    path = press_path(reference)
    text = read_text(path)
    return text, loads(text, name=str(path)).press


def _read(press: Press, book: Daybook) -> _Read:
    with looking(book) as connection:
        shop = shop_history(connection, book.day)
    return _Read(at=dict(_fitted(press, shop)))


def _fitted(press: Press, shop: ShopHistory) -> Iterator[tuple[tuple[str, str], RollerHistory]]:
    rollers = {each.id: each for each in shop.rollers}
    for mark, position in shop.positions.items():
        if position.at is not None and position.at.press == press.id and mark in rollers:
            yield (position.at.unit, position.at.place), rollers[mark]


def _if_still_true(stripe: ContactStripe, unit: str, *, read: _Read) -> ContactStripe:
    """Without its widths where one of the rollers was ground or covered since they were read."""
    rollers = [read.at[unit, member] for member in stripe.contact.split("/") if (unit, member) in read.at]
    since = [day for each in rollers for day in (each.cover_since, each.last(EventKind.REGROUND)) if day is not None]
    outdated = stripe.day is not None and any(stripe.day < day for day in since)
    return replace(stripe, widths_mm=(), day=None) if outdated else stripe


def _diameter(roller: RollerHistory) -> tuple[float, date] | None:
    """The last diameter of the cover as it is now, by the mean of its three places."""
    since = max(filter(None, (roller.cover_since, roller.last(EventKind.REGROUND))), default=None)
    found = newest(roller.diameters, since=since)
    return None if found is None else (round(found.mean_mm, 3), found.on)


def _hardness(roller: RollerHistory) -> tuple[float, date] | None:
    found = newest([each for each in roller.hardness if each.is_reliable], since=roller.cover_since)
    return None if found is None else (found.median_shore_a, found.on)


def _found_text(text: str, press: Press, *, read: _Read) -> str:
    """The press file with what was read. A drawn diameter that stood in for nothing written is kept as drawn."""
    for unit in press.units:
        for roller in unit.rollers:
            history = read.at.get((unit.id, roller.id))
            way = f"units.{unit.id}.rollers.{roller.id}"
            diameter = None if history is None else _diameter(history)
            if diameter is not None:
                if press.is_assumed(*way.split("."), "drawn_diameter_mm"):
                    text = set_value(text, f"{way}.drawn_diameter_mm", f"{roller.drawn_diameter_mm:g}")
                text = set_value(text, f"{way}.diameter_mm", f"{diameter[0]:g}")
            hardness = None if history is None or not roller.is_soft else _hardness(history)
            if hardness is not None:
                text = set_value(text, f"{way}.cover.hardness_shore_a", f"{hardness[0]:g}")
    return text


def _refuse_shares(press: Press, asked: FoundAsked) -> None:
    known = [contact.id for unit in press.units for contact in unit.contacts]
    strangers = [name for name in asked.shares if name not in known]
    if strangers:
        values = {"names": ", ".join(strangers), "press": press.id, "known": ", ".join(known)}
        raise Refusal(Problem("setting-contact-unknown", values))
    wrong = [f"{name}={share:g}" for name, share in asked.shares.items() if not 0.0 <= share <= 1.0]
    if wrong:
        raise Refusal(Problem("as-found-share-impossible", {"given": ", ".join(wrong)}))


def _unit(  # noqa: PLR0913  (all but two are named)
    press: Press, unit: Unit, *, was: Press, read: _Read, stripes: Sequence[ContactStripe], asked: FoundAsked
) -> FoundUnit:
    now = press.unit(unit.id)
    (drawn,) = settings_of(was, (unit,), asked.question)
    (found,) = settings_of(press, (now,), asked.question)
    contacts = tuple(_contact(each, told=asked.shares.get(each.contact)) for each in stripes)
    shares = {strength: _shares(stripes, strength, told=asked.shares) for strength in Strength}
    return FoundUnit(
        unit=unit.id,
        rollers=tuple(_rollers(press, was, unit=unit, read=read)),
        contacts=contacts,
        cases=compare(drawn, found, unit=now, shares=shares, told=asked.told),
    )


def _rollers(press: Press, was: Press, *, unit: Unit, read: _Read) -> Iterator[FoundRoller]:
    before, after = facts_of(was).unit(unit.id), facts_of(press).unit(unit.id)
    slips = {each.member: each.slip for each in after.slips}
    for roller in unit.rollers:
        history = read.at.get((unit.id, roller.id))
        diameter = None if history is None else _diameter(history)
        hardness = None if history is None or not roller.is_soft else _hardness(history)
        days = [each[1] for each in (diameter, hardness) if each is not None]
        yield FoundRoller(
            place=roller.id,
            mark=None if history is None else history.id,
            file_diameter_mm=roller.diameter_mm,
            diameter_mm=None if diameter is None else diameter[0],
            file_hardness_shore_a=_file_hardness(roller),
            hardness_shore_a=None if hardness is None else hardness[0],
            read_on=min(days, default=None),
            file_repeat_mm=before.roller(roller.id).repeat_mm,
            repeat_mm=after.roller(roller.id).repeat_mm,
            slip=slips.get(roller.id),
        )


def _file_hardness(roller: Roller) -> float | None:
    return roller.cover.hardness_shore_a if roller.cover is not None and roller.is_soft else None


def _contact(stripe: ContactStripe, *, told: float | None) -> FoundContact:
    means = {
        strength.value: sum(
            exchange_share(width, target_mm=stripe.target_mm, strength=strength) for width in stripe.widths_mm
        )
        / len(stripe.widths_mm)
        for strength in Strength
        if stripe.widths_mm
    }
    return FoundContact(
        contact=stripe.contact,
        widths_mm=stripe.widths_mm,
        target_mm=stripe.target_mm,
        read_on=stripe.day,
        shares=means,
        told=told,
    )


def _shares(stripes: Sequence[ContactStripe], strength: Strength, *, told: Mapping[str, float]) -> Shares:
    """By contact: what a run-down told, else what the stripe is assumed to do; nothing where neither is known."""
    assumed = {
        each.contact: shares_along(each.widths_mm, target_mm=each.target_mm, strength=strength)
        for each in stripes
        if each.widths_mm
    }
    return assumed | {contact: (ShareAt(0.0, share), ShareAt(1.0, share)) for contact, share in told.items()}


def _notes(units: Sequence[FoundUnit], *, today: date) -> Iterator[Problem]:
    for unit in units:
        values = {
            "unit": unit.unit,
            "rollers_read": unit.rollers_read,
            "rollers": len(unit.rollers),
            "contacts_read": unit.contacts_read,
            "contacts": len(unit.contacts),
        }
        yield Problem("as-found-read", values)
        days = [*(each.read_on for each in unit.rollers), *(each.read_on for each in unit.contacts)]
        oldest = min((day for day in days if day is not None), default=today)
        if (today - oldest).days > OLD_DAYS:
            yield Problem("as-found-old", {"unit": unit.unit, "day": oldest.isoformat(), "days": OLD_DAYS})
