"""What was sent under a key of the sender's own, so that the same thing sent twice is on record once.

A tablet that hears no answer sends again, with the same key. The key is written in the transaction of what it was sent
with: it is there with it, or neither is.
"""

from __future__ import annotations

import hashlib

import sqlalchemy as sa

from filmsplit.messages import Problem, Refusal
from filmsplit.records.store import Writer
from filmsplit.records.tables import runs, submits

LONGEST_KEY = 64


def recorded_before(writer: Writer, key: str, *, said: str) -> int | None:
    """The run that recorded what was sent under ``key``; ``None`` the first time, and it is then noted.

    What was recorded before leaves no second run. ``said`` is what was sent, in any form that is the same for the same.
    :class:`Refusal` where the key cannot be one, or was used for something else: that one would be lost.
    """
    if not 0 < len(key) <= LONGEST_KEY or not key.isascii() or not key.isprintable():
        raise Refusal(Problem("submit-key-unusable", {"most": LONGEST_KEY}))
    digest = hashlib.sha256(said.encode()).hexdigest()
    query = sa.select(submits.c.run_id, submits.c.digest).where(submits.c.key == key)
    found = writer.connection.execute(query).first()
    if found is None:
        row = sa.insert(submits).values(run_id=writer.run_id, key=key, digest=digest)
        writer.connection.execute(row)
        return None
    if found[1] != digest:
        raise Refusal(Problem("submit-key-used", {"key": key}))
    writer.connection.execute(sa.delete(runs).where(runs.c.id == writer.run_id))  # nothing is written in it
    return int(found[0])
