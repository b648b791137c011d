"""The jobs that somebody kept: what was told of each and the codes of its plans, in a JSON file of the shop."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from filmsplit.formats.replace_file import replace_file
from filmsplit.messages import Problem, Refusal

MOST = 500
"""Jobs in the file; the oldest go first. Their plans stay on record."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptJob:
    """``told`` are the fields that tell the job; ``codes`` those of its plans, ink by ink; ``day`` is ISO 8601."""

    title: str
    press: str
    day: str
    codes: tuple[str, ...]
    told: Mapping[str, str]


def read_kept_jobs(path: Path) -> tuple[KeptJob, ...]:
    """The jobs, the oldest first; none where there is no file. Raises ``Refusal`` where it cannot be read."""
    if not path.exists():
        return ()
    try:
        return tuple(_job(each) for each in json.loads(path.read_text(encoding="utf-8"))["jobs"])
    except OSError as error:
        raise Refusal(Problem("file-not-readable", {"file": str(path), "detail": error.strerror or ""})) from error
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise Refusal(Problem("kept-jobs-unreadable", {"file": path.name})) from error


def write_kept_jobs(path: Path, jobs: Sequence[KeptJob]) -> None:
    """Put these jobs, the newest ``MOST`` of them, in the place of those in the file."""
    kept = [asdict(each) for each in jobs][-MOST:]
    replace_file(path, json.dumps({"jobs": kept}, indent=1, ensure_ascii=True) + "\n")


def _job(data: Mapping[str, Any]) -> KeptJob:
    return KeptJob(
        title=str(data["title"]),
        press=str(data["press"]),
        day=str(data["day"]),
        codes=tuple(str(each) for each in data["codes"]),
        told={str(name): str(text) for name, text in data["told"].items()},
    )
