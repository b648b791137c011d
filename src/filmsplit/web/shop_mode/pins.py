"""PINs and codes: how they are kept, and how long somebody waits who got one wrong.

scrypt with the parameters that OWASP's cheat sheet on storing passwords gives for it (N = 2^14, r = 8, p = 5; memory).
"""

from __future__ import annotations

import hashlib
import hmac
import secrets

from filmsplit.web.shop_mode.people import Tries

_N, _R, _P = 2**14, 8, 5
LEAST_DIGITS, MOST_DIGITS = 4, 12
LETTERS = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
"""Of codes: none that is taken for another on paper."""
CODE_LETTERS = 8
"""31^8: with the waits below, nobody tries them through in a lifetime."""
FREE_TRIES = 3
FIRST_WAIT_S, LONGEST_WAIT_S = 2.0, 900.0


def pin_hash(pin: str) -> str:
    """What is kept of a PIN."""
    salt = secrets.token_bytes(16)
    return f"{salt.hex()}:{_scrypt(pin, salt).hex()}"


def is_pin(pin: str, kept: str) -> bool:
    """Whether a PIN is the one that was kept."""
    salt, _, made = kept.partition(":")
    return hmac.compare_digest(_scrypt(pin, bytes.fromhex(salt)).hex(), made)


def new_code() -> str:
    """A pairing code as it is printed, in two halves."""
    letters = "".join(secrets.choice(LETTERS) for _ in range(CODE_LETTERS))
    return f"{letters[: CODE_LETTERS // 2]}-{letters[CODE_LETTERS // 2 :]}"


def digest(secret: str) -> str:
    """What is kept of a code or of a tablet's secret. Both are random, so no slow hash is needed."""
    return hashlib.sha256(secret.encode()).hexdigest()


def code_digest(typed: str) -> str:
    """That of a code as somebody typed it: small letters, spaces and hyphens do not matter."""
    return digest("".join(letter for letter in typed.upper() if letter in LETTERS))


def after_wrong(tries: Tries, *, now_s: float) -> Tries:
    """One more wrong try: the first few are free, then each wait is twice the one before."""
    wrong = tries.wrong + 1
    over = wrong - FREE_TRIES
    wait_s = 0.0 if over < 0 else min(FIRST_WAIT_S * 2.0 ** min(over, 32), LONGEST_WAIT_S)
    return Tries(wrong=wrong, until_s=now_s + wait_s)


def _scrypt(pin: str, salt: bytes) -> bytes:
    return hashlib.scrypt(pin.encode(), salt=salt, n=_N, r=_R, p=_P, dklen=32)
