"""Settings tried in the pages: with and without the script, what is answered, refused, and led on to the log."""

from __future__ import annotations

import html
import json
import re
from base64 import b64decode

import pytest

from filmsplit.actions.jobs import find
from filmsplit.messages import label
from web.served import Visit

COVERAGE = "20 5 40 10 25 20 5 40 30 15"
TOLD = {"where": "heron/A", "coverage": COVERAGE, "title": "Poster", "saturation": "2", "rate": "1.2"}


@pytest.fixture(scope="module")
def heron(tmp_path_factory: pytest.TempPathFactory) -> Visit:
    """A browser before a shop with one press. Look only: tests share it."""
    visit = Visit(tmp_path_factory.mktemp("try"))
    visit.send("/presses/bring", press="heron")
    return visit


def page(visit: Visit, *, status: int = 200, **fields: str) -> str:
    answer = visit.awaited("/jobs/try", **(TOLD | fields))
    assert answer.status_code == status, answer.text
    return answer.text


def fields_of(text: str) -> dict[str, str]:
    """What the form sends as it stands."""
    given = re.findall(r'<input (?!class="slide")[^>]*name="(\w+)"[^>]*value="([^"]*)"([^>]*)>', text)
    return {name: value for name, value, rest in given if 'type="radio"' not in rest or "checked" in rest} | {
        "turned": "no"
    }


def answer(visit: Visit, *, status: int = 200, **fields: str) -> dict:  # type: ignore[type-arg]
    token = {"x-filmsplit-token": visit.token()}
    found = visit.client.get("/jobs/try/answer", params=TOLD | fields, headers=token)
    assert found.status_code == status, found.text
    return json.loads(found.text)  # type: ignore[no-any-return]


def densities(found: dict) -> list[float]:  # type: ignore[type-arg]
    return [float(re.search(r"([\d.]+) D", zone["print"])[1]) for zone in found["zones"]]  # type: ignore[index]


def test_every_key_and_whatever_else_moves_has_its_slider(heron: Visit) -> None:
    text = page(heron)
    assert text.count('type="range"') == 10 + 2  # keys, sweep and stroke of the Heron
    assert text.count('type="checkbox"') == 2
    assert {f"k{n}" for n in range(1, 11)} | {"sweep", "stroke", "turned", "on_F1", "moved"} <= set(fields_of(text))
    assert "data:image/png;base64," in text
    assert find(heron.folder / "filmsplit.records") == ()


def test_the_form_without_a_script_shows_the_answer_of_the_script(heron: Visit) -> None:
    sent = fields_of(page(heron)) | {"k1": "2.5", "fine": "yes"}
    text, told = page(heron, **sent), answer(heron, **sent)
    assert told["state"] == "refined"
    assert 'data-state="refined"' in text
    assert [zone["print"] for zone in told["zones"]] == re.findall(r'data-part="print">([^<]+)<', text)
    assert html.escape(told["said"]) in text
    assert fields_of(text)["k1"] == "2.5"


def test_one_step_of_a_button_moves_one_key_by_what_can_be_set(heron: Visit) -> None:
    sent = fields_of(page(heron))
    for way, by in (("+", 0.125), ("-", -0.125)):
        moved = fields_of(page(heron, **sent, step=f"k3{way}"))
        assert float(moved.pop("k3")) == pytest.approx(float(sent["k3"]) + by)
        assert moved == {name: value for name, value in sent.items() if name != "k3"}
    most = fields_of(page(heron, **(sent | {"k3": "3"}), step="k3+"))
    assert most["k3"] == "3"


def test_an_opened_key_prints_more_there_and_is_said_to(heron: Visit) -> None:
    sent = fields_of(page(heron))
    before, after = answer(heron, **sent), answer(heron, **(sent | {"k5": "3"}))
    assert densities(after)[4] > densities(before)[4] + 0.1
    assert after["zones"][4]["against"] == "full"
    assert after["zones"][4]["word"] == label("live_against.full")
    assert after["picture"] != before["picture"]
    assert b64decode(after["picture"].partition(",")[2]).startswith(b"\x89PNG")


@pytest.mark.parametrize("change", [{"sweep": "8"}, {"stroke": "0"}, {"turned": "yes"}, {"on_F1": "no"}])
def test_everything_that_moves_changes_the_sheet(heron: Visit, change: dict[str, str]) -> None:
    sent = fields_of(page(heron))
    before, after = answer(heron, **sent), answer(heron, **(sent | change))
    assert after["state"] == "rough"
    assert max(abs(a - b) for a, b in zip(densities(before), densities(after), strict=True)) > 0.01


def test_what_is_taken_is_filled_in_where_the_job_is_logged(heron: Visit) -> None:
    sent = fields_of(page(heron)) | {"k1": "1.5", "sweep": "6", "turned": "yes"}
    text = heron.page(answer(heron, **sent)["take"])
    keys = re.search(r'id="keys"[^>]*value="([^"]*)"', text)
    assert keys is not None
    assert keys[1].split()[0] == "1.5"
    assert len(keys[1].split()) == 10
    assert re.search(r'id="sweep"[^>]*value="6"', text)
    assert re.search(rf'id="remarks"[^>]*value="{label("live.remark_turned")}"', text)
    assert 'href="/jobs/try?where=heron%2FA' in text
    assert not re.search(r'name="as_set"[^>]*checked', text)


@pytest.mark.parametrize(
    "nonsense",
    [
        {"k1": "wide"},
        {"k1": "99"},
        {"k1": "-3"},
        {"sweep": "1000"},
        {"stroke": "1e9"},
        {"stroke": "900"},
        {"sweep": "nan"},
    ],
    ids=str,
)
def test_nonsense_is_refused_in_words(heron: Visit, nonsense: dict[str, str]) -> None:
    sent = fields_of(page(heron)) | nonsense
    assert 'class="problem refused"' in page(heron, status=422, **sent)
    told = answer(heron, status=422, **sent)
    assert (told["state"], "zones" in told) == ("refused", False)


def test_no_form_roller_at_all_is_refused(heron: Visit) -> None:
    sent = {name: value for name, value in fields_of(page(heron)).items() if not name.startswith("on_")}
    assert label("severity.refused") in page(heron, status=422, **sent)


def test_a_job_that_cannot_be_set_goes_back_to_its_form(heron: Visit) -> None:
    assert 'action="/jobs/set"' in page(heron, status=422, coverage="20 x")
    assert answer(heron, status=422, coverage="20 x")["state"] == "refused"


def test_the_answer_is_for_the_pages_of_the_workbench_only(heron: Visit) -> None:
    """A page of another site can make a browser ask, but knows no token, and a strange Origin does not help it."""
    for headers in ({}, {"x-filmsplit-token": "guessed"}, {"origin": "https://elsewhere.example"}):
        found = heron.client.get("/jobs/try/answer", params=TOLD, headers=headers)
        assert found.status_code == 403
        assert "access-control-allow-origin" not in found.headers


def test_a_press_that_was_changed_is_set_anew(visit: Visit) -> None:
    visit.send("/presses/bring", press="heron")
    before = answer(visit)
    file = visit.folder / "presses" / "heron.yaml"
    file.write_text(file.read_text(encoding="utf-8").replace("highest: 3,", "highest: 4,"), encoding="utf-8")
    text = page(visit)
    assert re.search(r'data-of="k1" min="0" max="4"', text)
    assert before["zones"]
