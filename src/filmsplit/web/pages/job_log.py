"""A job logged as it was printed, shown again, and corrected from a measured sheet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, ClassVar, TypedDict
from urllib.parse import urlencode

from fastapi import APIRouter, Depends
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from filmsplit.actions.correct import Corrected, correct_logged
from filmsplit.actions.jobs import Told, log_once, show
from filmsplit.actions.shop import Shop, kept_presses, press_file_of
from filmsplit.messages import Problem, Refusal, label
from filmsplit.press.words import KeyKind
from filmsplit.records.jobs import JobRecord
from filmsplit.reports.keys import how_to_read, in_words
from filmsplit.web.addresses import job_address
from filmsplit.web.clock import book_of
from filmsplit.web.forms import filled, ours
from filmsplit.web.job_fields import bounded, count_in, list_in, number_in, place_in, whole_list_in
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False)

POLARISED: Mapping[str, bool | None] = {"": None, "yes": True, "no": False}
BACKINGS = ("", "black", "white", "self")


class Way(TypedDict):
    """How densities were read, as the actions are told it."""

    status: str
    polarised: bool | None
    backing: str


Sent = Annotated[Mapping[str, str], Depends(filled)]
YES = "yes"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogPage:
    """The form in which a job is logged, with what is wrong with it."""

    template: ClassVar[str] = "job_log.html"
    place: ClassVar[str] = "jobs"

    sent: Mapping[str, str]
    key: str
    problems: tuple[Problem, ...]

    @property
    def title(self) -> str:
        return label("web_log.title")


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneRow:
    """A zone of a job on record."""

    zone: int
    coverage: str
    key: str
    density: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveRow:
    """A key to be moved, as this press reads its keys."""

    zone: int
    now: str
    then: str
    move: str
    expected: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggedPage:
    """A job on record, and the moves of its keys where a sheet was measured."""

    template: ClassVar[str] = "job_logged.html"
    place: ClassVar[str] = "jobs"

    job: JobRecord
    zones: tuple[ZoneRow, ...]
    how_to_read: str
    where: str
    address: str
    again: str
    sent: Mapping[str, str]
    corrected: Corrected | None = None
    moves: tuple[MoveRow, ...] = ()
    problems: tuple[Problem, ...] = ()

    @property
    def title(self) -> str:
        return self.job.title


@router.post("/jobs/log", dependencies=[Depends(ours)])
def log(request: Request, *, sent: Sent) -> Response:
    """Put the job on record, once however often the form is sent; or say everything that keeps it off."""
    bench, told = bench_of(request), bounded(sent)
    try:
        kept, unit = place_in(bench.shop, told)
        job = _job(told, unit=unit, shop=bench.shop)
        logged = log_once(str(kept.path), job, told=_told(told), records=bench.shop.records, key=told.get("key", ""))
    except Refusal as refusal:
        page = LogPage(sent=told, key=told.get("key", ""), problems=refusal.problems)
        return bench.show(request, page, status=422)
    return RedirectResponse(job_address(logged.code), 303)


def _job(told: Mapping[str, str], *, unit: str, shop: Shop) -> JobRecord:
    sweep = told.get("set_sweep", "") if told.get("as_set") == YES else told.get("sweep", "")
    return JobRecord(
        press="",
        unit=unit,
        title=told.get("title", ""),
        printed_on=book_of(shop).day,
        ink=told.get("ink", ""),
        stock=told.get("stock", ""),
        operator=told.get("operator", ""),
        remarks=told.get("remarks", ""),
        sheets=count_in(told, "sheets", words=label("web_log.sheets")),
        sheets_to_ok=count_in(told, "sheets_to_ok", words=label("web_log.sheets_to_ok")),
        sweep=number_in({"sweep": sweep}, "sweep", words=label("web_log.sweep")),
        aim_density=number_in(told, "aim_density", words=label("web_log.aim_density")),
        saturation=number_in(told, "log_saturation", words=label("web_jobs.saturation")),
        rate_per_um=number_in(told, "log_rate", words=label("web_jobs.rate")),
        sheet_length_mm=number_in(told, "length", words="mm"),
        sheet_width_mm=number_in(told, "width", words="mm"),
    )


def _told(told: Mapping[str, str]) -> Told:
    keys = "set_keys" if told.get("as_set") == YES else "keys"
    return Told(
        keys=whole_list_in(told, keys, words=label("web_log.keys")),
        coverage_percent=whole_list_in(told, "percents", words=label("web_jobs.coverage")),
        densities=list_in(told, "densities", words=label("web_log.densities")),
        **_way(told),
    )


def _way(told: Mapping[str, str]) -> Way:
    """How the densities were read, as far as it was said; :class:`Refusal` for what no select offers."""
    wrong = [
        Problem("job-way-unknown", {"given": told[name][:20]})
        for name, known in (("polarised", POLARISED), ("backing", BACKINGS))
        if told.get(name, "") not in known
    ]
    if wrong:
        raise Refusal(wrong)
    polarised = POLARISED[told.get("polarised", "")]
    return {"status": told.get("density_status", ""), "polarised": polarised, "backing": told.get("backing", "")}


@router.get("/jobs/logged/{code}")
def logged(request: Request, code: str) -> Response:
    """A job on record."""
    bench = bench_of(request)
    return bench.show(request, _page(bench.shop, show(bench.shop.records, code), sent={}))


@router.post("/jobs/logged/{code}/correct", dependencies=[Depends(ours)])
def correct(request: Request, code: str, *, sent: Sent) -> Response:
    """What to turn after a measured sheet. Nothing is recorded."""
    bench, given = bench_of(request), bounded(sent)
    job = show(bench.shop.records, code)
    try:
        page = _page(bench.shop, job, sent=given, corrected=_corrected(bench.shop, job, given))
    except Refusal as refusal:
        page = _page(bench.shop, job, sent=given, problems=refusal.problems)
        return bench.show(request, page, status=422)
    return bench.show(request, page)


def _corrected(shop: Shop, job: JobRecord, given: Mapping[str, str]) -> Corrected:
    aim = number_in(given, "aim_density", words=label("web_log.aim_density"))
    told = Told(
        densities=list_in(given, "densities", words=label("web_logged.densities")),
        sheet=count_in(given, "sheet", words=label("web_logged.sheet")),
        **_way(given),
    )
    facts = {} if aim is None else {"aim_density": aim}
    return correct_logged(shop.records, job.code, told=told, facts=facts, press=press_file_of(shop, job.press))


def _page(
    shop: Shop,
    job: JobRecord,
    *,
    sent: Mapping[str, str],
    corrected: Corrected | None = None,
    problems: tuple[Problem, ...] = (),
) -> LoggedPage:
    read = {each.zone: f"{each.density:.2f}" for each in job.readings}
    name, kind = _press_of(shop, job)
    return LoggedPage(
        job=job,
        zones=tuple(
            ZoneRow(
                zone=each.zone,
                coverage="" if each.coverage is None else f"{100 * each.coverage:.1f}",
                key="" if each.key is None else _key_in_words(each.key, kind),
                density=read.get(each.zone, ""),
            )
            for each in job.zones
        ),
        how_to_read="" if kind is None else how_to_read(kind),
        where=label("web_set.on", press=name, unit=job.unit),
        address=job_address(job.code),
        again=_again(shop, job),
        sent=sent,
        corrected=corrected,
        moves=() if corrected is None else tuple(_moves(corrected)),
        problems=problems,
    )


def _press_of(shop: Shop, job: JobRecord) -> tuple[str, KeyKind | None]:
    """What the press of a job is called, and how its keys are read; its id where the shop has it no more."""
    for kept in kept_presses(shop):
        if kept.press is not None and kept.press.id == job.press:
            fountains = (unit.fountain for unit in kept.press.units if unit.id == job.unit)
            return kept.press.name or job.press, next((each.keys.kind for each in fountains if each is not None), None)
    return job.press, None


def _key_in_words(reading: float, kind: KeyKind | None) -> str:
    return f"{reading:.4g}" if kind is None else in_words(reading, kind)


def _moves(found: Corrected) -> Iterator[MoveRow]:
    for key in found.moves:
        yield MoveRow(
            zone=key.zone,
            now=in_words(key.now, found.key_kind),
            then=in_words(key.then, found.key_kind),
            move=("+" if key.move > 0 else "-") + in_words(abs(key.move), found.key_kind),
            expected=f"{key.expected_density:.2f}",
        )


def _again(shop: Shop, job: JobRecord) -> str:
    """The form filled with this job; empty where its press is not in the shop."""
    here = [each.name for each in kept_presses(shop) if each.press is not None and each.press.id == job.press]
    if not here:
        return ""
    cover = " ".join(f"{100 * each.coverage:.4g}" for each in job.zones if each.coverage is not None)
    told = {"where": f"{here[0]}/{job.unit}", "coverage": cover, "title": job.title, "ink": job.ink, "stock": job.stock}
    return f"/jobs?{urlencode({name: text for name, text in told.items() if text})}"
