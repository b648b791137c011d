"""Search and help in place, as a person meets them.

Other names for one thing: those of the glossary, each with its own source there. What is looked for is in the demo
workshop, which is invented.
"""

from __future__ import annotations

import re
from datetime import date

import pytest

from filmsplit.library.glossary import meant
from filmsplit.library.procedures import PROCEDURES
from filmsplit.messages import label
from filmsplit.messages.catalogue import messages
from filmsplit.records.jobs import JobRecord, log_job
from filmsplit.records.store import Store
from filmsplit.web import help as helps
from filmsplit.web.pages.find import TASKS
from filmsplit.web.render import TEMPLATES
from web.served import Visit

PAGES = sorted(
    path.name for path in TEMPLATES.glob("*.html") if '{% extends "frame.html" %}' in path.read_text(encoding="utf-8")
)


def found(visit: Visit, words: str) -> str:
    answer = visit.client.get("/find", params={"for": words})
    assert answer.status_code == 200, answer.text
    return answer.text.partition("<h1>")[2]


def test_every_page_has_the_field_and_its_help(at_heron: Visit) -> None:
    for address in ("/", "/presses", "/presses/heron/A", "/jobs", "/rounds", "/history", "/words", "/look", "/find"):
        text = at_heron.page(address)
        assert 'action="/find"' in text, address
        assert '<details class="help">' in text, address


@pytest.mark.parametrize("template", PAGES)
def test_every_kind_of_page_says_what_it_is_for_and_what_comes_next(template: str) -> None:
    """Kept by the templates there are: a page without help cannot be added."""
    found = helps.help_of(template)
    assert found is not None, f"write web_help.{template.removesuffix('.html')} and ..._next"
    assert found.what.endswith(".")
    assert found.next.endswith(".")


def test_a_place_is_found_by_another_name_of_its_roller(at_heron: Visit) -> None:
    text = found(at_heron, "vibrator")
    assert "/presses/heron/A/roller/D1" in text
    assert "vibrator → " in text
    assert "/words#oscillator" in text


def test_a_roller_is_found_by_what_is_stamped_on_it(at_heron: Visit) -> None:
    assert 'href="/rollers/heron-F1"' in found(at_heron, "heron-F1")


def test_a_short_name_is_a_whole_word(at_heron: Visit) -> None:
    text = found(at_heron, "F1")
    assert "/roller/F1" in text
    assert "/roller/F2" not in text


@pytest.mark.parametrize(
    ("words", "task"), [("preset", "set_job"), ("glossary", "words"), ("fahrenheit", "display"), ("mistake", "undo")]
)
def test_a_task_is_found_by_what_people_call_it(visit: Visit, words: str, task: str) -> None:
    text = found(visit, words)
    assert label(f"web_find_task.{task}") in text
    assert f'href="{TASKS[task]}"' in text


@pytest.mark.parametrize("address", sorted(set(TASKS.values())))
def test_every_task_leads_to_a_page(at_heron: Visit, address: str) -> None:
    at_heron.page(address)


def test_a_job_is_found_by_its_title_and_by_its_code(visit: Visit) -> None:
    job = JobRecord(press="heron", unit="A", title="Poster for a fair", printed_on=date(2026, 5, 4), ink="magenta")
    with Store.at(visit.folder / "filmsplit.records").write("test") as writer:
        code = log_job(writer, job)
    for words in ("fair", "magenta poster", code):
        assert f'href="/jobs/logged/{code}"' in found(visit, words), words
    assert f"/jobs/logged/{code}" not in found(visit, "cyan poster")


def test_a_message_is_explained(visit: Visit) -> None:
    assert 'href="/messages/web-token-missing"' in found(visit, "web-token-missing")
    text = visit.page("/messages/web-token-missing")
    assert messages("en")["web-token-missing"].remedy.replace("'", "&#39;") in text
    visit.page("/messages/nothing-of-that-kind", status=404)
    visit.page("/messages/..%2Fetc", status=404)


@pytest.mark.parametrize("id", PROCEDURES)
def test_every_procedure_shows_every_step_with_its_press_state(at_heron: Visit, id: str) -> None:
    text = at_heron.page(f"/procedures/{id}")
    steps = re.findall(r'<li class="(?:hands|clear)">\s*<strong>([^<]+)</strong>', text)
    assert len(steps) > 3
    assert all(step.strip() for step in steps)
    assert "{ink_forms}" not in text


def test_a_procedure_is_no_path(at_heron: Visit) -> None:
    (at_heron.folder / "own.yaml").write_text("filmsplit: procedure 1", encoding="utf-8")
    at_heron.page(f"/procedures/{at_heron.folder}%2Fown.yaml".replace("//", "/%2F"), status=404)
    at_heron.page("/procedures/own.yaml", status=404)
    at_heron.page("/procedures/start?at=heron%2FZ", status=404)


def test_an_empty_shop_is_told_that_a_procedure_needs_a_press(visit: Visit) -> None:
    assert label("web_find.procedure_press") in visit.page("/procedures/start")


def test_what_is_not_found_leads_on(visit: Visit) -> None:
    text = found(visit, "xyzzyq")
    assert label("web_find.nothing", asked="xyzzyq") in text
    assert 'href="/words"' in text


def test_what_is_typed_is_text_and_bounded(at_heron: Visit) -> None:
    text = found(at_heron, "<script>alert(1)</script>")
    assert "<script>alert" not in text
    assert "&lt;script&gt;" in text
    assert "w" * 81 not in found(at_heron, "w" * 5000)
    for words in ("", "   ", "%", "../..", "\x00", "' or 1=1 --", "🖨"):
        found(at_heron, words)


def test_other_names_are_tried_word_by_word() -> None:
    said = meant("upper vibrator")
    assert said.found_in("upper oscillator of unit A") == "oscillator"
    assert said.found_in("lower oscillator of unit A") is None
    assert meant("F1").found_in("F10 form roller") is None
    assert meant("").parts == ()
