"""Random presses whose true centres are known: trains grown roller by roller, each in touch with what it should.

Hard rollers only ever meet soft ones, so that rolling contacts cannot jam. Everything is invented.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from random import Random

from filmsplit.press import (
    Adjusters,
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

CLEAR_MM = 1.0
"""Members without contact stay this far apart, so that small reading errors do not make them overlap for good."""

Place = tuple[float, float]


class NoRoom(Exception):
    """A member found no place: throw the train away and grow another."""


def build_roller(id: str, diameter_mm: float, *, role: Role = Role.DISTRIBUTOR, **given: object) -> Roller:
    """A roller with plain values for whatever is not given; soft if its role usually is."""
    soft = role in (Role.DUCTOR, Role.DISTRIBUTOR, Role.RIDER, Role.FORM, Role.BRIDGE, Role.METERING)
    values: dict[str, object] = {
        "name": id,
        "purpose": "",
        "system": System.INK,
        "centre": None,
        "drawn_diameter_mm": diameter_mm,
        "face_mm": 340.0,
        "mass_kg": 3.0,
        "core": Core(material=Material.STEEL, ends="round 15", journal_mm=15.0),
        "cover": build_cover() if soft else None,
        "surface": "",
        "drive": build_drive(),
        "motion": build_motion(),
        "lifts_out": False,
    }
    return Roller(id=id, diameter_mm=diameter_mm, role=role, **(values | given))  # type: ignore[arg-type]


def build_cover() -> Cover:
    return Cover(material=Material.RUBBER, thickness_mm=8.0, hardness_shore_a=28.0)


def build_drive(kind: DriveKind = DriveKind.SPRING, *, turns: float | None = None, teeth: int | None = None) -> Drive:
    return Drive(kind=kind, teeth=teeth, pitch_diameter_mm=None, turns_per_plate_turn=turns)


def build_motion(kind: MotionKind = MotionKind.TURNS, **given: float) -> Motion:
    values = {
        "stroke_mm": 15.0,
        "cycle_rev": 2.0,
        "phase_deg": 0.0,
        "dwell_feed_mm": 200.0,
        "dwell_train_mm": 200.0,
        "swing_mm": 6.0,
    }
    return Motion(kind=kind, **(values | given))


def build_contact(a: str, b: str, kind: ContactKind = ContactKind.ROLLS, **given: object) -> Contact:
    values: dict[str, object] = {
        "speed_ratio": None,
        "slip_direction": SlipDirection.SAME,
        "throws_off": False,
        "stripe": Stripe(target_mm=3.5, source=TargetSource.COMMON_PRACTICE),
        "adjusters": Adjusters(operator=None, gear=None),
    }
    return Contact(a=a, b=b, kind=kind, **(values | given))  # type: ignore[arg-type]


def build_cylinder(diameter_mm: float, centre: Place, *, cover_mm: float = 0.15, gap_mm: float = 90.0) -> Cylinder:
    return Cylinder(
        centre=point(centre),
        body_diameter_mm=diameter_mm - 2 * cover_mm,
        undercut_mm=0.0,
        bearer_diameter_mm=None,
        gap_mm=gap_mm,
        cover_mm=cover_mm,
        packing_mm=0.0,
        gear_teeth=None,
        gear_module_mm=None,
    )


def build_cylinders(diameter_mm: float = 173.0, *, turns: TurnSense = TurnSense.CLOCKWISE) -> Cylinders:
    """Plate at the origin, blanket and impression straight below."""
    return Cylinders(
        plate=build_cylinder(diameter_mm, (0.0, 0.0)),
        blanket=build_cylinder(diameter_mm, (0.0, -diameter_mm), cover_mm=1.95),
        impression=Impression(centre=point((0.0, -2 * diameter_mm)), diameter_mm=diameter_mm),
        plate_turns=turns,
    )


def build_fountain(roller: str) -> Fountain:
    return Fountain(
        roller=roller,
        zone_widths_mm=(34.0,) * 10,
        first_zone_mm=0.0,
        blade=BladeKind.ONE_PIECE,
        keys=Keys(kind=KeyKind.NUMBERED, lowest=0.0, highest=100.0, film_um_per_division=0.5),
        sweep=Sweep(kind=SweepKind.NOTCHED, lowest=0.0, highest=10.0, mm_per_division=5.0),
    )


def build_press(*units: Unit) -> Press:
    return Press(
        id="random",
        name="A press made of dice",
        invented=True,
        note="",
        face_mm=340.0,
        sheet_width_mm=320.0,
        sheet_length_mm=450.0,
        hand_wheel=True,
        units=units,
    )


def point(place: Place) -> Point:
    return Point(x_mm=place[0], y_mm=place[1])


@dataclass
class Grower:
    """A train while it grows: circles in the plane, rollers and contacts."""

    rng: Random
    cylinders: Cylinders
    circles: dict[str, tuple[Place, float]] = field(default_factory=dict)
    rollers: dict[str, Roller] = field(default_factory=dict)
    contacts: list[Contact] = field(default_factory=list)

    def __post_init__(self) -> None:
        for name in ("plate", "blanket", "impression"):
            member = getattr(self.cylinders, name)
            self.circles[name] = ((member.centre.x_mm, member.centre.y_mm), member.diameter_mm / 2)

    def clear(self, place: Place, radius: float, touching: tuple[str, ...]) -> bool:
        return all(
            math.dist(place, centre) > radius + other + CLEAR_MM
            for name, (centre, other) in self.circles.items()
            if name not in touching
        )

    def add(self, roller: Roller, place: Place, contacts: list[Contact]) -> None:
        self.rollers[roller.id] = replace(roller, centre=point(place))
        self.circles[roller.id] = (place, roller.diameter_mm / 2)
        self.contacts += contacts

    def touch_one(
        self, roller: Roller, host: str, *, gap_mm: float = 0.0, kind: ContactKind = ContactKind.ROLLS
    ) -> None:
        """Somewhere round ``host``."""
        centre, host_radius = self.circles[host]
        reach = host_radius + roller.diameter_mm / 2 + gap_mm
        for _ in range(60):
            angle = self.rng.uniform(-math.pi, math.pi)
            place = (centre[0] + reach * math.cos(angle), centre[1] + reach * math.sin(angle))
            if self.clear(place, roller.diameter_mm / 2, (host,)):
                self.add(roller, place, [self.contact(roller.id, host, kind)])
                return
        raise NoRoom(roller.id)

    def touch_two(self, roller: Roller, first: str, second: str) -> None:
        """In the wedge between two; not where both gaps lie in one line, where a hair more would part them."""
        (p, p_radius), (q, q_radius) = self.circles[first], self.circles[second]
        radius = roller.diameter_mm / 2
        r, s, length = p_radius + radius, q_radius + radius, math.dist(p, q)
        along = (length**2 + r**2 - s**2) / (2 * length)
        across_2 = r**2 - along**2
        if across_2 < (0.4 * radius) ** 2:
            raise NoRoom(roller.id)
        ux, uy = (q[0] - p[0]) / length, (q[1] - p[1]) / length
        sides = [1.0, -1.0]
        self.rng.shuffle(sides)
        for side in sides:
            across = side * math.sqrt(across_2)
            place = (p[0] + along * ux - across * uy, p[1] + along * uy + across * ux)
            if self.clear(place, radius, (first, second)):
                contacts = [self.contact(roller.id, host, ContactKind.ROLLS) for host in (first, second)]
                self.add(roller, place, contacts)
                return
        raise NoRoom(roller.id)

    def contact(self, a: str, b: str, kind: ContactKind) -> Contact:
        """Written in either order."""
        return build_contact(a, b, kind) if self.rng.random() < 0.5 else build_contact(b, a, kind)

    def try_touch_two(self, roller: Roller, hosts: list[str]) -> bool:
        """Between any two of ``hosts`` that have room."""
        pairs = [(a, b) for i, a in enumerate(hosts) for b in hosts[i + 1 :]]
        self.rng.shuffle(pairs)
        for a, b in pairs:
            try:
                self.touch_two(roller, a, b)
            except NoRoom:
                continue
            return True
        return False


def random_unit(rng: Random, id: str = "A") -> Unit:
    """A unit with 2-4 form rollers, drums that oscillate, a ductor or a slipping feed, sometimes dampening."""
    while True:
        try:
            return _grow(rng, id)
        except NoRoom:
            continue


def random_press(rng: Random) -> Press:
    """One to three random units."""
    names = ("A", "B", "C")[: rng.choice((1, 1, 2, 3))]
    return build_press(*(random_unit(rng, name) for name in names))


def _grow(rng: Random, id: str) -> Unit:
    grower = Grower(rng, _random_cylinders(rng))
    forms = [f"F{n + 1}" for n in range(rng.choice((2, 2, 3, 3, 4)))]
    _grow_forms(grower, forms)
    drums = _grow_drums(grower, forms)
    _grow_between(grower, forms, drums)
    fountain = _grow_feed(grower, drums)
    if rng.random() < 0.5:
        _grow_dampening(grower)
    rollers = list(grower.rollers.values())
    contacts = list(grower.contacts)
    rng.shuffle(rollers)
    rng.shuffle(contacts)
    return Unit(
        id=id,
        name=f"unit {id}",
        cylinders=grower.cylinders,
        fountain=build_fountain(fountain),
        rollers=tuple(rollers),
        contacts=tuple(contacts),
    )


def _random_cylinders(rng: Random) -> Cylinders:
    diameter = rng.uniform(120.0, 260.0)
    down = rng.uniform(-math.pi, math.pi)
    on = down + rng.uniform(-1.0, 1.0)
    plate = (rng.uniform(-50, 50), rng.uniform(-50, 50))
    blanket = (plate[0] + diameter * math.cos(down), plate[1] + diameter * math.sin(down))
    sheet = diameter * rng.choice((1, 1, 2))
    reach = (diameter + sheet) / 2
    impression = (blanket[0] + reach * math.cos(on), blanket[1] + reach * math.sin(on))
    return Cylinders(
        plate=build_cylinder(diameter, plate),
        blanket=build_cylinder(diameter, blanket, cover_mm=1.95),
        impression=Impression(centre=point(impression), diameter_mm=sheet),
        plate_turns=rng.choice(tuple(TurnSense)),
    )


def _grow_forms(grower: Grower, forms: list[str]) -> None:
    """Form rollers side by side, away from the blanket."""
    rng, plate = grower.rng, grower.cylinders.plate
    (x, y), radius = grower.circles["plate"]
    blanket = grower.cylinders.blanket.centre
    angle = math.atan2(blanket.y_mm - y, blanket.x_mm - x) + rng.uniform(1.2, 2.2)
    last = 0.0
    for name in forms:
        size = rng.uniform(0.11, 0.19) * plate.diameter_mm
        reach = radius + size
        if last:
            apart = last + size + rng.uniform(3.0, 0.12 * plate.diameter_mm)
            other = radius + last
            angle += math.acos((reach**2 + other**2 - apart**2) / (2 * reach * other))
        place = (x + reach * math.cos(angle), y + reach * math.sin(angle))
        if not grower.clear(place, size, ("plate",)):
            raise NoRoom(name)
        roller = build_roller(name, 2 * size, role=Role.FORM, lifts_out=True)
        grower.add(roller, place, [grower.contact(name, "plate", ContactKind.ROLLS)])
        last = size


def _grow_drums(grower: Grower, forms: list[str]) -> list[str]:
    """Drums over the form rollers: one over each pair, or one alone over the last."""
    rng, drums = grower.rng, []
    for n in range(0, len(forms), 2):
        name = f"D{n // 2 + 1}"
        size = rng.uniform(45.0, 85.0)
        motion = build_motion(MotionKind.OSCILLATES, stroke_mm=rng.uniform(5, 25), cycle_rev=rng.uniform(0.8, 6.0))
        drive = build_drive(DriveKind.GEAR, turns=grower.cylinders.plate.diameter_mm / size)
        drum = build_roller(name, size, role=Role.DRUM, motion=motion, drive=drive)
        pair = forms[n : n + 2]
        if len(pair) == 2:
            grower.touch_two(drum, *pair)
        else:
            grower.touch_one(drum, pair[0])
        drums.append(name)
    return drums


def _grow_between(grower: Grower, forms: list[str], drums: list[str]) -> None:
    """Distributors between drums, drums between distributors, riders: as many as fit."""
    rng = grower.rng
    hard, soft = list(drums), list(forms)
    for n in range(rng.randint(1, 4)):
        roller = build_roller(f"S{n + 1}", rng.uniform(32.0, 60.0), role=Role.DISTRIBUTOR)
        if not grower.try_touch_two(roller, hard):
            grower.touch_one(roller, rng.choice(hard))
        soft.append(roller.id)
        if rng.random() < 0.6:
            size = rng.uniform(40.0, 75.0)
            drive = build_drive(DriveKind.CHAIN, turns=grower.cylinders.plate.diameter_mm / size)
            motion = build_motion(MotionKind.OSCILLATES, stroke_mm=12.0, phase_deg=90.0)
            drum = build_roller(f"D{len(hard) + 1}", size, role=Role.DRUM, drive=drive, motion=motion)
            if not grower.try_touch_two(drum, soft[len(forms) :]):
                grower.touch_one(drum, rng.choice(soft[len(forms) :]))
            hard.append(drum.id)
            drums.append(drum.id)
    for n in range(rng.randint(0, 2)):
        roller = build_roller(
            f"R{n + 1}", rng.uniform(25.0, 45.0), role=Role.RIDER, drive=build_drive(DriveKind.WEIGHT)
        )
        if rng.random() < 0.5 or not grower.try_touch_two(roller, hard):
            grower.touch_one(roller, rng.choice(hard))


def _grow_feed(grower: Grower, drums: list[str]) -> str:
    """A ductor with its fountain roller, or a slipping film roller."""
    rng = grower.rng
    motor = build_drive(DriveKind.MOTOR, turns=0.05)
    fountain = build_roller("IF", rng.uniform(45.0, 75.0), role=Role.FOUNTAIN, drive=motor)
    if rng.random() < 0.7:
        gaps = rng.uniform(0.0, 4.0), rng.uniform(0.0, 4.0)
        motion = build_motion(MotionKind.DUCTS, swing_mm=sum(gaps) + rng.uniform(0.0, 1.0), cycle_rev=2.0)
        ductor = build_roller("ID", rng.uniform(35.0, 55.0), role=Role.DUCTOR, motion=motion)
        grower.touch_one(ductor, rng.choice(drums), gap_mm=gaps[0], kind=ContactKind.TOUCHES)
        grower.touch_one(fountain, "ID", gap_mm=gaps[1], kind=ContactKind.TOUCHES)
        return "IF"
    grower.touch_one(
        build_roller("IT", rng.uniform(35.0, 55.0), role=Role.TRANSFER, cover=build_cover()), rng.choice(drums)
    )
    grower.touch_one(fountain, "IT", kind=ContactKind.SLIPS)
    own = grower.contacts[-1]
    grower.contacts[-1] = replace(own, speed_ratio=0.06 if own.a == "IF" else 1 / 0.06)
    return "IF"


def _grow_dampening(grower: Grower) -> None:
    """A dampening form roller or the first inking one, a transfer roller, a pan roller that slips; perhaps a bridge."""
    rng = grower.rng
    wet = {"system": System.DAMPENING}
    integrated = rng.random() < 0.4
    if not integrated:
        grower.touch_one(build_roller("WF", rng.uniform(35.0, 55.0), role=Role.FORM, **wet), "plate")
    host = "F1" if integrated else "WF"
    grower.touch_one(build_roller("WT", rng.uniform(35.0, 60.0), role=Role.TRANSFER, **wet), host)
    motor = build_drive(DriveKind.MOTOR, turns=0.8)
    pan = build_roller("WP", rng.uniform(40.0, 60.0), role=Role.PAN, drive=motor, cover=build_cover(), **wet)
    grower.touch_one(pan, "WT", kind=ContactKind.SLIPS)
    own = grower.contacts[-1]
    grower.contacts[-1] = replace(own, speed_ratio=0.3, slip_direction=rng.choice(tuple(SlipDirection)))
    hard = [name for name in grower.rollers if name[0] == "D"]
    for size in (28.0, 40.0, 55.0, 75.0) if rng.random() < 0.7 else ():
        bridge = build_roller("WB", size, role=Role.BRIDGE, system=System.SHARED)
        if any(grower.try_touch_two(bridge, ["WT", drum]) for drum in hard):
            break


def perturbed(press: Press, rng: Random, by_mm: float) -> Press:
    """Every centre but the plates' read off a little wrong: up to ``by_mm`` each way."""
    return replace(press, units=tuple(_perturbed_unit(unit, rng, by_mm) for unit in press.units))


def moved(press: Press, move: Callable[[Place], Place], *, reverse: bool = False) -> Press:
    """The whole picture moved; ``reverse`` turns the plates the other way (a mirrored picture)."""
    return replace(press, units=tuple(_moved_unit(unit, move, reverse) for unit in press.units))


def _moved_unit(unit: Unit, move: Callable[[Place], Place], reverse: bool) -> Unit:
    def there(centre: Point | None) -> Point | None:
        return None if centre is None else point(move((centre.x_mm, centre.y_mm)))

    cylinders = unit.cylinders
    cylinders = replace(
        cylinders,
        plate=replace(cylinders.plate, centre=there(cylinders.plate.centre)),
        blanket=replace(cylinders.blanket, centre=there(cylinders.blanket.centre)),
        impression=replace(cylinders.impression, centre=there(cylinders.impression.centre)),
        plate_turns=cylinders.plate_turns.reversed if reverse else cylinders.plate_turns,
    )
    rollers = tuple(replace(roller, centre=there(roller.centre)) for roller in unit.rollers)
    return replace(unit, cylinders=cylinders, rollers=rollers)


def _perturbed_unit(unit: Unit, rng: Random, by_mm: float) -> Unit:
    def off(centre: Point | None) -> Point | None:
        if centre is None:
            return None
        return Point(x_mm=centre.x_mm + rng.uniform(-by_mm, by_mm), y_mm=centre.y_mm + rng.uniform(-by_mm, by_mm))

    cylinders = replace(
        unit.cylinders,
        blanket=replace(unit.cylinders.blanket, centre=off(unit.cylinders.blanket.centre)),
        impression=replace(unit.cylinders.impression, centre=off(unit.cylinders.impression.centre)),
    )
    rollers = tuple(replace(roller, centre=off(roller.centre)) for roller in unit.rollers)
    return replace(unit, cylinders=cylinders, rollers=rollers)
