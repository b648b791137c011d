"""Inks and washes against the covers of a demo press. What is fit is common practice, and the table says so."""

from __future__ import annotations

from dataclasses import replace

import pytest

from filmsplit.formats.press_file import load
from filmsplit.library.cover_rules import cover_rules
from filmsplit.library.workshop import demo_path
from filmsplit.messages import Severity
from filmsplit.press import Unit
from filmsplit.press.words import Material, System
from filmsplit.setup.cover_checks import InkFamily, WashClass, cover_problems

SOFT = (Material.NITRILE, Material.PVC_NITRILE, Material.POLYURETHANE, Material.EPDM)


@pytest.fixture(scope="module")
def bittern() -> Unit:
    return load(demo_path("bittern")).press.units[0]


def covered(unit: Unit, material: Material) -> Unit:
    """The unit with all its soft covers of one material."""
    rollers = [
        replace(roller, cover=replace(roller.cover, material=material)) if roller.cover and roller.is_soft else roller
        for roller in unit.rollers
    ]
    return replace(unit, rollers=tuple(rollers))


def test_every_soft_cover_has_a_rule_for_every_ink_and_wash() -> None:
    pairs = [(rule.material, rule.against) for rule in cover_rules()]
    assert sorted(pairs, key=str) == sorted(((m, each) for m in SOFT for each in (*InkFamily, *WashClass)), key=str)
    assert all("common practice" in rule.source for rule in cover_rules())


@pytest.mark.parametrize(
    ("material", "family", "wash", "slugs"),
    [
        (Material.NITRILE, InkFamily.OIL, WashClass.MINERAL, []),
        (Material.NITRILE, InkFamily.ULTRAVIOLET, WashClass.RADIATION, ["setup-cover-unfit"] * 2),
        (Material.EPDM, InkFamily.ULTRAVIOLET, WashClass.RADIATION, []),
        (Material.EPDM, InkFamily.OIL, WashClass.MINERAL, ["setup-cover-unfit"] * 2),
        (Material.PVC_NITRILE, InkFamily.HYBRID, None, ["setup-cover-doubtful"]),
        (Material.RUBBER, InkFamily.OIL, None, ["setup-cover-unknown"]),
    ],
)
def test_covers_as_common_practice_has_them(
    bittern: Unit, material: Material, family: InkFamily, wash: WashClass | None, slugs: list[str]
) -> None:
    """Nitrile for oil inks, EPDM for radiation-drying ones, each spoilt by the other's (common practice)."""
    found = cover_problems(covered(bittern, material), family=family, wash=wash, rules=cover_rules())
    assert [each.slug for each in found] == slugs
    assert all(each.severity is Severity.WARNING for each in found)


def test_the_rollers_are_named_and_water_rollers_are_not(bittern: Unit) -> None:
    unit = covered(bittern, Material.EPDM)
    (found,) = cover_problems(unit, family=InkFamily.OIL, wash=None, rules=cover_rules())
    named = str(found.values["rollers"]).split(", ")
    soft = [roller for roller in unit.rollers if roller.is_soft]
    assert named == [roller.id for roller in soft if roller.system is not System.DAMPENING]
    assert len(named) < len(soft)
    assert "conventional oil-based ink" in found.what


def test_hard_rollers_bear_everything(bittern: Unit) -> None:
    """Steel, copper and ebonite are left out: only covers that yield are asked about."""
    bare = replace(bittern, rollers=tuple(roller for roller in bittern.rollers if not roller.is_soft))
    assert cover_problems(bare, family=InkFamily.ULTRAVIOLET, wash=WashClass.STRONG, rules=cover_rules()) == ()
