"""What stands where, decided before a line is drawn: page, scale, and a place for every word and number."""

from __future__ import annotations

from dataclasses import dataclass, replace

from filmsplit.figures.boxes import Box, Disc, Spot
from filmsplit.figures.classes import SOURCE_MARKS, PathKind
from filmsplit.figures.legend import Entry, entries_of
from filmsplit.figures.lines import (
    ID_MM,
    SMALL_MM,
    Row,
    Rows,
    Tells,
    fits_inside,
    label_choices,
    led,
    narrower,
    row_boxes,
    size_of,
)
from filmsplit.figures.members import arrow_inset_mm, band_mm, impression_boxes, turn_arrow_spots
from filmsplit.figures.page import BY_SIZE, Page, choose_page
from filmsplit.figures.placement import Board, Site
from filmsplit.figures.routes import Ride, rides_of
from filmsplit.figures.stage import Body, Mapping, Nip, Stage, set_stage, unit_name
from filmsplit.figures.surroundings import draw_sheet, fountain_box, pan_bodies, pan_box, sheet_ends
from filmsplit.messages import label, numbers_read
from filmsplit.press import Press, Unit

NIP_REACH_MM = 2.6
BEARABLE_LOSSES = 2
"""So many targets may stand in the note at the foot before a larger paper is taken."""
NEAR_ENOUGH_MM = 8.0
"""A label placed cheaper than this needs no second thought."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a drawing is asked to show."""

    tells: Tells
    ink_path: bool
    contacts: bool
    paper: str | None


@dataclass(frozen=True, slots=True)
class Note:
    """A placed label: its rows, the box they fill, how they are set, its leader, the circle it lies in."""

    rows: Rows
    box: Box
    align: str
    leader: tuple[Spot, Spot] | None = None
    inside: Disc | None = None

    @property
    def boxes(self) -> list[Box]:
        """The boxes of the single rows."""
        return row_boxes(self.rows, self.box, align=self.align)


@dataclass(frozen=True, slots=True)
class Layout:
    """Everything decided. What found no place is kept in words: names of rollers, and targets of nips."""

    page: Page
    stages: tuple[Stage, ...]
    entries: tuple[Entry, ...]
    notes: tuple[Note, ...]
    lost_names: tuple[str, ...]
    lost_targets: tuple[str, ...]
    rides: tuple[tuple[PathKind, tuple[Ride, ...]], ...]
    discs: tuple[Disc, ...]


def lay_out(press: Press, units: tuple[Unit, ...], wanted: Wanted) -> Layout:
    """Choose page and scale and place every label; a larger paper is tried while a label has found no place."""
    rough = tuple(set_stage(press, unit, Mapping(0.0, 0.0, 1.0)) for unit in units)
    kinds = tuple(kind for kind in PathKind if wanted.ink_path and any(rides_of(stage, kind) for stage in rough))
    entries = entries_of(rough, wanted.tells, contacts=wanted.contacts, paths=kinds, assumed=bool(press.assumptions))
    tries = 1 if wanted.paper is not None else len(BY_SIZE) - 1
    layouts = []
    for larger in range(tries):
        page = choose_page(units, entries, paper=wanted.paper, larger=larger)
        layouts.append(_on_page(rough, page, entries=tuple(entries), kinds=kinds, wanted=wanted))
        if not layouts[-1].lost_names and len(layouts[-1].lost_targets) <= BEARABLE_LOSSES:
            break
    return min(layouts, key=lambda layout: (len(layout.lost_names), len(layout.lost_targets)))


def _on_page(
    rough: tuple[Stage, ...], page: Page, *, entries: tuple[Entry, ...], kinds: tuple[PathKind, ...], wanted: Wanted
) -> Layout:
    stages = tuple(
        set_stage(stage.press, stage.unit, mapping) for stage, mapping in zip(rough, page.mappings, strict=True)
    )
    board = _board(stages, page, wanted.tells)
    notes, lost_names, lost_targets = _place_all(stages, board, wanted)
    rides = tuple((kind, tuple(ride for stage in stages for ride in rides_of(stage, kind))) for kind in kinds)
    return Layout(
        page, stages, entries, tuple(notes), tuple(lost_names), tuple(lost_targets), rides, tuple(board.discs)
    )


def disc_of(body: Body) -> Disc:
    """The circle a body takes on paper."""
    return Disc(body.x, body.y, body.r)


def _board(stages: tuple[Stage, ...], page: Page, tells: Tells) -> Board:
    discs = [disc_of(body) for stage in stages for body in stage.bodies.values() if body.id != "impression"]
    board = Board(page.train, discs)
    for stage in stages:
        for box in surrounding_boxes(stage):
            board.take(box)
        for nip in stage.nips:
            board.take(_about(nip.at, 1.2))
        for body in stage.bodies.values():
            for spot in turn_arrow_spots(body, tells):
                board.take(_about(spot, 0.5), words=False)
    return board


def _about(at: Spot, half: float) -> Box:
    return Box(at[0] - half, at[1] - half, at[0] + half, at[1] + half)


def surrounding_boxes(stage: Stage) -> list[Box]:
    """The paper that fountain, pans, sheet and impression cylinder take."""
    boxes = fountain_box(stage) + [pan_box(stage, body) for body in pan_bodies(stage)]
    return [*boxes, draw_sheet(stage)[1], *impression_boxes(stage)]


def _place_all(stages: tuple[Stage, ...], board: Board, wanted: Wanted) -> tuple[list[Note], list[str], list[str]]:
    """Words inside circles first, figures at the nips next, what is left beside the circles last."""
    notes: list[Note] = []
    outside: list[tuple[Body, Rows]] = []
    for stage in stages:
        for body in stage.bodies.values():
            note, rest = _inside(stage, body, board, tells=wanted.tells)
            notes += [note] if note is not None else []
            outside += [(body, rest)] if rest else []
    notes += _captions(stages, board)
    found, lost_targets = _place_targets(stages, board) if wanted.contacts else ([], [])
    lost_names = []
    for body, rows in sorted(outside, key=lambda pair: -board.crowding(disc_of(pair[0]))):
        beside = _beside(body, rows, board)
        if beside is None:
            lost_names.append(f"{body.id}: {', '.join(row.words for row in rows if row.words)}")
        else:
            found.append(beside)
    return notes + found, lost_names, lost_targets


def _inside(stage: Stage, body: Body, board: Board, *, tells: Tells) -> tuple[Note | None, Rows]:
    """The fullest set of rows that fits inside the circle, and the rows that must go beside it."""
    if body.id == "impression":
        return impression_note(stage, body, board), ()
    disc, band = disc_of(body), band_mm(tells) if body.is_roller else 3.0
    arrow = arrow_inset_mm(body, tells) if body.is_roller else 4.0
    choices = label_choices(stage, body, tells)
    for inner, outer in choices:
        box = fits_inside(inner, disc, band=band, arrow=arrow) if inner else None
        if box is not None:
            for row in row_boxes(inner, box, align="middle"):
                board.take(row)
            return Note(inner, box, "middle", inside=disc), outer
    return None, choices[-1][1]


def impression_note(stage: Stage, body: Body, board: Board) -> Note:
    """The words of the impression cylinder: behind its arc, which is all that is drawn of it."""
    rows = label_choices(stage, body, Tells.EVERYTHING)[-1][1]
    width, height = size_of(rows)
    x, y = body.at(body.towards(stage.bodies["blanket"]), inset=4.0 + (width + height) / 4)
    box = Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)
    board.take(box)
    return Note(rows, box, "middle")


def _beside(body: Body, rows: Rows, board: Board) -> Note | None:
    """Words beside a circle. Away from it they carry its id, and are broken narrower if that finds a better place."""
    disc = disc_of(body)
    placed = board.find_beside(disc, size_of(rows))
    if placed is None or placed.cost > NEAR_ENOUGH_MM:
        tried = [
            (board.find_beside(disc, size_of(choice)), choice)
            for choice in (led(rows, body.id), narrower(rows, body.id))
        ]
        found = [(place, choice) for place, choice in tried if place is not None]
        if not found:
            return None
        placed, rows = min(found, key=lambda pair: pair[0].cost)
    board.take_placed(placed)
    align = "start" if (placed.box.left + placed.box.right) / 2 >= body.x else "end"
    return Note(rows, placed.box, align, placed.leader)


def _captions(stages: tuple[Stage, ...], board: Board) -> list[Note]:
    """The word at the sheet, and the names of the units where there are several."""
    notes = []
    for stage in stages:
        if len(stages) > 1:
            notes.append(_unit_name(stage, board))
        tip = sheet_ends(stage)[1]
        rows = (Row(label("figure.sheet"), SMALL_MM),)
        placed = board.find_beside(Disc(*tip, 2.0), size_of(rows))
        if placed is not None:
            notes.append(Note(rows, board.take_placed(placed).box, "middle", placed.leader))
    return notes


def _unit_name(stage: Stage, board: Board) -> Note:
    rows = (Row(unit_name(stage.unit), ID_MM, bold=True),)
    width, height = size_of(rows)
    middle = sum(body.x for body in stage.rollers) / max(1, len(stage.rollers))
    left = min(max(middle - width / 2, board.page.left), board.page.right - width)
    box = Box(left, board.page.top, left + width, board.page.top + height)
    board.take(box)
    return Note(rows, box, "middle")


def _place_targets(stages: tuple[Stage, ...], board: Board) -> tuple[list[Note], list[str]]:
    notes, homeless = [], []
    for stage in stages:
        for nip in stage.nips:
            rows = _target_rows(stage, nip)
            if not rows:
                continue
            pair = (disc_of(stage.bodies[nip.joint.a]), disc_of(stage.bodies[nip.joint.b]))
            placed = board.place_at_nip(Site(nip.at, nip.across_deg, size_of(rows), pair))
            if placed is not None:
                notes.append(Note(rows, placed.box, "middle", placed.leader))
                continue
            far = _far_target(nip, rows, board, pair=pair)
            if far is None:
                homeless.append(f"{nip.joint.id} {rows[0].words}")
            else:
                notes.append(far)
    return notes, homeless


def _far_target(nip: Nip, rows: Rows, board: Board, *, pair: tuple[Disc, Disc]) -> Note | None:
    """A target that finds no room at its nip stands away from it, with the names of the two and a leader."""
    named = (replace(rows[0], lead=nip.joint.id),)
    placed = board.find_beside(Disc(*nip.at, NIP_REACH_MM), size_of(named), own=pair)
    return None if placed is None else Note(named, board.take_placed(placed).box, "middle", placed.leader)


def _target_rows(stage: Stage, nip: Nip) -> Rows:
    """The stripe this nip should show, in mm, with the letter of its source."""
    contact = nip.joint.contact
    if contact is None:
        return ()
    path = ("units", stage.unit.id, "contacts", contact.id, "stripe", "target_mm")
    mark = label("figure.assumed-mark") if stage.press.is_assumed(*path) else ""
    target = numbers_read(f"{contact.stripe.target_mm:g}")
    words = f"{mark}{target} {label(SOURCE_MARKS[contact.stripe.source])}"
    return (Row(words, SMALL_MM),)
