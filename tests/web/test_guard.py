"""What stands before every page. Attacks as the OWASP cheat sheets on cross-site request forgery, DNS rebinding and
content security policy describe them (from memory)."""

from __future__ import annotations

import subprocess
import sys
import tempfile
from collections.abc import Iterator

import pytest
from fastapi.routing import APIRoute

from filmsplit.web.pages.every import ROUTERS
from web.served import HOST, ORIGIN, Visit


def test_another_name_for_this_computer_gets_nothing(visit: Visit) -> None:
    answer = visit.client.get("/", headers={"host": "rebound.example:8650"})
    assert answer.status_code == 421
    assert "Today" not in answer.text


@pytest.mark.parametrize("host", ["", "127.0.0.1", "127.0.0.1:8651", f"{HOST}.example", f"x{HOST}"])
def test_a_host_that_is_nearly_ours_is_not_ours(visit: Visit, host: str) -> None:
    assert visit.client.get("/", headers={"host": host}).status_code == 421


@pytest.mark.parametrize("origin", ["http://other.example", "null", "http://127.0.0.1:8651", f"{ORIGIN}.example"])
def test_a_page_of_another_site_changes_nothing(visit: Visit, origin: str) -> None:
    answer = visit.client.post(
        "/presses/bring", data={"press": "heron", "token": visit.token()}, headers={"origin": origin}
    )
    assert answer.status_code == 403
    assert not (visit.folder / "presses").exists()


def test_a_form_without_its_token_changes_nothing(visit: Visit) -> None:
    answer = visit.client.post("/presses/bring", data={"press": "heron"})
    assert answer.status_code == 403
    assert not (visit.folder / "presses").exists()


def test_the_token_of_another_visit_changes_nothing(visit: Visit) -> None:
    other = Visit(visit.folder).token()
    assert visit.client.post("/presses/bring", data={"press": "heron", "token": other}).status_code == 403


def test_every_changing_route_asks_for_the_token(visit: Visit) -> None:
    changing = [
        (method, route.path)
        for router in ROUTERS
        for route in router.routes
        if isinstance(route, APIRoute)
        for method in route.methods - {"GET", "HEAD"}
    ]
    assert changing
    for method, path in changing:
        answer = visit.client.request(method, path.replace("{name}", "heron"))
        assert answer.status_code == 403, (method, path)


def test_every_answer_forbids_scripts_of_others(visit: Visit) -> None:
    for address in ("/", "/nowhere", "/api/presses", "/static/bench.css"):
        policy = visit.client.get(address).headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "frame-ancestors 'none'" in policy


def test_the_session_is_out_of_reach_of_scripts_and_other_sites(visit: Visit) -> None:
    cookie = visit.client.get("/").headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie


def test_a_body_without_bounds_is_refused_by_its_head(visit: Visit) -> None:
    answer = visit.client.post("/look", content=b"x", headers={"content-length": str(10**12)})
    assert answer.status_code == 413


@pytest.mark.parametrize(
    ("address", "kind"),
    [
        ("/look", "application/x-www-form-urlencoded"),
        ("/api/jobs/set", "application/x-www-form-urlencoded"),
        ("/api/jobs/set", "application/json"),
    ],
)
def test_a_body_that_does_not_say_how_long_it_is_stops_at_the_bound(visit: Visit, address: str, kind: str) -> None:
    def pieces(count: int) -> Iterator[bytes]:
        for _ in range(count):
            yield b"a" * 1024**2

    few, many = (visit.client.post(address, content=pieces(n), headers={"content-type": kind}) for n in (1, 3))
    assert few.status_code in (403, 422)
    assert many.status_code == 413
    assert "2 MB" in many.text


def test_the_first_page_waits_for_no_other() -> None:
    """In a process of its own: the other pages are not there before one of them is asked for."""
    program = """
import sys
from pathlib import Path
from starlette.testclient import TestClient
from filmsplit.actions.shop import Shop
from filmsplit.web.app import create_app
app = create_app(Shop(Path(sys.argv[1])), hosts=frozenset({"here"}), secret=b"s")
late = "filmsplit.web.pages.history", "filmsplit.web.api.app"
print([name in sys.modules for name in late])
client = TestClient(app, base_url="http://here")
print(client.get("/history").status_code, client.get("/nowhere").status_code, client.get("/history").status_code)
print([name in sys.modules for name in late])
"""
    with tempfile.TemporaryDirectory() as folder:
        command = [sys.executable, "-c", program, folder]
        done = subprocess.run(command, capture_output=True, text=True, check=True)
    assert done.stdout.splitlines() == ["[False, False]", "200 404 200", "[True, False]"]


@pytest.mark.parametrize(
    "name",
    [
        "..%2f..%2fetc%2fpasswd",
        "....//",
        "%2e%2e",
        "heron.yaml",
        "heron%00",
        "C:%5cpresses",
        "<script>alert(1)</script>",
    ],
)
def test_no_path_of_a_request_reaches_the_file_system(at_heron: Visit, name: str) -> None:
    answer = at_heron.client.get(f"/presses/{name}")
    assert answer.status_code == 404
    assert "<script>" not in answer.text


def test_what_was_typed_is_shown_and_never_run(visit: Visit) -> None:
    text = visit.page("/words?asked=%3Cimg src=x onerror=alert(1)%3E")
    assert "<img" not in text
    assert "&lt;img" in text
