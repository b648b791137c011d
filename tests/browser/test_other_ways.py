"""The pages on paper, by the keyboard alone, and without scripts of any weight."""

from __future__ import annotations

import gzip
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from playwright.sync_api import Browser, Page

import filmsplit.web
from browser.chromium import DESK, TABLET
from browser.looking import eyes
from browser.served import serving

STATIC = Path(filmsplit.web.__file__).parent / "static"
MOST_SCRIPT_BYTES = 500_000
"""Of script in all, compressed: the project's own promise."""

PAGES = (
    "/",
    "/presses",
    "/presses/heron/A",
    "/presses/heron/A/roller/F1",
    "/presses/heron/A/contact/F1/plate",
    "/rollers/heron-F1",
    "/words",
    "/look",
)
FOCUSABLE = "a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex]:not([tabindex='-1'])"

NUMBER_THEM = f"""() => {{
  document.querySelectorAll("details").forEach((each) => each.open = true);  // what is shut in is to be reached too
  const all = [...document.querySelectorAll("{FOCUSABLE}")].filter((each) => !each.disabled);
  // Radio buttons of one name are one stop: the arrow keys go on from there.
  const stops = all.filter((each) => each.type !== "radio" || each.checked);
  stops.forEach((each, number) => each.dataset.stop = number);
  return stops.length;
}}"""
AT = """() => {
  const here = document.activeElement;
  const style = getComputedStyle(here), touch = here.querySelector(".touch");
  const ringed = style.outlineStyle !== "none" || (touch && getComputedStyle(touch).stroke !== "none");
  return [here.dataset.stop ?? null, ringed];
}"""


@pytest.mark.parametrize("light", ["light", "dark"])
@pytest.mark.parametrize("path", PAGES)
def test_a_page_prints_dark_on_white(chromium: Browser, heron_shop: str, *, path: str, light: str) -> None:
    with eyes(chromium, heron_shop, screen=DESK, light=light) as seeing:
        seeing.go(path)
        title = seeing.page.text_content("h1")
        printed = pypdfium2.PdfDocument(seeing.page.pdf(format="A4", print_background=True))
    assert title is not None
    assert title.split()[0] in printed[0].get_textpage().get_text_bounded()
    grey = np.asarray(printed[0].render(scale=2).to_pil().convert("L"))
    assert np.median(grey) == 255, "paper stays white"
    assert np.mean(grey > 200) > 0.6
    assert grey.min() < 60, "letters are dark"


def test_grey_print_can_be_read(chromium: Browser, heron_shop: str) -> None:
    """WCAG 2.2, 1.4.3: 4.5 to 1, here against white paper and by the grey of the ink."""
    with eyes(chromium, heron_shop, screen=DESK, light="dark") as seeing:
        for path in PAGES:
            seeing.go(path)
            seeing.page.emulate_media(media="print", color_scheme="dark")
            assert [each for each in seeing.barriers() if "color-contrast" in each] == []
            seeing.page.emulate_media(media="screen")


@pytest.mark.parametrize("path", PAGES)
def test_the_keyboard_reaches_everything_in_order(chromium: Browser, heron_shop: str, path: str) -> None:
    with eyes(chromium, heron_shop, screen=DESK, light="light") as seeing:
        seeing.go(path)
        count = seeing.page.evaluate(NUMBER_THEM)
        stops = [_next_stop(seeing.page) for _ in range(count)]
    assert [stop for stop, _ in stops] == [str(number) for number in range(count)]
    assert all(ringed for _, ringed in stops), "one sees where one is"


def _next_stop(page: Page) -> tuple[str | None, bool]:
    page.keyboard.press("Tab")
    stop, ringed = page.evaluate(AT)
    return stop, ringed


def test_a_press_is_brought_in_by_the_keyboard_alone(chromium: Browser, tmp_path: Path) -> None:
    with serving(tmp_path) as address, eyes(chromium, address, screen=DESK, light="light") as seeing:
        seeing.go("/")
        _press_on(seeing.page, "Bring in a press")
        _press_on(seeing.page, "Bring in Heron", begins=True)
        seeing.page.wait_for_url("**/presses/heron/*")
    assert (tmp_path / "presses" / "heron.yaml").exists()


def _press_on(page: Page, words: str, *, begins: bool = False) -> None:
    """Tab to what is called so, then Enter."""
    for _ in range(60):
        page.keyboard.press("Tab")
        text = (page.evaluate("document.activeElement.textContent") or "").strip()
        if text == words or (begins and text.startswith(words)):
            with page.expect_navigation():
                page.keyboard.press("Enter")
            return
    raise AssertionError(words)


def test_a_press_is_brought_in_by_touch(chromium: Browser, tmp_path: Path) -> None:
    with serving(tmp_path) as address, eyes(chromium, address, screen=TABLET, light="dark") as seeing:
        seeing.go("/")
        seeing.page.get_by_role("link", name="Bring in a press").tap()
        seeing.page.get_by_role("button", name="Bring in Heron").tap()
        seeing.page.wait_for_url("**/presses/heron/*")
        with seeing.page.expect_navigation(url="**/presses/heron/A"):
            seeing.page.get_by_role("button", name="Put the rollers on the register").tap()
        assert seeing.wrong() == []


def test_without_scripts_every_page_is_there(chromium: Browser, heron_shop: str) -> None:
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    for path in PAGES:
        answer = page.goto(heron_shop + path)
        assert answer is not None
        assert answer.ok
        assert page.locator("h1").count() == 1
    context.close()


def test_scripts_weigh_little() -> None:
    scripts = [*STATIC.rglob("*.js"), *STATIC.rglob("*.mjs")]
    assert sum(len(gzip.compress(path.read_bytes())) for path in scripts) <= MOST_SCRIPT_BYTES
