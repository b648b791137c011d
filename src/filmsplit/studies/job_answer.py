"""Settings of a job as plain records with units in their names: what ``--json`` prints, and what paper is made from."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.messages import Problem
from filmsplit.studies.film_answer import LimitAnswer, told


@dataclass(frozen=True, slots=True, kw_only=True)
class SetKey:
    """One ink zone and its key."""

    zone: int = told("number from the operator's side, from 1")
    width_mm: float = told("width of the zone", "mm")
    coverage: float = told("image share of the part of the zone under the sheet", "0..1")
    reading: float = told("the key as it is set: divisions, steps, or turns from just closed")
    opening: float = told("the same as a part of the key's range", "0..1")
    film_um: float = told("film in the zone on the fountain roller, neighbours included", "µm")
    print_um: float | None = told("settled mean film on the image of the zone; null where it has none", "µm")
    low_um: float | None = told("lower end of the first sheet's band", "µm")
    high_um: float | None = told("upper end of the first sheet's band", "µm")
    density: float | None = told("expected density of a solid; null without constants", "D")
    density_low: float | None = told("lower end of its band", "D")
    density_high: float | None = told("upper end of its band", "D")
    reached: bool = told("whether the settled print meets the aim, or nothing is asked")
    start_reading: float | None = told("the key for the first sheets, where the plan begins with others; else null")
    turns_on_rollers: float | None = told("turns of the plate that ink stays on the rollers; null where none is taken")


@dataclass(frozen=True, slots=True, kw_only=True)
class SetSweep:
    """How far the fountain roller turns at each feed."""

    reading: float = told("in the press's divisions or notches")
    mm: float = told("surface of the fountain roller per feed", "mm")


@dataclass(frozen=True, slots=True, kw_only=True)
class SetStart:
    """What to do with the first and the last sheets. Sheets count from 1."""

    charge_revolutions: int = told("turns of the press with the forms off and the ductor on, before the first sheet")
    factor: float = told("keys of the first sheets over the run settings")
    run_settings_from: int = told("sheet from which on the run settings hold")
    ductor_off_after: int | None = told("sheet after which the ductor is held off; null: not before the end")
    first_good: int | None = told("first sheet from which on all are good; null: none among those shown")
    short: bool = told("whether the whole run is planned because the rollers do not settle within it")
    sheets: int = told("sheets looked at: the run, or the start of it")
    waste: int = told("sheets among them that are not good with this plan")
    plain_waste: int = told("the same with the run settings from the first sheet on and no charge")
    sheets_63: int | None = told("sheet at which 63 % of the way is made without a charge")
    sheets_95: int | None = told("sheet at which 95 % of the way is made without a charge")
    settled_mean: float = told("settled mean value over the zones, in the unit of `values`")
    tolerance: float = told("how far a good sheet may be from the settled print, in the unit of `values`")
    values_unit: str = told("`D` or `µm`: what the values are")
    values_low: tuple[float, ...] = told("lowest value over the zones, sheet by sheet")
    values_mean: tuple[float, ...] = told("mean value over the zones, sheet by sheet")
    values_high: tuple[float, ...] = told("highest value over the zones, sheet by sheet")
    plain_mean: tuple[float, ...] = told("mean value with the run settings from the first sheet on and no charge")


@dataclass(frozen=True, slots=True, kw_only=True)
class SetInk:
    """Ink to have at hand."""

    printed_kg: float | None = told("on the good sheets; null where the run is not known", "kg")
    charge_kg: float = told("what the rollers still take up", "kg")
    fountain_kg: float = told("least fill of the fountain, as told; 0 where nobody told", "kg")
    left_over_kg: float = told("to be left over, as told", "kg")
    total_kg: float | None = told("all of it; null where the run is not known", "kg")
    per_1000_sheets_kg: float = told("printed on a thousand sheets", "kg")


@dataclass(frozen=True, slots=True, kw_only=True)
class SetBar:
    """A take-off bar at the tail, that keeps ink moving in a zone."""

    zone: int = told("zone it lies in")
    width_mm: float = told("across", "mm")
    length_mm: float = told("in the direction of travel", "mm")
    turns: float = told("turns that ink then stays on the rollers")


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUnit:
    """One ink on one unit in one pass."""

    pass_number: int = told("pass through the press, from 1")
    unit: str = told("id of the unit")
    ink: str = told("ink, as the work calls it")
    aim_um: float = told("film aimed at on the image", "µm")
    aim_density: float | None = told("density aimed at, where one was", "D")
    sweep: SetSweep | None = told("the sweep; null for a feed without one")
    keys: tuple[SetKey, ...] = told("every zone, from the operator's side")
    mean_open: float = told("mean opening of the open keys", "0..1")
    band_coverage: float = told("part of zones that the bands are meant to hold", "0..1")
    look_again: int | None = told("sheet at which a key move can be judged; null: not within the sheets followed")
    start: SetStart | None = told("plan of the start; null where the law on the sheet does not allow one")
    ink_need: SetInk = told("ink to have at hand")
    bars: tuple[SetBar, ...] = told("take-off bars that mend ink which stays too long")
    washes: tuple[Problem, ...] = told("changes of ink before this one: wash, or run out")
    last_time: tuple[str, ...] = told("jobs on record on this unit that are most like this one")
    learned_jobs: int = told("jobs on record from which the keys were learned; 0: none")
    water: Problem = told("where to start with the water")
    error: float = told("largest error of the settled print, part of its mean film, estimated")
    notes: tuple[Problem, ...] = told("what was assumed and what cannot be reached")


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupAnswer:
    """Settings of a job on a press."""

    press: str = told("id of the press")
    invented: bool = told("whether the press exists only on paper")
    title: str = told("title of the job")
    stock: str = told("paper or board")
    run: int | None = told("good sheets to print; null where it is not known")
    sheet_length_mm: float = told("sheet in the direction of travel", "mm")
    sheet_width_mm: float = told("sheet across", "mm")
    before: str = told("what is on the rollers before: `clean`, `charged` or `stopped`")
    passes: int = told("passes through the press")
    work: tuple[str, ...] = told("what the plates were read from, and what was done to them")
    notices: tuple[Problem, ...] = told("what should be known about the work")
    units: tuple[SetUnit, ...] = told("every ink, in the order in which it is printed")
    limits: tuple[LimitAnswer, ...] = told("what the figures leave out")
