"""Requests made from the API's own description: none is answered with an error of the server's own, each answer is as
described.

Source: schemathesis, a general library for OpenAPI. Half of the requests name a press, a roller, a job that exist, else
nearly all would end at the first name.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, settings
from schemathesis import Case
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import response_schema_conformance, status_code_conformance

from filmsplit.actions.shop import Shop
from filmsplit.web.app import create_app
from filmsplit.web.session import TOKEN_HEADER
from web.make_api_examples import JOB
from web.served import HOST, ORIGIN, Visit

CHECKS = [not_a_server_error, response_schema_conformance, status_code_conformance]
KNOWN = {"name": "heron", "unit": "A", "roller": "F1", "a": "F1", "b": "plate", "mark": "heron-F1", "number": 1}
SLOW = ("/api/jobs/set", "/api/jobs/{code}/correct")
"""These settle a train: a second or more each, where what is sent can be set."""
CAMPAIGN = os.environ.get("FILMSPLIT_FUZZ", "")
"""How many requests for each action; set by the campaign, which also makes those that compute."""
EXAMPLES, EXAMPLES_SLOW = int(CAMPAIGN or "10"), 6


@pytest.fixture(scope="module")
def visit(tmp_path_factory: pytest.TempPathFactory) -> Visit:
    folder: Path = tmp_path_factory.mktemp("fuzzed")
    made = Visit(folder)
    made.send("/presses/bring", press="heron")
    made.send("/presses/heron/register")
    headers = {TOKEN_HEADER: made.token(), "Idempotency-Key": "job"}
    job = made.client.post("/api/jobs", json=JOB, headers=headers).json()["job"]
    made.code = job["code"]  # type: ignore[attr-defined]
    return made


def _schema() -> Any:
    """From an application without anything in its shop: the description is the same for every shop."""
    app = create_app(Shop(Path("nowhere")), hosts=frozenset({HOST}), secret=b"of the tests")
    return schemathesis.openapi.from_asgi("/api/openapi.json", app, headers={"host": HOST})


SCHEMA = _schema()


def _aimed(case: Case, code: str) -> None:
    """Let a request name what exists."""
    case.path_parameters = {**KNOWN, "code": code} | {
        name: value for name, value in case.path_parameters.items() if name not in KNOWN and name != "code"
    }
    body: Any = case.body
    if isinstance(body, dict) and "press" in body:
        body["press"] = "heron"
    readings = body.get("readings") if isinstance(body, dict) else None
    for reading in readings if isinstance(readings, list) else ():
        if isinstance(reading, dict) and "at" in reading:
            reading["at"] = {"press": "heron", "unit": "A", "place": "F1"}


def _check(case: Case, visit: Visit) -> None:
    headers = {"host": HOST, "origin": ORIGIN, TOKEN_HEADER: visit.token()}
    response = case.call(app=visit.client.app, headers=headers, cookies=dict(visit.client.cookies))
    case.validate_response(response, checks=CHECKS)


@pytest.mark.parametrize("aimed", [False, True], ids=["as it comes", "at what exists"])
@SCHEMA.exclude(path=list(SLOW)).parametrize()
@settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
def test_no_request_ends_in_an_error_of_ours(case: Case, visit: Visit, aimed: bool) -> None:
    if aimed:
        _aimed(case, visit.code)  # type: ignore[attr-defined]
    _check(case, visit)


@pytest.mark.skipif(not CAMPAIGN, reason="minutes of computing: python dev.py campaign api_fuzz")
@pytest.mark.parametrize("aimed", [False, True], ids=["as it comes", "at what exists"])
@SCHEMA.include(path=list(SLOW)).parametrize()
@settings(max_examples=EXAMPLES_SLOW, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
def test_no_request_that_computes_ends_in_an_error_of_ours(case: Case, visit: Visit, aimed: bool) -> None:
    if aimed:
        _aimed(case, visit.code)  # type: ignore[attr-defined]
    _check(case, visit)
