"""A job in the pages: from typed coverage to keys, on record once, corrected.

The keys must be those of the command line: both ask the same action. Coverage and densities are invented.
"""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest

from filmsplit.actions.job_asked import JobAsked
from filmsplit.actions.jobs import find
from filmsplit.actions.kept_jobs import kept_jobs
from filmsplit.actions.plans import planned
from filmsplit.actions.setup import set_job
from filmsplit.actions.shop import Shop
from filmsplit.actions.work import WorkAsked
from filmsplit.formats.press_file import load
from filmsplit.messages import label
from reports.pages import pages
from web.served import Visit

Where = tuple[Visit, int]


@pytest.fixture
def heron(visit: Visit) -> Where:
    """A browser before a shop with one press, and how many zones its fountain has."""
    visit.send("/presses/bring", press="heron")
    fountain = load(visit.folder / "presses" / "heron.yaml").press.units[0].fountain
    assert fountain is not None
    return visit, len(fountain.zone_widths_mm)


def set_at(visit: Visit, coverage: str, *, status: int = 200, **told: str) -> str:
    """The page of a job that is set, as its form asks for it."""
    asked = {"where": "heron/A", "coverage": coverage, "title": "Poster", **told}
    answer = visit.awaited("/jobs/set", **asked)
    assert answer.status_code == status, answer.text
    return answer.text


def hidden(text: str) -> dict[str, str]:
    """The fields that the form of the log carries along."""
    return dict(re.findall(r'<input type="hidden" name="(?!token)(\w+)" value="([^"]*)"', text))


def logged(visit: Visit, text: str, *, status: int = 200, **fields: str) -> str:
    return visit.send("/jobs/log", status=status, **(hidden(text) | {"title": "Poster"} | fields))


def test_an_empty_shop_says_what_a_job_needs(visit: Visit) -> None:
    assert label("web_jobs.no_press") in visit.page("/jobs")


def test_typed_coverage_comes_to_the_keys_of_the_action(heron: Where) -> None:
    visit, zones = heron
    text = set_at(visit, f"{zones - 1}x20 5")
    found = set_job(
        str(visit.folder / "presses" / "heron.yaml"),
        WorkAsked(what=(f"{zones - 1}x20 5",), only_typed=True),
        JobAsked(title="Poster", unit="A"),
        records=visit.folder / "filmsplit.records",
    )
    keys = found.answer.units[0].keys
    assert len(keys) == zones
    assert hidden(text)["set_keys"] == " ".join(f"{key.reading:.4g}" for key in keys)
    assert keys[0].reading > keys[-1].reading > 0
    assert text.count('<th scope="row">') == zones


def test_nothing_is_recorded_by_looking_and_paper_comes(heron: Where) -> None:
    visit, zones = heron
    text = set_at(visit, f"{zones}x20")
    assert find(visit.folder / "filmsplit.records") == ()
    paper = re.search(r'href="(/jobs/set/sheet.pdf[^"]+)"', text)
    assert paper is not None
    answer = visit.client.get(paper[1].replace("&amp;", "&"))
    assert answer.content.startswith(b"%PDF-")


def test_wrong_coverage_goes_back_to_the_form_with_what_was_typed(heron: Where) -> None:
    visit, _ = heron
    text = set_at(visit, "20 x", status=422)
    assert 'value="20 x"' in text
    assert 'class="problem refused"' in text


def test_a_path_in_the_place_of_coverage_is_never_looked_up(
    heron: Where, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file called like a figure lies where the server runs: figures stay figures, and a path is no figure."""
    visit, zones = heron
    monkeypatch.chdir(tmp_path)
    (tmp_path / f"{zones}x20").write_text("no plate", encoding="utf-8")
    set_at(visit, f"{zones}x20")
    text = set_at(visit, "/etc/hostname", status=422)
    assert "/etc/hostname" in text
    assert label("severity.refused") in text


@pytest.mark.parametrize("where", ["", "none/A", "../heron/A", "heron/Z"])
def test_a_place_that_is_not_there_is_said(heron: Where, where: str) -> None:
    visit, zones = heron
    assert 'class="problem refused"' in set_at(visit, f"{zones}x20", where=where, status=422)


def test_a_job_is_logged_once_and_found_again(heron: Where) -> None:
    visit, zones = heron
    text = set_at(visit, f"{zones}x20", stock="Coated, invented")
    for _ in range(2):
        shown = logged(visit, text, as_set="yes", sheets="5000")
    (job,) = find(visit.folder / "filmsplit.records")
    assert (job.title, job.press, job.unit, job.stock, job.sheets) == ("Poster", "heron", "A", "Coated, invented", 5000)
    assert [zone.key for zone in job.zones] == [float(key) for key in hidden(text)["set_keys"].split()]
    assert [zone.coverage for zone in job.zones] == pytest.approx([0.2] * zones, abs=1e-4)
    assert job.code in shown
    assert f"/jobs/logged/{job.code}" in visit.page("/jobs")
    assert f"/jobs/logged/{job.code}" in visit.page("/")


def test_keys_are_not_taken_for_set_where_nobody_said_so(heron: Where) -> None:
    visit, zones = heron
    logged(visit, set_at(visit, f"{zones}x20"))
    (job,) = find(visit.folder / "filmsplit.records")
    assert all(zone.key is None for zone in job.zones)
    assert job.sweep is None


def test_a_log_without_a_token_or_a_title_is_refused(heron: Where) -> None:
    visit, zones = heron
    text = set_at(visit, f"{zones}x20")
    assert visit.client.post("/jobs/log", data=hidden(text) | {"title": "Poster"}).status_code == 403
    again = logged(visit, text, title="", remarks="kept <b>so</b>", status=422)
    assert "kept &lt;b&gt;so&lt;/b&gt;" in again
    assert find(visit.folder / "filmsplit.records") == ()


def test_a_thin_zone_is_opened_and_a_full_one_closed(heron: Where) -> None:
    """Sense of the moves: less ink where it is too dense, more where it is too thin (common practice)."""
    visit, zones = heron
    logged(visit, set_at(visit, f"{zones}x20"), as_set="yes", aim_density="1.40")
    (job,) = find(visit.folder / "filmsplit.records")
    densities = ["1.40"] * zones
    densities[1], densities[-2] = "1.00", "1.70"
    text = visit.send(f"/jobs/logged/{job.code}/correct", densities=" ".join(densities))
    moves = dict(
        re.findall(r'<th scope="row">(\d+)</th>(?:<td[^>]*>.*?</td>){2}\s*<td class="number">([+-])[\d /]+</td>', text)
    )
    assert (moves["2"], moves[str(zones - 1)]) == ("+", "-")


def test_the_aim_and_its_constants_go_on_record(heron: Where) -> None:
    visit, zones = heron
    text = set_at(visit, f"{zones}x20", density="1.4", saturation="2", rate="1.1")
    aim = re.search(r'id="aim_density"[^>]*value="([\d.]+)"', text)
    assert aim is not None
    logged(visit, text, aim_density=aim[1])
    (job,) = find(visit.folder / "filmsplit.records")
    assert (job.aim_density, job.saturation) == (1.4, 2.0)
    assert job.rate_per_um is not None
    # A film of 1 µm of an ink of 1.05 g/cm3 weighs 1.05 g/m2.
    assert job.rate_per_um == pytest.approx(1.1 * 1.05, rel=0.05)
    assert 'class="problem refused"' in set_at(visit, f"{zones}x20", saturation="2", status=422)


def test_a_correction_that_cannot_be_made_says_why(heron: Where) -> None:
    visit, zones = heron
    logged(visit, set_at(visit, f"{zones}x20"), as_set="yes")
    (job,) = find(visit.folder / "filmsplit.records")
    address = f"/jobs/logged/{job.code}/correct"
    assert label("job_lacks.aim") in visit.send(address, status=422, densities=" ".join(["1.4"] * zones))
    visit.send(address, status=422, densities="1.4 thick", aim_density="1.4")


def test_a_job_nobody_logged_is_not_there(heron: Where) -> None:
    visit, _ = heron
    assert visit.client.get("/jobs/logged/nothing").status_code in {404, 422}


def test_how_the_densities_were_read_goes_on_record(heron: Where) -> None:
    visit, zones = heron
    text = set_at(visit, f"{zones}x20")
    read = " ".join(["1.40"] * zones)
    logged(visit, text, densities=read, density_status="E", polarised="yes", backing="black")
    (job,) = find(visit.folder / "filmsplit.records")
    assert {(each.status, each.polarised, each.backing) for each in job.readings} == {("E", True, "black")}


@pytest.mark.parametrize("way", [{"density_status": "Q"}, {"polarised": "maybe"}, {"backing": "<b>"}])
def test_a_way_of_reading_that_is_none_is_refused(heron: Where, way: dict[str, str]) -> None:
    visit, zones = heron
    given = {"densities": " ".join(["1.40"] * zones), **way}
    logged(visit, set_at(visit, f"{zones}x20"), status=422, **given)
    assert find(visit.folder / "filmsplit.records") == ()


def kept(visit: Visit, text: str) -> str:
    """Keep the job of the page twice, as a person does who is not sure."""
    form = re.search(r'action="/jobs/set/keep">(.*?)</form>', text, re.S)
    assert form is not None
    fields = {name: unescape(value) for name, value in hidden(form[1]).items()}
    visit.send("/jobs/set/keep", **fields)
    return visit.send("/jobs/set/keep", **fields)


def test_a_job_is_kept_once_opened_again_and_printed_under_its_code(heron: Where) -> None:
    visit, zones = heron
    first = set_at(visit, f"{zones}x20", stock="Coated & gloss, invented", run="900")
    text = kept(visit, first)
    (job,) = kept_jobs(Shop(visit.folder))
    (code,) = job.codes
    assert code in text
    assert "/jobs/set/keep" not in text
    plan = planned(visit.folder / "filmsplit.records", code)
    log = re.search(r'action="/jobs/log"(.*?)</form>', first, re.S)
    assert log is not None
    assert [f"{zone.key:.4g}" for zone in plan.zones] == hidden(log[1])["set_keys"].split()
    link = re.search(r'<a href="(/jobs/set\?[^"]+)"><strong>Poster', visit.page("/jobs"))
    assert link is not None
    again = visit.page(unescape(link[1]))
    assert code in again
    assert 'value="Coated &amp; gloss, invented"' in again
    for paper in re.findall(r'href="(/jobs/set/(?:sheet|keys).pdf[^"]+)"', again):
        data = visit.client.get(unescape(paper)).content
        assert code in " ".join(page.text for page in pages(data))


def test_a_kept_job_that_is_now_set_otherwise_has_no_code(heron: Where) -> None:
    """The code on paper leads to the plan: it must not stand on paper with other keys."""
    visit, zones = heron
    text = kept(visit, set_at(visit, f"{zones}x20"))
    (code,) = kept_jobs(Shop(visit.folder))[0].codes
    assert code in text
    path = visit.folder / "presses" / "heron.yaml"
    changed = path.read_text(encoding="utf-8").replace("mm_per_division: 5.5", "mm_per_division: 4")
    assert changed != path.read_text(encoding="utf-8")
    path.write_text(changed, encoding="utf-8")
    again = set_at(visit, f"{zones}x20")
    assert code not in again
    assert "/jobs/set/keep" in again


def test_a_list_of_kept_jobs_that_cannot_be_read_is_said(heron: Where) -> None:
    visit, _ = heron
    (visit.folder / "kept-jobs.json").write_text("{", encoding="utf-8")
    assert "kept-jobs.json" in visit.page("/jobs", status=422)


def test_keeping_needs_a_token(heron: Where) -> None:
    visit, zones = heron
    sent = {"where": "heron/A", "coverage": f"{zones}x20", "key": "k"}
    assert visit.client.post("/jobs/set/keep", data=sent).status_code == 403
    assert kept_jobs(Shop(visit.folder)) == ()
