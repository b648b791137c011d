"""The workbench in this process, as a browser would talk to it."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path

from starlette.testclient import TestClient

from filmsplit.actions.shop import Shop
from filmsplit.web.app import create_app
from filmsplit.web.shop_mode.access import Access

HOST = "127.0.0.1:8650"
ORIGIN = f"http://{HOST}"


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
        answer = self.client.get(address)
        assert answer.status_code == status, answer.text
        return answer.text

    def token(self) -> str:
        found = re.search(r'name="token" value="(\w+)"', self.page("/look"))
        assert found is not None
        return found[1]

    def send(self, address: str, *, status: int = 200, **fields: str) -> str:
        answer = self.client.post(address, data={"token": self.token(), **fields})
        assert answer.status_code == status, answer.text
        return answer.text
