"""The distribution's own Chromium, driven from here. Nothing is downloaded for it."""

from __future__ import annotations

import contextlib
import os
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

from playwright.sync_api import Browser, sync_playwright

from filmsplit.web.network import addresses_here

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
NEEDED = "FILMSPLIT_NEED_BROWSER"
"""Set it where the tests in a browser must run: without a browser they then fail instead of being skipped."""

OURS = ("127.0.0.1", *(str(urlsplit(each).hostname) for each in addresses_here(0)))
NO_NAMES_RESOLVE = ", EXCLUDE ".join(("--host-resolver-rules=MAP * ~NOTFOUND", *OURS))
"""As on a press without a network: this computer answers, nothing else has an address."""


@dataclass(frozen=True, slots=True)
class Screen:
    """One of the sizes that the pages are held to, in CSS pixels."""

    name: str
    width: int
    height: int
    touch: bool


DESK = Screen("desk", 1280, 800, touch=False)
TABLET = Screen("tablet", 820, 1180, touch=True)
PHONE = Screen("phone", 390, 844, touch=True)
SCREENS = (DESK, TABLET, PHONE)
LIGHTS = ("light", "dark")


def found() -> Path | None:
    """Where the browser is, or ``None``."""
    path = next((path for name in NAMES if (path := shutil.which(name))), None)
    return None if path is None else Path(path)


def must_run() -> bool:
    """Whether a missing browser is a failure."""
    return bool(os.environ.get(NEEDED))


@contextlib.contextmanager
def driven(path: Path) -> Iterator[Browser]:
    """The browser, as long as it is needed. Without its own sandbox only where root runs it, which it refuses else."""
    sandbox = [] if os.geteuid() else ["--no-sandbox"]
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(path), args=[NO_NAMES_RESOLVE, *sandbox])
        yield browser
        browser.close()
