"""What a press as found prints beside the same press as drawn: the same keys, the whole band of the assumption."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from filmsplit.condition.exchange_share import ShareAt, Strength
from filmsplit.messages import Problem
from filmsplit.press import Unit
from filmsplit.simulation.network import Nip
from filmsplit.studies.film_answer import FormAnswer
from filmsplit.studies.film_question import FilmQuestion
from filmsplit.studies.film_setting import FilmSetting
from filmsplit.studies.film_study import FilmStudy, film_study
from filmsplit.studies.film_told import unit_answer

Shares = Mapping[str, tuple[ShareAt, ...]]
"""Exchange shares along the face of a contact's first roller, by contact."""
Told = Callable[[int, int], None]
"""Told how many of all cases are being settled or were, as each begins."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One press computed. ``strength`` is ``None`` as drawn. Films and sheets are ``None`` where it did not settle."""

    strength: Strength | None
    outcome: Problem | None
    sheet_um: float | None
    sheet_least_um: float | None
    sheet_most_um: float | None
    forms: tuple[FormAnswer, ...]
    stored_g: float | None
    sheets_63: int | None
    sheets_95: int | None


def compare(
    drawn: FilmSetting, found: FilmSetting, *, unit: Unit, shares: Mapping[Strength, Shares], told: Told | None = None
) -> tuple[Case, ...]:
    """The press as drawn, then as found with each strength of ``shares``, with the key films of the first."""
    tell, steps = told or _silent, 2 + len(shares)
    tell(1, steps)
    first = film_study(drawn)
    films_um = first.keyed.films_um
    if films_um is None:
        return (_case(None, first),)
    # Settled again with its keys given, as the others are: a press found as drawn then differs in nothing.
    tell(2, steps)
    cases = [_case(None, film_study(replace(drawn, key_films_um=films_um)))]
    keyed = replace(found, key_films_um=films_um)
    for step, (strength, own) in enumerate(shares.items(), start=3):
        tell(step, steps)
        cases.append(_case(strength, film_study(with_shares(keyed, own, unit=unit))))
    return tuple(cases)


def _silent(_step: int, _steps: int) -> None:
    """Nobody wants to be told."""


def with_shares(setting: FilmSetting, shares: Shares, *, unit: Unit) -> FilmSetting:
    """The same question put to a train whose contacts exchange less than everything."""
    network = setting.network
    nips = tuple(_with_share(nip, shares, unit=unit, width_mm=setting.width_mm) for nip in network.nips)
    return replace(setting, network=replace(network, nips=nips))


def _with_share(nip: Nip, shares: Shares, *, unit: Unit, width_mm: float) -> Nip:
    own = shares.get(nip.id, shares.get("/".join(reversed(nip.id.split("/")))))
    if own is None or all(each.share == 1.0 for each in own):
        return nip
    face_mm = min(roller.face_mm for roller in unit.rollers if roller.id in (nip.a.loop, nip.b.loop))
    begin = (width_mm - face_mm) / 2
    return replace(nip, contact=tuple((begin + each.along * face_mm, each.share) for each in own))


def _case(strength: Strength | None, study: FilmStudy) -> Case:
    answer = unit_answer(study)
    films, response = answer.films, answer.response
    return Case(
        strength=strength,
        outcome=None if answer.settled else answer.outcome,
        sheet_um=None if films is None else films.sheet_um,
        sheet_least_um=None if films is None else films.sheet_least_um,
        sheet_most_um=None if films is None else films.sheet_most_um,
        forms=() if films is None else films.forms,
        stored_g=None if answer.ink is None else answer.ink.stored_g,
        sheets_63=None if response is None else response.sheets_63,
        sheets_95=None if response is None else response.sheets_95,
    )


DEFAULT_QUESTION = FilmQuestion(round_mm=2.0, across_mm=10.0)
"""Fine enough for means and shares, coarse enough to be asked four times (invented default)."""
