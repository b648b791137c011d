"""Fountain solution in the browser, from nothing on record to the change. The press is invented; the worked figures
(water 310, +380 for each 1 %, pan 1450, then 2020) are those of PIA guidance on conductivity (memory)."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from httpx2 import Response

from filmsplit.actions.jobs import today
from filmsplit.actions.register import Daybook
from filmsplit.actions.shop import Shop, kept_press
from filmsplit.actions.solution import solution_of
from filmsplit.actions.solution_due import SAMPLE_EVERY, is_due
from filmsplit.condition.solution import Sample, Where
from filmsplit.messages import label
from filmsplit.records.jobs import JobRecord, log_job
from filmsplit.records.store import Store
from filmsplit.web.session import TOKEN_HEADER
from web.served import Visit
from web.test_history import key_in, lines

SAMPLE = "/solution/heron/sample"
FRESH = {"where": "tank", "state": "fresh", "conductivity": "1450"}
PAN = {"where": "pan", "state": "in-use", "conductivity": "2020"}


def put(visit: Visit, *, status: int = 200, address: str = SAMPLE, **fields: str) -> str:
    return visit.send(address, status=status, **({"key": key_in(visit.page(address))} | fields))


def on_record(visit: Visit) -> tuple[Sample, ...]:
    press = kept_press(Shop(visit.folder), "heron").press
    assert press is not None
    return solution_of(press, book=Daybook(visit.folder / "filmsplit.records", today())).samples


def test_nothing_sampled_says_what_to_begin_with(at_heron: Visit) -> None:
    assert label("web_solution.begin") in at_heron.page("/solution/heron")
    assert label("solution_verdict.none") in at_heron.page("/solution")
    assert label("web.no_press") in Visit(at_heron.folder / "empty").page("/solution")


def test_from_the_line_by_a_fresh_batch_to_the_change(at_heron: Visit) -> None:
    readings = {f"read_{dose}": str(310 + 380 * dose) for dose in range(5)}
    put(at_heron, address="/solution/heron/titration", name="Invented C", **readings)
    text = put(at_heron, **FRESH, dose_percent="3", ph="4.9", temperature="14", known="Invented C")
    assert label("web_solution.just", where="tank, fresh") in text
    assert "3.0 %" in text
    text = put(at_heron, **PAN)
    assert "+570 µS/cm; a change is due beyond +500 µS/cm" in text
    assert '<p class="verdict act">' in text
    assert "570 µS/cm over the fresh batch" in at_heron.page("/")
    assert 'href="/solution/heron"' in at_heron.page("/due")


def test_pictures_are_drawn_from_what_is_on_record(at_heron: Visit) -> None:
    at_heron.page("/solution/heron/trend.svg", status=404)
    at_heron.page("/solution/heron/line.svg", status=404)
    put(at_heron, **FRESH)
    put(at_heron, **PAN)
    put(at_heron, address="/solution/heron/titration", read_0="310", read_2="1070", read_4="1830")
    page = at_heron.page("/solution/heron")
    assert "the last +570 µS/cm" in page
    for name in ("trend", "line"):
        assert f'src="/solution/heron/{name}.svg"' in page
        answer = at_heron.client.get(f"/solution/heron/{name}.svg")
        assert answer.headers["content-type"] == "image/svg+xml"
        assert "µS/cm" in answer.text


def test_everything_is_shown_and_typed_in_the_unit_of_the_reader(at_heron: Visit) -> None:
    """1 µmho is 1 µS: the number stays, the name does not (BIPM SI Brochure, memory)."""
    at_heron.send("/look", light="light", size="bench", lengths="mm", temperatures="°F", conductivities="µmho/cm")
    put(at_heron, **FRESH, temperature="59")
    put(at_heron, **(PAN | {"conductivity": "2020 umho"}))
    put(at_heron, address="/solution/heron/titration", read_0="310", read_2="1070", read_4="1830")
    assert on_record(at_heron)[0].temperature_c == pytest.approx(15.0)
    for address in ("", "/sample", "/titration", "/trend.svg", "/line.svg"):
        text = at_heron.page(f"/solution/heron{address}")
        assert "µmho/cm" in text, address
        assert "µS" not in text, address
    for address in ("/", "/solution", "/history"):
        text = at_heron.page(address)
        assert "µmho/cm" in text, address
        assert "µS" not in text, address
    assert "unit" in put(at_heron, status=422, where="pan", state="in-use", conductivity="x")
    slip = put(at_heron, status=422, where="pan", state="in-use", conductivity="2")
    assert "µmho/cm" in slip
    assert "µS/cm" not in slip


def test_a_slip_needs_a_yes_and_then_goes_on_record(at_heron: Visit) -> None:
    put(at_heron, **FRESH)
    text = put(at_heron, status=422, where="tank", state="fresh", conductivity="14.5")
    assert len(on_record(at_heron)) == 1
    assert 'name="sure" value="yes"' in text
    put(at_heron, where="tank", state="fresh", conductivity="14.5", sure="yes", key=key_in(text))
    assert [each.us_per_cm for each in on_record(at_heron)] == [1450.0, 14.5]


def test_a_form_sent_twice_is_recorded_once(at_heron: Visit) -> None:
    for address, fields in (
        (SAMPLE, FRESH),
        ("/solution/heron/titration", {"read_0": "310", "read_2": "1070", "read_4": "1830"}),
        ("/solution/heron/bands", {"ph_low": "4", "ph_high": "4.6"}),
    ):
        key = key_in(at_heron.page(address))
        for _ in range(2):
            at_heron.send(address, key=key, **fields)
    assert len(on_record(at_heron)) == 4
    assert len(lines(at_heron, "?kind=solution-band")) == 1


def test_a_key_used_for_another_sample_is_refused_with_a_new_one(at_heron: Visit) -> None:
    key = key_in(at_heron.page(SAMPLE))
    at_heron.send(SAMPLE, key=key, **FRESH)
    text = at_heron.send(SAMPLE, key=key, status=422, **PAN)
    assert key_in(text) != key
    assert len(on_record(at_heron)) == 1


@pytest.mark.parametrize(
    ("part", "fields", "said"),
    [
        ("sample", {"where": "pan", "state": "fresh"}, "Neither conductivity nor pH"),
        ("sample", {"conductivity": "1,450"}, "is no conductivity"),
        ("sample", {"conductivity": "1450", "ph": "acid"}, "is no number"),
        ("sample", {"conductivity": "1450", "ph": "14"}, "is not between"),
        ("sample", {"conductivity": "1450", "temperature": "warm"}, "is no number"),
        ("sample", {"conductivity": "1450", "unit": "Z"}, "no unit Z"),
        ("sample", {"conductivity": "310", "where": "water", "dose_percent": "2"}, "Water by itself"),
        ("titration", {"read_0": "310", "read_1": "690"}, "2 different doses"),
        ("titration", {"read_0": "900", "read_1": "690", "read_2": "310"}, "does not rise"),
        ("titration", {"read_0": "310", "read_1": "690", "read_2": "ten"}, "is no conductivity"),
        ("bands", {"ph_low": "4.6", "ph_high": "4"}, "a band from"),
        ("bands", {"ph_low": "4.6"}, "a band from"),
        ("bands", {"warm_low": "10", "warm_high": "mild"}, "is no number"),
    ],
)
def test_what_cannot_be_is_said_and_leaves_nothing_and_keeps_what_was_typed(
    at_heron: Visit, part: str, fields: dict[str, str], said: str
) -> None:
    text = put(at_heron, status=422, address=f"/solution/heron/{part}", **fields)
    assert said in text
    assert on_record(at_heron) == ()
    typed = {name: value for name, value in fields.items() if name not in ("where", "state", "unit")}
    for name, value in typed.items():
        assert re.search(rf'name="{name}"[^>]*value="{re.escape(value)}"', text), name


def test_a_press_nobody_knows_is_not_there(at_heron: Visit) -> None:
    for part in ("", "/sample", "/titration", "/bands", "/trend.svg"):
        at_heron.page(f"/solution/none{part}", status=404)


def test_a_sample_undone_counts_no_more_and_stays_in_the_history(at_heron: Visit) -> None:
    put(at_heron, **FRESH)
    put(at_heron, **PAN, note="rinsed <twice>")
    number = on_record(at_heron)[-1].number
    assert f"/history/sample/{number}/undo" in at_heron.page("/solution/heron")
    said = lines(at_heron, "?kind=sample")[0]["Says"]
    assert said == "pan, in use, 2020 µS/cm, rinsed <twice>"
    address = f"/history/sample/{number}/undo"
    at_heron.send(address, key=key_in(at_heron.page(address)), reason="wrong pan", name="Invented C")
    assert '<p class="verdict keep">' in at_heron.page("/solution/heron")
    assert [each["Says"] for each in lines(at_heron, "?kind=sample")][:2] == ["wrong pan", said]


def test_bands_undone_give_way_to_those_before(at_heron: Visit) -> None:
    put(at_heron, **FRESH, ph="4.9")
    put(at_heron, address="/solution/heron/bands", product="Invented 3", ph_low="4", ph_high="4.6")
    assert "4 to 4.6 (shop experience)" in at_heron.page("/solution/heron")
    assert 'value="4.6"' in at_heron.page("/solution/heron/bands")
    number = lines(at_heron, "?kind=solution-band")[0]["Number"]
    address = f"/history/solution-band/{number}/undo"
    at_heron.send(address, key=key_in(at_heron.page(address)), reason="another drum", name="Invented C")
    assert "3.8 to 5.5 (common practice)" in at_heron.page("/solution/heron")


def test_the_next_sample_is_due_four_hours_after_the_last_on_a_press_that_prints() -> None:
    """Every four hours of running (PIA guidance on conductivity, memory)."""
    now = datetime(2026, 5, 4, 12, tzinfo=UTC)
    last = Sample(day=now.date(), press="heron", where=Where.PAN, ph=5.0, at=now - SAMPLE_EVERY)
    assert timedelta(hours=4) == SAMPLE_EVERY
    assert not is_due([last], printed_today=True, now=now)
    late = replace(last, at=now - SAMPLE_EVERY - timedelta(minutes=1))
    assert is_due([late], printed_today=True, now=now)
    assert not is_due([late], printed_today=False, now=now)
    assert is_due([replace(last, day=date(2026, 5, 3), at=now)], printed_today=True, now=now)  # written down a day late
    assert not is_due([late, last], printed_today=True, now=now)
    assert not is_due([], printed_today=True, now=now)
    assert not is_due([replace(late, series=3)], printed_today=True, now=now)


def test_the_first_page_reminds_of_a_sample_while_the_press_prints(
    at_heron: Visit, monkeypatch: pytest.MonkeyPatch
) -> None:
    put(at_heron, **FRESH)
    reminder = label("web_to_do.sample", press="heron")
    later = datetime.now().astimezone() + timedelta(hours=5)
    monkeypatch.setattr("filmsplit.actions.solution_due._now", lambda: later)
    assert reminder not in at_heron.page("/")
    with Store.at(at_heron.folder / "filmsplit.records").write("test") as writer:
        log_job(writer, JobRecord(press="heron", unit="A", title="Poster", printed_on=today()))
    assert reminder in at_heron.page("/")
    assert label("web_solution.due_now") in at_heron.page("/due")


def test_steps_of_sampling_touch_only_behind_the_lock(at_heron: Visit) -> None:
    text = at_heron.page("/procedures/sample-solution")
    hands = re.findall(r'<li class="hands">(.*?)</li>', text, re.DOTALL)
    assert any("each pan" in each for each in hands)
    assert "eye protection" in text
    assert label("solution.caution") in at_heron.page(SAMPLE)


def sent(visit: Visit, address: str, body: object, *, key: str = "k1") -> Response:
    headers = {TOKEN_HEADER: visit.token(), "Idempotency-Key": key}
    return visit.client.post(f"/api/presses/heron/solution{address}", json=body, headers=headers)


def test_a_program_puts_the_same_on_record_and_is_told_the_same(at_heron: Visit) -> None:
    readings = [{"dose_percent": dose, "conductivity_us_per_cm": 310 + 380 * dose} for dose in range(5)]
    line = sent(at_heron, "/titration", {"readings": readings}, key="line").json()["line"]
    assert (line["water_us_per_cm"], line["step_us_per_cm"], line["straight"]) == (310.0, 380.0, True)
    fresh = {"where": "tank", "fresh": True, "conductivity_us_per_cm": 1450}
    for _ in range(2):
        assert sent(at_heron, "", fresh, key="fresh").status_code == 200
    assert sent(at_heron, "", {"where": "pan", "conductivity_us_per_cm": 2020}, key="pan").status_code == 200
    told = at_heron.client.get("/api/presses/heron/solution").json()
    assert (told["verdict"], told["rises"][0]["rise_us_per_cm"]) == ("act", 570.0)
    assert told["dose_percent"] == pytest.approx(3.0)
    assert [each["number"] for each in told["samples"]] == [each.number for each in on_record(at_heron)]


@pytest.mark.parametrize(
    ("address", "body"),
    [
        ("", {"where": "pan", "conductivity_us_per_cm": 1.45}),
        ("", {"where": "pan"}),
        ("", {"where": "bucket", "conductivity_us_per_cm": 1450}),
        ("", {"where": "pan", "conductivity": 1450}),
        ("/titration", {"readings": [{"dose_percent": 0, "conductivity_us_per_cm": 310}]}),
    ],
)
def test_a_program_is_refused_what_a_person_is(at_heron: Visit, address: str, body: object) -> None:
    assert sent(at_heron, address, body).status_code == 422
    assert on_record(at_heron) == ()
