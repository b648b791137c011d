"""The door for press files that somebody brings: read in a process of its own, bounded in memory and time."""

from __future__ import annotations

import contextlib
from dataclasses import dataclass

from filmsplit.formats.bounded_process import Bounds, Progress, bounded
from filmsplit.formats.press_edit import set_values
from filmsplit.formats.press_file import check_geometry, describe
from filmsplit.formats.yaml_tree import MAX_BYTES, check_size
from filmsplit.messages import Place, Problem, Refusal

CALLED = "press.yaml"
"""What problems call a file that somebody brought: never by the name it came with."""
BOUNDS = Bounds(memory_bytes=2**30, seconds=10.0, result_bytes=8 * MAX_BYTES)
"""A real press takes half a second, most of it for starting."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BroughtPress:
    """A press file that can be read: the id of its press, and its text, every character as it was brought but the id
    where another was asked for."""

    id: str
    text: str


def brought_press(data: bytes, *, id: str = "", bounds: Bounds = BOUNDS) -> BroughtPress:
    """What a file holds that nobody has vouched for. Raises ``Refusal`` where it is no press file, or takes too long.

    Its geometry is looked at too, for the time that takes; what is wrong there is told while it is described.
    """
    check_size(len(data), CALLED)
    try:
        return bounded(_read, data, id, file=CALLED, bounds=bounds)
    except Refusal as refusal:
        raise Refusal(_of_a_press(each, bounds) for each in refusal.problems) from refusal


def _of_a_press(problem: Problem, bounds: Bounds) -> Problem:
    """How the process ended, said of a press file; whatever else is wrong as it is."""
    if problem.slug == "reader-too-slow":
        return Problem("press-brought-too-slow", {"seconds": bounds.seconds})
    if problem.slug == "reader-out-of-memory":
        return Problem("press-brought-too-big", {"most_mb": bounds.memory_bytes // 2**20})
    return Problem("press-brought-stopped") if problem.slug == "reader-stopped" else problem


# In the other process -------------------------------------------------------------------------------------------------


def _read(data: bytes, id: str, *, told: Progress) -> BroughtPress:
    told(0, 1)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise Refusal(Problem("press-file-not-utf-8", place=Place(CALLED, line, 1))) from error
    description = describe(text, name=CALLED)
    with contextlib.suppress(Refusal):
        check_geometry(description)
    if id and id != description.press.id:
        return BroughtPress(id=id, text=set_values(text, {"id": id}))
    return BroughtPress(id=description.press.id, text=text)
