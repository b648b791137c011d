"""What only the owner may do."""

from __future__ import annotations

from starlette.requests import Request

from filmsplit.messages import Problem, Refusal
from filmsplit.web.shop_mode.people import Role
from filmsplit.web.shop_mode.visitor import visitor_of


def owner_only(request: Request) -> None:
    """Let a request pass that comes from the owner; :class:`Refusal` for everybody else."""
    if visitor_of(request).role is not Role.OWNER:
        raise Refusal(Problem("shop-owner-changes"))
