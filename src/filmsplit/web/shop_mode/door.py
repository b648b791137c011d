"""The door in shop mode: what a tablet must be before a page opens for it, and what its person may do there."""

from __future__ import annotations

import re
from dataclasses import dataclass
from ipaddress import ip_address

from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from filmsplit.actions.answers import plain
from filmsplit.messages import Problem
from filmsplit.web.guard import UNSAFE
from filmsplit.web.refused import say
from filmsplit.web.shop_mode.access import Access
from filmsplit.web.shop_mode.people import Role
from filmsplit.web.shop_mode.visitor import HERE, Visitor, let_in

COOKIE = "filmsplit-tablet"
PAIR, WHO, OWNERS = "/pair", "/who", "/shop"
OWN = (WHO, "/look")
"""What everybody may change: who uses the tablet, and how it looks."""
COMPUTES = re.compile(r"/api/jobs/(set|[^/]+/correct)|/jobs/logged/[^/]+/correct|/waiting/cancel")
"""Sent like a change, but nothing is recorded."""


@dataclass(frozen=True, slots=True)
class ShopDoor:
    """Lets in whoever is at this computer, and else only a paired tablet with somebody of the list at it."""

    app: ASGIApp
    access: Access

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        request = Request(scope)
        stopped = self._stopped(request)
        await (self.app if stopped is None else stopped)(scope, receive, send)

    def _stopped(self, request: Request) -> Response | None:
        """The answer to whoever is not let in; ``None`` for whoever is."""
        path = request.url.path
        if at_this_computer(request):
            let_in(request.scope, HERE)
            return None
        tablet = self.access.tablet(request.cookies.get(COOKIE, ""))
        if tablet is None:
            let_in(request.scope, Visitor(role=Role.LEARNER))
            return None if path == PAIR or path.startswith("/static/") else _sent(request, PAIR)
        person = self.access.person(tablet.person)
        if person is None:
            let_in(request.scope, Visitor(role=Role.LEARNER, tablet=tablet.number))
            open_to = path in (WHO, PAIR) or path.startswith("/static/")
            return None if open_to else _sent(request, WHO)
        let_in(request.scope, Visitor(name=person.name, role=person.role, tablet=tablet.number))
        return _forbidden(request, person.role)


def at_this_computer(request: Request) -> bool:
    """Whether the request comes from the computer that the workbench runs on, and was meant for it under that name.

    The address is that of the connection, which nobody can choose from elsewhere; what a header says does not count.
    """
    try:
        return request.client is not None and ip_address(request.client.host).is_loopback
    except ValueError:
        return False


def _sent(request: Request, to: str) -> Response:
    if request.url.path.startswith("/api/"):
        problem = Problem("shop-not-paired") if to == PAIR else Problem("shop-nobody-chosen")
        return JSONResponse({"problems": plain((problem,))}, 401)
    return RedirectResponse(to, 303)


def _forbidden(request: Request, role: Role) -> Response | None:
    path = request.url.path
    if (path == OWNERS or path.startswith(f"{OWNERS}/")) and role is not Role.OWNER:
        return say(request, (Problem("shop-owner-only"),), status=403)
    if request.method in UNSAFE and not role.records and path not in OWN and not COMPUTES.fullmatch(path):
        return say(request, (Problem("shop-learner-looks"),), status=403)
    return None
