"""Work for a press: a plate file, a picture, a job ticket or typed figures, read and laid on the plate of a unit."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path, PurePath

import numpy as np

from filmsplit.artwork import (
    CoverageMap,
    Placement,
    Plate,
    PlateCurve,
    Sheet,
    StepAndRepeat,
    Turn,
    WorkStyle,
    doubts,
    place,
    zone_cuts,
    zone_totals,
)
from filmsplit.artwork.coverage import Numbers
from filmsplit.formats.coverage_file import read_coverage, work_size_mm
from filmsplit.formats.coverage_options import CoverageOptions, CoverageRead, Progress
from filmsplit.formats.coverage_typed import typed_coverage
from filmsplit.formats.ink_zones_reader import read_ink_zones
from filmsplit.formats.pdf.asked import PdfAsked
from filmsplit.formats.work_look import strange_coverage, strange_ink_zones, strange_size_mm
from filmsplit.formats.work_store import named
from filmsplit.messages import Problem, Refusal, label
from filmsplit.press import Press, Unit
from filmsplit.simulation.from_press import ink_network, width_of
from filmsplit.studies.film_checks import TOUCHES_MM, reach_of
from filmsplit.studies.film_setting import zone_edges_mm

_TYPED = re.compile(r"[\d.,;%x×*\s]+")
_TICKETS = frozenset({".xml", ".jdf", ".xjdf"})


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkAsked:
    """The work, and what is told about it.

    ``what`` is one or more paths (a plate-setter often writes one file an ink), or percents by zone as a person types
    them.

    ``names``: what to call the files, which somebody then brought to a page: each is read in a process of its own.
    ``only_typed``: ``what`` came from a page and is figures, whatever files there may be: it is never made into a path.
    ``sheet_mm`` is (length in the direction of travel, width), the largest the press takes unless told; ``lead_mm``
    and ``side_mm`` are the work's place on the sheet: at its lead edge and in its middle unless told.
    """

    what: tuple[str, ...]
    names: tuple[str, ...] = ()
    only_typed: bool = False
    sheet_mm: tuple[float, float] | None = None
    gripper_mm: float = 0.0
    lead_mm: float | None = None
    side_mm: float | None = None
    turn: Turn = Turn.NONE
    mirrored: bool = False
    negative: bool = False
    repeat: StepAndRepeat = field(default_factory=StepAndRepeat)
    style: WorkStyle = WorkStyle.SHEETWISE
    curve: PlateCurve | None = None
    resolution_dpi: float | None = None
    pdf: PdfAsked = field(default_factory=PdfAsked)
    inks: tuple[str, ...] = ()
    workers: int = 2
    progress: Progress | None = None

    @property
    def is_typed(self) -> bool:
        return self.only_typed or all(_TYPED.fullmatch(each) and not Path(each).exists() for each in self.what)

    @property
    def title(self) -> str:
        """What to call the work where nobody names it."""
        return "" if self.is_typed else PurePath(self.called[0]).stem

    @property
    def called(self) -> tuple[str, ...]:
        """What a person calls the files."""
        return self.names or tuple(Path(each).name for each in self.what)

    @property
    def paths(self) -> tuple[Path, ...]:
        return tuple(map(Path, self.what))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class InkPlate:
    """One ink of the work on the plate of a unit.

    ``coverage`` and its edges are the part under the sheet: rows from its lead edge, columns from its operator's side.
    ``zones`` is the image share of each ink zone's part under the sheet, 0 where there is none; ``whole_zones`` that of
    the whole zone over the length of the sheet.
    """

    ink: str
    placed: CoverageMap
    coverage: Numbers
    edges_mm: tuple[Numbers, Numbers]
    zones: Numbers
    whole_zones: Numbers


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Work:
    """Every ink of the work, the plate, the sheet and the place it was laid on, and what should be known.

    ``picture_mm`` is down and across as the file has it; ``None`` where figures came by zone.
    """

    plates: tuple[InkPlate, ...]
    on: Plate
    zones_mm: Numbers
    placement: Placement
    sheet: Sheet
    picture_mm: tuple[float, float] | None
    notices: tuple[Problem, ...]

    @property
    def inks(self) -> tuple[str, ...]:
        return tuple(plate.ink for plate in self.plates)


def read_work(asked: WorkAsked, press: Press, unit: Unit) -> Work:
    """Read the work and lay it on the plate of ``unit``. :class:`Refusal` with what stands in the way."""
    on = _OnPress(press=press, unit=unit, asked=asked)
    names = _names(asked)
    try:
        read = _read(asked, on)
    except Refusal as refusal:
        raise Refusal(named(refusal.problems, names)) from refusal
    plate, plates, notices = on.plate, [], list(read.notices)
    for each in read.maps:
        placed, told = place(each, read.placement, plate)
        plates.append(on.ink_plate(placed))
        notices += [*told, *doubts(placed)]
    return Work(
        plates=tuple(plates),
        on=plate,
        zones_mm=on.zones_mm,
        placement=read.placement,
        sheet=on.sheet,
        picture_mm=read.picture_mm,
        notices=named(tuple(notices), names),
    )


def _names(asked: WorkAsked) -> dict[str, str]:
    """What to call the paths of files that have names of their own."""
    return dict(zip(asked.what, asked.names, strict=True)) if asked.names else {}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Read:
    """The maps of the work, where they go, how large the picture is (if there is one), and what should be known."""

    maps: tuple[CoverageMap, ...]
    placement: Placement
    picture_mm: tuple[float, float] | None = None
    notices: tuple[Problem, ...] = ()


def _read(asked: WorkAsked, on: _OnPress) -> _Read:
    """From typed figures, a ticket, or files."""
    if asked.is_typed:
        ink = asked.inks[0] if asked.inks else ""
        typed = typed_coverage(" ".join(asked.what), on.zones_mm, round_mm=on.sheet.length_mm, ink=ink)
        kept = _under_sheet(typed, on, spread=False)
        return _Read(maps=(kept,), placement=on.as_it_lies(kept))
    tickets = [path for path in asked.paths if path.suffix.lower() in _TICKETS]
    if tickets and len(asked.what) > 1:
        raise Refusal(Problem("setup-ticket-beside-files", {"file": str(tickets[0])}))
    if tickets:
        maps = _ticket(asked, tickets[0], on=on)
        return _Read(maps=maps, placement=on.as_it_lies(maps[0]), notices=(Problem("setup-ticket-in-the-middle"),))
    return _files(asked, on)


def _ticket(asked: WorkAsked, path: Path, *, on: _OnPress) -> tuple[CoverageMap, ...]:
    """The profiles of a ticket, one for each ink, its zones in the middle of the press."""
    profiles = strange_ink_zones(path) if asked.names else read_ink_zones(path)
    if asked.inks and len(asked.inks) != len(profiles):
        values = {"file": str(path), "inks": len(profiles), "told": len(asked.inks)}
        raise Refusal(Problem("plate-inks-do-not-fit", values))
    names = asked.inks or tuple(profile.ink for profile in profiles)
    made = []
    for profile, name in zip(profiles, names, strict=True):
        first_mm = (on.width_mm - profile.zone_mm * len(profile.shares)) / 2
        zones = profile.coverage(round_mm=on.sheet.length_mm, file=asked.called[0], first_mm=first_mm)
        made.append(_under_sheet(replace(zones, ink=name), on, spread=True))
    return tuple(made)


def _under_sheet(zones: CoverageMap, on: _OnPress, *, spread: bool) -> CoverageMap:
    """Figures by zone, as a map of the sheet: :class:`Refusal` where a zone beside it has some.

    A figure is for the part of its zone under the sheet, or (``spread``, as in tickets) for the whole zone, whose image
    then lies in that part.
    """
    whole, sheet = zones.across_edges_mm, on.sheet
    edges = np.clip(whole, sheet.side_mm, sheet.side_mm + sheet.width_mm)
    under, shares = np.diff(edges), zones.coverage[0]
    kept = under > TOUCHES_MM
    shares = np.where(kept & spread, shares * np.diff(whole) / np.where(kept, under, 1.0), shares)
    beside = np.flatnonzero((~kept & (shares > 0)) | (shares > 1.0 + TOUCHES_MM))
    if beside.size:
        values = {"zones": ", ".join(str(zone + 1) for zone in beside), "width_mm": sheet.width_mm}
        raise Refusal(Problem("setup-zone-beside-sheet", values))
    return replace(zones, coverage=np.minimum(shares, 1.0)[kept][None], across_edges_mm=np.unique(edges))


def _files(asked: WorkAsked, on: _OnPress) -> _Read:
    """Plate files or pictures, cut where the zones of the press fall in them; all are to be of one size."""
    options = CoverageOptions(
        resolution_dpi=asked.resolution_dpi,
        curve=asked.curve,
        pdf=asked.pdf,
        workers=asked.workers,
        progress=asked.progress,
    )
    size_mm, read = (strange_size_mm, strange_coverage) if asked.names else (work_size_mm, read_coverage)
    sizes_mm = [size_mm(path, options) for path in asked.paths]
    odd = [
        path for path, size in zip(asked.paths, sizes_mm, strict=True) if not np.allclose(size, sizes_mm[0], atol=0.5)
    ]
    if odd:
        values = {"file": str(odd[0]), "first": str(asked.paths[0])}
        raise Refusal(Problem("setup-files-of-two-sizes", values))
    placement, assumed = _placement(asked, on, size_mm=sizes_mm[0])
    down, across = zone_cuts(placement, on.zones_mm, picture_mm=sizes_mm[0])
    cut = replace(options, cuts_round_mm=down, cuts_across_mm=across)
    reads = [read(path, cut) for path in asked.paths]
    return _Read(
        maps=tuple(_named(asked, reads)),
        placement=placement,
        picture_mm=sizes_mm[0],
        notices=(*(notice for read in reads for notice in read.notices), *assumed),
    )


def _named(asked: WorkAsked, reads: list[CoverageRead]) -> Iterator[CoverageMap]:
    """The maps with the inks' names: as told, as the file says, or (a file of one nameless ink) after the file."""
    maps = [
        (replace(each, source=replace(each.source, file=name)), name)
        for read, name in zip(reads, asked.called, strict=True)
        for each in read.maps
    ]
    if asked.inks and len(asked.inks) != len(maps):
        values = {"file": ", ".join(asked.what), "inks": len(maps), "told": len(asked.inks)}
        raise Refusal(Problem("plate-inks-do-not-fit", values))
    if asked.inks:
        yield from (replace(each, ink=ink) for (each, _), ink in zip(maps, asked.inks, strict=True))
        return
    for each, name in maps:
        nameless = each.ink == label("artwork.page", page=each.source.page)
        alone = len(maps) == len(asked.what)
        yield replace(each, ink=PurePath(name).stem) if nameless and alone else each


def _placement(
    asked: WorkAsked, on: _OnPress, *, size_mm: tuple[float, float]
) -> tuple[Placement, tuple[Problem, ...]]:
    """Where the work goes: as told, otherwise at the lead edge and in the middle of the sheet, which is said."""
    long_mm, wide_mm = size_mm if asked.turn.value % 180 == 0 else size_mm[::-1]
    wide_mm += asked.repeat.reach_mm[1]
    middle_mm = (on.sheet.width_mm - wide_mm) / 2
    if asked.style is WorkStyle.WORK_AND_TURN:
        middle_mm = (on.sheet.width_mm / 2 - wide_mm) / 2
    placement = Placement(
        sheet=on.sheet,
        lead_mm=asked.lead_mm or 0.0,
        side_mm=middle_mm if asked.side_mm is None else asked.side_mm,
        turn=asked.turn,
        mirrored=asked.mirrored,
        negative=asked.negative,
        repeat=asked.repeat,
        style=asked.style,
    )
    if asked.lead_mm is not None and asked.side_mm is not None:
        return placement, ()
    values = {"long_mm": long_mm, "wide_mm": wide_mm, "lead_mm": placement.lead_mm, "side_mm": placement.side_mm}
    return placement, (Problem("setup-assumed-place", values),)


@dataclass(frozen=True, slots=True, kw_only=True)
class _OnPress:
    """Plate, sheet and zones of a unit in the frame of its plate: from its lead edge, from the operator's side."""

    press: Press
    unit: Unit
    asked: WorkAsked

    @property
    def width_mm(self) -> float:
        return width_of(self.unit)

    @property
    def zones_mm(self) -> Numbers:
        return np.array(zone_edges_mm(self.unit, ink_network(self.unit)))

    @property
    def sheet(self) -> Sheet:
        """In the middle of the press; refused where the press takes none so large."""
        most = reach_of(self.press, self.unit)
        length_mm, width_mm = self.asked.sheet_mm or most
        if length_mm > most[0] + TOUCHES_MM or width_mm > most[1] + TOUCHES_MM:
            values = {"unit": self.unit.id, "length_mm": length_mm, "width_mm": width_mm}
            most_mm = {"most_length_mm": most[0], "most_width_mm": most[1]}
            raise Refusal(Problem("film-sheet-too-large", values | most_mm))
        side_mm = (self.width_mm - width_mm) / 2
        return Sheet(length_mm=length_mm, width_mm=width_mm, side_mm=side_mm, gripper_mm=self.asked.gripper_mm)

    @property
    def under_sheet_mm(self) -> Numbers:
        """Width of each zone under the sheet."""
        sheet = self.sheet
        return np.diff(np.clip(self.zones_mm, sheet.side_mm, sheet.side_mm + sheet.width_mm))

    def as_it_lies(self, zones: CoverageMap) -> Placement:
        """The place of a map that was made where it lies."""
        return Placement(sheet=self.sheet, side_mm=float(zones.across_edges_mm[0]) - self.sheet.side_mm)

    @property
    def plate(self) -> Plate:
        """Cells of about a millimetre that begin and end at zones and sheet."""
        cylinder, sheet = self.unit.cylinders.plate, self.sheet
        sides = (0.0, self.width_mm, sheet.side_mm, sheet.side_mm + sheet.width_mm)
        across = [*sides, *(edge for edge in self.zones_mm if 0 < edge < self.width_mm)]
        down = [0.0, sheet.length_mm, cylinder.circumference_mm]
        return Plate.cut(down, across, gap_mm=cylinder.gap_mm)

    def ink_plate(self, placed: CoverageMap) -> InkPlate:
        """The part of a placed map under the sheet, and its share of each zone there."""
        sheet = self.sheet
        rows = _within(placed.round_edges_mm, 0.0, sheet.length_mm)
        columns = _within(placed.across_edges_mm, sheet.side_mm, sheet.side_mm + sheet.width_mm)
        inked = zone_totals(placed, self.zones_mm).inked_mm2
        area = self.under_sheet_mm * sheet.length_mm
        return InkPlate(
            ink=placed.ink,
            placed=placed,
            coverage=placed.coverage[rows, columns],
            edges_mm=(_edges(placed.round_edges_mm, rows), _edges(placed.across_edges_mm, columns) - sheet.side_mm),
            zones=np.divide(inked, area, out=np.zeros(inked.size), where=area > TOUCHES_MM),
            whole_zones=inked / (np.diff(self.zones_mm) * sheet.length_mm),
        )


def _within(edges_mm: Numbers, low: float, high: float) -> slice:
    """Cells between two edges that are among ``edges_mm``."""
    return slice(int(np.argmin(np.abs(edges_mm - low))), int(np.argmin(np.abs(edges_mm - high))))


def _edges(edges_mm: Numbers, cells: slice) -> Numbers:
    return np.array(edges_mm[cells.start : cells.stop + 1])


def told_work(work: Work) -> Iterator[str]:
    """What the plates were read from, and every step done to them: once where all inks share it."""
    told: dict[str, None] = {}
    for plate in work.plates:
        source, steps = plate.placed.source, plate.placed.steps
        told[" · ".join(each for each in (source.file, source.kind) if each)] = None
        if source.dots is not None:  # figures by zone lie where the zones are: there is nothing to tell
            told |= {step.text: None for step in steps}
    return iter(told)
