"""The sheet foreseen, as a page: what it says is what the action says, of a poster whose ghost is known to be there."""

from __future__ import annotations

import re
import time
from html import unescape
from pathlib import Path
from urllib.parse import parse_qsl, urlencode, urlsplit

import numpy as np
import pytest

from filmsplit.actions.cures import HELPS
from filmsplit.actions.demo_works import works, write_work
from filmsplit.actions.foresee import Foreseen, density_difference, printed_density
from filmsplit.actions.foresee_words import cause_words, place_words, remarks_of, strength_words
from filmsplit.actions.foreseen_legend import Layer, legend_of
from filmsplit.actions.shop import Shop
from filmsplit.ink.density import DensityCurve
from filmsplit.messages import label
from filmsplit.web.desks import MOST_SHEETS, SHEETS
from filmsplit.web.pages import job_foreseen
from filmsplit.web.pages.job_foreseen import sheet_in
from reports.pages import pages
from web.served import LONGEST_WAIT_S, Visit
from web.test_job_files import bring

SHEET = {"sheet_long": "420", "sheet_wide": "300", "lead": "10"}


@pytest.fixture(scope="module")
def poster(tmp_path_factory: pytest.TempPathFactory) -> tuple[Visit, dict[str, str]]:
    """A shop with one press, and the poster with a window brought to it."""
    folder = tmp_path_factory.mktemp("shop")
    visit = Visit(folder)
    visit.send("/presses/bring", press="heron")
    (file,) = write_work(works()["window"], tmp_path_factory.mktemp("made")).files
    to, _ = bring(visit, (file.name, file.read_bytes()), where="heron/A", title="Poster")
    return visit, dict(parse_qsl(urlsplit(to).query)) | SHEET


def address(told: dict[str, str], **more: str) -> str:
    return f"/jobs/foreseen?{urlencode(told | more)}"


def plain(text: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", text)).split())


def found_of(visit: Visit, told: dict[str, str], *, cures: bool = False) -> Foreseen:
    """The sheet as the page has it, waited for."""
    sent, until = {name: value for name, value in told.items() if value}, time.monotonic() + LONGEST_WAIT_S
    while time.monotonic() < until:
        found = sheet_in(Shop(visit.folder), sent, cures=cures)
        if isinstance(found, Foreseen):
            return found
        time.sleep(0.05)
    raise TimeoutError(sent)


def test_the_page_says_what_the_action_says(poster: tuple[Visit, dict[str, str]]) -> None:
    visit, told = poster
    text = visit.page(address(told))
    (ink,) = found_of(visit, told).answer.inks
    assert ink.ghosts
    for ghost in ink.ghosts[:12]:
        for words in (strength_words(ghost), place_words(ghost.at), cause_words(ghost)):
            assert " ".join(words.split()) in plain(text)
    for words in remarks_of(ink):
        assert " ".join(words.split()) in plain(text)
    assert "<svg" in text
    (back,) = re.findall(r'href="(/jobs/set\?[^"]+)"', unescape(text))
    assert dict(parse_qsl(urlsplit(back).query)) == {name: value for name, value in told.items() if value}


def test_each_layer_is_a_picture_of_its_own(poster: tuple[Visit, dict[str, str]]) -> None:
    visit, told = poster
    known = told | {"saturation": "2", "rate": "1.1", "density": "1.4"}
    drawn = {layer: visit.page(address(known, layer=layer)) for layer in ("ghost", "film", "density")}
    assert label("film_figure.scale") in drawn["film"]
    assert label("density_figure.scale") in drawn["density"]
    assert label("film_figure.scale") not in drawn["ghost"]
    assert label("web_foreseen.no_density") in plain(visit.page(address(told, layer="density")))
    assert label("film_figure.scale") not in visit.page(address(told, layer="../etc/passwd"))


@pytest.mark.parametrize("layer", Layer)
def test_the_legend_tells_figures_with_their_units(poster: tuple[Visit, dict[str, str]], layer: Layer) -> None:
    """As the action tells them; a solid with the film aimed at reads the density that was asked for."""
    visit, told = poster
    known = told | {"saturation": "2", "rate": "1.1", "density": "1.4"}
    text = plain(visit.page(address(known, layer=layer.value)))
    legend = legend_of(found_of(visit, known), 0, layer)
    assert legend
    assert all(f"{name} {value}" in text for name, value in legend)
    if layer is Layer.DENSITY:
        assert f"{label('legend.aim_density')} {label('legend.density', value='1.40')}" in text


def test_the_name_of_the_ink_goes_along(poster: tuple[Visit, dict[str, str]]) -> None:
    """Each address of the page tells the whole job, the ink as it was typed too; none of them sets it anew."""
    visit, told = poster
    blue = told | {"ink": "deep blue"}
    text = unescape(visit.page(address(blue)))
    links = re.findall(r'href="(/jobs/foreseen[^"]+)"', text)
    assert len(links) >= len(Layer)
    assert {dict(parse_qsl(urlsplit(each).query))["ink"] for each in links} == {"deep blue"}
    assert found_of(visit, blue).answer.inks[0].ink == "deep blue"
    before = found_of(visit, blue)
    visit.page(links[1])
    assert found_of(visit, blue) is before
    assert len(SHEETS) <= MOST_SHEETS


def test_density_over_the_artwork_is_murray_davies() -> None:
    """A solid of 1.4 D at 50 %: -log10(1 - 0.5 (1 - 10^-1.4)) = 0.2841 D (Murray 1936, by hand)."""
    curve = DensityCurve(2.0, -np.log(1 - 1.4 / 2.0))
    found = printed_density(np.array([1.0, 1.0, 1.0]), np.array([0.5, 1.0, 0.0]), curve=curve)
    assert found == pytest.approx([0.2841, 1.4, 0.0], abs=1e-4)
    assert density_difference(0.1, 1.0, aim_um=1.0, curve=curve) == pytest.approx(2 * (1 - 0.3**1.1) - 1.4, abs=1e-9), (
        "a tenth more film on the solid"
    )


def test_cures_are_tried_on_asking(poster: tuple[Visit, dict[str, str]]) -> None:
    visit, told = poster
    assert label("web_foreseen.ask_cures") in visit.page(address(told))
    text = visit.page(address(told, cures="yes"))
    cures = found_of(visit, told, cures=True).answer.cures
    assert cures is not None
    assert cures.cures[0].words in unescape(text)
    assert all(each.words in unescape(text) for each in cures.refused)
    assert label("web_foreseen.after", cure=cures.cures[0].words) in unescape(text)
    assert text.count("<svg") == 3, "the layer, the sheet as it is beside it cured"
    paper = visit.awaited(address(told, cures="yes").replace("foreseen?", "foreseen/sheet.pdf?"))
    assert paper.headers["content-type"] == "application/pdf"
    assert cures.cures[0].words.split()[0] in " ".join(page.text for page in pages(paper.content))


def test_any_cure_that_helps_can_be_seen(poster: tuple[Visit, dict[str, str]]) -> None:
    visit, told = poster
    cures = found_of(visit, told, cures=True).answer.cures
    assert cures is not None
    helpful = [each for each in cures.cures if each.gain >= HELPS]
    assert len(helpful) > 1
    first = visit.page(address(told, cures="yes"))
    links = [unescape(each) for each in re.findall(r'href="(/jobs/foreseen[^"]+cure=\d+#after)"', first)]
    assert len(links) == len(helpful)
    second = visit.page(links[1])
    assert label("web_foreseen.after", cure=helpful[1].words) in unescape(second)
    assert first.partition('id="after"')[2] != second.partition('id="after"')[2]
    assert 'id="after"' not in visit.page(address(told, cures="yes", cure=str(len(cures.cures))))
    visit.page(address(told, cures="yes", cure="x"), status=422)


def test_cures_are_tried_from_the_sheet_that_is_there(
    poster: tuple[Visit, dict[str, str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    """With other allowances only the cures are tried anew; the job is not set again."""
    visit, told = poster
    found_of(visit, told)
    monkeypatch.setattr(job_foreseen, "foresee_job", None)
    assert found_of(visit, told | {"may": "trim"}, cures=True).answer.cures is not None


def test_typed_coverage_has_no_ghosts_to_judge_but_a_film(poster: tuple[Visit, dict[str, str]]) -> None:
    visit, _ = poster
    text = visit.page(address({"where": "heron/A", "coverage": "10x20", "title": "Typed"}, layer="film"))
    assert label("film_figure.scale") in text
    assert label("web_foreseen.by_zone") in plain(text)
    assert label("web_foreseen.by_zone") not in plain(visit.page(address(poster[1])))


def test_what_may_be_done_is_told(poster: tuple[Visit, dict[str, str]]) -> None:
    """A box that is not ticked, a stroke, a threshold: each changes what is tried or seen."""
    visit, told = poster
    asked = address(told, cures="yes") + "&may=nothing&may=any_grain&visible=5"
    text = visit.page(asked)
    assert re.search(r'value="any_grain" checked', text)
    assert not re.search(r'value="trim" checked', text)
    for reason in ("no_trim", "one_pass", "guide"):
        assert label(f"cure_reason.{reason}") in plain(text)
    assert label("foresee.visible", percent="5") in plain(text)
    assert 'class="problem refused"' in visit.page(address(told, stroke_low="9", stroke_high="3"), status=422)
    assert 'class="problem refused"' in visit.page(address(told, visible="99"), status=422)


def test_what_cannot_be_set_goes_back_to_the_form(poster: tuple[Visit, dict[str, str]]) -> None:
    visit, told = poster
    assert 'class="problem refused"' in visit.page(address(told | {"aim": "ninety"}), status=422)
    visit.page(address(told | {"where": "nowhere/A"}), status=422)
    visit.page(address(told, of="99"))


def test_no_other_site_makes_this_computer_work(poster: tuple[Visit, dict[str, str]]) -> None:
    visit, told = poster
    asked = {"same-origin": 200, "none": 200, "cross-site": 403}
    for site, status in asked.items():
        assert visit.client.get(address(told), headers={"sec-fetch-site": site}).status_code == status


def test_a_few_sheets_are_kept_and_looked_at_anew_when_the_press_changes(poster: tuple[Visit, dict[str, str]]) -> None:
    visit, told = poster
    first = found_of(visit, told)
    assert found_of(visit, told) is first
    press: Path = visit.folder / "presses" / "heron.yaml"
    press.touch()
    assert found_of(visit, told) is not first
