"""A workshop as it looks after some weeks of use, with a round running and another at its end.

Everything is invented: readings, widths, densities, people.
"""

from __future__ import annotations

import re
from datetime import timedelta
from html import unescape
from pathlib import Path
from urllib.parse import urlencode

from filmsplit.actions.jobs import today
from filmsplit.actions.readings import Told, record
from filmsplit.actions.register import Daybook
from filmsplit.actions.shop import Shop
from filmsplit.web.pages.round_gate import BOXES
from web.served import Visit

PRESSES = ("heron", "dipper")
"""One that is read and worked with, and one of three units about which much is unknown."""
COVERAGE = "20 5 40 10 25 20 5 40 30 15"
READ = {"F1/plate": ("3.5", "3.6", "3.4"), "F2/plate": ("1.5", "3.0", "5.0"), "F1/D1": ("4.5", "4.6", "4.4")}
"""Widths in mm of three contacts of the Heron: as wanted, askew, too wide."""


def lived_in(folder: Path) -> list[str]:
    """Fill the shop in ``folder``; the addresses that only its state leads to."""
    visit = Visit(folder)
    for press in PRESSES:
        visit.send("/presses/bring", press=press)
        visit.send(f"/presses/{press}/register")
    _aged(folder)
    for number in (1, 2):
        _round(visit, number)
    visit.send("/rounds/1/end", key="end-of-first")
    job = f"/jobs/set?{urlencode({'where': 'heron/A', 'coverage': COVERAGE, 'title': 'Poster'})}"
    logged = _logged(visit, visit.page(job))
    (folder / "presses" / "broken.yaml").write_text("press: [", encoding="utf-8")
    return [
        job,
        job.replace("/set?", "/try?"),
        job.replace("/set?", "/foreseen?"),
        logged,
        "/rounds/1/result",
        "/rounds/2",
        "/rounds/2/gate",
        "/rounds/2/contact/F1/plate",
        "/rounds/2/contact/R2/F2",
        "/rounds/2/contact/F1/plate/picture",
        "/presses/broken",
        "/history?kind=stripe",
        "/rollers?on=dipper",
    ]


def _aged(folder: Path) -> None:
    """One roller that hardened through two years by 14 points a year, as a worn cover does."""
    for number in range(7):
        on = today() - timedelta(days=700 - 100 * number)
        hardness = round(25 + 14 * 100 * number / 365, 1)
        told = Told(where="heron-F1", kind="hardness", values=(hardness,) * 3, temperature_c=23.0)
        record([told], book=Daybook(Shop(folder).records, on))


def _round(visit: Visit, number: int) -> None:
    visit.send("/rounds", press="heron", unit="A", key=_key(visit.page("/rounds")))
    gate, boxes = f"/rounds/{number}/gate", dict.fromkeys(BOXES, "yes")
    visit.send(gate, name="Invented Person", key=_key(visit.page(gate)), **boxes)
    for contact, widths in READ.items():
        address = f"/rounds/{number}/contact/{contact}"
        given = dict(zip(("width_operator", "width_middle", "width_gear"), widths, strict=True))
        visit.send(address, key=_key(visit.page(address)), then="on", sure="yes", **given)


def _logged(visit: Visit, page: str) -> str:
    carried = re.findall(r'<input type="hidden" name="(?!token)(\w+)" value="([^"]*)"', page)
    told = {name: unescape(value) for name, value in carried}
    answer = visit.client.post("/jobs/log", data={"token": visit.token(), **told, "title": "Poster", "as_set": "yes"})
    assert answer.status_code == 200, answer.text
    return answer.url.path


def _key(text: str) -> str:
    found = re.search(r'name="key" value="(\w+)"', text)
    assert found is not None, text
    return found[1]
