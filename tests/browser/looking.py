"""Look at pages as a person gets them: errors, other hosts, access, sizes, jumps."""

from __future__ import annotations

import contextlib
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

from axe_playwright_python.base import AXE_FILE_PATH
from fastapi.routing import APIRoute
from playwright.sync_api import Browser, Page

from browser.chromium import Screen
from filmsplit.web.pages.every import ROUTERS

LEAST_TARGET_PX = 48
LEAST_TEXT_PX = 16
MOST_SHIFT = 0.1
"""Cumulative layout shift that is still good (Web Vitals: 0.1)."""
NOBODY_WAITS = "() => document.readyState === 'complete' && !document.querySelector('[data-stage]')"
LONGEST_WAIT_MS = 180_000
ABORTED = "net::ERR_ABORTED"
"""What the browser calls a request that it broke off itself."""
SERIOUS = ("serious", "critical")

AXE = AXE_FILE_PATH.read_text(encoding="utf-8")
MEASURE = (Path(__file__).parent / "measure.js").read_text(encoding="utf-8")
WATCH_SHIFTS = """
window.jumped = 0;
new PerformanceObserver((list) => {
  for (const each of list.getEntries()) if (!each.hadRecentInput) window.jumped += each.value;
}).observe({type: "layout-shift", buffered: true});
"""


@dataclass(slots=True)
class Eyes:
    """A page of the browser, and everything it complained of and asked for since the last look."""

    page: Page
    address: str
    complaints: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        ours = urlsplit(self.address).netloc

        def asked(url: str) -> None:
            if url.startswith("http") and urlsplit(url).netloc != ours:
                self.complaints.append(f"asked another host: {url}")

        self.page.on("console", lambda said: self._said(said.type, said.text))
        self.page.on("pageerror", lambda error: self.complaints.append(f"script error: {error}"))
        self.page.on("request", lambda request: asked(request.url))
        self.page.on("requestfailed", lambda request: self._failed(request.url, request.failure or ""))
        self.page.add_init_script(WATCH_SHIFTS)

    def _failed(self, address: str, why: str) -> None:
        """The browser itself breaks off what a page still loads when the next one is asked for: no fault of a page."""
        if why != ABORTED:
            self.complaints.append(f"failed: {address}")

    def _said(self, kind: str, text: str) -> None:
        if kind in ("error", "warning"):
            self.complaints.append(f"console {kind}: {text}")

    def go(self, path: str) -> int:
        """Go to a page, wait until it is whole and what it tells is there, and give back its status."""
        self.complaints.clear()
        answer = self.page.goto(self.address + path, wait_until="load")
        assert answer is not None
        self.wait()
        return answer.status

    def wait(self) -> None:
        """Until the page shows what it is for, where it is one on which somebody waits."""
        self.page.wait_for_function(NOBODY_WAITS, timeout=LONGEST_WAIT_MS)

    def wrong(self) -> list[str]:
        """All that falls short on the page now shown."""
        shifted = self.page.evaluate("window.jumped")
        jumps = [f"the page jumped by {shifted:.2f}"] if shifted > MOST_SHIFT else []
        measured = self.page.evaluate(MEASURE, [LEAST_TARGET_PX, LEAST_TEXT_PX])
        return [*self.complaints, *jumps, *measured, *self.barriers()]

    def barriers(self) -> list[str]:
        """Findings of axe-core that keep somebody out, in its own words."""
        self.page.evaluate(AXE)
        found = self.page.evaluate("axe.run(document, {resultTypes: ['violations']})")
        return [
            f"axe, {each['impact']}: {each['id']}: {node['html'][:120]}: {node['failureSummary'][:200]}"
            for each in found["violations"]
            if each["impact"] in SERIOUS
            for node in each["nodes"][:3]
        ]

    def links(self) -> list[str]:
        """The paths that the page leads to on its own server."""
        found = self.page.eval_on_selector_all(
            "a[href]", "(all) => all.map((each) => each.href.baseVal ?? each.getAttribute('href'))"
        )
        return [each.partition("#")[0] for each in found if each.startswith("/")]


@contextlib.contextmanager
def eyes(browser: Browser, address: str, *, screen: Screen, light: str) -> Iterator[Eyes]:
    """A browser window of its own."""
    context = browser.new_context(
        viewport={"width": screen.width, "height": screen.height},
        has_touch=screen.touch,
        is_mobile=screen.touch,
        color_scheme="dark" if light == "dark" else "light",
        reduced_motion="reduce",
    )
    try:
        yield Eyes(context.new_page(), address)
    finally:
        context.close()


def kind_of(path: str) -> str:
    """The route a path belongs to: pages of one kind differ in what they tell, not in how they are made."""
    plain = path.partition("?")[0]
    routes = [route for router in ROUTERS for route in router.routes if isinstance(route, APIRoute)]
    matching = (route.path for route in routes if "GET" in route.methods and route.path_regex.match(plain))
    return next(matching, plain)


def downloads(path: str) -> bool:
    """Whether a path leads to a file rather than a page."""
    return bool(re.search(r"\.(css|js|svg|pdf|json|yaml|csv|zip)(\?|$)|^/api/|^/static/", path))
