"""The train as a map for the screen: large ids, every roller and every contact a place to touch."""

from __future__ import annotations

from collections.abc import Mapping as MappingOf
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from filmsplit.figures.boxes import Spot
from filmsplit.figures.classes import CONTACTS, DRIVES, MOTIONS
from filmsplit.figures.drawing import INK, PAPER, circle, element, group, num, text
from filmsplit.figures.legend import Entry, entries_of
from filmsplit.figures.lettering import FONT_STACK, text_width_mm
from filmsplit.figures.lines import Tells
from filmsplit.figures.map_layers import NOTHING, Layer
from filmsplit.figures.members import draw_cylinder, draw_ghost, draw_roller, used_hatches
from filmsplit.figures.signs import contact_sign, hatch_patterns
from filmsplit.figures.stage import Body, Mapping, Nip, Stage, gap_angles, reach_of, set_stage
from filmsplit.messages import label
from filmsplit.press import Press, Unit

WIDTH_MM = 200.0
"""Width of the map in its own units: shown 800 px wide, a unit is four pixels."""
ID_MM = 4.4
_MARGIN_MM = 3.0
_CYLINDER_SHARE = 0.55
"""How much of the plate's height is shown below the train, as a share of its diameter."""
_DOT_MM = 1.6
_ASIDE_MM = 4.0
_CONTACT_R_MM = 6.3
"""Half a finger: 48 px across on a map of 765 px, and the pages never show it narrower."""


@dataclass(frozen=True, slots=True)
class Place:
    """Something on the map that can be touched: where it leads, its name in words, a mark of its state or ``""``."""

    href: str
    name: str
    mark: str = ""


@dataclass(frozen=True, slots=True)
class TrainMap:
    """The map as inline SVG: ``rollers`` and ``contacts`` that it shows, by id; pictures of the legend with words."""

    svg: str
    rollers: tuple[str, ...]
    contacts: tuple[str, ...]
    legend: tuple[tuple[str, str], ...] = ()


def map_train(  # noqa: PLR0913 - each is asked for by name
    press: Press, unit: Unit, *, tells: str, places: MappingOf[str, Place], name: str, layer: Layer = NOTHING
) -> TrainMap:
    """One unit with every roller and contact of ``places`` (by id) as a link. ``name`` says what the map is."""
    stage, height_mm = map_stage(press, unit)
    kind = Tells(tells)
    drawn = [
        hatch_patterns(used_hatches(stage, kind)),
        group(map_cylinders(stage)),
        group([part for body in stage.rollers for part in draw_roller(body, kind)]),
        group([part for body in stage.rollers for part in draw_ghost(stage, body)]),
        group([_sign(nip) for nip in stage.nips if nip.joint.contact is not None]),
        group(layer.draw(stage)),
        group(_ids(stage, places), fill=INK),
    ]
    rollers = [_roller_link(body, places[body.id], nips=stage.nips) for body in stage.rollers if body.id in places]
    contacts = [_contact_link(nip, places[nip.joint.id]) for nip in stage.nips if nip.joint.id in places]
    svg = element(
        "svg",
        "".join([part for part in drawn if part] + [group(rollers), group(contacts)]),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {num(WIDTH_MM)} {num(height_mm)}",
        class_="train-map",
        role="group",
        aria_label=name,
        font_family=FONT_STACK,
        stroke_linecap="round",
        stroke_linejoin="round",
    )
    return TrainMap(
        svg,
        rollers=tuple(body.id for body in stage.rollers if body.id in places),
        contacts=tuple(nip.joint.id for nip in stage.nips if nip.joint.id in places),
        legend=tuple(_pictured(each) for each in (*_entries(stage, kind), *layer.legend)),
    )


def _entries(stage: Stage, kind: Tells) -> list[Entry]:
    """Drive and motion stand on the map in words, not in signs."""
    absent = {label(look.words) for look in (*DRIVES.values(), *MOTIONS.values())}
    entries = entries_of([stage], kind, contacts=False, paths=(), assumed=False)
    return [each for each in entries if each.words not in absent]


def _pictured(entry: Entry) -> tuple[str, str]:
    """A line of the legend: a small picture, and its words."""
    picture = element(
        "svg",
        "".join(entry.draw(0.0, 0.0)),
        xmlns="http://www.w3.org/2000/svg",
        viewBox="-4 -3 8 6",
        class_="sign",
        aria_hidden="true",
        font_family=FONT_STACK,
        stroke_linecap="round",
    )
    return picture, entry.words


def map_stage(press: Press, unit: Unit) -> tuple[Stage, float]:
    """The unit on a page as wide as the map: the rollers whole, the cylinders as far as they fit below."""
    rollers = [unit.member(each.id) for each in unit.rollers]
    spots = [(each.centre.x_mm, each.centre.y_mm, each.diameter_mm / 2) for each in rollers if each.centre is not None]
    left, bottom, right, top = reach_of(unit)
    if spots:
        plate = unit.cylinders.plate
        left, right = (min(x - r for x, _, r in spots), max(x + r for x, _, r in spots))
        lowest = min(y - r for _, y, r in spots)
        bottom = min(lowest, plate.centre.y_mm + plate.diameter_mm * (0.5 - _CYLINDER_SHARE))
        top = max(y + r for _, y, r in spots)
    scale = (right - left) / (WIDTH_MM - 2 * _MARGIN_MM)
    height_mm = (top - bottom) / scale + 2 * _MARGIN_MM
    mapping = Mapping(_MARGIN_MM - left / scale, height_mm - _MARGIN_MM + bottom / scale, scale)
    return set_stage(press, unit, mapping), height_mm


def map_cylinders(stage: Stage) -> list[str]:
    """The cylinders, the farthest from the rollers first."""
    gaps = gap_angles(stage)
    return [
        part
        for id in ("impression", "blanket", "plate")
        for part in draw_cylinder(stage.bodies[id], stage, gaps.get(id))
    ]


def _sign(nip: Nip) -> str:
    return contact_sign(CONTACTS[nip.joint.kind].sign, nip.at, nip.across_deg)


def _ids(stage: Stage, places: MappingOf[str, Place]) -> list[str]:
    marked = {id for id, place in places.items() if place.mark}
    named = [body for body in stage.bodies.values() if body.is_roller or body.id == "plate"]
    return [map_id(body, raised=body.id in marked) for body in named]


def map_id(body: Body, *, raised: bool = False) -> str:
    """The id in the middle, on paper of its own so that no hatching runs through it; ``raised`` for a mark below it."""
    y = _id_y(body) if raised else body.y
    width = text_width_mm(body.id, ID_MM, bold=True)
    back = element(
        "rect",
        x=float(body.x - width / 2 - 0.6),
        y=float(y - 0.62 * ID_MM),
        width=float(width + 1.2),
        height=float(1.24 * ID_MM),
        rx=1.0,
        fill=PAPER,
    )
    return back + text(body.id, (body.x, y + 0.36 * ID_MM), size=ID_MM, bold=True, anchor="middle")


def _id_y(body: Body) -> float:
    """Where the id stands above its mark: the two about the middle, but clear of the arrow of a small roller."""
    return body.y - min(0.25 * body.r, 0.68 * ID_MM)


def _roller_link(body: Body, place: Place, *, nips: Sequence[Nip]) -> str:
    dots = [nip.at for nip in nips if nip.joint.joins(body.id) and nip.joint.contact is not None]
    touch = circle(body.x, body.y, body.r, fill="transparent", class_="touch")
    return _link(place, touch + _mark(body, place.mark, dots=dots))


def _contact_link(nip: Nip, place: Place) -> str:
    x, y = nip.at
    shown = circle(x, y, _DOT_MM, fill=PAPER, stroke=INK, stroke_width=0.4) if place.mark else ""
    return _link(place, circle(x, y, _CONTACT_R_MM, fill="transparent", class_="touch") + shown)


def _link(place: Place, content: str) -> str:
    return element("a", content, href=place.href, aria_label=place.name)


def _mark(body: Body, mark: str, *, dots: Sequence[Spot]) -> str:
    """The state of a roller in a letter or sign below its id, in a box: colour is never the only carrier."""
    if not mark:
        return ""
    size = 4.2
    width, y = text_width_mm(mark, size, bold=True) + 2.0, _id_y(body) + 1.33 * ID_MM
    x = body.x + _aside(dots, (body.x, y), half=(width / 2, 0.65 * size))
    box = element(
        "rect",
        x=float(x - width / 2),
        y=float(y - 0.75 * size),
        width=float(width),
        height=float(1.3 * size),
        rx=0.8,
        fill=INK,
    )
    return box + group([text(escape(mark), (x, y + 0.22 * size), size=size, bold=True, anchor="middle")], fill=PAPER)


def _aside(dots: Sequence[Spot], at: Spot, *, half: tuple[float, float]) -> float:
    """How far a mark moves sideways so that the dot of a contact does not lie on its letters; not where two do."""
    moves = [
        (1 if x < at[0] else -1) * (half[0] + _DOT_MM - abs(x - at[0]))
        for x, y in dots
        if abs(y - at[1]) < half[1] + _DOT_MM and abs(x - at[0]) < half[0] + _DOT_MM
    ]
    return max(-_ASIDE_MM, min(_ASIDE_MM, moves[0])) if len(moves) == 1 else 0.0
