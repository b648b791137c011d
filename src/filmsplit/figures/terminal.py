"""The train as far as a terminal can draw it: circles to scale in braille dots, or in plain characters."""

from __future__ import annotations

import math

from filmsplit.figures.canvas import Canvas, Cells, in_ascii
from filmsplit.figures.stage import Body, Mapping, Stage, reach_of, set_stage, unit_name
from filmsplit.messages import label
from filmsplit.press import Press, Roller, Unit
from filmsplit.press.words import System

MOST_ROWS = 46
"""A unit is drawn no higher than this, so that it can be seen at once."""
MOST_COLUMNS = 110
_LEAST_COLUMNS = 24
_DASHES = {System.INK: (1, 0), System.DAMPENING: (1, 2), System.SHARED: (4, 3)}
"""Dots drawn and dots left out round the rim."""
_PLAIN_RIMS = {System.INK: "o", System.DAMPENING: ".", System.SHARED: "+"}
_TURNS = {1: "↺", -1: "↻", 0: ""}
_NUMBERS = "123456789abcdefghijklmnopqrstuvwxyz"


def draw_in_terminal(press: Press, *, columns: int, plain: bool) -> tuple[str, ...]:
    """The train of ``press`` in lines at most ``columns`` wide, unit under unit; ``plain`` keeps the picture to ASCII.

    Circles too small for their id carry a number; the key below says whose.
    """
    lines: list[str] = []
    for unit in press.units:
        if len(press.units) > 1:
            lines.append(unit_name(unit))
        lines += _draw_unit(press, unit, columns=max(_LEAST_COLUMNS, min(columns, MOST_COLUMNS)), plain=plain)
    return tuple(in_ascii(line) for line in lines) if plain else tuple(lines)


def _draw_unit(press: Press, unit: Unit, *, columns: int, plain: bool) -> list[str]:
    cells, stage = _to_cells(press, unit, columns, plain=plain)
    canvas = Canvas(cells, plain=plain)
    for body in stage.bodies.values():
        _draw_rim(canvas, body, cells)
    key: list[str] = []
    for body in stage.bodies.values():
        words = _name(body, cells, plain=plain, number=_NUMBERS[len(key) % len(_NUMBERS)])
        if words in _NUMBERS:
            key.append(label("figure.terminal-key", number=words, id=body.id))
        column = round(body.x / cells.across - len(words) / 2)
        canvas.write(words, column=column, row=int(body.y // cells.down))
    return [*canvas.lines(), *_notes(stage, cells, key, columns=columns)]


def _to_cells(press: Press, unit: Unit, columns: int, *, plain: bool) -> tuple[Cells, Stage]:
    """The unit in dots at the largest scale that fits. A character is taken as twice as high as it is wide."""
    across, down = (1, 1) if plain else (2, 4)
    left, low, right, top = reach_of(unit)
    stretch = 2.0 * across / down
    per_dot = max((right - left) / (columns * across - 2), (top - low) / (MOST_ROWS * down - 2) / stretch)
    rows = math.ceil(((top - low) / per_dot / stretch + 2) / down)
    stage = set_stage(press, unit, Mapping(1 - left / per_dot, top / per_dot, per_dot))
    if plain:
        bodies = {id: _squeezed(body, stretch) for id, body in stage.bodies.items()}
        stage = Stage(press, unit, bodies, stage.nips, stage.undrawn, per_dot)
    else:
        bodies = {id: Body(b.id, b.member, b.x, b.y + 1, b.r, b.sense) for id, b in stage.bodies.items()}
        stage = Stage(press, unit, bodies, stage.nips, stage.undrawn, per_dot)
    return Cells(across, down, columns, rows), stage


def _squeezed(body: Body, stretch: float) -> Body:
    return Body(body.id, body.member, body.x, body.y / stretch + 0.5, body.r, body.sense)


def _draw_rim(canvas: Canvas, body: Body, cells: Cells) -> None:
    system = body.member.system if isinstance(body.member, Roller) else System.INK
    on, off = _DASHES[system]
    stretch = 2.0 * cells.across / cells.down
    seen: list[tuple[int, int]] = []
    steps = max(16, math.ceil(12 * body.r))
    for k in range(steps):
        turn = 2 * math.pi * k / steps
        spot = int(body.x + body.r * math.cos(turn)), int(body.y - body.r * math.sin(turn) / stretch)
        if not seen or seen[-1] != spot:
            seen.append(spot)
    for i, (x, y) in enumerate(seen):
        if off == 0 or cells.across == 1 or i % (on + off) < on:
            canvas.dot(x, y, rim=_PLAIN_RIMS[system])


def _name(body: Body, cells: Cells, *, plain: bool, number: str) -> str:
    """The id with its turn, the id alone, or a number: the first that leaves the rim to be seen."""
    name = body.id if body.is_roller else label(f"figure.{body.id}")
    room = 2 * body.r / cells.across - 1.6
    for words in (name + ("" if plain else _TURNS[body.sense]), name):
        if len(words) <= room:
            return words
    return number


def _notes(stage: Stage, cells: Cells, key: list[str], *, columns: int) -> list[str]:
    width_mm = stage.scale * cells.across
    lines = _wrapped(label("figure.terminal-scale", mm=f"{width_mm:.2g}"), columns)
    if key:
        lines += _wrapped(label("figure.terminal-small") + " " + ", ".join(key), columns)
    if stage.undrawn:
        lines += _wrapped(label("figure.undrawn", ids=", ".join(stage.undrawn)), columns)
    return lines


def _wrapped(words: str, columns: int) -> list[str]:
    from textwrap import wrap  # noqa: PLC0415 - needed for long keys only

    return wrap(words, columns)
