"""What leaves the program for the press: set-up sheets, key strips, ink zones as tickets, settings as CSV."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from filmsplit.actions.setup import Set
from filmsplit.actions.setup_paper import sheet_of, strip_of
from filmsplit.formats.ink_zones_reader import InkZones
from filmsplit.formats.ink_zones_write import jdf_of, xjdf_of
from filmsplit.formats.replace_file import write_file
from filmsplit.messages import Problem, Refusal
from filmsplit.reports.key_strip import key_strip_pdf
from filmsplit.reports.setup_pdf import setup_pdf
from filmsplit.reports.typeset import Paper
from filmsplit.studies.job_answer import SetUnit

SAME_MM = 1e-6
"""Zones whose widths differ by less are alike."""

COLUMNS = (
    "pass",
    "unit",
    "ink",
    "zone",
    "width_mm",
    "coverage",
    "key",
    "open",
    "film_um",
    "print_um",
    "low_um",
    "high_um",
)
"""Of the CSV, one line for each zone of each ink."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Targets:
    """Files to write: paper of ``size`` into the folder ``paper``, tickets and CSV each into a file."""

    paper: Path | None = None
    size: Paper = Paper.A4
    xjdf: Path | None = None
    jdf: Path | None = None
    csv: Path | None = None

    @property
    def files(self) -> tuple[Path, ...]:
        return tuple(path for path in (self.xjdf, self.jdf, self.csv) if path is not None)


def target_problems(targets: Targets, *, over: bool) -> list[Problem]:
    """Files in the way, told before anything is computed. (What goes into the paper's folder is known only later.)"""
    return [Problem("file-in-the-way", {"file": str(path)}) for path in targets.files if path.exists() and not over]


def write_files(found: Set, targets: Targets, *, over: bool, codes: Sequence[str] = ()) -> tuple[Path, ...]:
    """Write everything asked for, each file whole or not at all; the files written.

    ``codes`` lead from the paper back to the records, one for each ink; none where nothing was recorded.

    :class:`Refusal` before anything is written where one is in the way or a ticket cannot hold these zones.
    """
    made = dict(_made(found, targets, codes=codes or [""] * len(found.answer.units)))
    in_the_way = [path for path in made if path.exists() and not over]
    if in_the_way:
        raise Refusal([Problem("file-in-the-way", {"file": str(path)}) for path in in_the_way])
    for path, data in made.items():
        write_file(path, data, over=over)
    return tuple(made)


def _made(found: Set, targets: Targets, *, codes: Sequence[str]) -> Iterator[tuple[Path, bytes]]:
    """Every file with what goes into it."""
    if targets.paper is not None:
        for unit, code in zip(found.answer.units, codes, strict=True):
            name = paper_name(found, unit)
            yield targets.paper / f"{name}-setup.pdf", setup_pdf(sheet_of(found, unit, code=code), paper=targets.size)
            yield (
                targets.paper / f"{name}-keys.pdf",
                key_strip_pdf(strip_of(found, unit, code=code), paper=targets.size),
            )
    writers: tuple[tuple[Path | None, Callable[..., bytes]], ...] = ((targets.xjdf, xjdf_of), (targets.jdf, jdf_of))
    for path, write in writers:
        if path is not None:
            yield path, write(list(_profiles(found)), job=found.answer.title or found.answer.press)
    if targets.csv is not None:
        yield targets.csv, _csv(found).encode()


def paper_name(found: Set, unit: SetUnit) -> str:
    """A name of a file: press, job, and whatever tells this ink from the others."""
    parts = [found.answer.press, found.answer.title]
    if len(found.answer.units) > 1:
        parts += [unit.ink, unit.unit, str(unit.pass_number) if found.answer.passes > 1 else ""]
    words = (re.sub(r"[^\w.]+", "-", part).strip("-.").lower() for part in parts)
    return "-".join(word for word in words if word)


def _profiles(found: Set) -> Iterator[InkZones]:
    """The image share of each whole zone, ink by ink; a ticket has one width for all zones."""
    for unit, work in zip(found.answer.units, found.works, strict=True):
        plate = next(each for each in work.plates if each.ink == unit.ink)
        widths = np.array([key.width_mm for key in unit.keys])
        if np.ptp(widths) > SAME_MM:
            raise Refusal(Problem("setup-ticket-uneven-zones", {"unit": unit.unit}))
        yield InkZones(
            ink=unit.ink or found.answer.title or unit.unit,
            shares=tuple(float(share) for share in np.minimum(plate.whole_zones, 1.0)),
            zone_mm=float(widths[0]),
            height_mm=None,
            around=(),
            part={"Separation": unit.ink} if unit.ink else {},
        )


def _csv(found: Set) -> str:
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    table.writerow(COLUMNS)
    for unit in found.answer.units:
        for key in unit.keys:
            films = (key.film_um, key.print_um, key.low_um, key.high_um)
            numbers = (key.width_mm, key.coverage, key.reading, key.opening, *films)
            shown = ("" if number is None else f"{number:.6g}" for number in numbers)
            table.writerow((unit.pass_number, unit.unit, unit.ink, key.zone, *shown))
    return text.getvalue()
