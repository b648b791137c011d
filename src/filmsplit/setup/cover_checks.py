"""Whether the covers of a unit bear the ink and the wash that are to run over them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum

from filmsplit.messages import Problem, label
from filmsplit.press.press import Unit
from filmsplit.press.roller import Roller
from filmsplit.press.words import Material, System


class InkFamily(Enum):
    """How an ink dries; the value is also that of its label."""

    OIL = "oil"
    ULTRAVIOLET = "ultraviolet"
    HYBRID = "hybrid"


class WashClass(Enum):
    """What a wash is made of, by what it does to rubber; the value is also that of its label."""

    MINERAL = "mineral"
    VEGETABLE = "vegetable"
    RADIATION = "radiation"
    STRONG = "strong"


class Bearing(Enum):
    """How a cover bears it. What is known to be fit has a row too, so that what has none is known to be unknown."""

    FIT = "fit"
    DOUBTFUL = "doubtful"
    UNFIT = "unfit"


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverRule:
    """How one cover bears one ink family or one wash, and where that is from."""

    material: Material
    against: InkFamily | WashClass
    bearing: Bearing
    source: str


_SLUGS = {Bearing.UNFIT: "setup-cover-unfit", Bearing.DOUBTFUL: "setup-cover-doubtful"}


def cover_problems(
    unit: Unit, *, family: InkFamily, wash: WashClass | None, rules: Sequence[CoverRule]
) -> tuple[Problem, ...]:
    """Warnings about soft covers that ink meets, one for each material and each of ink and wash.

    ``wash`` is ``None`` where nobody said. A cover or a pair without a rule is told to be unknown, never to be fit.
    """
    by_pair = {(rule.material, rule.against): rule for rule in rules}
    against: list[InkFamily | WashClass] = [family] if wash is None else [family, wash]
    found = []
    for material, rollers in _covers(unit).items():
        for what in against:
            found += list(_told(by_pair.get((material, what)), rollers, material=material, against=what))
    return tuple(found)


def _covers(unit: Unit) -> dict[Material, list[Roller]]:
    """Soft covers that carry ink, by material, in the order of the press file."""
    found: dict[Material, list[Roller]] = {}
    for roller in unit.rollers:
        if roller.cover is not None and roller.is_soft and roller.system is not System.DAMPENING:
            found.setdefault(roller.cover.material, []).append(roller)
    return found


def _told(
    rule: CoverRule | None, rollers: Sequence[Roller], *, material: Material, against: InkFamily | WashClass
) -> Iterator[Problem]:
    values = {"material": material.value, "rollers": ", ".join(roller.id for roller in rollers)}
    values |= {"against": _words(against), "source": "" if rule is None else rule.source}
    if rule is None:
        yield Problem("setup-cover-unknown", values)
    elif rule.bearing in _SLUGS:
        yield Problem(_SLUGS[rule.bearing], values)


def _words(against: InkFamily | WashClass) -> str:
    """The name of an ink family or a wash, as said to a person."""
    if isinstance(against, InkFamily):
        return label(f"ink-family.{against.value}")
    return label(f"wash-class.{against.value}")
