"""Presses side by side: one row per fact, one cell per press."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from filmsplit.messages import label
from filmsplit.press.dampening import WaterWay
from filmsplit.press.facts import PressFacts, UnitFacts, facts_of
from filmsplit.press.press import Press, Unit
from filmsplit.press.travel import travel_mm
from filmsplit.press.words import MotionKind, System


@dataclass(frozen=True, slots=True)
class Word:
    """A value that is a word of a catalogue: keys of labels, to be read one after the other."""

    label_keys: tuple[str, ...]

    def __str__(self) -> str:
        return ", ".join(label(key) for key in self.label_keys)


Value = int | float | bool | Word | None
"""One value; ``None`` where the press has no such thing or it is not known."""

Cell = tuple[Value, ...]
"""The values of one press: one for each unit, or a single one where all units agree."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparisonRow:
    """One fact of every press. ``unit`` is the unit of measure; empty for counts, ratios and words."""

    label_key: str
    unit: str
    cells: tuple[Cell, ...]

    @property
    def differs(self) -> bool:
        """Whether the presses differ in it at all."""
        return len(set(self.cells)) > 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """The table: ids and names of the presses, and the rows."""

    ids: tuple[str, ...]
    names: tuple[str, ...]
    rows: tuple[ComparisonRow, ...]

    def row(self, label_key: str) -> ComparisonRow:
        """The row called ``label_key``; ``KeyError`` if there is none."""
        for row in self.rows:
            if row.label_key == label_key:
                return row
        raise KeyError(label_key)


@dataclass(frozen=True, slots=True)
class _Subject:
    """One printing unit with its facts, as the rows look at it."""

    unit: Unit
    facts: UnitFacts


Look = Callable[[_Subject], Value]


def compare(presses: Iterable[Press]) -> Comparison:
    """The facts of ``presses`` side by side. Surveyed presses have path lengths, others leave them empty."""
    chosen = [(press, facts_of(press)) for press in presses]
    rows = (
        ComparisonRow(label_key="compare.units", unit="", cells=tuple((len(press.units),) for press, _ in chosen)),
        *(_row(key, chosen) for key in _LOOKS),
        ComparisonRow(label_key="compare.hand_wheel", unit="", cells=tuple((press.hand_wheel,) for press, _ in chosen)),
        ComparisonRow(label_key="compare.unknowns", unit="", cells=tuple((facts.assumptions,) for _, facts in chosen)),
    )
    return Comparison(
        ids=tuple(press.id for press, _ in chosen), names=tuple(press.name for press, _ in chosen), rows=rows
    )


def _row(key: str, chosen: list[tuple[Press, PressFacts]]) -> ComparisonRow:
    unit_of_measure, look = _LOOKS[key]
    cells = (tuple(look(_Subject(unit, facts.unit(unit.id))) for unit in press.units) for press, facts in chosen)
    return ComparisonRow(label_key=f"compare.{key}", unit=unit_of_measure, cells=tuple(map(_merged, cells)))


def _merged(values: tuple[Value, ...]) -> Cell:
    return values[:1] if len(set(values)) == 1 else values


def _rollers(system: System) -> Look:
    return lambda subject: dict(subject.facts.counts.by_system)[system]


def _forms(system: System) -> Look:
    return lambda subject: len(subject.facts.forms_of(system))


def _motion(kind: MotionKind) -> Look:
    return lambda subject: dict(subject.facts.counts.by_motion)[kind]


def _ink_nips(subject: _Subject) -> Value:
    shortest = subject.facts.ink_paths.shortest
    return None if shortest is None else len(shortest.nips)


def _water_nips(subject: _Subject) -> Value:
    shortest = subject.facts.water_paths.shortest
    return None if shortest is None else len(shortest.nips)


def _ink_travel(subject: _Subject) -> Value:
    shortest = subject.facts.ink_paths.shortest
    return None if shortest is None else travel_mm(subject.unit, shortest)


def _water_travel(subject: _Subject) -> Value:
    shortest = subject.facts.water_paths.shortest
    return None if shortest is None else travel_mm(subject.unit, shortest)


def _dampening(subject: _Subject) -> Value:
    return Word(tuple(_supply_key(way) for way in subject.facts.dampening.ways))


def _supply_key(way: WaterWay) -> str:
    return f"dampening.{way.supply.value}-{way.position.value}"


def _keys(subject: _Subject) -> Value:
    fountain = subject.unit.fountain
    return None if fountain is None else Word((f"keys.{fountain.keys.kind.value}",))


def _sweep(subject: _Subject) -> Value:
    fountain = subject.unit.fountain
    return None if fountain is None else Word((f"sweep.{fountain.sweep.kind.value}",))


_LOOKS: dict[str, tuple[str, Look]] = {
    "rollers": ("", lambda subject: subject.facts.counts.rollers),
    "ink_rollers": ("", _rollers(System.INK)),
    "dampening_rollers": ("", _rollers(System.DAMPENING)),
    "shared_rollers": ("", _rollers(System.SHARED)),
    "ink_forms": ("", _forms(System.INK)),
    "dampening_forms": ("", _forms(System.DAMPENING)),
    "shared_forms": ("", _forms(System.SHARED)),
    "nips": ("", lambda subject: subject.facts.counts.nips),
    "oscillators": ("", _motion(MotionKind.OSCILLATES)),
    "lifts_out": ("", lambda subject: len(subject.facts.lifts_out)),
    "plate_circumference": ("mm", lambda subject: subject.facts.plate_circumference_mm),
    "ink_area": ("m²", lambda subject: subject.facts.ink_area.all_m2),
    "ink_area_per_plate": ("", lambda subject: subject.facts.ink_area.per_plate_area),
    "near_whole": ("", lambda subject: len(subject.facts.near_whole)),
    "nearly_equal_forms": ("", lambda subject: len(subject.facts.nearly_equal_forms)),
    "ink_feed": ("", lambda subject: Word((f"feed.{subject.facts.ink_feed.value}",))),
    "ink_nips": ("", _ink_nips),
    "ink_travel": ("mm", _ink_travel),
    "parallel": ("", lambda subject: len(subject.facts.ink_paths.parallel)),
    "loops": ("", lambda subject: subject.facts.loops.independent_rings),
    "dampening": ("", _dampening),
    "water_feed": ("", lambda subject: Word((f"feed.{subject.facts.dampening.continuity.value}",))),
    "water_nips": ("", _water_nips),
    "water_travel": ("mm", _water_travel),
    "zones": ("", lambda subject: subject.facts.zones),
    "keys": ("", _keys),
    "sweep": ("", _sweep),
}
"""Each row: what it is called, its unit of measure, and how it looks at one printing unit."""
