"""What should be known of a job beforehand: what was assumed, aims out of range, covers that do not bear it."""

from __future__ import annotations

from collections.abc import Iterator

from filmsplit.actions.job_asked import JobAsked
from filmsplit.actions.setup_changes import InkRun
from filmsplit.library.cover_rules import cover_rules
from filmsplit.library.inks import DEFAULT_INK
from filmsplit.library.inks import ink as library_ink
from filmsplit.messages import Problem
from filmsplit.press import Unit
from filmsplit.setup.aim_checks import aim_problems
from filmsplit.setup.cover_checks import cover_problems
from filmsplit.studies.film_question import AIM_UM
from filmsplit.studies.job_question import Before


def setup_notes(asked: JobAsked, run: InkRun, *, unit: Unit) -> Iterator[Problem]:
    """The weightiest first."""
    yield from cover_problems(unit, family=asked.family, wash=asked.wash, rules=cover_rules())
    if run.ink is None:
        ink = library_ink(DEFAULT_INK)
        yield Problem("film-assumed-ink", {"ink": ink.slug, "density": ink.density_g_per_cm3, "source": ink.source})
    elif run.ink.film is not None:
        yield from aim_problems(run.study.settings.aim_um, ink=run.name, window=run.ink.film)
    if asked.aim_um is None and asked.density is None:
        yield Problem("setup-assumed-aim", {"aim_um": AIM_UM})
    if asked.constants is None:
        yield Problem("setup-no-constants")
    if asked.before is Before.CLEAN and not asked.after:
        yield Problem("setup-assumed-clean")
