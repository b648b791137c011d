"""The usual attacks on a web page, tried on every way in. As the OWASP cheat sheets describe them (from memory)."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from filmsplit.actions.jobs import today
from filmsplit.actions.register import Daybook, add
from filmsplit.records.jobs import JobRecord, log_job
from filmsplit.records.roller_facts import no_facts
from filmsplit.records.store import Store
from filmsplit.web.guard import MOST_WORDS_BYTES
from filmsplit.web.pages.every import ROUTERS
from filmsplit.web.session import TOKEN_HEADER
from filmsplit.web.shop_mode.access import Access
from filmsplit.web.shop_mode.door import COOKIE
from filmsplit.web.shop_mode.people import Role
from web.served import Visit

EVIL = "<script>alert(1)</script>\"'><img src=x onerror=alert(2)>{{7*7}}"
"""Shorter than a mark of a roller may be where it has to be; also an expression of the template language."""
SHORT_EVIL = "<img src=x onerror=alert(2)>'\""
WAYS_OUT = ("..%2f..%2fsecret", "%2e%2e%2fsecret", "..%5csecret", "%00", "secret.yaml:A", "/etc/passwd", "~")


def pages_of(visit: Visit) -> dict[str, str]:
    """Every page that links lead to, by address."""
    seen: dict[str, str] = {}
    ahead = ["/"]
    while ahead:
        address = ahead.pop()
        if address not in seen:
            answer = visit.client.get(address)
            html = "html" in answer.headers.get("content-type", "")
            seen[address] = answer.text if html else ""
            ahead += [link.replace("&amp;", "&") for link in re.findall(r'href="(/[^"#]*)', seen[address])]
    return seen


def test_no_text_that_somebody_typed_is_run(tmp_path: Path) -> None:
    """Titles of jobs, inks, marks of rollers, persons, remarks, names on the list, of a press."""
    access = Access(tmp_path)
    access.add(SHORT_EVIL, Role.OWNER)
    visit = Visit(tmp_path, access)
    visit.send("/presses/bring", press="heron")
    file = tmp_path / "presses" / "heron.yaml"
    text = file.read_text()
    named = re.sub(r"(?m)^name: .*$", f"name: '{SHORT_EVIL.replace(chr(39), chr(39) * 2)}'", text, count=1)
    assert named != text
    file.write_text(named)
    visit.send("/presses/heron/register")
    book = Daybook(tmp_path / "filmsplit.records", today())
    add(SHORT_EVIL, no_facts(), book=book)
    store = Store.at(book.records)
    with store.write("test") as writer:
        log_job(writer, JobRecord(press="heron", unit="A", title=EVIL, ink=EVIL, printed_on=date(2030, 1, 1)))
    store.close()
    reading = {"kind": "hardness", "at": {"roller": "heron-F1"}, "values": [27], "person": EVIL, "remarks": EVIL}
    headers = {TOKEN_HEADER: visit.token(), "Idempotency-Key": "k"}
    assert visit.client.post("/api/readings", json={"readings": [reading]}, headers=headers).status_code == 200
    tablet = Visit(tmp_path, access, "192.0.2.7")
    tablet.client.cookies.set(COOKIE, access.choose(1, SHORT_EVIL) if access.pair(access.code()) else "")
    seen = pages_of(visit) | pages_of(tablet) | {"mark": visit.page(f"/rollers/{SHORT_EVIL}")}
    shown = [text for text in seen.values() if "onerror" in text]
    assert len(shown) >= 5, "hardly anything of it was shown: nothing was tried"
    for address, text in seen.items():
        assert "<img src=x" not in text, address
        assert "<script>alert" not in text, address
        assert not re.search(r"<[^>]* onerror=", re.sub(r'"[^"]*"', '""', text)), address
        assert "49" not in re.findall(r"onerror=alert\(2\)&gt;(\S\S)", text), address


def test_no_address_leads_to_a_file_of_its_own(at_heron: Visit) -> None:
    """Every part of every address of a page or of the API."""
    secret = at_heron.folder / "secret.yaml"
    secret.write_text((at_heron.folder / "presses" / "heron.yaml").read_text().replace("Heron", "Hidden"))
    described = at_heron.client.get("/api/openapi.json").json()["paths"]
    paths = [route.path for router in ROUTERS for route in router.routes] + list(described)  # type: ignore[attr-defined]
    known = {"name": "heron", "unit": "A", "roller": "F1", "a": "F1", "b": "plate", "mark": "heron-F1", "number": "1"}
    tried = 0
    for path in paths:
        for part in re.findall(r"{(\w+)}", path):
            for way in WAYS_OUT:
                address = re.sub(r"{(\w+)}", lambda each: way if each[1] == part else known.get(each[1], "x"), path)  # noqa: B023
                answer = at_heron.client.get(address, follow_redirects=False)
                assert answer.status_code in (303, 307, 404, 405, 422), (address, answer.status_code)
                assert "Hidden" not in answer.text, address
                tried += 1
    assert tried > 100


@pytest.mark.parametrize("kind", ["application/x-www-form-urlencoded", "application/json", "text/plain"])
def test_more_than_anybody_types_is_refused(at_heron: Visit, kind: str) -> None:
    body = b"a=" + b"x" * MOST_WORDS_BYTES
    headers = {"content-type": kind, TOKEN_HEADER: at_heron.token()}
    for address in ("/look", "/presses/bring", "/api/readings", "/api/jobs"):
        assert at_heron.client.post(address, content=body, headers=headers).status_code == 413, address


def test_a_body_that_hides_how_long_it_is_is_cut_off(at_heron: Visit) -> None:
    def pieces() -> object:
        for _ in range(40):
            yield b"x" * 100_000

    headers = {"content-type": "application/x-www-form-urlencoded", "transfer-encoding": "chunked"}
    answer = at_heron.client.post("/look", content=pieces(), headers=headers)  # type: ignore[arg-type]
    assert answer.status_code in (400, 413)  # whoever was reading the form says so, or the guard


@pytest.mark.parametrize("evil", ["heron%0d%0aset-cookie:%20a=b", "heron%0d%0ax-evil:%201", "%0d%0a%0d%0a<script>"])
def test_no_address_writes_a_header(at_heron: Visit, evil: str) -> None:
    for address in (
        f"/presses/{evil}",
        f"/presses/heron/{evil}",
        f"/words?asked={evil}",
        f"/presses/heron/A?tells={evil}",
    ):
        answer = at_heron.client.get(address, follow_redirects=False)
        assert "x-evil" not in answer.headers
        assert "a=b" not in answer.headers.get("set-cookie", "")
        assert "\n" not in answer.headers.get("location", "")


def test_a_form_sent_where_a_page_was_asked_changes_nothing(at_heron: Visit) -> None:
    for address in ("/presses/bring?press=wagtail", "/presses/heron/register"):
        assert at_heron.client.get(address).status_code in (404, 405)
    assert not (at_heron.folder / "presses" / "wagtail.yaml").exists()


@pytest.mark.parametrize("method", ["PUT", "PATCH", "DELETE", "TRACE", "OPTIONS"])
def test_other_methods_do_nothing(at_heron: Visit, method: str) -> None:
    for address in ("/", "/presses/heron", "/api/presses/heron", "/api/readings"):
        assert at_heron.client.request(method, address).status_code in (403, 404, 405)
