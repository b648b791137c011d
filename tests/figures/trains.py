"""Trains to draw: an invented unit of nineteen rollers that has one of everything, built without a press file."""

from __future__ import annotations

from dataclasses import fields, replace
from functools import cache
from typing import Any

from filmsplit.press import (
    Adjusters,
    Assumption,
    Contact,
    Core,
    Cover,
    Cylinder,
    Cylinders,
    Drive,
    Fountain,
    Impression,
    Keys,
    Motion,
    Point,
    Press,
    Roller,
    Stripe,
    Sweep,
    Unit,
)
from filmsplit.press.words import (
    BladeKind,
    ContactKind,
    DriveKind,
    KeyKind,
    Material,
    MotionKind,
    Role,
    SlipDirection,
    SweepKind,
    System,
    TargetSource,
    TurnSense,
)


def build(cls: type, **given: Any) -> Any:
    """A record of ``cls`` with ``None`` wherever the test does not care."""
    asked = [field.name for field in fields(cls) if field.init and field.name != "assumptions"]
    return cls(**{name: given.get(name) for name in asked})


def roller(id: str, name: str, role: Role, at: tuple[float, float], diameter_mm: float, **given: Any) -> Roller:
    material, shore = given.get("cover", (None, 0.0))
    cover = None if material is None else Cover(material=material, thickness_mm=8.0, hardness_shore_a=shore)
    motion = build(
        Motion, kind=given.get("motion", MotionKind.TURNS), stroke_mm=16.0, cycle_rev=2.0, phase_deg=0.0, swing_mm=6.0
    )
    drive = build(Drive, kind=given.get("drive", DriveKind.SPRING), teeth=given.get("teeth"))
    return Roller(
        id=id,
        name=name,
        purpose="",
        role=role,
        system=given.get("system", System.INK),
        centre=Point(x_mm=at[0], y_mm=at[1]),
        diameter_mm=diameter_mm,
        drawn_diameter_mm=diameter_mm,
        face_mm=340.0,
        mass_kg=3.0,
        core=Core(material=given.get("core", Material.STEEL), ends="square", journal_mm=15.0),
        cover=cover,
        surface="",
        drive=drive,
        motion=motion,
        lifts_out=False,
    )


def contact(pair: str, **given: Any) -> Contact:
    a, b = pair.split("/")
    stripe = Stripe(target_mm=given.get("target", 3.5), source=given.get("source", TargetSource.MANUAL))
    return Contact(
        a=a,
        b=b,
        kind=given.get("kind", ContactKind.ROLLS),
        speed_ratio=given.get("ratio"),
        slip_direction=given.get("slip", SlipDirection.SAME),
        throws_off=given.get("off", False),
        stripe=stripe,
        adjusters=Adjusters(operator=None, gear=None),
    )


NBR = (Material.NITRILE, 30.0)
FORM = (Material.NITRILE, 27.0)
NYLON = (Material.NYLON, 80.0)
OSC = {"motion": MotionKind.OSCILLATES, "drive": DriveKind.GEAR, "cover": NYLON}
WET = {"system": System.DAMPENING}

ROLLERS = (
    roller("IF", "ink fountain roller", Role.FOUNTAIN, (95, 308), 60, drive=DriveKind.CHAIN),
    roller("DU", "ductor", Role.DUCTOR, (65, 257), 50, cover=NBR, motion=MotionKind.DUCTS),
    roller("D3", "upper drum", Role.DRUM, (35.317, 204.629), 70, **OSC),
    roller("R1", "left distributor", Role.DISTRIBUTOR, (-27.595, 201.307), 56, cover=NBR),
    roller("R2", "right distributor", Role.DISTRIBUTOR, (82.401, 159.817), 60, cover=NBR),
    roller("D1", "left drum", Role.DRUM, (-59.726, 147.116), 70, **OSC),
    roller("D2", "right drum", Role.DRUM, (119.561, 106.487), 70, **OSC),
    roller("RD1", "rider", Role.RIDER, (-107.777, 173.876), 40, cover=NBR, drive=DriveKind.WEIGHT),
    roller("RD2", "rider", Role.RIDER, (6.214, 253.64), 44, cover=NBR, drive=DriveKind.WEIGHT),
    roller("RD3", "rider", Role.RIDER, (170.782, 126.523), 40, drive=DriveKind.WEIGHT, core=Material.COPPER),
    roller("F1", "first form roller", Role.FORM, (-73.334, 86.628), 54, cover=FORM),
    roller("F2", "second form roller", Role.FORM, (-11.918, 110.861), 50, cover=FORM),
    roller("F3", "third form roller", Role.FORM, (55.785, 101.135), 58, cover=FORM),
    roller("F4", "fourth form roller", Role.FORM, (95.393, 53.762), 46, cover=FORM),
    roller("BR", "bridge", Role.BRIDGE, (-116.04, 72.442), 36, cover=NYLON, system=System.SHARED),
    roller("WF", "dampening form roller", Role.FORM, (-108.681, 29.062), 52, cover=(Material.CLOTH, 20.0), **WET),
    roller(
        "WD",
        "dampening drum",
        Role.DRUM,
        (-162.995, 42.702),
        60,
        core=Material.CHROME,
        **WET,
        motion=MotionKind.OSCILLATES,
    ),
    roller("WP", "pan roller", Role.PAN, (-214.605, 12.102), 60, core=Material.CHROME, drive=DriveKind.MOTOR, **WET),
    roller("WM", "metering roller", Role.METERING, (-263.228, 35.593), 48, cover=(Material.RUBBER, 22.0), **WET),
)

CONTACTS = (
    contact("F1/plate", off=True),
    contact("F2/plate", off=True),
    contact("F3/plate", off=True, target=4.0),
    contact("F4/plate", off=True, target=4.0),
    contact("WF/plate", off=True, target=5.0),
    contact("IF/DU", kind=ContactKind.TOUCHES, source=TargetSource.COMMON_PRACTICE),
    contact("DU/D3", kind=ContactKind.TOUCHES, source=TargetSource.COMMON_PRACTICE),
    contact("RD2/D3", target=2.5, source=TargetSource.SHOP),
    contact("R1/D3"),
    contact("R2/D3"),
    contact("R1/D1"),
    contact("R2/D2"),
    contact("RD1/D1", target=2.5, source=TargetSource.SHOP),
    contact("RD3/D2", target=2.5, source=TargetSource.SHOP),
    contact("F1/D1"),
    contact("F2/D1", source=TargetSource.DRAWING),
    contact("F3/D2"),
    contact("F4/D2"),
    contact("BR/F1", target=3.0, off=True),
    contact("BR/WF", target=3.0),
    contact("WF/WD", target=4.0),
    contact("WP/WD", kind=ContactKind.SLIPS, ratio=0.3, target=4.5),
    contact("WM/WP", target=4.5),
)


def _cylinders() -> Cylinders:
    return Cylinders(
        plate=build(
            Cylinder, centre=Point(x_mm=0, y_mm=0), body_diameter_mm=172.4, gap_mm=96.0, cover_mm=0.15, packing_mm=0.15
        ),
        blanket=build(
            Cylinder,
            centre=Point(x_mm=0, y_mm=-173),
            body_diameter_mm=169.1,
            gap_mm=96.0,
            cover_mm=1.9,
            packing_mm=0.05,
        ),
        impression=Impression(centre=Point(x_mm=111, y_mm=-305), diameter_mm=173.0),
        plate_turns=TurnSense.CLOCKWISE,
    )


def _fountain() -> Fountain:
    return Fountain(
        roller="IF",
        zone_widths_mm=(30.0,) * 11,
        first_zone_mm=5.0,
        blade=BladeKind.ONE_PIECE,
        keys=Keys(kind=KeyKind.UNNUMBERED, lowest=0.0, highest=3.0, film_um_per_division=None),
        sweep=Sweep(kind=SweepKind.NOTCHED, lowest=0.0, highest=12.0, mm_per_division=4.0),
    )


@cache
def full_press() -> Press:
    """One unit, nineteen rollers, centres true to a hundredth of a millimetre."""
    unit = Unit(id="A", name="", cylinders=_cylinders(), fountain=_fountain(), rollers=ROLLERS, contacts=CONTACTS)
    press = build(
        Press,
        id="full",
        name="Everything press",
        invented=True,
        note="",
        face_mm=340.0,
        sheet_width_mm=320.0,
        sheet_length_mm=440.0,
        units=(unit,),
        hand_wheel=True,
    )
    return replace(press, assumptions=_assumptions())


def _assumptions() -> tuple[Assumption, ...]:
    base = ("units", "A", "rollers")
    return (
        Assumption((*base, "RD1", "diameter_mm"), 40.0, "mm", "common practice", 8.0, ("marks",)),
        Assumption((*base, "R2", "cover", "hardness_shore_a"), 30.0, "Shore A", "common practice", 4.0, ("setting",)),
        Assumption(("units", "A", "contacts", "WF/WD", "stripe", "target_mm"), 4.0, "mm", "common practice", 0.7, ()),
    )


def bare_press() -> Press:
    """The least that can be drawn: one form roller with its drum, no fountain, no dampening."""
    press = full_press()
    unit = press.units[0]
    few = replace(
        unit,
        fountain=None,
        rollers=tuple(r for r in unit.rollers if r.id in ("F1", "D1")),
        contacts=tuple(c for c in unit.contacts if c.id in ("F1/plate", "F1/D1")),
    )
    return replace(press, units=(few,), name="", invented=False, assumptions=())


def two_unit_press() -> Press:
    """The full unit twice, the second mirrored in name only."""
    press = full_press()
    return replace(press, units=(press.units[0], replace(press.units[0], id="B")))
