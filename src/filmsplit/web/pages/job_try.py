"""Settings of a job tried: keys, sweep, stroke, form rollers and the job's orientation move, and the sheet answers."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import ClassVar
from urllib.parse import urlencode

from fastapi import APIRouter, Depends
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from filmsplit.actions.live import OnTrial, Trials
from filmsplit.actions.live_words import ZoneWords, aim_words, remarks_of, said_of, summary_of, zones_of
from filmsplit.actions.setup_words import unit_heading
from filmsplit.actions.shop import Shop
from filmsplit.figures.sheet_steps import BOUNDS, COLOURS, sheet_steps
from filmsplit.messages import Problem, Refusal, label
from filmsplit.studies.live_answer import LiveAnswer
from filmsplit.studies.live_job import Moved
from filmsplit.web.forms import from_here, ours
from filmsplit.web.job_fields import bounded, count_in, place_in
from filmsplit.web.pages.job_set import INK, TOLD, found_now
from filmsplit.web.pages.jobs import jobs_page
from filmsplit.web.render import bench_of
from filmsplit.web.try_fields import YES, Slider, as_read, key_sliders, moved_in, stroke_slider, sweep_slider

router = APIRouter(include_in_schema=False, dependencies=[Depends(from_here)])

TRIALS = Trials()
"""What is tried at this workbench. Jobs are kept by the files they come from, so that shops do not meet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TryPage:
    """The job with everything that can be moved. ``told`` are the fields that tell the job, ``edges_mm`` the edges of
    the zones across the sheet, ``legend`` a colour and its words, ``forms`` each with whether it is on the plate."""

    template: ClassVar[str] = "job_try.html"
    place: ClassVar[str] = "jobs"

    job: str
    press: str
    heading: str
    invented: bool
    told: Mapping[str, str]
    sheet_mm: tuple[float, float]
    edges_mm: tuple[float, ...]
    legend: tuple[tuple[str, str], ...]
    aim: str
    told_of_sheet: Mapping[str, object]
    keys: tuple[tuple[Slider, ZoneWords], ...]
    others: tuple[tuple[Slider, str], ...]
    forms: tuple[tuple[str, bool], ...]
    turned: bool
    back: str
    planned: str
    problems: tuple[Problem, ...]

    @property
    def title(self) -> str:
        return label("live.title", job=self.job or label("web_set.untitled"))


@router.get("/jobs/try", dependencies=[Depends(from_here)])
def try_page(request: Request) -> Response:
    """The job of the address with what can be moved, and the sheet as it answers. Nothing is recorded."""
    bench, sent = bench_of(request), bounded(request.query_params)
    try:
        trial = _opened(bench.shop, sent)
    except Refusal as refusal:
        return bench.show(request, jobs_page(bench.shop, sent, problems=refusal.problems), status=422)
    try:
        moved = moved_in(sent, trial.job)
        page = _page(trial, sent, moved=moved, answer=_answer(trial, sent, moved=moved))
    except Refusal as refusal:
        planned = trial.job.planned
        answer = TRIALS.answer(trial, planned)
        page = _page(trial, {**_told(sent)}, moved=planned, answer=answer, problems=refusal.problems)
        return bench.show(request, page, status=422)
    TRIALS.solve(trial, moved.arrangement)
    return bench.show(request, page)


@router.get("/jobs/try/answer", dependencies=[Depends(ours)])
def try_answer(request: Request) -> Response:
    """What the sheet does with the settings of the address: for the page's own script, with the token of its visit."""
    sent = bounded(request.query_params)
    try:
        trial = _opened(bench_of(request).shop, sent)
        moved = moved_in(sent, trial.job)
        answer = _answer(trial, sent, moved=moved)
    except Refusal as refusal:
        said = " ".join(f"{each.what} {each.remedy}" for each in refusal.problems)
        return JSONResponse({"state": "refused", "said": said}, 422)
    zones = [
        {"key": each.key, "print": each.print, "against": each.against, "word": each.word}
        for each in zones_of(trial, answer, moved)
    ]
    return JSONResponse({**_of_sheet(trial, sent, moved=moved, answer=answer), "zones": zones})


def _opened(shop: Shop, sent: Mapping[str, str]) -> OnTrial:
    """The job, set where it was not yet, or where its press or the records have changed since."""
    told = _told(sent)
    kept, _ = place_in(shop, told)
    files = tuple(path.stat().st_mtime_ns if path.exists() else 0 for path in (kept.path, shop.records))
    key = (str(kept.path), files, tuple(sorted((name, text) for name, text in told.items() if name != INK)))
    number = count_in({INK: sent.get(INK, "")}, INK, words=label("web_jobs.ink"))
    return TRIALS.opened(key, lambda: found_now(shop, told), number=number or 1)


def _told(sent: Mapping[str, str]) -> dict[str, str]:
    """The fields that tell the job, and which of its inks."""
    return {name: sent[name] for name in (*TOLD, INK) if sent.get(name)}


def _answer(trial: OnTrial, sent: Mapping[str, str], *, moved: Moved) -> LiveAnswer:
    return TRIALS.answer(trial, moved, fine=sent.get("fine") == YES)


def _page(
    trial: OnTrial,
    sent: Mapping[str, str],
    *,
    moved: Moved,
    answer: LiveAnswer,
    problems: tuple[Problem, ...] = (),
) -> TryPage:
    job, found, told = trial.job, trial.found, _told(sent)
    zones = zones_of(trial, answer, moved)
    return TryPage(
        job=found.answer.title,
        press=found.press.name or found.press.id,
        heading=unit_heading(found.answer, found.answer.units[trial.number - 1], press=found.press),
        invented=found.press.invented,
        told=told,
        sheet_mm=(job.setting.sheet.length_mm, job.setting.sheet.width_mm),
        edges_mm=tuple(_edges_mm(trial)),
        legend=tuple(zip((*COLOURS, "#ffffff"), _legend(), strict=True)),
        aim=aim_words(trial),
        told_of_sheet=_of_sheet(trial, sent, moved=moved, answer=answer),
        keys=tuple(zip(key_sliders(job, moved), zones, strict=True)),
        others=tuple(_others(trial, moved)),
        forms=tuple((form, form not in moved.arrangement.off) for form in job.forms),
        turned=moved.arrangement.turned,
        back=f"/jobs/set?{urlencode(told)}",
        planned=f"/jobs/try?{urlencode(told)}",
        problems=problems,
    )


def _others(trial: OnTrial, moved: Moved) -> Iterator[tuple[Slider, str]]:
    """What slides besides the keys, each with how it is read."""
    sweep, stroke = sweep_slider(trial.job, moved), stroke_slider(trial.job, moved)
    if sweep is not None:
        yield sweep, label("live.sweep_how")
    if stroke is not None:
        yield as_read(stroke), label("live.stroke_how")


def _of_sheet(trial: OnTrial, sent: Mapping[str, str], *, moved: Moved, answer: LiveAnswer) -> dict[str, object]:
    """What page and script both show of an answer. No picture where there is none."""
    fine = sent.get("fine") == YES
    picture = ""
    if answer.settled:
        png = sheet_steps(answer.film_um, coverage=answer.coverage, aim_um=trial.job.aim_um)
        picture = f"data:image/png;base64,{b64encode(png).decode('ascii')}"
    return {
        "state": "unsettled" if not answer.settled else "refined" if fine else "rough",
        "said": said_of(answer, fine=fine),
        "summary": summary_of(answer),
        "picture": picture,
        "take": _take(trial, sent, moved),
    }


def _take(trial: OnTrial, sent: Mapping[str, str], moved: Moved) -> str:
    """Where these settings are logged: the job, with keys, sweep and what else was moved filled in."""
    keys = " ".join(f"{key:.4g}" for key in moved.keys)
    stood = {"keys": keys, "sweep": "" if moved.sweep is None else f"{moved.sweep:.4g}"}
    remarks = remarks_of(trial, moved)
    return f"/jobs/set?{urlencode({**_told(sent), **stood} | ({'remarks': remarks} if remarks else {}))}"


def _edges_mm(trial: OnTrial) -> Iterator[float]:
    """Edges of the zones from the operator's side of the sheet, those upon it."""
    sheet = trial.job.setting.sheet
    for edge in trial.job.setting.zone_edges_mm:
        if 0 < edge - sheet.first_mm < sheet.width_mm:
            yield edge - sheet.first_mm


def _legend() -> Iterator[str]:
    """What each step of the picture means."""
    percents = [f"{100 * bound:.0f}" for bound in BOUNDS]
    yield label("live.least", percent=percents[0])
    for low, high in pairwise(percents):
        yield label("live.between", low=low, high=high)
    yield label("live.most", percent=percents[-1])
    yield label("live.no_image")
