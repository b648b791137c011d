"""One roller: what it is, what it is made of, what turns it and how it moves."""

from __future__ import annotations

import math
from dataclasses import dataclass

from filmsplit.press.rows import ByRole, Derived, Only, SameAs, row
from filmsplit.press.words import HARD_MATERIALS, DriveKind, Material, MotionKind, Role, System

SOFT = {"ductor", "distributor", "rider", "form", "bridge", "metering"}
"""Roles that are soft unless told otherwise: soft and hard alternate (common practice)."""

_DIAMETER_BY_ROLE = ByRole({"drum": 60.0, "fountain": 60.0, "pan": 60.0, "form": 50.0}, 45.0)
_HARDNESS_BY_ROLE = ByRole({"form": 27.0, "metering": 23.0, "distributor": 30.0, "rider": 30.0, "ductor": 30.0}, 28.0)
_SYSTEM_BY_ROLE = ByRole({"pan": System.DAMPENING, "metering": System.DAMPENING, "bridge": System.SHARED}, System.INK)

_GEAR = Only("kind", (DriveKind.GEAR,))
_DRIVEN = Only("kind", (DriveKind.GEAR, DriveKind.CHAIN, DriveKind.MOTOR))
_OSCILLATES = Only("kind", (MotionKind.OSCILLATES,))
_DUCTS = Only("kind", (MotionKind.DUCTS,))
_OSCILLATES_OR_DUCTS = Only("kind", (MotionKind.OSCILLATES, MotionKind.DUCTS))


def _cover_up_to(usual_mm: float) -> Derived:
    """A usual cover thickness, less on a thin roller: its core is at least two fifths of the diameter."""
    return Derived(lambda s: min(usual_mm, round(0.3 * float(s.around["diameter_mm"]), 2)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """A centre seen from the operator's side: x to the right, y up."""

    x_mm: float = row("to the right, seen from the operator's side", unit="mm", low=-5000, high=5000, required=True)
    y_mm: float = row("up", unit="mm", low=-5000, high=5000, required=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Core:
    """The body that carries the cover, and its ends."""

    material: Material = row("what the core is made of", assumed=Material.STEEL)
    ends: str = row(
        "how the ends fit: free words, the same words for the same fit", assumed="unknown", counts_for=("spares",)
    )
    journal_mm: float = row(
        "journal diameter", unit="mm", low=2, high=200, assumed=15.0, spread=3.0, counts_for=("spares",)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """A cover bonded to the core (a rubber, a plastic, a cloth sleeve)."""

    material: Material = row("what the cover is made of", assumed=Material.RUBBER)
    thickness_mm: float = row(
        "cover thickness, one side",
        unit="mm",
        low=0.02,
        high=60,
        assumed=ByRole({"form": _cover_up_to(10.0), "metering": _cover_up_to(9.0)}, _cover_up_to(8.0)),
        spread=2.0,
        counts_for=("setting",),
    )
    hardness_shore_a: float = row(
        "hardness as drawn or as it arrived",
        unit="Shore A",
        low=0,
        high=100,
        assumed=_HARDNESS_BY_ROLE,
        spread=4.0,
        counts_for=("setting",),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Drive:
    """What turns the roller. A driven roller repeats by its gearing, whatever its diameter."""

    kind: DriveKind = row(
        "gear, chain, own motor, friction by weight or friction by spring",
        assumed=ByRole(
            {"drum": DriveKind.GEAR, "fountain": DriveKind.GEAR, "pan": DriveKind.MOTOR, "rider": DriveKind.WEIGHT},
            DriveKind.SPRING,
        ),
        counts_for=("marks",),
    )
    teeth: int | None = row("teeth of the roller's gear", low=5, high=1000, counts_for=("marks",), only=_GEAR)
    pitch_diameter_mm: float | None = row(
        "pitch diameter of the roller's gear", unit="mm", low=5, high=2000, only=_GEAR
    )
    turns_per_plate_turn: float | None = row(
        "turns of the roller for one turn of the plate cylinder (chain, compound gears, own motor)",
        low=0.0001,
        high=100,
        only=_DRIVEN,
        counts_for=("marks",),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """How the roller moves besides turning."""

    kind: MotionKind = row(
        "turns, oscillates or ducts",
        assumed=ByRole({"drum": MotionKind.OSCILLATES, "ductor": MotionKind.DUCTS}, MotionKind.TURNS),
        counts_for=("ink",),
    )
    stroke_mm: float = row(
        "oscillator: whole sideways stroke",
        unit="mm",
        low=0,
        high=150,
        assumed=15.0,
        spread=8.0,
        only=_OSCILLATES,
        counts_for=("ink",),
    )
    cycle_rev: float = row(
        "oscillator or ductor: plate turns for one cycle",
        unit="rev",
        low=0.05,
        high=200,
        assumed=2.0,
        spread=1.0,
        only=_OSCILLATES_OR_DUCTS,
        counts_for=("marks", "ink"),
    )
    phase_deg: float = row(
        "oscillator: phase at the leading image edge",
        unit="deg",
        low=-360,
        high=360,
        assumed=0.0,
        only=_OSCILLATES,
        counts_for=("ink",),
    )
    dwell_feed_mm: float = row(
        "ductor: press travel while it touches the fountain or pan side",
        unit="mm",
        low=0,
        high=20000,
        assumed=200.0,
        spread=80.0,
        only=_DUCTS,
        counts_for=("ink",),
    )
    dwell_train_mm: float = row(
        "ductor: press travel while it touches the train",
        unit="mm",
        low=0,
        high=20000,
        assumed=200.0,
        spread=80.0,
        only=_DUCTS,
        counts_for=("ink",),
    )
    swing_mm: float = row(
        "ductor: free way between its two contacts",
        unit="mm",
        low=0,
        high=100,
        assumed=6.0,
        only=_DUCTS,
        counts_for=("drawing",),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Roller:
    """One roller of a train."""

    id: str = row("short name, as on the drawing", required=True)
    name: str = row("name in the shop's words", assumed=SameAs("id"), source="the id")
    purpose: str = row("what it is for, in a sentence", assumed="")
    role: Role = row("what it is for", required=True)
    system: System = row("ink, dampening or shared", assumed=_SYSTEM_BY_ROLE)
    centre: Point | None = row("where its axis is, may be rough", counts_for=("drawing",))
    diameter_mm: float = row(
        "diameter as measured",
        unit="mm",
        low=5,
        high=1000,
        assumed=_DIAMETER_BY_ROLE,
        spread=8.0,
        counts_for=("marks", "ink", "setting"),
    )
    drawn_diameter_mm: float = row(
        "diameter on the drawing", unit="mm", low=5, high=1000, assumed=SameAs("diameter_mm"), source="as measured"
    )
    face_mm: float = row(
        "length of the working face", unit="mm", low=20, high=3000, assumed=SameAs("/face_mm"), source="as the press"
    )
    mass_kg: float = row(
        "mass, for lifting", unit="kg", low=0.05, high=2000, assumed=3.0, spread=2.0, counts_for=("lifting",)
    )
    core: Core = row("core and ends", assumed={})
    cover: Cover | None = row(
        "cover; leave out for a bare hard roller, write unknown for a soft one",
        assumed=ByRole({role: {} for role in sorted(SOFT)}, None),
        source="soft and hard alternate",
    )
    surface: str = row("finish in the shop's words: ground, polished, velvety …", assumed="")
    drive: Drive = row("what turns it", assumed={})
    motion: Motion = row("how it moves", assumed={})
    lifts_out: bool = row("can it be lifted out without tools", assumed=False, counts_for=("lifting",))

    @property
    def is_soft(self) -> bool:
        """Covered with something that yields. A nylon or ebonite cover counts as hard."""
        return self.cover is not None and self.cover.material not in HARD_MATERIALS

    @property
    def surface_material(self) -> Material:
        """The material that meets the ink."""
        return self.cover.material if self.cover is not None else self.core.material

    @property
    def circumference_mm(self) -> float:
        """Length once round the measured surface."""
        return math.pi * self.diameter_mm
