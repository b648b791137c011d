"""How the API answers: its records as JSON under a kind with a version, refusals as problems."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from starlette.responses import Response

from filmsplit.actions.answers import plain, to_json
from filmsplit.messages import Problem, Severity


@dataclass(frozen=True, slots=True, kw_only=True)
class ProblemSaid:
    """A message. ``slug`` stands on the manual's page of messages; ``path`` is the place in a description."""

    slug: str
    severity: Severity
    what: str
    remedy: str
    path: tuple[str, ...]
    place: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """Nothing was done, and these say why."""

    problems: tuple[ProblemSaid, ...]


REFUSALS: dict[int | str, dict[str, Any]] = {
    400: {"model": Refused, "description": "What was sent is no JSON."},
    401: {"model": Refused, "description": "In shop mode: the device is not paired, or nobody is at it."},
    403: {"model": Refused, "description": "The token of the session is missing, or this person may not do it."},
    404: {"model": Refused, "description": "There is nothing of that name."},
    413: {"model": Refused, "description": "More was sent than anybody needs."},
    422: {"model": Refused, "description": "What was sent cannot be done; nothing was recorded."},
}
"""What every action may answer besides its own answer."""


def said(problem: Problem) -> ProblemSaid:
    """A problem with its texts."""
    return ProblemSaid(
        slug=problem.slug,
        severity=problem.severity,
        what=problem.what,
        remedy=problem.remedy,
        path=problem.path,
        place=str(problem.place) if problem.place else None,
    )


def answer(record: object, *, status: int = 200) -> Response:
    """A record of the API as JSON; its first field says its kind, such as ``today 2``."""
    return Response(json.dumps(plain(record), indent=2, ensure_ascii=False), status, media_type="application/json")


def kind_answer(kind: str, record: object) -> Response:
    """An answer that has a kind and a schema of its own, as the terminal prints it."""
    parts = plain(record)
    assert isinstance(parts, dict)
    return Response(to_json(kind, **parts), media_type="application/json")
