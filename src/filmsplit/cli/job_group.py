"""The commands of `filmsplit job`, put together."""

from __future__ import annotations

from filmsplit.cli.job_commands import job
from filmsplit.cli.job_correct import correct

job.add_command(correct)

__all__ = ["job"]
