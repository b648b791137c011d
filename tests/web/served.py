"""The workbench in this process, as a browser would talk to it."""

from __future__ import annotations

import re
import time
from dataclasses import dataclass, field
from pathlib import Path

from httpx2 import Response
from starlette.testclient import TestClient

from filmsplit.actions.shop import Shop
from filmsplit.web.app import create_app
from filmsplit.web.shop_mode.access import Access

HOST = "127.0.0.1:8650"
ORIGIN = f"http://{HOST}"
LONGEST_WAIT_S = 180


def waits(answer: Response) -> bool:
    """Whether a page is one on which somebody waits."""
    return answer.headers.get("content-type", "").startswith("text/html") and "data-stage" in answer.text


@dataclass
class Visit:
    """One person's browser before the workbench of a shop."""

    folder: Path
    access: Access | None = None
    come_from: str = "127.0.0.1"
    client: TestClient = field(init=False)

    def __post_init__(self) -> None:
        app = create_app(Shop(self.folder), hosts=frozenset({HOST}), secret=b"of the tests", access=self.access)
        self.client = TestClient(
            app,
            base_url=ORIGIN,
            headers={"origin": ORIGIN},
            raise_server_exceptions=False,
            client=(self.come_from, 50_000),
        )

    def page(self, address: str, *, status: int = 200) -> str:
        answer = self.awaited(address)
        assert answer.status_code == status, answer.text
        return answer.text

    def awaited(self, address: str, **told: str) -> Response:
        """The answer; asked again while the page is one on which somebody waits, as that does itself."""
        until = time.monotonic() + LONGEST_WAIT_S
        while time.monotonic() < until:
            answer = self.client.get(address, params=told or None)
            if not waits(answer):
                return answer
            time.sleep(0.05)
        raise TimeoutError(address)

    def token(self) -> str:
        found = re.search(r'name="token" value="(\w+)"', self.page("/look"))
        assert found is not None
        return found[1]

    def send(self, address: str, *, status: int = 200, **fields: str) -> str:
        answer = self.client.post(address, data={"token": self.token(), **fields})
        assert answer.status_code == status, answer.text
        return answer.text
