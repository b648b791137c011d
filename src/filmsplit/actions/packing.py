"""Ask what another plate, blanket or packing does to a press."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from filmsplit.actions.find import find_press
from filmsplit.contact.packing import Dressing, PackingAnswer, PackingChange, answer_packing
from filmsplit.figures.heading import Subject, subject_of
from filmsplit.messages import Problem, Refusal
from filmsplit.press.asked import units_asked


@dataclass(frozen=True, slots=True, kw_only=True)
class PackingTold:
    """The answer, and whose press it is."""

    subject: Subject
    answer: PackingAnswer


def change_packing(
    reference: str, changes: Mapping[str, float], *, stripes_mm: Mapping[str, float], unit: str | None = None
) -> PackingTold:
    """What ``changes`` (fields of :class:`Dressing`) do to the press meant by ``reference``, stripes as read."""
    press = find_press(reference).press
    units = units_asked(press, unit)
    if len(units) > 1:
        raise Refusal(Problem("packing-which-unit", {"units": ", ".join(one.id for one in units)}))
    if not changes:
        raise Refusal(Problem("packing-nothing-changed"))
    (where,) = units
    dressing = replace(Dressing.of(where), **changes)
    change = PackingChange(press=press, unit=where, dressing=dressing, stripes_mm=stripes_mm)
    return PackingTold(subject=subject_of(press, where), answer=answer_packing(change))
