"""How a file is taken and how often it stands on the plate: the form comes to the keys of the command line.

The command line reads its own words; both are given the same file. Bounds of boxes are those of ISO 32000-2, 14.11.2.
"""

from __future__ import annotations

import io
import json
import re
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from filmsplit.cli.main import filmsplit
from filmsplit.messages import label
from formats.pdf.raw_pdf import page
from web.served import Visit
from web.test_job_files import bring, set_at

DOTS = 508
"""Rows and columns of a square of 50.8 mm at 254 dpi."""


@pytest.fixture
def shop(visit: Visit) -> Visit:
    visit.send("/presses/bring", press="heron")
    visit.send("/presses/bring", press="lapwing")
    return visit


def stair(*, upside_down: bool = False) -> bytes:
    """Another share of ink in every part of its width, so that each way of laying it tells."""
    dots = np.full((DOTS, DOTS), 255, dtype=np.uint8)
    for part in range(5):
        dots[: DOTS * (part + 1) // 8, DOTS * part // 5 : DOTS * (part + 1) // 5] = 0
    held = io.BytesIO()
    Image.fromarray(dots[::-1] if upside_down else dots).save(held, "PNG", dpi=(254, 254))
    return held.getvalue()


def boxed() -> bytes:
    """A page of 200 points whose trim box is its inner half; the left half of the page is black."""
    return page(b"0 0 0 1 k 0 0 100 200 re f", entries=b"/MediaBox [0 0 200 200] /TrimBox [50 50 150 150]")


WAYS = {
    "as it is": ("stair.png", "", ()),
    "mirrored": ("stair.png", "&mirrored=yes", ("--mirrored",)),
    "negative": ("stair.png", "&negative=yes", ("--negative",)),
    "several": (
        "stair.png",
        "&times_down=2&times_across=4&step_down=60&step_across=55,5",
        ("--repeat", "2x4", "--step", "60x55.5"),
    ),
    "back": ("stair.png", "&back=turn&side=5", ("--back", "turn", "--side", "5")),
    "tumbled": ("stair.png", "&back=tumble&lead=4", ("--back", "tumble", "--lead", "4")),
    "box": ("boxed.pdf", "&box=trim", ("--box", "trim")),
}


def by_command(folder: Path, file: Path, *words: str, press: str = "heron") -> list[dict[str, object]]:
    """What the command line sets, unit by unit."""
    done = CliRunner().invoke(
        filmsplit, ["setup", str(folder / "presses" / f"{press}.yaml"), str(file), "--unrecorded", "--json", *words]
    )
    assert done.exit_code == 0, done.output
    found: list[dict[str, object]] = json.loads(done.stdout)["units"]
    return found


def hidden(text: str) -> dict[str, str]:
    return dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', text))


def test_every_way_of_laying_a_file_comes_to_the_keys_of_the_command_line(shop: Visit, tmp_path: Path) -> None:
    files = {"stair.png": stair(), "boxed.pdf": boxed()}
    made = tmp_path / "made"
    made.mkdir()
    told: dict[str, str] = {}
    for way, (name, fields, words) in WAYS.items():
        (made / name).write_bytes(files[name])
        to, _ = bring(shop, (name, files[name]), where="heron/A", title="T")
        text = set_at(shop, to + fields)
        (unit,) = by_command(shop.folder, made / name, "--title", "T", *words)
        keys = " ".join(f"{key['reading']:.4g}" for key in unit["keys"])  # type: ignore[attr-defined]
        assert hidden(text)["set_keys"] == keys, way
        told[way] = hidden(text)["percents"]
    assert len(set(told.values())) == len(WAYS), "ways that say the same prove nothing"


def test_inks_go_to_the_units_and_passes_that_are_told(shop: Visit) -> None:
    files = (("black.png", stair()), ("red.png", stair(upside_down=True)))
    to, _ = bring(shop, *files, where="lapwing/", title="T")
    text = set_at(shop, f"{to}&passes=2=black%3B 1=red")
    heads = re.findall(r'<h2 id="ink-\d">([^<]+)', text)
    assert [each.split()[0] for each in heads] == ["black", "red"]
    units = [hidden(set_at(shop, f"{to}&passes=2=black%3B 1=red&of={number}"))["where"] for number in (1, 2)]
    assert units == ["lapwing/2", "lapwing/1"]


@pytest.mark.parametrize(
    ("fields", "word"),
    [
        ("&times_down=2", "web_works.step_down"),
        ("&times_across=3&step_across=0", "web_works.step_across"),
        ("&times_down=2.5&step_down=60", "web_works.times_down"),
        ("&times_down=51&step_down=1", "web_works.times_down"),
        ("&back=over", "web_works.back"),
        ("&mirrored=<script>", "web_works.mirrored"),
        ("&box=none", "web_works.box"),
        ("&passes=A", None),
        ("&passes=A=", None),
        ("&passes=A=black,B", None),
    ],
)
def test_what_cannot_be_is_said_and_stays_in_the_form(shop: Visit, fields: str, word: str | None) -> None:
    to, _ = bring(shop, ("stair.png", stair()), where="heron/A", title="kept so")
    text = set_at(shop, to + fields, status=422)
    assert 'value="kept so"' in text
    (said,) = re.findall(r'class="problem refused".*?</section>', text, re.DOTALL)
    assert "<script>" not in text.replace("<script type", "")
    if word is not None:
        assert label(word) in said


def test_the_form_shows_what_was_told_and_keeps_it_short_otherwise(shop: Visit) -> None:
    to, _ = bring(shop, ("stair.png", stair()), where="heron/A")
    summary = label("web_works.film")
    assert re.search(rf"<details>\s*<summary>{re.escape(summary)}", shop.page(to))
    text = shop.page(f"{to}&mirrored=yes&times_down=3&step_down=50&back=tumble&passes=A=stair")
    assert re.search(rf"<details open>\s*<summary>{re.escape(summary)}", text)
    assert re.search(r'name="mirrored" value="yes" checked', text)
    assert re.search(r'name="times_down"[^>]*value="3"', text)
    assert re.search(r'<option value="tumble" selected', text)
    assert 'id="box"' not in text
    to, _ = bring(shop, ("boxed.pdf", boxed()), where="heron/A")
    assert 'id="box"' in shop.page(to)
