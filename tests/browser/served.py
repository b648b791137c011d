"""A workbench that listens on a port of this computer, as a person has it."""

from __future__ import annotations

import contextlib
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import httpx2

from filmsplit.actions.jobs import today
from filmsplit.actions.register import Daybook, register
from filmsplit.actions.shop import Shop, bring_demo_press
from filmsplit.web.serve import listen, server_of

LONGEST_START_S = 30.0


@contextlib.contextmanager
def serving(folder: Path, *, to_shop: bool = False, port: int = 0) -> Iterator[str]:
    """The address of a workbench for the shop in ``folder``, in a thread of this process. Port 0: any that is free."""
    served = listen(Shop(folder), port=port, to_shop=to_shop)
    server = server_of(served)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [served.listening]}, daemon=True)
    thread.start()
    _wait(served.address)
    yield served.address.rstrip("/")
    server.should_exit = True
    thread.join(LONGEST_START_S)
    served.listening.close()


def _wait(address: str) -> None:
    end = time.monotonic() + LONGEST_START_S
    while time.monotonic() < end:
        with contextlib.suppress(httpx2.TransportError):
            httpx2.get(address)
            return
        time.sleep(0.02)
    raise TimeoutError(address)


def fill(folder: Path) -> Path:
    """A shop with one press whose rollers are on the register."""
    kept = bring_demo_press(Shop(folder), "heron")
    register(str(kept.path), book=Daybook(Shop(folder).records, today()))
    return folder
