"""The API does what its own description says.

Sources: OpenAPI 3.1 and JSON Schema 2020-12 (checked by schemathesis and jsonschema, general libraries).
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from PIL import Image

from filmsplit.actions.kept_jobs import kept_jobs
from filmsplit.actions.kept_work import keep_work
from filmsplit.actions.shop import Shop
from filmsplit.formats.press_file import load
from filmsplit.web.api import app as api
from filmsplit.web.pages import every as pages
from filmsplit.web.session import TOKEN_HEADER
from filmsplit.web.shop_mode.access import Access
from filmsplit.web.shop_mode.door import COOKIE
from filmsplit.web.shop_mode.people import Role
from formats.made_tickets import jdf
from web.make_api_examples import answers
from web.served import Visit
from web.test_jobs import kept
from web.test_rounds import begun, read, through

Operation = dict[str, Any]


@pytest.fixture(scope="module")
def described(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    visit = Visit(tmp_path_factory.mktemp("described"))
    found: dict[str, Any] = visit.client.get("/api/openapi.json").json()
    return found


def operations(described: dict[str, Any]) -> Iterator[tuple[str, Operation]]:
    for path, methods in described["paths"].items():
        for method, operation in methods.items():
            yield f"{method.upper()} {path}", operation


def schema_of(described: dict[str, Any], operation: Operation, *, request: bool = False) -> dict[str, Any]:
    """What an operation takes or gives, as a schema that stands alone."""
    content = operation["requestBody"] if request else operation["responses"]["200"]
    return {**content["content"]["application/json"]["schema"], "components": described["components"]}


def test_the_description_is_of_the_version_it_says(described: dict[str, Any]) -> None:
    assert described["openapi"].startswith("3.1")
    assert described["info"]["summary"]


def test_every_action_is_described_in_words_with_its_types_and_an_example(described: dict[str, Any]) -> None:
    found = dict(operations(described))
    assert len(found) > 20
    for name, operation in found.items():
        assert operation["summary"], name
        assert operation["description"], name
        assert schema_of(described, operation).get("$ref"), name
        assert operation["responses"]["200"]["content"]["application/json"]["example"], name
        assert "422" in operation["responses"], name


def test_examples_are_sent_and_answered_as_described(described: dict[str, Any], tmp_path: Path) -> None:
    """The same requests on a fresh shop: each is accepted, each answer is as its schema says."""
    found = answers(Visit(tmp_path))
    assert set(found) == {name for name, _ in operations(described)}
    for name, operation in operations(described):
        jsonschema.validate(found[name]["response"], schema_of(described, operation))
        content = operation["responses"]["200"]["content"]["application/json"]
        jsonschema.validate(content["example"], schema_of(described, operation))
        if "requestBody" in operation:
            shown = operation["requestBody"]["content"]["application/json"]["example"]
            assert shown == found[name]["request"], "run: python tests/web/make_api_examples.py"
            jsonschema.validate(shown, schema_of(described, operation, request=True))


def test_a_field_that_nobody_knows_is_refused_and_not_passed_over(at_heron: Visit) -> None:
    reading = {"kind": "hardness", "at": {"roller": "heron-F1"}, "values": [27, 28], "temprature_c": 23}
    answer = send(at_heron, "/api/readings", {"readings": [reading]})
    assert answer.status_code == 422
    assert "temprature_c" in answer.text


def send(visit: Visit, address: str, body: object, *, key: str = "k1") -> Any:
    return visit.client.post(address, json=body, headers={TOKEN_HEADER: visit.token(), "Idempotency-Key": key})


def test_a_reading_sent_twice_is_recorded_once(at_heron: Visit) -> None:
    body = {"readings": [{"kind": "hardness", "at": {"roller": "heron-F1"}, "values": [27, 28, 27, 28, 27]}]}
    first, again = (send(at_heron, "/api/readings", body).json() for _ in range(2))
    assert first["recorded"][0]["entry"] == again["recorded"][0]["entry"]
    assert len(at_heron.client.get("/api/readings").json()["entries"]) == 1
    other = {"readings": [{"kind": "hardness", "at": {"roller": "heron-F1"}, "values": [40]}]}
    assert send(at_heron, "/api/readings", other).status_code == 422


def test_a_reading_without_a_key_of_its_own_is_not_taken(at_heron: Visit) -> None:
    body = {"readings": [{"kind": "hardness", "at": {"roller": "heron-F1"}, "values": [27, 28, 27, 28, 27]}]}
    headers = {TOKEN_HEADER: at_heron.token()}
    assert at_heron.client.post("/api/readings", json=body, headers=headers).status_code == 422


@pytest.mark.parametrize(
    "at",
    [
        {"roller": "/etc/passwd:F1"},
        {"roller": "..\\..\\other.yaml:F1"},
        {"press": "../heron", "unit": "A", "place": "F1"},
        {"press": "heron", "unit": "A.x:../other.yaml:A", "place": "F1"},
        {"press": "heron", "unit": "A", "members": ["F1/..", "plate"]},
    ],
)
def test_no_name_in_a_body_becomes_a_path(at_heron: Visit, at: dict[str, Any]) -> None:
    (at_heron.folder / "other.yaml").write_text((at_heron.folder / "presses" / "heron.yaml").read_text())
    body = {"readings": [{"kind": "hardness", "at": at, "values": [27]}]}
    answer = send(at_heron, "/api/readings", body)
    assert answer.status_code == 404
    assert at_heron.client.get("/api/readings").json()["entries"] == []


def test_a_press_of_the_demo_workshop_that_the_shop_lacks_is_not_there(at_heron: Visit) -> None:
    """A name means the shop's own file, never that of the same name in the demo workshop."""
    for address in ("/api/presses/wagtail", "/api/presses/wagtail/due", "/api/presses/wagtail/marks?at_mm=12"):
        assert at_heron.client.get(address).status_code == 404


def test_types_of_pages_and_of_the_api_are_apart() -> None:
    """No module of the API imports a page or a template, no page a module of the API."""
    web = Path(pages.__file__).parent
    for folder, other in (("api", "pages"), ("pages", "api")):
        for module in (web / folder).glob("*.py"):
            assert f"filmsplit.web.{other}" not in module.read_text(encoding="utf-8"), module


PAGES_OF = {
    "GET /api/session": "/look",
    "GET /api/today": "/",
    "GET /api/words": "/words",
    "GET /api/presses": "/presses",
    "POST /api/presses/bring": "/presses/bring",
    "GET /api/presses/{name}": "/presses/{name}/{unit}",
    "GET /api/presses/{name}/units/{unit}/map": "/presses/{name}/{unit}",
    "POST /api/presses/{name}/register": "/presses/{name}/register",
    "GET /api/presses/{name}/units/{unit}/rollers/{roller}": "/presses/{name}/{unit}/roller/{roller}",
    "GET /api/presses/{name}/units/{unit}/contacts/{a}/{b}": "/presses/{name}/{unit}/contact/{a}/{b}",
    "GET /api/rollers/{mark}": "/rollers/{mark}",
    "POST /api/readings": "/rounds/{number}/contact/{a}/{b}",
    "GET /api/readings": "/history",
    "POST /api/readings/{number}/strike": "/history/{number}/undo",
    "GET /api/rollers/{mark}/order": "/rollers/{mark}/order.pdf",
    "GET /api/presses/{name}/marks": "/presses/{name}/{unit}/marks",
    "GET /api/rollers": "/rollers",
    "GET /api/presses/{name}/due": "/due",
    "GET /api/presses/{name}/solution": "/solution/{name}",
    "POST /api/presses/{name}/solution": "/solution/{name}/sample",
    "POST /api/presses/{name}/solution/titration": "/solution/{name}/titration",
    "GET /api/jobs": "/jobs",
    "POST /api/jobs": "/jobs/log",
    "GET /api/jobs/{code}": "/jobs/logged/{code}",
    "POST /api/jobs/set": "/jobs/set",
    "POST /api/jobs/{code}/correct": "/jobs/logged/{code}/correct",
}
"""The page by which a person reaches what a program reaches by each action."""


def test_every_action_is_reached_by_a_page(described: dict[str, Any]) -> None:
    found = {name for name, _ in operations(described)}
    assert found == set(PAGES_OF)
    routes = {route.path for router in pages.ROUTERS for route in router.routes}  # type: ignore[attr-defined]
    assert set(PAGES_OF.values()) <= routes


def test_every_page_that_changes_something_is_reached_by_a_form(tmp_path: Path) -> None:
    """The address of each form there is, on the pages that links lead to, against the routes that take one."""
    access = Access(tmp_path)
    access.add("Kim", Role.OPERATOR)
    at_heron, stranger = Visit(tmp_path, access), Visit(tmp_path, access, "192.0.2.7")
    at_heron.send("/presses/bring", press="heron")
    at_heron.send("/presses/heron/register")
    at_heron.send("/presses/bring", press="wagtail")  # a press whose rollers are not on the register yet
    file = keep_work(Shop(tmp_path), BytesIO(jdf([0.2, 0.4])), name="ticket.jdf")
    forms = forms_of(stranger) | forms_of(at_heron)
    begun(at_heron)
    forms |= forms_of(at_heron)
    through(at_heron)
    read(at_heron, "F1/plate", widths=("3.5", "3.5", "3.5"))
    stranger.client.cookies.set(COOKIE, access.pair(access.code()))
    forms |= forms_of(stranger) | forms_of(at_heron)
    forms |= forms_in(at_heron.page(f"/jobs/set?where=heron/A&work={file.code}"))  # while it is set
    forms |= forms_in(a_job_set(at_heron))
    forms |= forms_in(a_kept_job_asked_about(at_heron))
    forms |= forms_in(a_job_logged(at_heron))
    edit = "/presses/heron/edit"
    forms |= forms_in(at_heron.send(edit, unit="A", part="roller", of="F1", diameter_mm="54.5"))
    forms |= forms_in(at_heron.send(f"{edit}/undo", unit="A"))
    forms |= forms_in(a_photo_tapped(at_heron))
    unreached = [
        route.path
        for router in pages.ROUTERS
        for route in router.routes
        if "POST" in (getattr(route, "methods", None) or ())
        if not any(route.path_regex.fullmatch(form) for form in forms)  # type: ignore[attr-defined]
    ]
    assert unreached == []


def a_kept_job_asked_about(visit: Visit) -> str:
    """The page that asks whether a kept job goes off the list."""
    kept(visit, a_job_set(visit))
    (job,) = kept_jobs(Shop(visit.folder))
    return visit.page(f"/jobs/kept/{job.codes[0]}")


def a_photo_tapped(visit: Visit) -> str:
    """The page that asks for the scale of a photo."""
    picture = BytesIO()
    Image.new("RGB", (400, 300)).save(picture, format="PNG")
    here = "/presses/heron/A/photo"
    visit.client.post(here, data={"token": visit.token()}, files={"file": ("p.png", picture.getvalue())})
    return visit.page(f"{here}?a=10,10&b=390,10&m=200,200")


def a_job_set(visit: Visit) -> str:
    """The page that the form of jobs leads to."""
    fountain = load(visit.folder / "presses" / "heron.yaml").press.units[0].fountain
    assert fountain is not None
    asked = {"where": "heron/A", "coverage": f"{len(fountain.zone_widths_mm)}x20", "title": "Poster"}
    answer = visit.client.get("/jobs/set", params=asked)
    assert answer.status_code == 200, answer.text
    return answer.text


def a_job_logged(visit: Visit) -> str:
    """The page of a job on record."""
    text = a_job_set(visit)
    carried = dict(re.findall(r'<input type="hidden" name="(?!token)(\w+)" value="([^"]*)"', text))
    return visit.send("/jobs/log", **(carried | {"title": "Poster"}))


def forms_in(text: str) -> set[str]:
    """Where the forms of a page lead."""
    return set(re.findall(r'<form[^>]*method="post"[^>]*action="([^"#]+)', text))


def forms_of(visit: Visit) -> set[str]:
    """Where the forms lead that a person meets."""
    seen, ahead, forms = set(), ["/"], set()
    while ahead:
        address = ahead.pop()
        if address in seen:
            continue
        seen.add(address)
        text = visit.client.get(address).text
        forms |= forms_in(text)
        ahead += [link.replace("&amp;", "&") for link in re.findall(r'href="(/[^"#]*)', text)]
    return forms


def test_every_changing_action_asks_for_the_token(at_heron: Visit, described: dict[str, Any]) -> None:
    changing = [name for name, _ in operations(described) if not name.startswith("GET")]
    assert len(changing) >= 7
    for name in changing:
        method, _, path = name.partition(" ")
        sent = json.loads(api._EXAMPLES.read_text())[name].get("request")
        address = path.replace("{name}", "heron").replace("{number}", "1").replace("{code}", "X")
        answer = at_heron.client.request(method, address, json=sent, headers={"Idempotency-Key": "k"})
        assert answer.status_code == 403, name
