"""What every form and every changing request must bring: the token of its own session."""

from __future__ import annotations

from collections.abc import Mapping

from starlette.requests import Request

from filmsplit.messages import Problem, Refusal
from filmsplit.web.render import bench_of
from filmsplit.web.session import TOKEN_FIELD, TOKEN_HEADER


async def filled(request: Request) -> Mapping[str, str]:
    """The fields of a form as they were filled in; files are left out."""
    return {name: sent for name, sent in (await request.form()).items() if isinstance(sent, str)}


async def ours(request: Request) -> None:
    """Let a changing request pass if its token is that of its session, in a header or in the form; refuse it if not."""
    token = request.headers.get(TOKEN_HEADER)
    if token is None:
        sent = (await request.form()).get(TOKEN_FIELD, "")
        token = sent if isinstance(sent, str) else ""
    if not bench_of(request).sessions.accepts(request, token):
        raise Refusal(Problem("web-token-missing"))
