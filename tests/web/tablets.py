"""Tablets that record at once against a server of its own, which is killed and started again in between.

For the test and the campaign.
"""

from __future__ import annotations

import random
import re
import socket
import subprocess
import sys
import threading
import time
from collections import Counter
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

import httpx2

from filmsplit.actions.readings import listed
from filmsplit.actions.register import Daybook, register
from filmsplit.actions.shop import Shop, bring_demo_press
from filmsplit.web.network import addresses_here
from filmsplit.web.session import TOKEN_HEADER
from filmsplit.web.shop_mode.access import Access
from filmsplit.web.shop_mode.people import Role

ROLLER = "heron-F1"
LONGEST_S = 60.0
"""A tablet that gets no answer for so long gives up, and the reading counts as lost."""


@dataclass(slots=True)
class Tally:
    """What the tablets were told (``confirmed`` by key) and how long each answer took, the retries apart."""

    confirmed: set[str] = field(default_factory=set)
    given_up: int = 0
    repeated: int = 0
    seconds: list[float] = field(default_factory=list)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def p95_s(self) -> float:
        return sorted(self.seconds)[int(0.95 * len(self.seconds))]


@dataclass(slots=True)
class Workbench:
    """`filmsplit serve --shop` in a process of its own, on one port through all its lives."""

    folder: Path
    port: int
    process: subprocess.Popen[str] | None = None

    def start(self) -> None:
        command = [sys.executable, "-m", "filmsplit", "serve", str(self.folder), "--port", str(self.port)]
        command += ["--no-browser", "--shop"]
        self.process = subprocess.Popen(command, stdout=subprocess.DEVNULL)
        end = time.monotonic() + LONGEST_S
        while time.monotonic() < end:
            try:
                httpx2.get(f"http://127.0.0.1:{self.port}/pair")
            except httpx2.TransportError:
                time.sleep(0.05)
            else:
                return
        raise TimeoutError(self.port)

    def kill(self) -> None:
        """At once, as when the plug is pulled."""
        assert self.process is not None
        self.process.kill()
        self.process.wait()


def prepared(folder: Path, tablets: int) -> list[str]:
    """A shop with a press on the register and a name for each tablet; the codes to pair them."""
    kept = bring_demo_press(Shop(folder), "heron")
    register(str(kept.path), book=Daybook(Shop(folder).records, date.today()))
    access = Access(folder)
    for number in range(tablets):
        access.add(f"Person {number}", Role.OPERATOR)
    return [access.code() for _ in range(tablets)]


def free_port() -> int:
    with socket.socket() as asking:
        asking.bind(("127.0.0.1", 0))
        port: int = asking.getsockname()[1]
        return port


@dataclass(slots=True)
class Tablet:
    """One tablet: paired, with somebody at it, recording again and again under keys of its own."""

    number: int
    address: str
    code: str
    tally: Tally
    pause_s: float

    def record_until(self, end_s: float) -> None:
        chance = random.Random(self.number)
        with httpx2.Client(base_url=self.address, headers={"origin": self.address}, timeout=LONGEST_S) as client:
            token = self._come_in(client)
            turn = 0
            while time.monotonic() < end_s:
                self._record(client, token, key=f"tablet-{self.number}-{turn}")
                turn += 1
                time.sleep(chance.uniform(0.5, 1.5) * self.pause_s)

    def _come_in(self, client: httpx2.Client) -> str:
        client.post("/pair", data={"token": self._token(client, "/pair"), "code": self.code})
        client.post("/who", data={"token": self._token(client, "/who"), "name": f"Person {self.number}"})
        return self._token(client, "/look")

    def _token(self, client: httpx2.Client, page: str) -> str:
        found = re.search(r'name="token" value="(\w+)"', client.get(page).text)
        assert found is not None, page
        return found[1]

    def _record(self, client: httpx2.Client, token: str, *, key: str) -> None:
        """Send a reading until there is an answer, each time under the same key."""
        reading = {"kind": "hardness", "at": {"roller": ROLLER}, "values": [27.0], "remarks": key}
        headers = {TOKEN_HEADER: token, "Idempotency-Key": key}
        end, sent = time.monotonic() + LONGEST_S, 0
        while time.monotonic() < end:
            began, sent = time.monotonic(), sent + 1
            try:
                answer = client.post("/api/readings", json={"readings": [reading]}, headers=headers)
            except httpx2.TransportError:
                time.sleep(0.2)
                continue
            if answer.status_code == 200:
                with self.tally.lock:
                    self.tally.confirmed.add(key)
                    self.tally.seconds.append(time.monotonic() - began)
                    self.tally.repeated += sent > 1
                return
            time.sleep(0.2)
        with self.tally.lock:
            self.tally.given_up += 1


def at_once(folder: Path, *, tablets: int, lasting_s: float, pause_s: float, kills: int) -> Tally:
    """Let the tablets record, and kill the server and start it again ``kills`` times, evenly spread."""
    codes, bench, tally = prepared(folder, tablets), Workbench(folder, free_port()), Tally()
    bench.start()
    found = addresses_here(bench.port)
    assert found, "this computer is in no network: a tablet could not find it"
    end_s = time.monotonic() + lasting_s
    crew = [Tablet(number, found[0].rstrip("/"), code, tally, pause_s) for number, code in enumerate(codes)]
    threads = [threading.Thread(target=each.record_until, args=(end_s,)) for each in crew]
    for each in threads:
        each.start()
    for _ in range(kills):
        time.sleep(lasting_s / (kills + 1))
        bench.kill()
        bench.start()
    for each in threads:
        each.join()
    bench.kill()
    return tally


def on_record(folder: Path) -> Counter[str]:
    """How often each key is among the readings that count."""
    book = Daybook(Shop(folder).records, date.today())
    return Counter(each.remarks for each in listed("", book=book, kinds=["hardness"]).entries)
