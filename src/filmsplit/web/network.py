"""Under which addresses this computer is found in the shop's network."""

from __future__ import annotations

import contextlib
import socket

_NOWHERE = ("192.0.2.1", 9)
"""An address that is nobody's (RFC 5737, for documentation): asking for the way to it sends nothing."""


def addresses_here(port: int) -> tuple[str, ...]:
    """What to type on a tablet. Empty where this computer is in no network."""
    found = set()
    with contextlib.suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        asking.connect(_NOWHERE)
        found.add(str(asking.getsockname()[0]))
    with contextlib.suppress(OSError):
        found.update(str(each[4][0]) for each in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET))
    return tuple(f"http://{each}:{port}/" for each in sorted(found) if not each.startswith(("127.", "0.")))
