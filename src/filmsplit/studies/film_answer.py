"""The answer as plain records with units in their names: what `--json` prints, and what its schema is written from."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from filmsplit.messages import Problem


def told(text: str, unit: str = "") -> Any:
    """A field with its meaning and its unit, for the page and the schema."""
    return field(metadata={"told": text, "unit": unit})


@dataclass(frozen=True, slots=True, kw_only=True)
class ArcAnswer:
    """The way of a surface from one contact to the next."""

    start: str = told("what the surface comes from: roller, cylinder, `sheet` or `ink` (the feed)")
    end: str = told("what it goes to")
    length_mm: float = told("length of surface between them", "mm")
    film_um: float = told("mean film on the way, over the face within the sheet's width and one common period", "µm")


@dataclass(frozen=True, slots=True, kw_only=True)
class RollerAnswer:
    """One roller of the ink train."""

    id: str = told("its id in the press file")
    name: str = told("its name in the shop's words")
    film_um: float = told("settled mean film: over its whole surface within the sheet's width, one common period", "µm")
    towards_um: float | None = told("film it brings to the member next on the way to the sheet", "µm")
    away_um: float | None = told("film it brings back to the member nearer to the fountain; null for a rider", "µm")
    stored_g: float = told("ink on it at the end of the period", "g")
    arcs: tuple[ArcAnswer, ...] = told("its surface, contact by contact, going with the rotation")


@dataclass(frozen=True, slots=True, kw_only=True)
class FormAnswer:
    """One ink form roller."""

    id: str = told("its id in the press file")
    order: int = told("place in the order in which the plate meets them, from 1 after the blanket")
    on: bool = told("whether it is on the plate")
    share: float | None = told("part of the ink given to the plate that it gives; null where none is given", "0..1")


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneAnswer:
    """One ink zone, over the part of it on which the sheet lies."""

    zone: int = told("number from the operator's side, from 1")
    first_mm: float = told("where it begins, from the operator-side end of the longest ink roller", "mm")
    end_mm: float = told("where it ends", "mm")
    key_film_um: float | None = told("film its key lets through on the fountain roller", "µm")
    coverage: float = told("mean coverage of the sheet in it", "0..1")
    sheet_um: float | None = told("mean film on the image in it; null where it has none", "µm")


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmsAnswer:
    """All films of a settled train."""

    sheet_um: float = told("mean film on the sheet's image, per image area", "µm")
    sheet_least_um: float = told("thinnest film on a cell of the image", "µm")
    sheet_most_um: float = told("thickest film on a cell of the image", "µm")
    plate_um: float = told("film the plate's image brings to the blanket", "µm")
    blanket_um: float = told("film the blanket's image carries away from the plate", "µm")
    rollers: tuple[RollerAnswer, ...] = told("every roller of the ink train but the fountain roller, in file order")
    plate_arcs: tuple[ArcAnswer, ...] = told("the plate, contact by contact; films per image area")
    blanket_arcs: tuple[ArcAnswer, ...] = told("the blanket, contact by contact; films per image area")
    forms: tuple[FormAnswer, ...] = told("the ink form rollers in the order in which the plate meets them")
    zones: tuple[ZoneAnswer, ...] = told("ink zones on which the sheet lies")


@dataclass(frozen=True, slots=True, kw_only=True)
class InkAnswer:
    """The ink budget, each amount summed by itself."""

    fed_per_sheet_g: float = told("ink that came from the fountain per sheet", "g")
    printed_per_sheet_g: float = told("ink the sheet took", "g")
    fed_per_1000_sheets_kg: float = told("the same per thousand sheets", "kg")
    printed_per_1000_sheets_kg: float = told("the same per thousand sheets", "kg")
    stored_g: float = told("ink in the train, plate and blanket included, at the end of the period", "g")
    fed_less_printed_per_sheet_g: float = told("what does not add up: within the accuracy of the settled state", "g")
    density_g_per_cm3: float = told("density of the ink", "g/cm³")


@dataclass(frozen=True, slots=True, kw_only=True)
class PartAnswer:
    """One uncertain number and what it does to the band."""

    kind: str = told("`split`, `contact`, `transfer`, `key-film`, `sweep`, `stroke` or `dwell`")
    name: str = told("the nip, roller or feed it belongs to; empty where it stands for all of its kind")
    words: str = told("the same in words")
    part: float = told("its part of the variance", "0..1")


@dataclass(frozen=True, slots=True, kw_only=True)
class BandAnswer:
    """How far the mean film on the sheet may be off with these keys, from the stated uncertainties."""

    low_um: float = told("lower end", "µm")
    high_um: float = told("upper end", "µm")
    coverage: float = told("part of cases the band is meant to hold", "0..1")
    sigma_um: float = told("one standard deviation", "µm")
    parts: tuple[PartAnswer, ...] = told("what the band is made of, the largest part first")
    settled: bool = told("whether every derivative was found to the accuracy asked for")
    cells: int = told("cells of the coarser grid on which the derivatives were taken")
    coarse_grid_differs: float = told("by what part of itself the film would be larger on that coarser grid")


@dataclass(frozen=True, slots=True, kw_only=True)
class ResponseAnswer:
    """Starting up from a train without ink, with these keys from the first sheet on."""

    sheets_63: int | None = told("first sheet whose mean, over the last common period, has made 63 % of the way")
    sheets_95: int | None = told("the same for 95 %")
    ended: str = told("why no more sheets were computed: `enough`, `most sheets` or `no change`")
    sheets_um: tuple[float, ...] = told("mean film of each sheet from the first on", "µm")


@dataclass(frozen=True, slots=True, kw_only=True)
class GridAnswer:
    """The cells."""

    round_mm: float = told("length of a cell round the plate", "mm")
    across_mm: float = told("width of a cell", "mm")
    rows: int = told("cells round the plate")
    columns: int = told("cells across")
    cells: int = told("cells of all surfaces together")
    reason: tuple[Problem, ...] = told("why cells have this size, round and across")


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedAnswer:
    """The question in full, gaps filled."""

    mode: str = told("what the press is doing: `print`, `no-sheet` or `forms-off`")
    thrown_off: tuple[str, ...] = told("form rollers thrown off the plate")
    coverage: float = told("mean coverage over the sheet", "0..1")
    sheet_length_mm: float = told("length of the sheet in the direction of travel", "mm")
    sheet_width_mm: float = told("width of the sheet across the press", "mm")
    sheet_first_mm: float = told(
        "where its operator side lies, from the operator-side end of the longest ink roller", "mm"
    )
    key_films_um: tuple[float, ...] | None = told(
        "film the key of each zone lets through; null where none was found", "µm"
    )
    keys_found: bool = told("whether the keys were found from the film asked for rather than given")
    aim_um: float | None = told("mean film asked for on the sheet; null where the keys were given", "µm")
    sweep_mm: float | None = told("fountain roller surface per feed; null where a ductor is not there", "mm")
    transfer: dict[str, float] = told("law on the sheet: `tau`, or `k`, `b`, `f` of Walker and Fetsko")
    accuracy: float = told("largest error on the image, as part of its mean film, that counts as settled")


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitAnswer:
    """One unit. ``films``, ``ink``, ``band`` and ``response`` are null unless the outcome is ``ink-settled``."""

    unit: str = told("its id in the press file")
    outcome: Problem = told("how the solve ended; only `ink-settled` is success")
    settled: bool = told("whether the films may be relied on")
    asked: AskedAnswer = told("the question in full, gaps filled")
    films: FilmsAnswer | None = told("all films; null unless settled")
    ink: InkAnswer | None = told("the ink budget; null unless settled")
    band: BandAnswer | None = told("how sure the film on the sheet is; null unless settled and printing")
    response: ResponseAnswer | None = told("start-up from empty; null unless settled and printing")
    common_period_rev: int = told("turns of the plate after which everything repeats")
    revolutions: int = told("turns of the plate marched to settle, on the grid below, over all trials")
    work_revolutions: float = told("the same with the work on coarser grids added, counted by its cells")
    cycles_pulled: float = told("largest part by which a cycle was changed to have a common period; 0: none was")
    pull_error: float = told("what that puts the mean print wrong by, as part of it, estimated; not part of `error`")
    error: float | None = told("estimated largest error on the image, as part of its mean film")
    fed_less_printed: float | None = told("what is fed less what is printed, as part of the larger")
    grid: GridAnswer = told("the cells")
    notes: tuple[Problem, ...] = told("what was assumed, and how the keys were found")


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitAnswer:
    """Something the model leaves out."""

    slug: str = told("its name on the page of limits")
    what: str = told("what is left out")
    so: str = told("what follows")


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmAnswer:
    """A press asked where its ink is."""

    press: str = told("id of the press")
    invented: bool = told("whether the press exists only on paper")
    ink: str = told("ink whose density was taken; empty where the density was given")
    units: tuple[UnitAnswer, ...] = told("the units asked about, in the order the sheet meets them")
    limits: tuple[LimitAnswer, ...] = told("what is not modelled and concerns this answer")
