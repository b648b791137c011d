"""The door to the API. It is made when the first request for it comes, so that no page waits for it at the start."""

from __future__ import annotations

from dataclasses import dataclass, field

from starlette.types import ASGIApp, Receive, Scope, Send

from filmsplit.web.render import Bench

PREFIX = "/api/"


@dataclass(slots=True)
class ApiDoor:
    """Sends what is for the API to it, and everything else on to ``app``."""

    app: ASGIApp
    bench: Bench
    api: ASGIApp | None = field(default=None, init=False)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http" or not scope["path"].startswith(PREFIX):
            await self.app(scope, receive, send)
            return
        if self.api is None:
            from filmsplit.web.api.app import create_api  # noqa: PLC0415 - the point of it

            self.api = create_api(self.bench)
        await self.api(scope, receive, send)
