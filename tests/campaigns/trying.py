"""How soon the sheet answers in the browser while a hand drags: from the event of the slider to the frame after the
picture was changed. The workbench runs in a process of its own, as it is used; the sheet is 36 x 52 cm.

Run: python tests/campaigns/trying.py [PRESS]
"""

from __future__ import annotations

import contextlib
import os
import re
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from playwright.sync_api import Page

from browser.chromium import TABLET, driven, found
from browser.looking import eyes
from filmsplit.actions.shop import Shop, bring_demo_press
from filmsplit.messages import label

PROMISED_MS = 150.0
MOVES, PAUSE_MS = 15, 40
LAST_MS = 2_000
"""So long the last move waits for its picture."""
MOST_TRIES = 60
SUMMED = label("live.summed", size="2.0")
"""Moves of one drag, and the pause between two: about as often as a screen of a tablet tells of a thumb."""
WATCH = """() => {
  window.moves = []; window.shown = []; window.sent = [];
  const ask = window.fetch;
  window.fetch = (...all) => {
    if (!String(all[0]).includes("fine=yes")) window.sent.push(performance.now());
    return ask(...all);
  };
  document.getElementById("try").addEventListener("input", () => window.moves.push(performance.now()), {capture: true});
  new MutationObserver(() => {
    const asked = window.sent.at(-1);
    requestAnimationFrame(() => window.shown.push([asked, performance.now()]));
  }).observe(document.getElementById("picture"), {attributes: true});
}"""


@contextlib.contextmanager
def workbench(folder: Path) -> Iterator[str]:
    """The address of a workbench in a process of its own."""
    command = [sys.executable, "-m", "filmsplit", "serve", str(folder), "--port", "0", "--no-browser"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        address = re.search(r"http://\S+", process.stdout.readline())
        assert address is not None
        try:
            yield address[0].rstrip("/")
        finally:
            process.terminate()


def dragged(page: Page, field: str) -> list[float]:
    """Milliseconds from each move of two drags, there and back, to the picture that answers it or a later one."""
    page.evaluate("window.moves = []; window.shown = []; window.sent = []")
    slide = page.locator(f'.slide[data-of="{field}"]')
    slide.evaluate("(each) => each.scrollIntoView({block: 'end'})")
    box = slide.bounding_box()
    assert box is not None
    y = box["y"] + box["height"] / 2
    for way in ((0.35, 0.7), (0.7, 0.4)):
        places = [way[0] + (way[1] - way[0]) * step / MOVES for step in range(MOVES + 1)]
        page.mouse.move(box["x"] + places[0] * box["width"], y)
        page.mouse.down()
        for place in places:
            page.mouse.move(box["x"] + place * box["width"], y)
            page.wait_for_timeout(PAUSE_MS)
        page.mouse.up()
    page.wait_for_timeout(LAST_MS)
    return _taken(page)


def touched(page: Page, selector: str, times: int) -> list[float]:
    """The same for boxes that are touched, one after the other."""
    page.evaluate("window.moves = []; window.shown = []; window.sent = []")
    for time in range(times):
        page.eval_on_selector_all(selector, "(all, time) => all.at(time % all.length).click()", time + 1)
        page.wait_for_timeout(350)
    page.wait_for_timeout(LAST_MS)
    return _taken(page)


def _taken(page: Page) -> list[float]:
    moves, shown = page.evaluate("[window.moves, window.shown]")
    # An answer asked for after a move tells of it: the page sends what the form holds at that moment.
    return [min((at for asked, at in shown if asked >= move - 0.5), default=float("inf")) - move for move in moves]


def main() -> int:
    """Print the table; 1 where 95 of 100 keys were not answered in time."""
    press, path = (sys.argv[1] if len(sys.argv) > 1 else "bittern"), found()
    if path is None:
        print("no browser on this computer: nothing was measured")
        return 1
    with tempfile.TemporaryDirectory() as folder, driven(path) as browser:
        kept = bring_demo_press(Shop(Path(folder)), press)
        assert kept.press is not None
        unit = kept.press.units[0]
        assert unit.fountain is not None
        zones = len(unit.fountain.zone_widths_mm)
        cover = "+".join(str((20, 5, 40, 10)[zone % 4]) for zone in range(zones))
        with workbench(Path(folder)) as address, eyes(browser, address, screen=TABLET, light="light") as seeing:
            seeing.page.set_default_timeout(180_000)
            seeing.go(f"/jobs/try?where={press}/{unit.id}&coverage={cover}")
            missed = _measured(seeing.page)
        print(f"{press}, load {os.getloadavg()[0]:.1f}")
    return int(missed)


def _measured(page: Page) -> bool:
    page.evaluate(WATCH)
    row("a key, its train not yet solved", dragged(page, "k3"))
    _until_solved(page)
    key = row("a key", [*dragged(page, "k3"), *dragged(page, "k7")])
    print("   ", page.inner_text("#said"))
    row("the sweep", dragged(page, "sweep"))
    row("the oscillator stroke", dragged(page, "stroke"))
    print("   ", page.inner_text("#said"))
    row("a form roller", touched(page, '[name="on_F1"]', 20))
    row("the job half round", touched(page, '[name="turned"]', 20))
    return key > PROMISED_MS


def _until_solved(page: Page) -> None:
    """Move a key now and then until the answer is the sum of the keys."""
    for time in range(MOST_TRIES):
        page.wait_for_timeout(2_000)
        page.click(f'button[value="k3{"+-"[time % 2]}"]')
        page.wait_for_timeout(380)
        if page.inner_text("#said").startswith(SUMMED):
            return
    raise TimeoutError("the keys were not solved")


def row(what: str, taken: list[float]) -> float:
    """One line of the table; the 95th of 100."""
    p95 = sorted(taken)[max(0, -(-95 * len(taken) // 100) - 1)]
    print(f"{what:34} {len(taken):4} moves, median {statistics.median(taken):5.0f} ms, p95 {p95:5.0f} ms")
    return p95


if __name__ == "__main__":
    sys.exit(main())
