"""Codes that lead from a sheet of paper back to a record: short, without letters that look like figures, checked."""

from __future__ import annotations

import secrets

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Crockford's base 32: no I, L, O or U."""

_LOOK_ALIKE = str.maketrans({"I": "1", "L": "1", "O": "0"})
_PRIME = 31
"""The check is a weighted sum modulo a prime: every single wrong sign and every swap of neighbours is found."""

_LENGTH = 7


def new_code() -> str:
    """A fresh code such as ``K7Q2-M9X4``."""
    return _with_check("".join(secrets.choice(ALPHABET[:_PRIME]) for _ in range(_LENGTH)))


def read_code(text: str) -> str | None:
    """The code meant by what somebody typed; ``None`` where its check does not fit."""
    plain = text.upper().translate(_LOOK_ALIKE).replace("-", "").replace(" ", "")
    if len(plain) != _LENGTH + 1 or any(sign not in ALPHABET[:_PRIME] for sign in plain):
        return None
    made = _with_check(plain[:_LENGTH])
    return made if made.replace("-", "") == plain else None


def _with_check(body: str) -> str:
    check = sum(place * ALPHABET.index(sign) for place, sign in enumerate(body, start=1)) % _PRIME
    whole = body + ALPHABET[check]
    return f"{whole[:4]}-{whole[4:]}"
