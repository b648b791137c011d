"""What every request passes before it reaches a page: the right host, the right origin, a bounded body; and the
headers that every answer carries."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from filmsplit.messages import Problem

UNSAFE = frozenset({"POST", "PUT", "PATCH", "DELETE"})
MOST_BODY_BYTES = 512 * 1024 * 1024
"""A plate file may be large; anything larger is no upload from a browser."""

CONTENT_POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data: blob:",
        "connect-src 'self'",
        "form-action 'self'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
        "manifest-src 'self'",
    )
)
HEADERS = {
    "content-security-policy": CONTENT_POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(self), geolocation=(), microphone=(), payment=(), usb=()",
}


@dataclass(frozen=True, slots=True)
class Guard:
    """Lets a request in only if it was meant for this server, and if it changes anything, came from its own pages.

    ``hosts`` are the values of ``Host`` that are ours. A name that another site points at this computer is none of
    them, so such a site cannot read a page (DNS rebinding). An unsafe request without an ``Origin`` comes from no
    browser; the token is then all it can show, and the route asks for that anyway.
    """

    app: ASGIApp
    hosts: frozenset[str]

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        refused = self._refused(scope)
        if refused is not None:
            status, problem = refused
            await PlainTextResponse(f"{problem.what}\n{problem.remedy}\n", status)(scope, receive, _headed(send))
            return
        await self.app(scope, _bounded(receive), _headed(send))

    def _refused(self, scope: Scope) -> tuple[int, Problem] | None:
        headers = Headers(scope=scope)
        host = headers.get("host", "")
        if host.lower() not in self.hosts:
            return 421, Problem("web-host-unknown", {"host": host[:80]})
        if scope["method"] in UNSAFE:
            origin = headers.get("origin")
            if origin is not None and urlsplit(origin).netloc.lower() != host.lower():
                return 403, Problem("web-origin-foreign", {"origin": origin[:80]})
            length = headers.get("content-length", "0")
            if not length.isdecimal() or int(length) > MOST_BODY_BYTES:
                return 413, Problem("web-body-large", {"most_mb": MOST_BODY_BYTES // 1024**2})
        return None


def _headed(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
            headers.setdefault("cache-control", "no-store")
        await send(message)

    return sending


class BodyTooLarge(Exception):
    """More came than was allowed, whatever the head of the request said."""


def _bounded(receive: Receive) -> Receive:
    seen = 0

    async def receiving() -> Message:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        if seen > MOST_BODY_BYTES:
            raise BodyTooLarge
        return message

    return receiving
