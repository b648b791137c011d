"""Who a request comes from."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.requests import Request
from starlette.types import Scope

from filmsplit.web.shop_mode.people import Role

_KEY = "visitor"


@dataclass(frozen=True, slots=True, kw_only=True)
class Visitor:
    """A person at a device. ``name`` is empty where nobody had to say: on the owner's own computer."""

    name: str = ""
    role: Role = Role.OWNER
    tablet: int | None = None


HERE = Visitor()
"""Whoever sits at the computer that the workbench runs on."""


def let_in(scope: Scope, visitor: Visitor) -> None:
    """Write on the request who it comes from."""
    scope.setdefault("state", {})[_KEY] = visitor


def visitor_of(request: Request) -> Visitor:
    """Who the request comes from."""
    found = request.scope.get("state", {}).get(_KEY, HERE)
    return found if isinstance(found, Visitor) else HERE


def person_of(request: Request, told: str) -> str:
    """Who puts something on record: whoever chose a name on the tablet, else the name that was told."""
    return visitor_of(request).name or told
