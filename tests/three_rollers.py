"""A train small enough for pencil and paper."""

from __future__ import annotations

import trains
from filmsplit.press import Unit
from filmsplit.press.words import DriveKind, Role, TurnSense

# Plate radius 100 at the origin. F1 (radius 25) stands 125 off: (75, 100). D1 (radius 25) 50 further the same way:
# (105, 140). R1 (radius 15) stands 40 off D1, up and to the left: (105 - 24, 140 + 32) = (81, 172).
CENTRES = {"F1": (75.0, 100.0), "D1": (105.0, 140.0), "R1": (81.0, 172.0)}


def three_rollers(turns: TurnSense = TurnSense.CLOCKWISE, **centres: tuple[float, float]) -> Unit:
    at = {name: trains.point(centres.get(name, place)) for name, place in CENTRES.items()}
    drive = trains.build_drive(DriveKind.GEAR, turns=4.0)
    return Unit(
        id="A",
        name="",
        cylinders=trains.build_cylinders(200.0, turns=turns),
        fountain=None,
        rollers=(
            trains.build_roller("F1", 50.0, role=Role.FORM, centre=at["F1"]),
            trains.build_roller("D1", 50.0, role=Role.DRUM, centre=at["D1"], drive=drive),
            trains.build_roller("R1", 30.0, role=Role.RIDER, centre=at["R1"]),
        ),
        contacts=(
            trains.build_contact("F1", "plate"),
            trains.build_contact("D1", "F1"),
            trains.build_contact("R1", "D1"),
        ),
    )
