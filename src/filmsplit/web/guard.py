"""What every request passes before it reaches a page: the right host, the right origin, a bounded body; and the
headers that every answer carries."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from filmsplit.messages import Problem

UNSAFE = frozenset({"POST", "PUT", "PATCH", "DELETE"})
MOST_BODY_BYTES = 512 * 1024 * 1024
"""A plate file may be large; anything larger is no upload from a browser."""
MOST_WORDS_BYTES = 2 * 1024 * 1024
"""What a form without a file, or JSON, may hold: far more than anybody types."""

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
OPENER = ("cross-origin-opener-policy", "same-origin")
"""A browser takes it from this computer or over TLS, and complains of it from anywhere else."""
HEADERS = {
    "content-security-policy": CONTENT_POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(self), geolocation=(), microphone=(), payment=(), usb=()",
}


@dataclass(frozen=True, slots=True)
class Guard:
    """Lets a request in only if it was meant for this server, and if it changes anything, came from its own pages.

    ``hosts`` are the values of ``Host`` that are ours; with ``own_address`` the address that the connection came to is
    one too. A name that another site points at this computer is none of them, so such a site cannot read a page (DNS
    rebinding). An unsafe request without an ``Origin`` comes from no browser; the token is then all it can show, and
    the route asks for that anyway.
    """

    app: ASGIApp
    hosts: frozenset[str]
    own_address: bool = False

    def _ours(self, host: str, scope: Scope) -> bool:
        """Whether a host is one of ours: a name that was given, or the very address that the connection came to."""
        here = scope.get("server")
        return host in self.hosts or (self.own_address and here is not None and host == f"{here[0]}:{here[1]}")

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        refused = self._refused(scope)
        if refused is not None:
            status, problem = refused
            await PlainTextResponse(f"{problem.what}\n{problem.remedy}\n", status)(scope, receive, _headed(send, scope))
            return
        await self.app(scope, _bounded(receive, most_bytes(Headers(scope=scope))), _headed(send, scope))

    def _refused(self, scope: Scope) -> tuple[int, Problem] | None:
        headers = Headers(scope=scope)
        host = headers.get("host", "")
        if not self._ours(host.lower(), scope):
            return 421, Problem("web-host-unknown", {"host": host[:80]})
        if scope["method"] in UNSAFE:
            origin = headers.get("origin")
            if origin is not None and urlsplit(origin).netloc.lower() != host.lower():
                return 403, Problem("web-origin-foreign", {"origin": origin[:80]})
            length, most = headers.get("content-length", "0"), most_bytes(headers)
            if not (length.isascii() and length.isdecimal()) or int(length) > most:
                return 413, Problem("web-body-large", {"most_mb": most // 1024**2})
        return None


def _headed(send: Send, scope: Scope) -> Send:
    here = Headers(scope=scope).get("host", "").rpartition(":")[0] in ("127.0.0.1", "localhost")
    said = HEADERS | dict([OPENER] if here else [])

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in said.items():
                headers.setdefault(name, value)
            headers.setdefault("cache-control", "no-store")
        await send(message)

    return sending


def most_bytes(headers: Headers) -> int:
    """Only a form with a file in it may be large."""
    return MOST_BODY_BYTES if headers.get("content-type", "").startswith("multipart/") else MOST_WORDS_BYTES


def _bounded(receive: Receive, most: int) -> Receive:
    seen = 0

    async def receiving() -> Message:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        if seen > most:
            raise HTTPException(413)  # more came than was allowed, whatever the head said
        return message

    return receiving
