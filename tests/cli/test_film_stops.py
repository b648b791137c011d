"""How `film` ends when it does not go as wished: stopped by the person, or not settled."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from functools import partial
from pathlib import Path

import pytest

from cli.terminal import run
from filmsplit.cli.film_command import NOT_SETTLED
from filmsplit.simulation.settle import settle
from filmsplit.studies import film_keys

Capture = pytest.CaptureFixture[str]
STARTED = "settling now"
ASKED = ("film", "bittern", "--round", "0.5", "--across", "1.5")
"""Millions of cells: seconds of work on any machine."""

PROGRAM = f"""
import sys
from filmsplit.studies import film_study
settle_keyed = film_study.settle_keyed

def watched(*asked, **named):
    print({STARTED!r}, file=sys.stderr, flush=True)
    return settle_keyed(*asked, **named)

film_study.settle_keyed = watched
from filmsplit.cli.main import main
main(sys.argv[1:])
"""
"""The command as it is, which tells when the long part begins."""


@pytest.mark.skipif(os.name == "nt", reason="there a console sends its own event")
def test_stopped_by_the_person_it_leaves_nothing_half_written(tmp_path: Path) -> None:
    target = tmp_path / "map.svg"
    command = [sys.executable, "-c", PROGRAM, *ASKED, "--map", str(target)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stderr is not None
        assert process.stderr.readline().strip() == STARTED
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=120)
    assert process.returncode == 130
    assert out == ""
    assert "Stopped" in err
    assert "Traceback" not in err
    assert list(tmp_path.iterdir()) == []


def test_without_a_terminal_nobody_is_told_of_progress(capsys: Capture) -> None:
    assert run(capsys, "film", "heron", "--round", "12", "--across", "12").err == ""


def test_not_settled_says_so_first_shows_no_film_and_leaves_with_its_own_code(
    capsys: Capture, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(film_keys, "settle", partial(settle, most_periods=1))
    target = tmp_path / "map.svg"
    ran = run(capsys, "film", "heron", "--round", "12", "--across", "12", "--map", str(target))
    assert ran.code == NOT_SETTLED
    verdict = [line for line in ran.out.splitlines() if line.strip()][1]
    assert "NOT SETTLED" in verdict
    assert "(ink-not-settled)" in ran.out
    assert "µm on its image" not in ran.out
    assert "ink g" not in ran.out
    assert not target.exists()


def test_one_unit_that_did_not_settle_does_not_hide_the_other(capsys: Capture, monkeypatch: pytest.MonkeyPatch) -> None:
    solves = iter([1, 60])
    monkeypatch.setattr(film_keys, "settle", lambda *asked, **named: settle(*asked, **named, most_periods=next(solves)))
    ran = run(capsys, "film", "lapwing", "--round", "12", "--across", "12")
    assert ran.code == NOT_SETTLED
    assert ran.out.count("NOT SETTLED") == 1
    assert "unit 2: the sheet carries 1.00 µm" in ran.out
