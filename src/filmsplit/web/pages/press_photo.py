"""A photo of one's own press behind its drawing: brought, scaled by three taps, and rollers placed by tapping them.

Only the owner sees it; it lies in the shop's folder and is in nothing that is exported.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Annotated, ClassVar

from fastapi import APIRouter, Depends
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from filmsplit.actions.press_photo import (
    Behind,
    behind,
    forget_scale,
    put_photo,
    take_photo_away,
    tapped,
    tell_scale,
)
from filmsplit.figures.photo_overlay import draw_over, shown_at
from filmsplit.formats.photo_store import KeptPhoto
from filmsplit.messages import Problem, Refusal, label
from filmsplit.press.photo_scale import Lie, ScaleTold, Seen
from filmsplit.units.reading import parse_length_mm
from filmsplit.web.addresses import edit_address, photo_address
from filmsplit.web.forms import brought, ours
from filmsplit.web.look import look_of
from filmsplit.web.owner import owner_only
from filmsplit.web.pages.rounds import Sent
from filmsplit.web.photo_taps import NEW, PLACING, SCALING, WIDTHS, Tap, Taps, taps_in, with_query
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False, dependencies=[Depends(owner_only)])
CHANGING = [Depends(ours)]
LEAST_MM, MOST_MM = 20.0, 5000.0
"""Of a known length: shorter than a finger's breadth tells no scale, longer than a press is a slip of the pen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoShown:
    """The photo with its outlines, what to tap next (``None``: nothing), and what goes with the next tap."""

    address: str
    wide: int
    high: int
    over: str
    tap: str | None
    fields: Mapping[str, str]
    typed: bool
    sizes: tuple[tuple[int, str, bool], ...]
    other_way: str
    back_one: str
    mm_per_pixel: float | None
    rollers: tuple[tuple[str, str], ...]
    who: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoPage:
    """A unit and its photo; ``shown`` is ``None`` where there is none. ``asked``: the scale is to be typed now.
    ``placed``: the form of a roller whose axis was tapped, for whoever types its diameter instead."""

    template: ClassVar[str] = "press_photo.html"
    place: ClassVar[str] = "presses"

    press: str
    unit: str
    here: str
    edit: str
    shown: PhotoShown | None
    asked: bool
    sent: Mapping[str, str]
    lies: tuple[tuple[str, str], ...]
    sides: tuple[tuple[str, str], ...]
    placed: str
    problems: tuple[Problem, ...]

    @property
    def title(self) -> str:
        return label("web_photo.title", press=self.press, unit=self.unit)


@router.get("/presses/{name}/{unit}/photo")
def photo(request: Request, name: str, *, unit: str) -> Response:
    """The photo with what was tapped so far; a roller tapped at axis and rim goes on to its form."""
    bench, sent = bench_of(request), request.query_params
    found = behind(bench.shop, name, unit)
    taps, problems = _taps(found, sent)
    if found.photo is not None and Tap.RIM in taps.dots:
        try:
            return RedirectResponse(_form_of(found, found.photo, taps), 303)
        except Refusal as refusal:
            problems, taps = refusal.problems, _without_last(taps, PLACING)
    page = _page(found, taps, sent={}, problems=problems)
    return bench.show(request, page, status=422 if problems else 200)


@router.get("/presses/{name}/{unit}/photo/picture.jpg")
def picture(request: Request, name: str, *, unit: str) -> Response:
    """The photo itself, made plain, for this visitor alone."""
    found = behind(bench_of(request).shop, name, unit)
    if found.photo is None:
        raise Refusal(Problem("photo-none", {"press": found.opened.name, "unit": found.unit.id}))
    return Response(
        found.photo.path.read_bytes(), media_type="image/jpeg", headers={"Cache-Control": "private, no-store"}
    )


@router.post("/presses/{name}/{unit}/photo", dependencies=CHANGING)
def bring(
    request: Request, name: str, *, unit: str, files: Annotated[tuple[UploadFile, ...], Depends(brought)]
) -> Response:
    """Keep a photo of the unit, made plain, in the place of the one before."""
    bench = bench_of(request)
    try:
        if not files:
            raise Refusal(Problem("photo-not-brought"))
        put_photo(bench.shop, name, unit, file=files[0].file)
    except Refusal as refusal:
        found = behind(bench.shop, name, unit)
        page = _page(found, _taps(found, {})[0], sent={}, problems=refusal.problems)
        return bench.show(request, page, status=422)
    return RedirectResponse(photo_address(name, unit), 303)


@router.get("/presses/{name}/{unit}/photo/scale")
def back(name: str, *, unit: str) -> Response:
    """Whoever comes back to a form that was refused finds the photo."""
    return RedirectResponse(photo_address(name, unit), 303)


@router.post("/presses/{name}/{unit}/photo/scale", dependencies=CHANGING)
def scale(request: Request, name: str, *, unit: str, sent: Sent) -> Response:
    """Scale the photo by what was tapped and typed; or forget the scale, to tell it again."""
    bench = bench_of(request)
    found = behind(bench.shop, name, unit)
    try:
        if sent.get("again") == "yes":
            forget_scale(bench.shop, name, unit)
        else:
            tell_scale(bench.shop, name, unit, told=_told(request, found, sent))
    except Refusal as refusal:
        page = _page(found, _taps(found, sent)[0], sent=sent, problems=refusal.problems)
        return bench.show(request, page, status=422)
    return RedirectResponse(photo_address(name, unit), 303)


@router.post("/presses/{name}/{unit}/photo/delete", dependencies=CHANGING)
def delete(request: Request, name: str, *, unit: str) -> Response:
    """Take the photo away for good."""
    take_photo_away(bench_of(request).shop, name, unit)
    return RedirectResponse(photo_address(name, unit), 303)


def _told(request: Request, found: Behind, sent: Mapping[str, str]) -> ScaleTold:
    dots = _taps(found, sent)[0].dots
    if any(each not in dots for each in SCALING):
        raise Refusal(Problem("photo-not-tapped"))
    lie = next((each for each in Lie if each.value == sent.get("lie")), None)
    seen = next((each for each in Seen if each.value == sent.get("seen")), None)
    if lie is None or seen is None:
        raise Refusal(Problem("photo-side-unsaid"))
    return ScaleTold(
        ends=(dots[Tap.END], dots[Tap.OTHER_END]),
        length_mm=_length_mm(sent.get("length", ""), unit=look_of(request).lengths.value),
        lie=lie,
        middle=dots[Tap.MIDDLE],
        seen=seen,
    )


def _length_mm(typed: str, *, unit: str) -> float:
    length_mm = parse_length_mm(typed.strip()[:20], unit=unit)
    if not LEAST_MM <= length_mm <= MOST_MM:
        raise Refusal(Problem("photo-length", {"least_mm": LEAST_MM, "most_mm": MOST_MM}))
    return length_mm


def _taps(found: Behind, sent: Mapping[str, str]) -> tuple[Taps, tuple[Problem, ...]]:
    """The taps of an address, and what is wrong with the one that just came."""
    photo = found.photo
    size = (1, 1) if photo is None else (photo.wide, photo.high)
    order = PLACING if photo is not None and photo.scale is not None else SCALING
    try:
        return taps_in(sent, order=order, size=size), ()
    except Refusal as refusal:
        kept = {name: value for name, value in sent.items() if name not in ("right", "down", "at.x", "at.y")}
        return taps_in(kept, order=order, size=size), refusal.problems


def _form_of(found: Behind, photo: KeptPhoto, taps: Taps) -> str:
    """The form of the roller tapped, filled with where it lies and, where its rim was tapped, how thick it is."""
    told = tapped(photo, taps.dots[Tap.AXIS], rim=taps.dots.get(Tap.RIM))
    filled = {"x_mm": f"{told.centre.x_mm:g}", "y_mm": f"{told.centre.y_mm:g}"}
    if told.diameter_mm is not None:
        filled["diameter_mm"] = f"{told.diameter_mm:g}"
    is_new = taps.who in ("", NEW) or taps.who not in {each.id for each in found.unit.rollers}
    part = {"part": "new-roller"} if is_new else {"part": "roller", "id": taps.who}
    return f"{edit_address(found.opened.name, unit=found.unit.id, **part, filled=filled)}#part"


def _page(found: Behind, taps: Taps, *, sent: Mapping[str, str], problems: tuple[Problem, ...]) -> PhotoPage:
    photo, opened = found.photo, found.opened
    is_scaled = photo is not None and photo.scale is not None
    assert opened.press is not None
    return PhotoPage(
        press=opened.press.name or opened.name,
        unit=found.unit.name or found.unit.id,
        here=photo_address(opened.name, found.unit.id),
        edit=edit_address(opened.name, unit=found.unit.id),
        shown=None if photo is None else _shown(found, photo, taps),
        asked=photo is not None and not is_scaled and taps.next_of(SCALING) is None,
        sent=sent,
        lies=tuple((each.value, label(f"web_photo_lie.{each.value}")) for each in Lie),
        sides=tuple((each.value, label(f"web_photo_side.{each.value}")) for each in Seen),
        placed=_form_of(found, photo, taps) if photo is not None and is_scaled and Tap.AXIS in taps.dots else "",
        problems=problems,
    )


def _shown(found: Behind, photo: KeptPhoto, taps: Taps) -> PhotoShown:
    here = photo_address(found.opened.name, found.unit.id)
    shown = shown_at(taps.wide, photo_wide=photo.wide, photo_high=photo.high)
    order = SCALING if photo.scale is None else PLACING
    following = taps.next_of(order)
    fields = taps.sent()
    marked = [(label(f"web_photo_mark.{each.value}"), dot) for each, dot in taps.dots.items()]
    other = {name: value for name, value in fields.items() if name != "typed"} | (
        {} if taps.typed else {"typed": "yes"}
    )
    rollers = [(each.id, label("web_photo.known", roller=each.id)) for each in found.unit.rollers]
    return PhotoShown(
        address=photo_address(found.opened.name, found.unit.id, picture=True),
        wide=shown.wide,
        high=shown.high,
        over=draw_over(shown, found.unit, scale=photo.scale, taps=marked, ruled=taps.typed),
        tap=None if following is None else following.value,
        fields={name: value for name, value in fields.items() if name != "who" or Tap.AXIS in taps.dots},
        typed=taps.typed,
        sizes=tuple((wide, with_query(here, {**fields, "wide": str(wide)}), wide == taps.wide) for wide in WIDTHS),
        other_way=with_query(here, other),
        back_one=with_query(here, _without_last(taps, order).sent()) if taps.dots else "",
        mm_per_pixel=None if photo.scale is None else photo.scale.mm_per_dot * shown.dots,
        rollers=((NEW, label("web_photo.new_roller")), *rollers) if following is Tap.AXIS else (),
        who=taps.who,
    )


def _without_last(taps: Taps, order: tuple[Tap, ...]) -> Taps:
    there = [each for each in order if each in taps.dots]
    dots = {each: taps.dots[each] for each in there[:-1]}
    return replace(taps, dots=dots)
