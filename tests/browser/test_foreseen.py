"""The sheet foreseen in a real browser: nothing falls short; buttons, keys, wheel and fingers bring it nearer."""

from __future__ import annotations

from collections.abc import Iterator
from urllib.parse import parse_qsl, urlencode, urlsplit

import pytest
from playwright.sync_api import Browser, Page

from browser.chromium import DESK, LIGHTS, SCREENS, TABLET, Screen
from browser.looking import eyes
from browser.served import serving
from filmsplit.actions.demo_works import works, write_work
from filmsplit.messages import label
from web.served import Visit
from web.test_job_files import bring

TWO_FINGERS = """
const seen = document.getElementById("seen"), box = seen.getBoundingClientRect();
const say = (kind, pointerId, x) => {
  const at = {clientX: box.left + x, clientY: box.top + 100};
  seen.dispatchEvent(new PointerEvent(kind, {pointerId, pointerType: "touch", bubbles: true, ...at}));
};
seen.setPointerCapture = () => {};
say("pointerdown", 1, 100); say("pointerdown", 2, 200); say("pointermove", 1, 50); say("pointermove", 2, 250);
say("pointerup", 1, 50); say("pointerup", 2, 250);
"""


@pytest.fixture(scope="module")
def poster(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, str]]:
    """A workbench to which the poster with a window was brought; where its sheet is foreseen."""
    folder = tmp_path_factory.mktemp("foreseen")
    visit = Visit(folder)
    visit.send("/presses/bring", press="heron")
    (file,) = write_work(works()["window"], tmp_path_factory.mktemp("made")).files
    to, _ = bring(visit, (file.name, file.read_bytes()), where="heron/A", title="Poster")
    told = dict(parse_qsl(urlsplit(to).query)) | {"sheet_long": "420", "sheet_wide": "300", "lead": "10"}
    path = f"/jobs/foreseen?{urlencode(told)}"
    for more in ("", "&cures=yes"):  # computed once and kept, so that no look waits for it
        visit.page(path + more)
    with serving(folder) as address:
        yield address, path


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("screen", SCREENS, ids=lambda screen: screen.name)
def test_nothing_falls_short(chromium: Browser, poster: tuple[str, str], *, screen: Screen, light: str) -> None:
    address, path = poster
    with eyes(chromium, address, screen=screen, light=light) as seeing:
        for more in ("&cures=yes", "&layer=film", "&layer=density"):
            assert seeing.go(path + more) == 200
            assert seeing.wrong() == []


def scale(page: Page) -> float:
    return float(page.locator("#seen").get_attribute("data-scale") or 0)


def part(page: Page) -> str | None:
    return page.locator("#seen > svg").get_attribute("viewBox")


@pytest.mark.parametrize("screen", [DESK, TABLET], ids=lambda screen: screen.name)
def test_it_is_looked_at_from_nearer(chromium: Browser, poster: tuple[str, str], *, screen: Screen) -> None:
    address, path = poster
    with eyes(chromium, address, screen=screen, light="light") as seeing:
        seeing.go(path)
        page = seeing.page
        whole = part(page)
        page.click("[data-do=nearer]")
        assert scale(page) == pytest.approx(1.5)
        page.focus("#seen")
        page.keyboard.press("+")
        near = part(page)
        assert scale(page) == pytest.approx(2.25)
        page.keyboard.press("ArrowRight")
        assert part(page) != near
        page.keyboard.press("0")
        assert part(page) == whole
        page.evaluate(TWO_FINGERS)
        assert scale(page) == pytest.approx(2.0, abs=0.1), "fingers twice as far apart"
        page.click("[data-do=whole]")
        page.hover("#seen")
        page.mouse.wheel(0, -100)
        page.wait_for_timeout(100)
        assert scale(page) == 1, "the page moves on until the sheet was touched"
        page.focus("#seen")
        page.hover("#seen")
        page.mouse.wheel(0, -100)
        page.wait_for_function("document.getElementById('seen').dataset.scale === '1.20'")
        assert seeing.wrong() == []


def test_what_lies_over_it_changes_at_the_same_place(chromium: Browser, poster: tuple[str, str]) -> None:
    address, path = poster
    with eyes(chromium, address, screen=DESK, light="light") as seeing:
        seeing.go(path)
        page = seeing.page
        page.evaluate("window.same = true")
        for way in ("nearer", "nearer", "up", "left"):
            page.click(f"[data-do={way}]")
        near = (part(page) or "").split()[:2]
        for name, layer in (("Film", "film"), ("Ghosts", "ghost")):
            page.click(f"nav.choices a:text-is('{name}')")
            page.wait_for_url(f"**layer={layer}**")
            assert (part(page) or "").split()[:2] == near
            assert page.locator("nav.choices a[aria-current]").inner_text() == name
            assert (label("legend.um", value="").strip() in page.inner_text("#legend")) is (layer == "film")
        assert page.evaluate("window.same")
        assert seeing.wrong() == []
        page.click("nav.choices a:text-is('Density')")
        page.wait_for_selector(".stated")
        assert page.evaluate("window.same === undefined"), "what cannot be shown is said on a page of its own"


def test_without_a_script_the_whole_sheet_is_there(chromium: Browser, poster: tuple[str, str]) -> None:
    address, path = poster
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(address + path)
    assert page.locator("#seen > svg").count() == 1
    assert not page.locator("[data-near]").is_visible()
    page.click("nav.choices a:text-is('Film')")
    assert "layer=film" in page.url
    context.close()
