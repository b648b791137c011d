"""The main job on the demo workshop."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from filmsplit.actions.draw import write_drawing
from filmsplit.actions.marks import match
from filmsplit.actions.press import PressShown, show_press
from filmsplit.faults.result import MarkMatch
from filmsplit.formats.replace_file import write_file
from filmsplit.library.workshop import Workshop, demo_path, demo_workshop

DEMO_MARKS_MM = (12.0, 181.7, 351.3)
"""A striped sheet: invented, as read off with a ruler."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Demo:
    """What the demo made: the first press of the workshop shown and drawn, and a striped sheet explained."""

    workshop: Workshop
    shown: PressShown
    match: MarkMatch
    files: tuple[Path, ...]


def run_demo(folder: Path) -> Demo:
    """Show, draw and question the first press of the demo workshop; its files go to ``folder``, written over."""
    workshop = demo_workshop()
    name = workshop.presses[0]
    shown = show_press(name)
    picture, wall, copy = folder / f"{name}.png", folder / f"{name}.svg", folder / f"{name}.yaml"
    write_drawing(shown.press, picture, over=True)
    write_drawing(shown.press, wall, over=True)
    write_file(copy, demo_path(name).read_bytes(), over=True)
    _, found = match(name, DEMO_MARKS_MM)
    return Demo(workshop=workshop, shown=shown, match=found, files=(picture, wall, copy))
