from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from browser.chromium import NAMES, NEEDED, driven, found, must_run
from browser.served import fill, serving


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """The browser. Skipped honestly where there is none, unless it was said that one is needed."""
    path = found()
    if path is None:
        reason = f"no browser called {', '.join(NAMES)} on this computer: nothing was tried in a browser"
        if must_run():
            pytest.fail(f"{reason}, and {NEEDED} is set")
        pytest.skip(reason)
    with driven(path) as browser:
        yield browser


@pytest.fixture(scope="session")
def empty_shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a workbench before anything was brought in."""
    with serving(tmp_path_factory.mktemp("empty")) as address:
        yield address


@pytest.fixture(scope="session")
def heron_shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a workbench with one press whose rollers are on the register. Look only: tests share it."""
    with serving(fill(tmp_path_factory.mktemp("heron"))) as address:
        yield address
