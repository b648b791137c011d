"""What every form and every changing request must bring: the token of its own session."""

from __future__ import annotations

from collections.abc import AsyncIterator, Mapping

from starlette.datastructures import UploadFile
from starlette.requests import Request

from filmsplit.messages import Problem, Refusal
from filmsplit.web.render import bench_of
from filmsplit.web.session import TOKEN_FIELD, TOKEN_HEADER


async def filled(request: Request) -> Mapping[str, str]:
    """The fields of a form as they were filled in; files are left out, and of a field sent twice the last counts."""
    return {name: sent for name, sent in (await request.form()).items() if isinstance(sent, str)}


async def brought(request: Request) -> tuple[UploadFile, ...]:
    """The files of a form, in its order; a field in which none was chosen brings none."""
    sent = (each for _, each in (await request.form()).multi_items())
    return tuple(each for each in sent if isinstance(each, UploadFile) and (each.filename or each.size))


async def ours(request: Request) -> AsyncIterator[None]:
    """Let a changing request pass if its token is that of its session, in a header or in the form; refuse it if not.

    Whatever files came with it are gone at the end.
    """
    try:
        token = request.headers.get(TOKEN_HEADER)
        if token is None:
            sent = (await request.form()).get(TOKEN_FIELD, "")
            token = sent if isinstance(sent, str) else ""
        if not bench_of(request).sessions.accepts(request, token):
            raise Refusal(Problem("web-token-missing"))
        yield
    finally:
        await request.close()


def from_here(request: Request) -> None:
    """Let a costly page be asked for by a person or a page of ours; refuse it where another site makes a browser ask.

    Browsers say who asks (``Sec-Fetch-Site``, Fetch Metadata); what says nothing is no browser.
    """
    if request.headers.get("sec-fetch-site") == "cross-site":
        raise Refusal(Problem("web-asked-from-elsewhere"))
