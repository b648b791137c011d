"""Who a request comes from, and the proof that a form was ours: an id in a cookie, and a token made from it."""

from __future__ import annotations

import hashlib
import hmac
import secrets
from dataclasses import dataclass

from starlette.requests import Request
from starlette.responses import Response

COOKIE = "filmsplit-session"
TOKEN_FIELD = "token"
TOKEN_HEADER = "x-filmsplit-token"
_ID_CHARACTERS = 32


@dataclass(frozen=True, slots=True)
class Sessions:
    """Makes and checks tokens. ``secret`` is the shop's own; whoever does not have it cannot make a token."""

    secret: bytes

    def id_of(self, request: Request) -> str:
        """The id the browser sent, or a new one where it sent none that is ours."""
        sent = request.cookies.get(COOKIE, "")
        return sent if self._is_ours(sent) else self.new_id()

    def new_id(self) -> str:
        """A new id, signed: an id that somebody else made up and put into a browser is none of ours."""
        random = secrets.token_hex(_ID_CHARACTERS // 2)
        return random + self._signature(random)

    def _is_ours(self, sent: str) -> bool:
        random, signature = sent[:_ID_CHARACTERS], sent[_ID_CHARACTERS:]
        return hmac.compare_digest(self._signature(random).encode(), signature.encode())

    def _signature(self, random: str) -> str:
        return hmac.new(self.secret, f"id {random}".encode(), hashlib.sha256).hexdigest()

    def token(self, session_id: str) -> str:
        """What a form of this session must send back."""
        return hmac.new(self.secret, f"token {session_id}".encode(), hashlib.sha256).hexdigest()

    def accepts(self, request: Request, token: str) -> bool:
        """Whether ``token`` is that of the session whose cookie came with the request."""
        sent = request.cookies.get(COOKIE, "")
        return self._is_ours(sent) and hmac.compare_digest(self.token(sent).encode(), token.encode())

    def keep(self, response: Response, session_id: str) -> None:
        """Put the id into the browser, out of reach of scripts and of other sites."""
        response.set_cookie(COOKIE, session_id, httponly=True, samesite="strict", path="/")
