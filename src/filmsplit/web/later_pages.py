"""Every page but the first. They are loaded when one of them is asked for, or while the first is being read, so that
the first page waits for none of them."""

from __future__ import annotations

from dataclasses import dataclass, field

from fastapi import FastAPI
from starlette.types import Receive, Scope, Send


@dataclass(slots=True)
class LaterPages:
    """Stands where no page of ``app`` answers: adds the other pages to it, once, and asks it again."""

    app: FastAPI
    added: bool = field(default=False, init=False)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if self.added:
            await self.app.router.not_found(scope, receive, send)
            return
        load()
        from filmsplit.web.pages.every import LATER  # noqa: PLC0415 - the point of it

        for page in LATER:
            self.app.include_router(page.router)
        self.added = True
        await self.app.router(scope, receive, send)


def load() -> None:
    """Import the pages and everything they need; at once where that has been done."""
    import filmsplit.web.pages.every  # noqa: F401, PLC0415 - the same
