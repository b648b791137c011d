"""From a study to its answer in plain records."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.ink.transfer import FixedShare, WalkerFetsko
from filmsplit.press.plate_order import form_rollers
from filmsplit.simulation.answers import Answers, ArcFilm, column_image
from filmsplit.simulation.demand import taking
from filmsplit.simulation.grams import GRAM_PER_UM_MM2
from filmsplit.simulation.network import LoopRole, Network
from filmsplit.simulation.parameters import Parameter
from filmsplit.studies.film_answer import (
    ArcAnswer,
    AskedAnswer,
    BandAnswer,
    FilmsAnswer,
    FormAnswer,
    GridAnswer,
    InkAnswer,
    PartAnswer,
    ResponseAnswer,
    RollerAnswer,
    UnitAnswer,
    ZoneAnswer,
)
from filmsplit.studies.film_band import BandFound
from filmsplit.studies.film_setting import FilmSetting
from filmsplit.studies.film_study import FilmStudy


def unit_answer(study: FilmStudy) -> UnitAnswer:
    """Everything about one unit; no film of a train that did not settle."""
    solution, statistics = study.solution, study.solution.statistics
    answers = solution.answers if solution.ok else None
    return UnitAnswer(
        unit=study.setting.unit.id,
        outcome=solution.problem,
        settled=solution.ok,
        asked=_asked(study),
        films=None if answers is None else _films(study, answers),
        ink=None if answers is None else _ink(study, answers),
        band=None if study.band is None else _band(study.band),
        response=_response(study),
        common_period_rev=statistics.common_period,
        revolutions=study.keyed.revolutions,
        work_revolutions=study.keyed.work_revolutions,
        cycles_pulled=solution.provenance.cycles_pulled,
        pull_error=statistics.pull_error,
        error=_number(statistics.error),
        fed_less_printed=_number(statistics.fed_less_printed),
        grid=_grid(study),
        notes=study.notes,
    )


def _number(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


def _asked(study: FilmStudy) -> AskedAnswer:
    setting, question = study.setting, study.setting.question
    found = setting.key_films_um is None
    return AskedAnswer(
        mode=question.mode.value,
        thrown_off=tuple(sorted(question.thrown_off)),
        coverage=setting.mean_coverage,
        sheet_length_mm=setting.sheet.length_mm,
        sheet_width_mm=setting.sheet.width_mm,
        sheet_first_mm=setting.sheet.first_mm,
        key_films_um=_keys(study),
        keys_found=found and study.keyed.films_um is not None,
        aim_um=setting.aim_um if found else None,
        sweep_mm=setting.sweep_mm,
        transfer=_law(setting),
        accuracy=question.accuracy,
    )


def _keys(study: FilmStudy) -> tuple[float, ...] | None:
    films, zones = study.keyed.films_um, len(study.setting.zone_edges_mm) - 1
    return None if films is None else tuple(map(float, np.broadcast_to(films, (zones,))))


def _law(setting: FilmSetting) -> dict[str, float]:
    match setting.transfer:
        case FixedShare(tau=tau):
            return {"tau": tau}
        case WalkerFetsko(k=k, b=b, f=f):
            return {"k": k, "b": b, "f": f}


def _films(study: FilmStudy, answers: Answers) -> FilmsAnswer:
    image = answers.sheet_um[(taking(study.train, study.demand) * study.demand.coverage) > 0]
    arcs = {loop.id: tuple(map(_arc, _in_turn(answers, loop.id))) for loop in study.train.loops}
    return FilmsAnswer(
        sheet_um=answers.sheet_mean_um,
        sheet_least_um=float(image.min(initial=np.inf)) if image.size else 0.0,
        sheet_most_um=float(image.max(initial=0.0)),
        plate_um=answers.plate_um,
        blanket_um=answers.blanket_um,
        rollers=tuple(_rollers(study, answers, arcs=arcs)),
        plate_arcs=arcs["plate"],
        blanket_arcs=arcs["blanket"],
        forms=tuple(_forms(study, answers)),
        zones=tuple(_zones(study, answers)),
    )


def _in_turn(answers: Answers, loop: str) -> list[ArcFilm]:
    return [arc for arc in answers.arcs if arc.loop == loop]


def _arc(arc: ArcFilm) -> ArcAnswer:
    return ArcAnswer(start=arc.start, end=arc.end, length_mm=arc.length_mm, film_um=arc.film_um)


def _rollers(study: FilmStudy, answers: Answers, *, arcs: dict[str, tuple[ArcAnswer, ...]]) -> Iterator[RollerAnswer]:
    setting, train = study.setting, study.train
    away = nips_from_sheet(setting.network)
    for loop in train.loops:
        if loop.role is not LoopRole.ROLLER:
            continue
        towards, back = _ways(arcs[loop.id], loop.id, away=away)
        yield RollerAnswer(
            id=loop.id,
            name=setting.unit.roller(loop.id).name,
            film_um=answers.loops_um[loop.id],
            towards_um=towards,
            away_um=back,
            stored_g=_stored_um_mm2(study, loop.id) * GRAM_PER_UM_MM2 * setting.density_g_per_cm3,
            arcs=arcs[loop.id],
        )


def nips_from_sheet(network: Network) -> dict[str, int]:
    """Contacts between each loop and the blanket; the feed counts as farther than any."""
    away = {"blanket": 0, "ink": len(network.loops) + 1}
    edge = ["blanket"]
    while edge:
        here = edge.pop(0)
        for nip in network.nips:
            if here in (nip.a.loop, nip.b.loop):
                other = nip.b.loop if nip.a.loop == here else nip.a.loop
                if other not in away:
                    away[other] = away[here] + 1
                    edge.append(other)
    return away


def _ways(arcs: tuple[ArcAnswer, ...], id: str, *, away: dict[str, int]) -> tuple[float | None, float | None]:
    """Mean film brought to members nearer to the sheet than the roller, and to those farther that lead to the feed."""
    here = away.get(id, 0)
    near = [arc.film_um for arc in arcs if away.get(arc.end, here) < here]
    far = [arc.film_um for arc in arcs if away.get(arc.end, here) > here]
    return (float(np.mean(near)) if near else None, float(np.mean(far)) if far else None)


def _stored_um_mm2(study: FilmStudy, id: str) -> float:
    state = study.solution.state
    assert state is not None
    rows = study.train.loops[study.train.loop_index(id)].rows
    return float(state.films[rows].sum(dtype=np.float64)) * study.grid.cell_mm2


def _forms(study: FilmStudy, answers: Answers) -> Iterator[FormAnswer]:
    running = study.demand.running
    ink = [form.id for form in form_rollers(study.setting.unit) if form.id in answers.form_shares]
    for order, id in enumerate(ink, start=1):
        on = running.forms and id not in running.thrown_off
        yield FormAnswer(id=id, order=order, on=on, share=answers.form_shares[id])


def _zones(study: FilmStudy, answers: Answers) -> Iterator[ZoneAnswer]:
    grid, edges, sheet = study.grid, study.setting.zone_edges_mm, study.setting.sheet
    keys = _keys(study)
    image = column_image(study.train, study.demand)
    ink = (taking(study.train, study.demand) * study.demand.coverage * answers.sheet_um).sum(axis=0)
    for number, (first, end) in enumerate(pairwise(edges)):
        low, high = max(first, sheet.first_mm), min(end, sheet.end_mm)
        if high <= low:
            continue
        columns = slice(*grid.columns_within((low, high)))
        weight = float(image[columns].sum())
        yield ZoneAnswer(
            zone=number + 1,
            first_mm=first,
            end_mm=end,
            key_film_um=None if keys is None else keys[number],
            coverage=_zone_coverage(study.setting, (low, high)),
            sheet_um=float(ink[columns].sum()) / weight if weight > 0 else None,
        )


def _zone_coverage(setting: FilmSetting, span_mm: tuple[float, float]) -> float:
    """Mean of the coverage asked for over a span across the train."""
    down = np.diff(setting.coverage_edges_mm[0])
    edges: Array = setting.coverage_edges_mm[1] + setting.sheet.first_mm
    inside = np.clip(np.minimum(edges[1:], span_mm[1]) - np.maximum(edges[:-1], span_mm[0]), 0.0, None)
    return float(down @ setting.coverage @ inside / (down.sum() * inside.sum())) if inside.sum() > 0 else 0.0


def _ink(study: FilmStudy, answers: Answers) -> InkAnswer:
    density = study.setting.density_g_per_cm3
    unit = GRAM_PER_UM_MM2 * density
    fed_g, printed_g = answers.fed_per_revolution_um_mm2 * unit, answers.printed_per_revolution_um_mm2 * unit
    return InkAnswer(
        fed_per_sheet_g=fed_g,
        printed_per_sheet_g=printed_g,
        fed_per_1000_sheets_kg=fed_g,  # 1000 sheets and 1000 g in a kg
        printed_per_1000_sheets_kg=printed_g,
        stored_g=answers.stored_um_mm2 * unit,
        fed_less_printed_per_sheet_g=fed_g - printed_g,
        density_g_per_cm3=density,
    )


def _band(found: BandFound) -> BandAnswer:
    band = found.band
    parts = sorted(band.parts.items(), key=lambda each: -each[1])
    return BandAnswer(
        low_um=band.low_um,
        high_um=band.high_um,
        coverage=band.coverage,
        sigma_um=band.sigma_um,
        parts=tuple(_part(parameter, part) for parameter, part in parts),
        settled=band.settled,
        cells=found.coarse_cells,
        coarse_grid_differs=found.coarse_differs,
    )


def _part(parameter: Parameter, part: float) -> PartAnswer:
    return PartAnswer(kind=parameter.kind.value, name=parameter.name, words=parameter.words, part=float(part))


def _response(study: FilmStudy) -> ResponseAnswer | None:
    found = study.response
    if found is None:
        return None
    return ResponseAnswer(
        sheets_63=found.sheets_63,
        sheets_95=found.sheets_95,
        ended=found.ended.value,
        sheets_um=tuple(map(float, found.sheets_um)),
    )


def _grid(study: FilmStudy) -> GridAnswer:
    grid = study.grid
    return GridAnswer(
        round_mm=grid.round_mm,
        across_mm=grid.across_mm,
        rows=grid.rows,
        columns=grid.columns,
        cells=study.train.cells * grid.columns,
        reason=tuple(choice.problem for choice in grid.reason),
    )
