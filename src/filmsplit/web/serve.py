"""Start the workbench on this computer, and stop it."""

from __future__ import annotations

import gc
import secrets
import socket
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from filmsplit.actions.shop import Shop
from filmsplit.formats.replace_file import create_file
from filmsplit.messages import Problem, Refusal
from filmsplit.web.network import addresses_here
from filmsplit.web.shop_mode.access import Access

if TYPE_CHECKING:
    import uvicorn

ADDRESS = "127.0.0.1"
EVERYWHERE = "0.0.0.0"
USUAL_PORT = 8650
_SECRET_FILE = ".filmsplit-secret"


@dataclass(frozen=True, slots=True, kw_only=True)
class Served:
    """A workbench about to run: the socket it listens on, and the address to open."""

    shop: Shop
    listening: socket.socket
    access: Access | None = None

    @property
    def port(self) -> int:
        port: int = self.listening.getsockname()[1]
        return port

    @property
    def address(self) -> str:
        return f"http://{ADDRESS}:{self.port}/"

    @property
    def shop_addresses(self) -> tuple[str, ...]:
        """What to type on a tablet; nothing where only this computer is let in."""
        return addresses_here(self.port) if self.access is not None else ()


def listen(shop: Shop, *, port: int = USUAL_PORT, to_shop: bool = False) -> Served:
    """Take a port of this computer, for it only, or with ``to_shop`` for the network it is in.

    Port 0 takes any that is free; :class:`Refusal` if it is taken.
    """
    access = Access(shop.folder) if to_shop else None
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((EVERYWHERE if to_shop else ADDRESS, port))
    except OSError as error:
        listening.close()
        raise Refusal(Problem("web-port-taken", {"port": port, "detail": error.strerror or ""})) from error
    listening.listen(128)
    return Served(shop=shop, listening=listening, access=access)


def run(served: Served) -> None:
    """Serve until stopped."""
    server_of(served).run(sockets=[served.listening])


def server_of(served: Served) -> uvicorn.Server:
    """The server for a workbench, not running yet."""
    gc.disable()  # what is imported stays: looking through it for rubbish again and again takes a tenth of the start
    import uvicorn  # noqa: PLC0415 - only who serves waits for the server

    from filmsplit.web.app import create_app  # noqa: PLC0415 - the same

    gc.freeze()
    gc.enable()
    hosts = frozenset(f"{name}:{served.port}" for name in (ADDRESS, "localhost"))
    app = create_app(served.shop, hosts=hosts, secret=secret_of(served.shop.folder), access=served.access)
    config = uvicorn.Config(app, log_level="warning", access_log=False, server_header=False, lifespan="off", ws="none")
    return uvicorn.Server(config)


def secret_of(folder: Path) -> bytes:
    """The shop's own secret, made once: forms that were open before a restart can still be sent after it."""
    path = folder / _SECRET_FILE
    if not path.exists():
        create_file(path, secrets.token_hex(32))
        path.chmod(0o600)
    return path.read_bytes()
