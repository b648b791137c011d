"""Draw a press for the wall or the screen."""

from __future__ import annotations

from pathlib import Path

from filmsplit.actions.find import find_press
from filmsplit.figures.lines import Tells
from filmsplit.figures.raster import to_png
from filmsplit.figures.train import draw_train
from filmsplit.formats.replace_file import write_file
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press

SVG, PNG = ".svg", ".png"


def draw_press(reference: str, target: Path, *, tells: str = "everything", width_px: int = 1800, over: bool) -> None:
    """Write the drawing of a press to ``target``: SVG or PNG by its ending. A file in the way stays unless ``over``."""
    if target.suffix.lower() not in (SVG, PNG):
        raise Refusal(Problem("drawing-kind-unknown", {"asked": target.suffix or target.name}))
    known = [each.value for each in Tells]
    if tells not in known:
        raise Refusal(Problem("drawing-tells-unknown", {"asked": tells, "known": ", ".join(known)}))
    write_drawing(find_press(reference).press, target, tells=tells, width_px=width_px, over=over)


def write_drawing(press: Press, target: Path, *, tells: str = "everything", width_px: int = 1800, over: bool) -> None:
    """The drawing of ``press`` into ``target``."""
    drawing = draw_train(press, tells=tells)
    is_png = target.suffix.lower() == PNG
    data = to_png(drawing, width_px=width_px) if is_png else drawing.svg.encode("utf-8")
    write_file(target, data, over=over)
