"""Files of work brought to a page: kept once, told, set as the command line sets them; and files that do harm.

Shares are those the files were made with; keys must be those of the action on the same file.
"""

from __future__ import annotations

import html
import io
import re
import struct
import time
import zipfile
import zlib
from html import unescape
from multiprocessing import active_children
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from filmsplit.actions.demo_works import works, write_work
from filmsplit.actions.job_asked import JobAsked
from filmsplit.actions.kept_work import FOLDER, kept_works
from filmsplit.actions.setup import set_job
from filmsplit.actions.shop import Shop
from filmsplit.actions.work import WorkAsked
from filmsplit.messages import label
from filmsplit.records.store import Store
from filmsplit.reports.typeset import Paper
from formats.made_ppf import job, picture
from formats.made_tickets import jdf
from formats.made_tiff import Page, tiff
from formats.pdf.raw_pdf import document, stream
from reports.pages import pages
from web.served import Visit

DOTS = 1016
"""Rows and columns of a square of 101.6 mm at 254 dpi."""


@pytest.fixture
def shop(visit: Visit) -> Visit:
    visit.send("/presses/bring", press="heron")
    return visit


def picture_of(share: float) -> bytes:
    """A grey square with ink on its first rows: ``share`` of it, exactly."""
    dots = np.full((DOTS, DOTS), 255, dtype=np.uint8)
    dots[: round(share * DOTS)] = 0
    held = io.BytesIO()
    Image.fromarray(dots).save(held, "PNG", dpi=(254, 254))
    return held.getvalue()


def bring(visit: Visit, *files: tuple[str, bytes], status: int = 303, **sent: str) -> tuple[str, str]:
    """Where the page leads, and its text."""
    answer = visit.client.post(
        "/jobs/files",
        data={"token": visit.token(), **sent},
        files=[("files", each) for each in files],
        follow_redirects=False,
    )
    assert answer.status_code == status, answer.text
    return answer.headers.get("location", ""), answer.text


def set_at(visit: Visit, address: str, *, status: int = 200) -> str:
    """The page of a job of files."""
    address = address.replace("/jobs?", "/jobs/set?")
    return visit.page(address, status=status)


def called_off(visit: Visit, page: str) -> str:
    """The page that cancelling on a page on which somebody waits leads to."""
    found = re.findall(r'<input type="hidden" name="(ticket|back)" value="([^"]*)"', page)
    return visit.send("/waiting/cancel", **{name: html.unescape(value) for name, value in found})


def stored(visit: Visit) -> list[str]:
    return sorted(path.name for path in (visit.folder / FOLDER).glob("*"))


def test_a_picture_is_kept_once_and_told(shop: Visit) -> None:
    to, _ = bring(shop, ("poster.png", picture_of(0.25)), title="Poster", where="heron/A")
    again, _ = bring(shop, ("other name.png", picture_of(0.25)), title="Poster", where="heron/A")
    assert to == again
    (kept,) = kept_works(Shop(shop.folder))
    assert kept.name == "poster.png"
    assert kept.seen.inks[0].share == pytest.approx(0.25, abs=0.0006)  # a row of dots more or less
    assert kept.seen.size_mm == pytest.approx((101.6, 101.6), abs=0.05)
    assert stored(shop) == [f"{kept.code}.json", f"{kept.code}.png"]
    text = shop.page(to)
    assert "poster.png" in text
    assert "25.0 %" in text
    assert f'name="work" value="{kept.code}"' in text
    assert 'id="coverage"' not in text


def test_the_poster_comes_to_the_keys_of_the_action(shop: Visit, tmp_path: Path) -> None:
    (file,) = write_work(works()["window"], tmp_path / "made").files
    to, _ = bring(shop, (file.name, file.read_bytes()), where="heron/A", title="Poster")
    place = {"sheet_long": "420", "sheet_wide": "300", "lead": "10"}
    text = set_at(shop, to + "".join(f"&{n}={v}" for n, v in place.items()))
    found = set_job(
        str(shop.folder / "presses" / "heron.yaml"),
        WorkAsked(what=(str(file),), sheet_mm=(420.0, 300.0), lead_mm=10.0),
        JobAsked(title="Poster", unit="A"),
        records=shop.folder / "filmsplit.records",
    )
    hidden = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', text))
    assert hidden["set_keys"] == " ".join(f"{key.reading:.4g}" for key in found.answer.units[0].keys)
    assert str(shop.folder) not in text


def test_two_files_are_two_inks_named_after_the_files(shop: Visit) -> None:
    to, _ = bring(shop, ("red.png", picture_of(0.1)), ("black.png", picture_of(0.4)), where="heron/A")
    assert to.count("work=") == 2
    assert re.findall(r'<h2 id="ink-\d">([^·<]+?) ', set_at(shop, to)) == ["red", "black"]
    logs = set()
    for number in ("1", "2"):
        text = set_at(shop, f"{to}&of={number}")
        fields = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', text))
        logs.add((fields["ink"], fields["where"], fields["percents"]))
    assert {each[0] for each in logs} == {"red", "black"}
    assert {each[1] for each in logs} == {"heron/A"}
    assert len({each[2] for each in logs}) == 2
    papers = re.findall(r'href="(/jobs/set/(?:sheet|keys)\.pdf[^"]+)"', text)
    assert len(papers) == 4
    for paper in papers:
        assert shop.awaited(paper.replace("&amp;", "&")).content.startswith(b"%PDF-")


@pytest.mark.parametrize("paper", list(Paper))
def test_the_sheets_of_all_inks_come_in_one_paper(shop: Visit, paper: Paper) -> None:
    to, _ = bring(shop, ("red.png", picture_of(0.1)), ("black.png", picture_of(0.4)), where="heron/A")
    text = set_at(shop, to)
    (link,) = [
        each for each in re.findall(r'href="(/jobs/set/sheets.pdf[^"]+)"', text) if f"paper={paper.value}" in each
    ]
    made = pages(shop.client.get(unescape(link)).content)
    assert made[0].size_mm == pytest.approx(paper.size_mm, abs=0.05)
    cover = " ".join(made[0].text.split())
    assert cover.index("red") < cover.index("black")
    begin = [number for number, page in enumerate(made) if label("setup_sheet.gate") in page.text]
    assert len(begin) == 2
    assert re.findall(r"page (\d+)(?! /)\b", cover, re.I)[:2] == [str(number + 1) for number in begin]
    shop.page(unescape(link).replace(f"paper={paper.value}", "paper=a3"), status=422)


def test_turned_by_half_the_zones_change_places(shop: Visit) -> None:
    dots = np.full((DOTS, DOTS), 255, dtype=np.uint8)
    dots[:, : DOTS // 2] = 0
    held = io.BytesIO()
    Image.fromarray(dots).save(held, "PNG", dpi=(254, 254))
    to, _ = bring(shop, ("half.png", held.getvalue()), where="heron/A")
    percents = [
        re.search(r'name="percents" value="([^"]*)"', set_at(shop, to + more)) for more in ("", "&turn=180", "&turn=0")
    ]
    straight, turned, same = ([float(each) for each in found[1].split()] for found in percents if found)
    assert max(straight) > 0
    assert turned == pytest.approx(straight[::-1], abs=0.2)
    assert same == straight


def test_tickets_previews_and_plates_are_taken(shop: Visit) -> None:
    zones = 8
    plate = tiff(Page((np.indices((400, 400)).sum(0) % 2).astype(np.uint8)))
    preview = job(picture(np.full((100, 100, 1), 64, dtype=np.uint8)))
    for name, data in (("t.jdf", jdf([0.2] * zones)), ("p.tif", plate), ("p.ppf", preview)):
        bring(shop, (name, data), where="heron/A")
    assert {each.rpartition(".")[2] for each in stored(shop)} == {"json", "xml", "tif", "ppf"}
    assert {each.name for each in kept_works(Shop(shop.folder))} == {"t.jdf", "p.tif", "p.ppf"}


def bomb() -> bytes:
    """A picture of 60 000 by 60 000 dots in a few kilobytes."""

    def piece(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 0, 0, 0, 0)
    ticks = piece(b"pHYs", struct.pack(">IIB", 10_000, 10_000, 1))
    packed = zlib.compress(b"\0" * 10_000_000, 9)
    return b"\x89PNG\r\n\x1a\n" + piece(b"IHDR", head) + ticks + piece(b"IDAT", packed) + piece(b"IEND", b"")


def zipped() -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as file:
        file.writestr("plate.tif", b"II*\0")
    return held.getvalue()


HOSTILE = {
    "empty": b"",
    "of no kind": b"MZ" + bytes(2000),
    "an archive": zipped(),
    "a page of the web": b"<!doctype html><html><script>alert(1)</script></html>",
    "entities that swell": b'<!DOCTYPE x [<!ENTITY a "aaaa">]><JDF>&a;</JDF>',
    "a picture cut off": picture_of(0.5)[:900],
    "a plate cut off": tiff(Page((np.indices((400, 400)).sum(0) % 2).astype(np.uint8)))[:-900],
    "a bomb": bomb(),
    "only the head of a PDF": b"%PDF-1.7\n",
    "only the head of a preview": b"%!PS-Adobe-3.0\n%%CIP3-File Version 2.1\n",
}


@pytest.mark.parametrize("data", HOSTILE.values(), ids=HOSTILE)
def test_what_is_no_work_is_said_and_nothing_is_kept(shop: Visit, data: bytes) -> None:
    _, text = bring(shop, ("evil.png", data), status=422, where="heron/A", title="kept so")
    assert 'class="problem refused"' in text
    assert "evil.png" in text
    assert 'value="kept so"' in text
    assert str(shop.folder) not in text
    assert stored(shop) == []


@pytest.mark.parametrize(
    "name",
    [
        "../../etc/passwd.png",
        "C:\\temp\\..\\x.png",
        "<img src=x onerror=alert(2)>.png",
        "a" * 500 + ".png",
        "\u202e.png",
    ],
)
def test_a_name_is_text_and_never_a_path(shop: Visit, name: str) -> None:
    to, _ = bring(shop, (name, picture_of(0.1)), where="heron/A")
    (kept,) = kept_works(Shop(shop.folder))
    assert re.fullmatch(r"[0-9a-f]{16}", kept.code)
    assert "/" not in kept.name
    assert "\\" not in kept.name
    assert len(kept.name) <= 120
    assert sorted(path.name for path in shop.folder.iterdir()) == ["presses", FOLDER]
    assert "<img src=x" not in shop.page(to) + shop.page("/jobs/files")


@pytest.mark.parametrize("code", ["0" * 16, "../presses/heron", "*", "..%2f", "heron.yaml"])
def test_a_code_is_looked_up(shop: Visit, code: str) -> None:
    answer = shop.client.get("/jobs/set", params={"where": "heron/A", "work": code})
    assert answer.status_code == 422
    assert 'class="problem refused"' in answer.text
    shop.send("/jobs/files/delete", code=code)
    assert (shop.folder / "presses" / "heron.yaml").exists()


def test_one_bad_file_does_not_lose_the_good_one(shop: Visit) -> None:
    _, text = bring(shop, ("good.png", picture_of(0.1)), ("bad.png", b"no"), status=422, where="heron/A")
    (kept,) = kept_works(Shop(shop.folder))
    assert f'name="work" value="{kept.code}"' in text
    assert "bad.png" in text


def test_a_picture_without_resolution_asks_for_it(shop: Visit) -> None:
    held = io.BytesIO()
    Image.fromarray(np.zeros((500, 500), dtype=np.uint8)).save(held, "PNG")
    to, _ = bring(shop, ("plain.png", held.getvalue()), where="heron/A")
    assert 'id="dpi"' in shop.page(to)
    assert "plain.png" in set_at(shop, to, status=422)
    set_at(shop, to + "&dpi=200")
    for wrong in ("0", "-5", "1e9", "99999999"):
        set_at(shop, to + f"&dpi={wrong}", status=422)


def test_a_file_is_deleted_and_its_code_then_unknown(shop: Visit) -> None:
    bring(shop, ("poster.png", picture_of(0.25)))
    (kept,) = kept_works(Shop(shop.folder))
    assert "poster.png" in shop.page("/jobs/files")
    text = shop.send("/jobs/files/delete", code=kept.code)
    assert label("web_works.none_kept") in text
    assert stored(shop) == []
    shop.page(f"/jobs?work={kept.code}")


def test_without_a_token_nothing_is_kept(shop: Visit) -> None:
    answer = shop.client.post("/jobs/files", files=[("files", ("a.png", picture_of(0.1)))])
    assert answer.status_code == 403
    assert stored(shop) == []
    assert bring(shop, status=422)[1].count('class="problem refused"') == 1


def test_while_a_job_is_set_the_page_says_what_is_done_and_a_reload_is_immediate(shop: Visit) -> None:
    to, _ = bring(shop, ("a.png", picture_of(0.3)), where="heron/A")
    first = shop.client.get(to.replace("/jobs?", "/jobs/set?")).text
    said = set()
    stage = re.search(r'data-stage="([^"]+)"', first)
    assert stage is not None
    until = time.monotonic() + 60
    while not (told := shop.client.get(stage[1].replace("&amp;", "&")).json())["over"]:
        said.add(told["words"])
        assert time.monotonic() < until
        time.sleep(0.02)
    assert label("setup_stage.read") in said
    assert len(said) > 2
    begun = time.monotonic()
    set_at(shop, to)
    set_at(shop, to + "&of=1")
    assert time.monotonic() - begun < 2


def test_a_job_called_off_is_gone_with_its_process(shop: Visit) -> None:
    to, _ = bring(shop, ("a.png", picture_of(0.3)), where="heron/A", title="Off")
    page = shop.client.get(to.replace("/jobs?", "/jobs/set?")).text
    assert "data-stage" in page
    until = time.monotonic() + 20
    while not active_children() and time.monotonic() < until:
        time.sleep(0.02)
    assert active_children()
    text = called_off(shop, page)
    assert 'value="Off"' in text
    while active_children() and time.monotonic() < until:
        time.sleep(0.02)
    assert active_children() == []


def test_two_are_set_at_once_and_the_third_says_that_it_waits(shop: Visit) -> None:
    to, _ = bring(shop, ("a.png", picture_of(0.3)), where="heron/A")
    pages = [shop.client.get(f"{to.replace('/jobs?', '/jobs/set?')}&title={each}").text for each in "abc"]
    assert all("data-stage" in each for each in pages)
    time.sleep(0.3)
    third = re.search(r'data-stage="([^"]+)"', pages[2])
    assert third is not None
    assert shop.client.get(third[1].replace("&amp;", "&")).json()["words"] == label("web_wait.turn")
    assert len(active_children()) == 2
    for each in "abc":
        assert f'value="{each}"' in set_at(shop, f"{to}&title={each}")


def test_another_site_cannot_keep_the_computer_busy(shop: Visit) -> None:
    to, _ = bring(shop, ("a.png", picture_of(0.3)), where="heron/A")
    address = to.replace("/jobs?", "/jobs/set?")
    for path in (address, address.replace("/set?", "/set/sheet.pdf?"), address.replace("/set?", "/set/keys.pdf?")):
        assert shop.client.get(path, headers={"sec-fetch-site": "cross-site"}).status_code == 403
    assert active_children() == []


def test_looking_at_the_records_does_not_set_a_job_anew(shop: Visit) -> None:
    """Readers of a database with a write-ahead log lay an empty file beside it (SQLite, "Write-Ahead Logging")."""
    shop.send("/presses/heron/register")
    to, _ = bring(shop, ("a.png", picture_of(0.3)), where="heron/A")
    set_at(shop, to)
    store = Store.at(shop.folder / "filmsplit.records")
    with store.read():
        assert "data-stage" not in shop.client.get(to.replace("/jobs?", "/jobs/set?")).text
    store.close()
    (shop.folder / "presses" / "heron.yaml").touch()
    assert "data-stage" in shop.client.get(to.replace("/jobs?", "/jobs/set?")).text


def test_of_a_pdf_of_two_pages_one_is_chosen(shop: Visit) -> None:
    """Two strips on a page of 320 by 100 mm: their share of the zones they lie in, worked out by hand."""
    mm = 72 / 25.4
    box = b"/MediaBox [0 0 %.4f %.4f]" % (320 * mm, 100 * mm)
    leaf = b"<< /Type /Page /Parent 2 0 R /Contents %d 0 R /Resources << >> " + box + b" >>"
    tree = b"<< /Type /Pages /Kids [3 0 R 5 0 R] /Count 2 >>"
    strips = b"%.6f 0 0 %.6f 0 0 cm 1 0 0 0.4 k 25 0 3 100 re 155 0 10 100 re f" % (mm, mm)
    both = {1: b"<< /Type /Catalog /Pages 2 0 R >>", 2: tree, 3: leaf % 4, 5: leaf % 6}
    data = document({**both, 4: stream(b""), 6: stream(strips)})
    to, _ = bring(shop, ("two.pdf", data), where="heron/A")
    text = shop.page(to)
    assert label("web_works.pages", count=2) in text
    assert re.findall(r'<option value="(\d)"', text)[:2] == ["1", "2"]
    assert "two.pdf" in set_at(shop, to + "&page=1", status=422)  # an empty page
    found = re.search(r'name="percents" value="([^"]*)"', set_at(shop, to + "&page=2&sheet_long=440&sheet_wide=320"))
    assert found is not None
    percents = [float(each) for each in found[1].split()]
    by_hand = [3 / 28, 0, 0, 0, 5 / 33, 5 / 33, 0, 0, 0, 0]  # parts of the zones across; round it is 100 of 440 mm
    # A dot (0.13 mm at 200 dpi) on the edge of a zone is 0.1 % of it at most.
    assert percents == pytest.approx([100 * each * 100 / 440 for each in by_hand], abs=0.1)
