"""Who is let in over the shop's network, and what they may do there.

Attacks as the OWASP cheat sheets on sessions, authentication and stored passwords describe them (from memory).
"""

from __future__ import annotations

import re
import stat
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from filmsplit.actions import jobs
from filmsplit.actions.shop import Shop, kept_press
from filmsplit.messages import Refusal, label
from filmsplit.records.jobs import JobRecord
from filmsplit.web.pages import every as pages
from filmsplit.web.session import TOKEN_HEADER
from filmsplit.web.shop_mode.access import CODE_LASTS_S, FILE, Access
from filmsplit.web.shop_mode.door import COOKIE
from filmsplit.web.shop_mode.people import Role, Tries
from filmsplit.web.shop_mode.pins import CODE_LETTERS, LETTERS, LONGEST_WAIT_S, after_wrong
from web.served import HOST, Visit

AWAY = "192.0.2.7"


@dataclass
class Clock:
    """A clock that stands until it is told to go on."""

    now_s: float = 1_900_000_000.0

    def __call__(self) -> float:
        return self.now_s


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def access(tmp_path: Path, clock: Clock) -> Access:
    made = Access(tmp_path, clock)
    made.add("Olga", Role.OWNER, pin="111111")
    made.add("Kim", Role.OPERATOR, pin="4711")
    made.add("Lea", Role.LEARNER)
    return made


@pytest.fixture
def owner(tmp_path: Path, access: Access) -> Visit:
    """At the computer itself."""
    made = Visit(tmp_path, access)
    made.send("/presses/bring", press="heron")
    made.send("/presses/heron/register")
    return made


def tablet(owner: Visit, *, pair: bool = True) -> Visit:
    """A device in the network."""
    assert owner.access is not None
    made = Visit(owner.folder, owner.access, AWAY)
    if pair:
        send(made, "/pair", code=owner.access.code())
    return made


def send(visit: Visit, address: str, **fields: str) -> Any:
    """Send a form from a device that may not see every page."""
    found = re.search(r'name="token" value="(\w+)"', visit.client.get("/pair").text)
    assert found is not None
    return visit.client.post(address, data={"token": found[1], **fields}, follow_redirects=False)


def at(owner: Visit, name: str, *, pin: str = "") -> Visit:
    """A paired tablet with somebody at it."""
    made = tablet(owner)
    assert send(made, "/who", name=name, pin=pin).status_code == 303
    return made


def record(visit: Visit, *, person: str = "") -> Any:
    body = {"readings": [{"kind": "hardness", "at": {"roller": "heron-F1"}, "values": [27], "person": person}]}
    found = re.search(r'name="token" value="(\w+)"', visit.client.get("/look").text)
    token = found[1] if found else ""
    return visit.client.post("/api/readings", json=body, headers={TOKEN_HEADER: token, "Idempotency-Key": "k"})


# The door -------------------------------------------------------------------------------------------------------------


def test_without_shop_mode_nothing_of_it_opens(visit: Visit) -> None:
    assert label("web_shop.only_here") in visit.page("/shop")
    assert label("web_shop.closed") in visit.page("/pair")
    for address, fields in (("/pair", {"code": "X"}), ("/shop/code", {}), ("/who", {"name": "Kim"})):
        visit.send(address, status=422, **fields)
    assert not (visit.folder / FILE).exists()


def test_a_device_that_is_not_paired_sees_the_page_to_pair_it_and_nothing_else(owner: Visit) -> None:
    stranger = tablet(owner, pair=False)
    routes = {route.path for router in pages.ROUTERS for route in router.routes}  # type: ignore[attr-defined]
    for path in sorted(routes):
        address = re.sub(r"{\w+}", "heron", path)
        answer = stranger.client.get(address, follow_redirects=False)
        assert (answer.status_code, answer.headers.get("location")) == (
            (200, None) if path == "/pair" else (303, "/pair")
        )
    for address in ("/api/today", "/api/session", "/api/openapi.json", "/api/presses/heron"):
        assert stranger.client.get(address).status_code == 401
    assert "Heron" not in stranger.client.get("/pair").text


def test_what_a_header_says_makes_nobody_the_owner(owner: Visit) -> None:
    stranger = tablet(owner, pair=False)
    for header in ("x-forwarded-for", "forwarded", "x-real-ip", "client-ip"):
        answer = stranger.client.get("/", headers={header: "127.0.0.1"}, follow_redirects=False)
        assert answer.headers["location"] == "/pair"


def test_a_tablet_with_nobody_at_it_only_asks_who(owner: Visit) -> None:
    made = tablet(owner)
    assert made.client.get("/", follow_redirects=False).headers["location"] == "/who"
    assert made.client.get("/api/today").status_code == 401
    assert "Kim" in made.client.get("/who").text


def test_only_the_address_the_connection_came_to_is_a_host_of_ours(owner: Visit) -> None:
    for host in ("rebound.example:8650", "127.0.0.1", "192.0.2.1:8650", f"{HOST}.example"):
        assert tablet(owner).client.get("/pair", headers={"host": host}).status_code == 421


# Codes ----------------------------------------------------------------------------------------------------------------


def test_a_code_lets_in_one_tablet(owner: Visit) -> None:
    assert owner.access is not None
    code = owner.access.code()
    first, second = tablet(owner, pair=False), tablet(owner, pair=False)
    assert send(first, "/pair", code=code.lower().replace("-", " ")).status_code == 303
    assert send(second, "/pair", code=code).status_code == 403
    assert COOKIE not in second.client.cookies


def test_a_code_is_good_for_one_day(owner: Visit, clock: Clock) -> None:
    assert owner.access is not None
    code = owner.access.code()
    clock.now_s += CODE_LASTS_S
    assert send(tablet(owner, pair=False), "/pair", code=code).status_code == 403


def test_codes_cannot_be_tried_through(access: Access, clock: Clock) -> None:
    """At the longest wait a chance of one in a million takes centuries."""
    code, tried, began = access.code(), 0, clock.now_s
    while tried < 20:
        try:
            access.pair("22222222")
        except Refusal as refusal:
            if refusal.problems[0].slug == "shop-wait":
                clock.now_s += 1
            else:
                tried += 1
    assert clock.now_s - began > 5 * LONGEST_WAIT_S
    with pytest.raises(Refusal, match="shop-wait"):
        access.pair(code)  # not even the right one while nobody is listened to
    years = len(LETTERS) ** CODE_LETTERS * 1e-6 * LONGEST_WAIT_S / 3.15e7
    assert years > 20


def test_codes_are_of_chance_and_shown_once(owner: Visit) -> None:
    text = owner.send("/shop/code")
    found = re.search(r'class="code">([\w-]+)<', text)
    assert found is not None
    assert len({owner.access.code() for _ in range(50)}) == 50  # type: ignore[union-attr]
    assert found[1] not in owner.page("/shop")
    assert found[1] not in (owner.folder / FILE).read_text()


# Names and PINs -------------------------------------------------------------------------------------------------------


def test_an_operator_records_under_the_own_name_whatever_is_told(owner: Visit) -> None:
    made = at(owner, "Kim", pin="4711")
    assert record(made, person="somebody else").json()["recorded"][0]["entry"]["person"] == "Kim"


def test_a_learner_sees_everything_and_records_nothing(owner: Visit) -> None:
    made = at(owner, "Lea")
    assert "Heron" in made.client.get("/presses/heron/A").text
    assert record(made).status_code == 403
    assert send(made, "/presses/bring", press="wagtail").status_code == 403
    assert owner.client.get("/api/readings").json()["entries"] == []
    assert send(made, "/look", light="dark", size="bench", lengths="mm").status_code == 303


def test_a_learner_may_ask_how_a_job_is_corrected(owner: Visit) -> None:
    """It only computes: nothing is on record afterwards that was not before, and a job cannot be logged."""
    shop = Shop(owner.folder)
    card = JobRecord(press="", unit="A", title="Card", printed_on=date(2025, 3, 4))
    kept = kept_press(shop, "heron")
    assert kept.press is not None
    assert kept.press.units[0].fountain is not None
    zones = len(kept.press.units[0].fountain.zone_widths_mm)
    job = jobs.log(str(kept.path), card, told=jobs.Told(), records=shop.records)
    made = at(owner, "Lea")
    assert job.code in made.client.get(f"/jobs/logged/{job.code}").text
    answer = send(made, f"/jobs/logged/{job.code}/correct", densities=" ".join(["1.4"] * zones))
    assert answer.status_code == 422, "answered, with what the job lacks; not forbidden"
    assert label("job_lacks.aim") in answer.text
    assert send(made, "/jobs/log", where="heron/A", title="Another", key="k").status_code == 403
    assert [each.code for each in jobs.find(shop.records)] == [job.code]


def test_a_learner_may_call_off_a_job_that_is_being_set_and_keeps_none(owner: Visit) -> None:
    made = at(owner, "Lea")
    assert send(made, "/waiting/cancel", ticket="00", back="/jobs").status_code == 303
    assert send(made, "/jobs/set/keep", where="heron/A", coverage="10x20", key="k").status_code == 403
    assert send(made, "/jobs/files", where="heron/A").status_code == 403


@pytest.mark.parametrize(("name", "pin"), [("Kim", "4711"), ("Lea", "")])
def test_only_owners_say_who_comes_in(owner: Visit, name: str, pin: str) -> None:
    made = at(owner, name, pin=pin)
    assert made.client.get("/shop").status_code == 403
    for address in ("/shop/code", "/shop/people", "/shop/people/remove", "/shop/tablets/revoke"):
        assert send(made, address, name="Eve", role="owner", number="1").status_code == 403
    assert owner.access is not None
    assert owner.access.person("Eve") is None


def test_an_owner_does_it_from_a_tablet(owner: Visit) -> None:
    made = at(owner, "Olga", pin="111111")
    assert send(made, "/shop/people", name="Ida", role="operator", pin="").status_code == 303
    assert "Ida" in made.client.get("/shop").text


def test_a_wrong_pin_lets_nobody_in_and_each_wait_is_longer(owner: Visit, clock: Clock) -> None:
    made, waits = tablet(owner), []
    for number in range(12):
        answer = send(made, "/who", name="Kim", pin=f"{number:04}")
        assert answer.status_code == 403
        kim = owner.access.person("Kim")  # type: ignore[union-attr]
        assert kim is not None
        waits.append(max(kim.tries.until_s - clock.now_s, 0.0))
        if waits[-1]:
            assert send(made, "/who", name="Kim", pin="4711").status_code == 403, "nobody is listened to"
            other = tablet(owner)
            assert send(other, "/who", name="Kim", pin="4711").status_code == 403, "from another tablet neither"
        clock.now_s += waits[-1] + 1
    assert waits[:2] == [0.0, 0.0]
    assert waits[2:] == sorted(waits[2:])
    assert waits[-1] > 500
    assert send(made, "/who", name="Kim", pin="4711").status_code == 303
    assert made.client.get("/", follow_redirects=False).status_code == 200


def test_ten_thousand_pins_take_months() -> None:
    tries, waited_s = Tries(), 0.0
    for _ in range(10_000):
        tries = after_wrong(tries, now_s=0.0)
        waited_s += tries.until_s
    assert waited_s > 90 * 24 * 3600


def test_waits_outlast_a_restart(owner: Visit, clock: Clock) -> None:
    made = tablet(owner)
    for _ in range(6):
        send(made, "/who", name="Kim", pin="0000")
        clock.now_s += 20
    clock.now_s -= 20
    with pytest.raises(Refusal, match="shop-wait"):
        Access(owner.folder, clock).choose(1, "Kim", pin="4711")


def test_no_secret_is_kept_itself(owner: Visit) -> None:
    made = at(owner, "Kim", pin="4711")
    text = (owner.folder / FILE).read_text()
    assert made.client.cookies[COOKIE] not in text
    assert "4711" not in text
    assert "111111" not in text
    assert stat.S_IMODE((owner.folder / FILE).stat().st_mode) == 0o600


@pytest.mark.parametrize("pin", ["123", "abcd", "1234567890123", "12 34", "١٢٣٤"])
def test_a_pin_is_of_digits(access: Access, pin: str) -> None:
    with pytest.raises(Refusal, match="shop-pin-unusable"):
        access.add("Ida", Role.OPERATOR, pin=pin)


# Tablets and sessions -------------------------------------------------------------------------------------------------


def test_a_revoked_tablet_is_a_stranger_at_once(owner: Visit) -> None:
    made = at(owner, "Kim", pin="4711")
    other = at(owner, "Lea")
    owner.send("/shop/tablets/revoke", number="1")
    assert made.client.get("/", follow_redirects=False).headers["location"] == "/pair"
    assert record(made).status_code in (401, 403)
    assert other.client.get("/", follow_redirects=False).status_code == 200


def test_who_is_taken_off_the_list_is_out_at_once(owner: Visit) -> None:
    made = at(owner, "Kim", pin="4711")
    owner.send("/shop/people/remove", name="Kim")
    assert made.client.get("/", follow_redirects=False).headers["location"] == "/who"


def test_a_number_is_never_given_twice(access: Access) -> None:
    for _ in range(2):
        access.pair(access.code())
    access.revoke(2)
    access.pair(access.code())
    assert [each.number for each in access.admitted.tablets] == [1, 3]


def test_a_secret_put_into_a_browser_beforehand_is_not_taken_over(owner: Visit) -> None:
    """Session fixation: pairing and choosing a name each make a new secret and a new session."""
    assert owner.access is not None
    made = tablet(owner, pair=False)
    made.client.cookies.set(COOKIE, "0" * 64, domain=HOST.partition(":")[0], path="/")
    seen = [cookies_of(made)]
    for address, fields in (("/pair", {"code": owner.access.code()}), ("/who", {"name": "Kim", "pin": "4711"})):
        answer = send(made, address, **fields)
        assert answer.status_code == 303
        kept = answer.headers.get_list("set-cookie")
        assert len(kept) == 2
        assert all("httponly" in each.lower() and "samesite=strict" in each.lower() for each in kept)
        seen.append(cookies_of(made))
    assert len({secret for secret, _ in seen}) == 3
    assert len({session for _, session in seen}) == 3
    stolen = Visit(owner.folder, owner.access, AWAY)
    stolen.client.cookies.set(COOKIE, str(seen[1][0]))  # from before the name was chosen
    assert stolen.client.get("/", follow_redirects=False).headers["location"] == "/pair"


def cookies_of(visit: Visit) -> tuple[str | None, str | None]:
    """The tablet's secret and the session."""
    return visit.client.cookies.get(COOKIE), visit.client.cookies.get("filmsplit-session")


@pytest.mark.parametrize("made_up", ["0" * 32, "a" * 96, "0" * 32 + "f" * 64, "", "x;y"])
def test_a_session_that_we_did_not_sign_is_none(visit: Visit, made_up: str) -> None:
    visit.client.cookies.set("filmsplit-session", made_up)
    assert made_up not in visit.client.get("/").headers["set-cookie"] or not made_up


def test_a_torn_list_lets_nobody_in(owner: Visit) -> None:
    (owner.folder / FILE).write_text('{"filmsplit": "filmsplit-admitted 1", "people"')
    with pytest.raises(Refusal, match="shop-list-torn"):
        Access(owner.folder)


def test_the_list_is_there_after_a_restart(owner: Visit, clock: Clock) -> None:
    made = at(owner, "Kim", pin="4711")
    again = Visit(owner.folder, Access(owner.folder, clock), AWAY)
    again.client.cookies.set(COOKIE, made.client.cookies[COOKIE])
    assert again.client.get("/", follow_redirects=False).status_code == 200


def test_every_changing_page_of_shop_mode_asks_for_the_token(owner: Visit) -> None:
    for address in ("/shop/code", "/shop/people", "/shop/people/remove", "/shop/tablets/revoke", "/pair", "/who"):
        assert owner.client.post(address, data={"name": "Eve", "role": "owner", "number": "1"}).status_code == 403
