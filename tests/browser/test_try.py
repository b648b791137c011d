"""Settings tried in a real browser: a thumb on a slider, and the sheet answers; looked at as any other page is.

Sources: sizes, access and jumps as in the test of every page; that nothing looks refined while it is not is the
project's own promise.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, Route

from browser.chromium import LIGHTS, SCREENS, TABLET, Screen
from browser.looking import eyes
from browser.served import fill, serving
from filmsplit.messages import label

JOB = "/jobs/try?where=heron/A&coverage=20+5+40+10+25+20+5+40+30+15&title=Poster&saturation=2&rate=1.2"
REFINED, ROUGH = "Refined", "Rough"
WATCH_WORDS = """() => {
  window.told = [];
  const said = document.getElementById("said");
  new MutationObserver(() => window.told.push([performance.now(), said.textContent]))
    .observe(said, {childList: true, characterData: true, subtree: true});
  document.getElementById("try").addEventListener("input", () => window.told.push([performance.now(), "moved"]));
}"""


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with serving(fill(tmp_path_factory.mktemp("try"))) as address:
        yield address


def dragged(page: Page, *, field: str, to: float, steps: int = 12) -> None:
    """A thumb goes along a slider to a part of its way: touch events, as a tablet makes them."""
    slide = page.locator(f'.slide[data-of="{field}"]')
    slide.evaluate("(each) => each.scrollIntoView({block: 'end'})")
    box = slide.bounding_box()
    assert box is not None
    thumb = page.context.new_cdp_session(page)
    y, x = box["y"] + box["height"] / 2, box["x"] + 0.3 * box["width"]
    for step in range(steps + 1):
        at = x + (box["x"] + to * box["width"] - x) * step / steps
        kind = "touchMove" if step else "touchStart"
        thumb.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": at, "y": y}]})
        page.wait_for_timeout(25)
    thumb.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def picture(page: Page) -> str:
    return page.get_attribute("#picture", "href") or ""


def until(page: Page, word: str) -> None:
    page.wait_for_function("(word) => document.getElementById('said').textContent.startsWith(word)", arg=word)


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("screen", SCREENS, ids=lambda screen: screen.name)
def test_nothing_falls_short_before_and_after_a_move(
    chromium: Browser, shop: str, *, screen: Screen, light: str
) -> None:
    with eyes(chromium, shop, screen=screen, light=light) as seeing:
        assert seeing.go(JOB) == 200
        wrong = [seeing.wrong()]
        page = seeing.page
        page.locator('button[value="k2+"]').click()
        until(page, REFINED)
        page.uncheck('[name="on_F1"]')
        until(page, ROUGH)
        until(page, REFINED)
        page.check('[name="turned"][value="yes"]')
        until(page, REFINED)
        wrong.append(seeing.wrong())
    assert wrong == [[], []]


def test_a_thumb_on_a_slider_moves_the_numbers_and_the_picture(chromium: Browser, shop: str) -> None:
    with eyes(chromium, shop, screen=TABLET, light="light") as seeing:
        seeing.go(JOB)
        page = seeing.page
        before, words = picture(page), page.inner_text('[data-zone="5"]')
        page.evaluate(WATCH_WORDS)
        dragged(page, field="k5", to=0.95)
        page.wait_for_function(
            "(before) => document.getElementById('picture').getAttribute('href') !== before", arg=before
        )
        until(page, REFINED)
        assert float(page.input_value("#k5")) > 2.5
        assert page.inner_text('[data-zone="5"]') != words
        assert label("live_against.full") in page.inner_text('[data-zone="5"]')
        told = page.evaluate("window.told")
        assert seeing.wrong() == []
    last_move = max(at for at, said in told if said == "moved")
    assert sum(said == "moved" for _, said in told) >= 5
    assert all(at > last_move + 400 for at, said in told if said.startswith(REFINED))
    assert any(said.startswith(ROUGH) for _, said in told)


def test_while_it_is_computed_the_old_picture_never_looks_refined(chromium: Browser, shop: str) -> None:
    """Answers are held back by hand: what was refined says at once that it is older than the settings."""
    with eyes(chromium, shop, screen=TABLET, light="light") as seeing:
        seeing.go(JOB)
        page = seeing.page
        page.click("#show")
        until(page, REFINED)
        held: list[Route] = []
        passed: list[str] = []

        def hold(route: Route) -> None:
            if held:
                passed.append(route.request.url)
                route.continue_()
            else:
                held.append(route)

        page.route("**/jobs/try/answer*", hold)
        page.click('button[value="sweep+"]')
        until(page, label("live.computing"))
        assert page.get_attribute("svg.sheet", "data-state") == "computing"
        for _ in range(6):
            page.click('button[value="sweep-"]')
        page.wait_for_timeout(600)
        assert (len(held), passed) == (1, [])  # the newer ones wait for it: there is no queue
        held[0].abort()
        until(page, REFINED)
        assert [each for each in seeing.wrong() if "failed: " not in each and "net::" not in each] == []


def test_where_the_workbench_is_gone_it_says_so(chromium: Browser, shop: str) -> None:
    with eyes(chromium, shop, screen=TABLET, light="light") as seeing:
        seeing.go(JOB)
        page = seeing.page
        page.route("**/jobs/try/answer*", lambda route: route.abort())
        page.click('button[value="k1+"]')
        until(page, label("live.lost"))
        assert page.get_attribute("svg.sheet", "data-state") == "lost"


def test_what_was_tried_is_taken_to_the_log_and_survives_a_reload(chromium: Browser, shop: str) -> None:
    with eyes(chromium, shop, screen=TABLET, light="light") as seeing:
        seeing.go(JOB)
        page = seeing.page
        page.fill("#k1", "1.5")
        until(page, REFINED)
        page.wait_for_function("location.search.includes('k1=1.5')")
        page.reload()
        assert page.input_value("#k1") == "1.5"
        page.click("#take")
        page.wait_for_url("**/jobs/set?*")
        assert page.input_value("#keys").split()[0] == "1.5"


def test_with_the_keyboard_alone(chromium: Browser, shop: str) -> None:
    with eyes(chromium, shop, screen=TABLET, light="light") as seeing:
        seeing.go(JOB)
        page = seeing.page
        page.focus('.slide[data-of="k4"]')
        before = float(page.input_value("#k4"))
        page.keyboard.press("ArrowRight")
        page.keyboard.press("ArrowRight")
        assert float(page.input_value("#k4")) == pytest.approx(before + 0.25)
        until(page, REFINED)
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.value") == "k4+"
