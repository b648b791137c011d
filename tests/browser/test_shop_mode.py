"""Shop mode as it is used: a code from the owner's page, a tablet in the network, a name, a PIN."""

from __future__ import annotations

import re
import socket
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from browser.chromium import DESK, LIGHTS, PHONE, TABLET, Screen
from browser.looking import eyes
from browser.served import fill, serving
from filmsplit.web.network import addresses_here


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with serving(fill(tmp_path_factory.mktemp("shop")), to_shop=True) as address:
        yield address


def in_network(address: str) -> str:
    """The same workbench as a tablet finds it."""
    port = int(address.rpartition(":")[2])
    found = addresses_here(port)
    if not found:
        pytest.skip("this computer is in no network: no tablet could find it")
    return found[0].rstrip("/")


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("screen", [TABLET, PHONE], ids=lambda screen: screen.name)
def test_a_tablet_is_paired_and_used(chromium: Browser, shop: str, *, screen: Screen, light: str) -> None:
    name = f"Kim {screen.name} {light}"
    with eyes(chromium, shop, screen=DESK, light=light) as owner:
        owner.go("/shop")
        owner.page.get_by_label("Name, a new one or one to change").fill(name)
        owner.page.get_by_label("PIN, 4 to 12 digits, or none").fill("4711")
        with owner.page.expect_navigation():
            owner.page.get_by_role("button", name="Put on the list").click()
        assert owner.wrong() == []
        with owner.page.expect_navigation():
            owner.page.get_by_role("button", name="Make a code").click()
        assert owner.wrong() == []
        code = owner.page.text_content(".code")
        assert code is not None
        assert owner.page.pdf(format="A4")[:4] == b"%PDF"
    with eyes(chromium, in_network(shop), screen=screen, light=light) as tablet:
        tablet.go("/presses/heron")
        assert tablet.page.url.endswith("/pair")
        assert tablet.wrong() == []
        tablet.page.get_by_label("Code").fill(code)
        with tablet.page.expect_navigation(url="**/who"):
            tablet.page.get_by_role("button", name="Pair it").tap()
        assert tablet.wrong() == []
        own = tablet.page.locator("form", has_text=name)
        own.get_by_label("PIN").fill("4711")
        with tablet.page.expect_navigation(url=re.compile(r":\d+/$")):
            own.get_by_role("button").tap()
        assert tablet.wrong() == []
        assert tablet.page.get_by_role("link", name=name).is_visible()
        tablet.go("/presses/heron/A")
        assert tablet.wrong() == []


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("path", ["/shop", "/pair", "/who"])
def test_without_shop_mode_the_pages_say_so(chromium: Browser, empty_shop: str, *, path: str, light: str) -> None:
    with eyes(chromium, empty_shop, screen=PHONE, light=light) as seeing:
        assert seeing.go(path) == 200
        assert seeing.wrong() == []


def test_without_shop_mode_nothing_listens_to_the_network(empty_shop: str) -> None:
    port = int(empty_shop.rpartition(":")[2])
    for address in addresses_here(port):
        with pytest.raises(OSError, match="refused"):
            socket.create_connection((address.split("/")[2].partition(":")[0], port), timeout=2)
