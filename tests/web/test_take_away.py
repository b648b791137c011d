"""What is kept and taken away again: asked once, said what goes; records stay. Sizes are those of the files."""

from __future__ import annotations

import re
from html import unescape

import pytest

from filmsplit.actions.jobs import find
from filmsplit.actions.kept_jobs import kept_jobs
from filmsplit.actions.kept_work import FOLDER, kept_works, room_of
from filmsplit.actions.plans import planned
from filmsplit.actions.shop import Shop
from filmsplit.messages import label
from filmsplit.web.work_rows import size_words
from web.served import Visit
from web.test_job_files import bring, picture_of, set_at
from web.test_jobs import kept, logged
from web.test_jobs import set_at as set_typed

ZONES = 10
"""Keys of the Heron, counted on its drawing."""


@pytest.fixture
def heron(visit: Visit) -> Visit:
    visit.send("/presses/bring", press="heron")
    return visit


def test_a_kept_job_is_asked_about_and_taken_off_while_its_record_stays(heron: Visit) -> None:
    text = kept(heron, set_typed(heron, f"{ZONES}x20"))
    logged(heron, text.partition('action="/jobs/log"')[2], keys=" ".join(["2"] * ZONES))
    (job,) = kept_jobs(Shop(heron.folder))
    (code,) = job.codes
    records = heron.folder / "filmsplit.records"
    before = planned(records, code), find(records)
    assert before[1], "the job is logged"
    assert f'href="/jobs/kept/{code}"' in heron.page("/jobs")
    asked = heron.page(f"/jobs/kept/{code}")
    assert label("web_take.job_goes") in asked
    assert label("web_take.job_stays", codes=code) in asked
    assert kept_jobs(Shop(heron.folder)) == (job,), "asking takes nothing away"
    for _ in range(2):
        assert label("web_kept.none") in heron.send("/jobs/kept/remove", code=code)
    assert kept_jobs(Shop(heron.folder)) == ()
    assert (planned(records, code), find(records)) == before
    heron.page(f"/jobs/kept/{code}", status=422)
    again = kept(heron, set_typed(heron, f"{ZONES}x20"))
    assert kept_jobs(Shop(heron.folder))[0].codes[0] in again


def test_only_the_job_that_was_asked_about_goes(heron: Visit) -> None:
    for title in ("Poster", "Menu"):
        kept(heron, set_typed(heron, f"{ZONES}x20", title=title))
    poster = next(each for each in kept_jobs(Shop(heron.folder)) if each.title == "Poster")
    heron.send("/jobs/kept/remove", code=poster.codes[0])
    assert [each.title for each in kept_jobs(Shop(heron.folder))] == ["Menu"]


@pytest.mark.parametrize("code", ["", "*", "../presses/heron", "kept-jobs"])
def test_a_code_nobody_keeps_takes_nothing_away(heron: Visit, code: str) -> None:
    kept(heron, set_typed(heron, f"{ZONES}x20"))
    heron.send("/jobs/kept/remove", code=code)
    heron.send("/jobs/files/delete", code=code)
    assert len(kept_jobs(Shop(heron.folder))) == 1
    assert (heron.folder / "presses" / "heron.yaml").exists()


def test_taking_away_needs_a_token(heron: Visit) -> None:
    kept(heron, set_typed(heron, f"{ZONES}x20"))
    bring(heron, ("a.png", picture_of(0.1)))
    (job,), (file,) = kept_jobs(Shop(heron.folder)), kept_works(Shop(heron.folder))
    for to, code in (("/jobs/kept/remove", job.codes[0]), ("/jobs/files/delete", file.code)):
        assert heron.client.post(to, data={"code": code}).status_code == 403
    assert kept_jobs(Shop(heron.folder)) == (job,)
    assert kept_works(Shop(heron.folder)) == (file,)


def test_what_takes_room_is_told_and_a_file_says_which_kept_job_needs_it(heron: Visit) -> None:
    files = {"thin.png": picture_of(0.1), "black.png": picture_of(0.6) + bytes(40_000)}
    to, _ = bring(heron, *files.items(), where="heron/A", title="Poster")
    codes = {each.name: each.code for each in kept_works(Shop(heron.folder))}
    kept(heron, set_at(heron, to.replace(f"work={codes['thin.png']}&", "").replace(f"&work={codes['thin.png']}", "")))
    listed = heron.page("/jobs/files")
    assert size_words(sum(len(data) for data in files.values())) in listed
    assert listed.index("black.png") < listed.index("thin.png"), "the largest first"
    assert listed.count(label("web_take.needed", count=1)) == 1
    asked = heron.page(f"/jobs/files/{codes['black.png']}")
    assert size_words(len(files["black.png"])) in asked
    (job,) = kept_jobs(Shop(heron.folder))
    needed = label("web_take.file_needed", job="Poster", day=job.day)
    assert needed in unescape(asked)
    assert needed not in unescape(heron.page(f"/jobs/files/{codes['thin.png']}"))
    assert room_of(Shop(heron.folder)).files == 2
    heron.send("/jobs/files/delete", code=codes["black.png"])
    assert [each.name for each in kept_works(Shop(heron.folder))] == ["thin.png"]
    assert sorted(path.stem for path in (heron.folder / FOLDER).iterdir()) == [codes["thin.png"]] * 2
    link = re.search(r'<a href="(/jobs/set\?[^"]+)"><strong>Poster', heron.page("/jobs"))
    assert link is not None
    assert codes["black.png"] in heron.page(unescape(link[1]), status=422), "the kept job asks for its file"
    heron.page(f"/jobs/files/{codes['black.png']}", status=422)


@pytest.mark.parametrize(
    ("size", "words"),
    [(0, "0 bytes"), (999, "999 bytes"), (1_500, "1.5 kB"), (234_000_000, "234 MB"), (2_000_000_000, "2.0 GB")],
)
def test_sizes_as_a_person_says_them(size: int, words: str) -> None:
    assert size_words(size) == words
