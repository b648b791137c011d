"""Ghost left: what a bare strip leaves one and two form-roller turns behind it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.network import LoopRole
from filmsplit.simulation.settle import settle
from filmsplit.simulation.train import NipKind, Train
from filmsplit.studies.standard_job import NOT_SETTLED, STANDARD_JOB, Figure, Subject, even_train, figure

ACCURACY = 1e-5
"""Of the settled print: ghosts of 0.1 % of the film are to be told."""

SEEN_MM = 2.0
"""Length over which a ghost is averaged."""

TURNS = (1, 2)
HIDDEN = "character.hidden"


def ghost_figures(subject: Subject) -> Iterator[Figure]:
    """Film over what it is without the strip, less 1, at the strongest 2 mm of the strip's repeats, in %.

    A repeat lies one (two) circumferences of a form roller behind the strip and is as long as the strip; of all form
    rollers the strongest counts, with its sign. Film without the strip and with it are both taken over their medians,
    so that the ripple of a ductor is no ghost. The print is solid all round, as a gap leaves a ghost of its own.
    """
    train = even_train(subject, columns=2, round_mm=subject.cells.ghost_mm)
    coverage = np.ones((train.grid.rows, 2))
    strip = train.grid.cells(STANDARD_JOB.strip_mm)
    coverage[:strip, 0] = 0.0
    solution = settle(train, subject.demand(coverage, films_um=1.0), accuracy=ACCURACY)
    strength = None
    if solution.ok and solution.sheet_um is not None:
        strength = ghost_strength(solution.sheet_um, strip=strip)
    for turns in TURNS:
        value, missing = None, NOT_SETTLED
        if strength is not None:
            value, missing = strongest_repeat(train, strength, strip=strip, turns=turns), HIDDEN
        part = None if value is None else 100 * value
        yield figure(f"ghost_{turns}", "%", value=part, missing=missing)


def ghost_strength(sheet_um: Array, *, strip: int) -> Array:
    """By row: film of the first column over that of the second, each over its median where printed, less 1.

    Bare rows (the first ``strip``) are not a number.
    """
    films = sheet_um[strip:] / np.median(sheet_um[strip:], axis=0)
    return np.concatenate([np.full(strip, np.nan), films[:, 0] / films[:, 1] - 1.0])


def strongest_repeat(train: Train, strength: Array, *, strip: int, turns: int) -> float | None:
    """The strongest deviation in the strip's repeats so many turns of any form roller on; ``None`` if all are bare."""
    seen = min(strip, train.grid.cells(SEEN_MM))
    averaged = np.mean([np.roll(strength, -row) for row in range(seen)], axis=0)  # over the rows from each on
    starts = [turns * cells + row for cells in _form_cells(train) for row in range(strip - seen + 1)]
    found = averaged[np.array(starts) % train.grid.rows]
    found = found[np.isfinite(found)]
    return None if found.size == 0 else float(found[np.argmax(np.abs(found))])


def _form_cells(train: Train) -> Iterator[int]:
    """Cells round each form roller."""
    for nip in train.nips:
        if nip.kind is NipKind.FORM and train.loops[nip.a].role is LoopRole.ROLLER:
            yield train.loops[nip.a].cells
