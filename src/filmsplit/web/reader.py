"""Whoever asks for a page reads it in the units chosen at Display: said once, before any page is made."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.requests import Request
from starlette.types import ASGIApp, Receive, Scope, Send

from filmsplit.messages import read_as
from filmsplit.web.look import Look, look_of

FILES = (".pdf", ".csv", ".json", ".yaml", ".zip")
"""What is taken away is the shop's, not one reader's: in mm and °C, as records and press files are."""


@dataclass(frozen=True, slots=True)
class InUnitsRead:
    """Stands before the pages. What is written for them is in the units of the cookie that came with the request."""

    app: ASGIApp

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http" or scope["path"].endswith(FILES):
            await self.app(scope, receive, send)
            return
        units = look_of(Request(scope)).units
        with read_as(None if units == Look().units else units):
            await self.app(scope, receive, send)
