"""The API as an application of its own, and its description."""

from __future__ import annotations

import json
from functools import partial
from pathlib import Path
from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi

from filmsplit import __version__
from filmsplit.actions.answer_schema import answer_schema
from filmsplit.actions.correct import KIND as CORRECTION
from filmsplit.actions.correct import Corrected
from filmsplit.actions.setup import KIND as SETUP
from filmsplit.messages import label
from filmsplit.studies.job_answer import SetupAnswer
from filmsplit.web.api import jobs, presses, rollers, shop, solution
from filmsplit.web.refused import answer_refusals
from filmsplit.web.render import Bench
from filmsplit.web.session import COOKIE, TOKEN_HEADER

ROUTERS = tuple(each.router for each in (shop, presses, rollers, jobs, solution))
_EXAMPLES = Path(__file__).parent / "examples.json"
_OWN_SCHEMAS = {"Setup": (SETUP, SetupAnswer), "Correction": (CORRECTION, Corrected)}
"""Answers that have a schema written from their own records."""

Description = dict[str, Any]


def create_api(bench: Bench) -> FastAPI:
    """The API for the shop of ``bench``."""
    api = FastAPI(version=__version__, docs_url=None, redoc_url=None, openapi_url="/api/openapi.json")
    api.state.bench = bench
    for router in ROUTERS:
        api.include_router(router)
    answer_refusals(api)
    api.openapi = partial(description, api)  # type: ignore[method-assign]  # as the manual of FastAPI shows
    return api


def description(api: FastAPI) -> Description:
    """OpenAPI 3.1, with an example of every body that is sent and every answer."""
    if api.openapi_schema is None:
        made = get_openapi(
            title=label("web.name"), version=__version__, summary=label("web.api_summary"), routes=api.routes
        )
        made["components"]["schemas"] |= dict(_own_schemas())
        made["components"]["securitySchemes"] = {
            "session": {"type": "apiKey", "in": "cookie", "name": COOKIE},
            "token": {"type": "apiKey", "in": "header", "name": TOKEN_HEADER},
        }
        _secure(made)
        _give_examples(made, json.loads(_EXAMPLES.read_text(encoding="utf-8")))
        api.openapi_schema = made
    return api.openapi_schema


def _own_schemas() -> list[tuple[str, Description]]:
    """Each with its parts beside it, called by both names."""
    found = []
    for name, (kind, record) in _OWN_SCHEMAS.items():
        text = json.dumps(answer_schema(kind, record)).replace("#/$defs/", f"#/components/schemas/{name}.")
        whole = json.loads(text)
        found += [(f"{name}.{part}", schema) for part, schema in whole.pop("$defs").items()]
        del whole["$schema"]
        found.append((name, whole))
    return found


def _secure(made: Description) -> None:
    for path in made["paths"].values():
        if "post" in path:
            path["post"]["security"] = [{"session": [], "token": []}]


def _give_examples(made: Description, examples: Description) -> None:
    """``examples``: by method and path, what is sent and what comes back."""
    for path, operations in made["paths"].items():
        for method, operation in operations.items():
            example = examples[f"{method.upper()} {path}"]
            if "requestBody" in operation:
                operation["requestBody"]["content"]["application/json"]["example"] = example["request"]
            operation["responses"]["200"]["content"]["application/json"]["example"] = example["response"]
