"""The whole way through the workbench from an empty workshop, as a person goes it, with every kind of hands.

A press is brought in, a job set from a file, logged, corrected and looked at again; a round is done behind its gate,
broken off by a restart and gone on with; a stripe is read from pictures; what a roller's condition does is looked up;
and each page on the way is printed. Coverage, densities and widths are invented; pictures of stripes are drawn apart
from what reads them (tests/stripe_picture).
"""

from __future__ import annotations

import contextlib
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

import pypdfium2
import pytest
from playwright.sync_api import Browser, Page, Route

from browser.chromium import DESK, PHONE, TABLET, Screen
from browser.hands import Hands, Keys, Pointer
from browser.looking import Eyes
from browser.served import serving
from filmsplit.actions.jobs import today
from filmsplit.actions.readings import listed
from filmsplit.actions.register import Daybook
from filmsplit.actions.shop import Shop
from filmsplit.web.pages.round_gate import BOXES
from stripe_picture.drawn_pictures import Scene, Shot, draw
from web.test_job_files import picture_of

WIDTH_MM = 4.0
LONGEST_MS = 120_000
EDGE_MM = 10
EDGE_PT = EDGE_MM / 25.4 * 72
"""Of paper that a browser leaves free at the left and at the right."""
OVERHANG_PT = 3
"""How far a letter may reach beyond its own place: a J does."""
ZONES = 10
"""Keys of the Heron, counted on its drawing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """How a person goes through the workbench."""

    name: str
    screen: Screen
    light: str = "light"
    keys: bool = False
    script: bool = True


WAYS = (
    Way(name="finger-tablet", screen=TABLET),
    Way(name="finger-phone", screen=PHONE, light="dark"),
    Way(name="mouse-desk", screen=DESK, light="dark"),
    Way(name="keyboard", screen=DESK, keys=True),
    Way(name="no-script", screen=TABLET, script=False),
)


@dataclass(slots=True)
class Walk:
    """A person on the way: the hands, the eyes, and what fell short so far."""

    hands: Hands
    seeing: Eyes
    script: bool
    outside: list[str]
    wrong: list[str] = field(default_factory=list)

    @property
    def page(self) -> Page:
        return self.hands.page

    def on(self, selector: str) -> None:
        """Press what leads to another page, and look at that as at any other."""
        with self.page.expect_navigation(wait_until="load"):
            self.hands.press(selector)
        self.look()

    def look(self) -> None:
        """Keep what falls short, also on paper; the browser's own word for a form sent back is no fault."""
        if self.script:
            self.wrong += [f"{self.page.url}: {each}" for each in self.seeing.wrong() if "422" not in each]
        self.wrong += [f"{self.page.url}: {each}" for each in cut_on_paper(self.page)]
        self.seeing.complaints.clear()


def cut_on_paper(page: Page) -> list[str]:
    """Letters that would be cut off when the page is printed, sheet by sheet of paper."""
    edge = f"{EDGE_MM}mm"
    paper = pypdfium2.PdfDocument(page.pdf(format="A4", margin={"left": edge, "right": edge}))
    found = []
    for number, sheet in enumerate(paper, 1):
        text, left, right = sheet.get_textpage(), EDGE_PT - OVERHANG_PT, sheet.get_size()[0] - EDGE_PT + OVERHANG_PT
        boxes = ((n, text.get_charbox(n)) for n in range(text.count_chars()) if text.get_text_range(n, 1).strip())
        beside = [n for n, box in boxes if box[0] < left or box[2] > right]
        if beside:
            found.append(f"printed page {number} cuts off {text.get_text_range(beside[0], 40)!r}")
    return found


@contextlib.contextmanager
def walking(browser: Browser, address: str, way: Way) -> Iterator[Walk]:
    """A window of a browser that knows no other host than the workbench: whatever asks for one is kept and refused."""
    screen = way.screen
    context = browser.new_context(
        viewport={"width": screen.width, "height": screen.height},
        has_touch=screen.touch and not way.keys,
        is_mobile=screen.touch,
        color_scheme="dark" if way.light == "dark" else "light",
        reduced_motion="reduce",
        java_script_enabled=way.script,
    )
    outside: list[str] = []

    def only_here(route: Route) -> None:
        url = route.request.url
        if url.startswith("http") and urlsplit(url).netloc != urlsplit(address).netloc:
            outside.append(url)
            route.abort()
        else:
            route.continue_()

    context.route("**/*", only_here)
    context.set_default_timeout(LONGEST_MS)
    try:
        page = context.new_page()
        hands: Hands = Keys(page) if way.keys else Pointer(page, touch=screen.touch)
        yield Walk(hands=hands, seeing=Eyes(page, address), script=way.script, outside=outside)
    finally:
        context.close()


@pytest.fixture(scope="module")
def work(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A picture of a work, a third of it inked."""
    path = tmp_path_factory.mktemp("work") / "poster.png"
    path.write_bytes(picture_of(1 / 3))
    return path


@pytest.fixture(scope="module")
def pictures(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """A picture of a stripe with its card for each place along a roller."""
    folder = tmp_path_factory.mktemp("pictures")
    paths = [folder / f"stripe{card}.jpg" for card in range(3)]
    for card, path in enumerate(paths):
        path.write_bytes(draw(Scene(20 + card, card=card, width=WIDTH_MM), Shot(px_per_mm=8.0)).jpeg)
    return paths


def bring_in_a_press(walk: Walk) -> None:
    walk.seeing.go("/")
    walk.look()
    walk.on("main a.main")
    walk.on("form:has(input[value=heron]) button")
    walk.on("form[action$='/register'] button")


def set_a_job(walk: Walk, work: Path) -> None:
    walk.on("nav a[href='/jobs']")
    if walk.script:
        with walk.page.expect_navigation(url=re.compile("work="), wait_until="load"):
            dropped(walk.page, work)
        walk.look()
    else:
        walk.hands.bring("#files", work)
        walk.on("form.bring button")
    walk.hands.write("#title", "Poster")
    with walk.page.expect_navigation(wait_until="load"):
        walk.hands.press("form[action='/jobs/set'] button.main")
    walk.page.wait_for_selector("tbody tr")
    walk.page.wait_for_load_state("load")
    walk.look()


def dropped(page: Page, file: Path) -> None:
    """A file let go over the form."""
    page.evaluate(
        """([name, bytes]) => {
          const held = new DataTransfer();
          held.items.add(new File([new Uint8Array(bytes)], name, {type: "image/png"}));
          const drop = new DragEvent("drop", {dataTransfer: held, cancelable: true, bubbles: true});
          document.querySelector("form.bring").dispatchEvent(drop);
        }""",
        [file.name, list(file.read_bytes())],
    )


def log_and_correct(walk: Walk) -> None:
    walk.hands.tick("[name=as_set]")
    walk.hands.write("#aim_density", "1.4")
    walk.on("form[action='/jobs/log'] button.main")
    for read in ("1.1", "1.3"):  # corrected, and looked at again
        walk.hands.write("#densities", " ".join([read] * ZONES))
        walk.on("form[action$='/correct'] button.main")
        assert walk.page.locator("#moves ~ .wide tbody tr").count() >= 1, walk.page.inner_text("main")


def through_the_gate(walk: Walk) -> None:
    walk.on("nav a[href='/rounds']")
    walk.on("form[action='/rounds'] button")
    walk.hands.write("#name", "Invented Person")
    for box in BOXES:
        walk.hands.tick(f"input[name='{box}']")
    walk.on("main form button.main")


def read_a_contact(walk: Walk, *, steps: tuple[int, int, int]) -> None:
    for place, step in zip(("operator", "middle", "gear"), steps, strict=True):
        values = walk.page.locator(f"input[name='width_{place}']")
        walk.hands.tick(f"input[name='width_{place}'][value='{values.nth(10 + step).get_attribute('value')}']")
    walk.on("button.main[value=on]")


def read_from_pictures(walk: Walk, pictures: list[Path]) -> None:
    walk.hands.press("details.aside summary")
    for number, picture in enumerate(pictures, 1):
        walk.hands.bring(f"#picture_{number}", picture)
    walk.on("form[action$='/picture'] button")
    assert walk.page.locator(".overlay svg").count() == 1
    walk.on("button.main[value=on]")


def what_a_roller_does(walk: Walk) -> None:
    walk.on("nav a[href='/presses']")
    walk.on("main .cards a[href^='/presses/heron']")
    walk.on("tbody a[href$='/roller/F1']")
    walk.on("main a.main")
    assert walk.page.locator("main table").count() >= 1


def stripes(folder: Path) -> list[tuple[float, ...]]:
    book = Daybook(Shop(folder).records, today())
    return [each.values for each in listed("", book=book, kinds=("stripe",)).entries]


@pytest.mark.parametrize("way", WAYS, ids=lambda way: way.name)
def test_the_whole_way(chromium: Browser, tmp_path: Path, work: Path, pictures: list[Path], *, way: Way) -> None:
    with serving(tmp_path) as address, walking(chromium, address, way) as walk:
        steps: tuple[Callable[[], None], ...] = (
            lambda: bring_in_a_press(walk),
            lambda: set_a_job(walk, work),
            lambda: log_and_correct(walk),
            lambda: through_the_gate(walk),
            lambda: read_a_contact(walk, steps=(0, 1, -1)),
            lambda: read_from_pictures(walk, pictures),
            lambda: what_a_roller_does(walk),
        )
        for step in steps:
            step()
        assert walk.wrong == []
        assert walk.outside == []
    read = stripes(tmp_path)
    assert len(read) == 2
    assert [value for value in read[1] + read[0] if abs(value - WIDTH_MM) < 0.2] != []


@pytest.mark.parametrize("way", [WAYS[0], WAYS[3]], ids=lambda way: way.name)
def test_a_round_is_gone_on_with_after_a_restart(chromium: Browser, tmp_path: Path, *, way: Way) -> None:
    with serving(tmp_path) as address, walking(chromium, address, way) as walk:
        bring_in_a_press(walk)
        through_the_gate(walk)
        read_a_contact(walk, steps=(0, 0, 0))
        walk.seeing.go("/rounds")  # nothing is on its way when the workbench stops
    port = urlsplit(address).port or 0
    with serving(tmp_path, port=port) as again, walking(chromium, again, way) as walk:
        walk.seeing.go("/")
        walk.on("nav a[href='/rounds']")
        walk.on("#open ~ ul a")
        walk.on("main a.main")
        assert "/contact/" in walk.page.url, "what was stated today still counts"
        read_a_contact(walk, steps=(1, 1, 1))
        assert walk.wrong == []
    assert len(stripes(tmp_path)) == 2
