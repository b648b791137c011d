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
        well_formed = len(sent) == _ID_CHARACTERS and all(each in "0123456789abcdef" for each in sent)
        return sent if well_formed else secrets.token_hex(_ID_CHARACTERS // 2)

    def token(self, session_id: str) -> str:
        """What a form of this session must send back."""
        return hmac.new(self.secret, session_id.encode(), hashlib.sha256).hexdigest()

    def accepts(self, request: Request, token: str) -> bool:
        """Whether ``token`` is that of the session whose cookie came with the request."""
        sent = request.cookies.get(COOKIE, "")
        return bool(sent) and hmac.compare_digest(self.token(sent), token)

    def keep(self, response: Response, session_id: str) -> None:
        """Put the id into the browser, out of reach of scripts and of other sites."""
        response.set_cookie(COOKIE, session_id, httponly=True, samesite="strict", path="/")
