"""Draw a press for the wall or the screen."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from filmsplit.actions.find import find_press
from filmsplit.faults.result import MarkMatch
from filmsplit.figures.drawing import Drawing
from filmsplit.figures.lines import Tells
from filmsplit.figures.marks import draw_marks
from filmsplit.figures.raster import readable_width_px, to_png
from filmsplit.figures.train import draw_train
from filmsplit.formats.replace_file import write_file
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press

SVG, PNG = ".svg", ".png"


def draw_press(
    reference: str, target: Path, *, tells: str = "everything", width_px: int | None = None, over: bool
) -> None:
    """Write the drawing of a press to ``target``: SVG or PNG by its ending. A file in the way stays unless ``over``."""
    _check_kind(target)
    known = [each.value for each in Tells]
    if tells not in known:
        raise Refusal(Problem("drawing-tells-unknown", {"asked": tells, "known": ", ".join(known)}))
    write_drawing(find_press(reference).press, target, tells=tells, width_px=width_px, over=over)


def write_drawing(
    press: Press, target: Path, *, tells: str = "everything", width_px: int | None = None, over: bool
) -> None:
    """The drawing of ``press`` into ``target``."""
    write_picture(draw_train(press, tells=tells), target, width_px=width_px, over=over)


def draw_match(press: Press, found: MarkMatch, target: Path, *, sheet_length_mm: float | None = None) -> None:
    """Write the sheet with its marks, and where the best two suspects would put them, to ``target``."""
    _check_kind(target)
    write_picture(draw_marks(press, found, sheet_length_mm=sheet_length_mm), target, over=False)


def write_picture(drawing: Drawing, target: Path, *, width_px: int | None = None, over: bool) -> None:
    """A drawing into a file, SVG or PNG by its ending; a PNG as wide as its smallest letters ask for unless told."""
    is_png = target.suffix.lower() == PNG
    data = to_png(drawing, width_px=width_px or readable_width_px(drawing)) if is_png else drawing.svg.encode("utf-8")
    write_file(target, data, over=over)


def picture_problems(target: Path, *, over: bool) -> Iterator[Problem]:
    """Why a picture could not be written to ``target``, known before it is drawn."""
    if target.suffix.lower() not in (SVG, PNG):
        yield Problem("drawing-kind-unknown", {"asked": target.suffix or target.name})
    if target.exists() and not over:
        yield Problem("file-in-the-way", {"file": str(target)})


def _check_kind(target: Path) -> None:
    problems = tuple(picture_problems(target, over=True))
    if problems:
        raise Refusal(problems)
