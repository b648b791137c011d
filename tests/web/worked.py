"""A shop in which work was done, so that every kind of page has something to tell. Everything in it is invented."""

from __future__ import annotations

import re
from pathlib import Path
from urllib.parse import urlencode

from filmsplit.actions.demo_works import works, write_work
from filmsplit.actions.register import register
from filmsplit.web.pages.round_gate import BOXES
from web.served import Visit
from web.test_history import book_of, key_in
from web.test_job_files import bring, set_at

COVERAGE = "20 5 40 10 25 20 5 40 30 15"
TYPED = {"where": "heron/A", "coverage": COVERAGE, "title": "Poster", "saturation": "2", "rate": "1.2"}
SHEET = {"sheet_long": "420", "sheet_wide": "300", "lead": "10"}
ROUND = "/rounds/1"
ACROSS = ("operator", "middle", "gear")


def worked_shop(visit: Visit, made: Path) -> tuple[str, ...]:
    """Fill the shop; the addresses of pages that no other page leads to."""
    for press in ("heron", "bittern"):
        visit.send("/presses/bring", press=press)
        register(str(visit.folder / "presses" / f"{press}.yaml"), book=book_of(visit))
    visit.send("/presses/new", code="wren", name="Wren", like="heron")
    read_round(visit)
    (file,) = write_work(works()["window"], made).files
    to, _ = bring(visit, (file.name, file.read_bytes()), where="heron/A", title="Window")
    of_files = to.partition("?")[2]
    set_at(visit, to)
    typed = urlencode(TYPED)
    log_job(visit, f"/jobs/set?{typed}")
    return (
        *(f"/jobs/{each}?{typed}" for each in ("set", "try")),
        f"/jobs/set?{of_files}",
        f"/jobs/foreseen?{of_files}&{urlencode(SHEET)}&layer=ghost&cures=yes",
        f"/jobs/foreseen?{of_files}&{urlencode(SHEET)}&layer=density",
        "/presses/compare?with=heron&with=bittern&ink=yes",
        "/presses/heron/A/marks?at=10+179.6+349",
        f"{ROUND}/result",
    )


def read_round(visit: Visit) -> None:
    """A round at the Heron: one stripe as it should be, one too wide, one that tapers, warm rollers."""
    visit.send("/rounds", press="heron", unit="A", key=key_in(visit.page("/rounds")))
    boxes = dict.fromkeys(BOXES, "yes")
    key = key_in(visit.page(f"{ROUND}/gate"))
    visit.send(f"{ROUND}/gate", name="Invented Person", temperature="24", key=key, **boxes)
    for contact, widths in (("F1/plate", "6 6 6"), ("F2/plate", "3 4 5"), ("F1/D1", "4 4 4")):
        address = f"{ROUND}/contact/{contact}"
        given = {f"width_{place}": each for place, each in zip(ACROSS, widths.split(), strict=True)}
        visit.send(address, then="on", sure="yes", warmth="24", key=key_in(visit.page(address)), **given)
    visit.page(f"{ROUND}/contact/F1/plate")


def log_job(visit: Visit, address: str) -> None:
    text = visit.page(address)
    fields = dict(re.findall(r'<input type="hidden" name="(?!token)(\w+)" value="([^"]*)"', text))
    visit.send("/jobs/log", **(fields | {"title": "Poster"}))
