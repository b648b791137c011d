"""Work in a process of its own: what comes back, and that nothing stays behind whatever happens there."""

from __future__ import annotations

import multiprocessing
import os
import signal
import subprocess
import sys
import textwrap
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from filmsplit.formats.bounded_process import Bounds, bounded
from filmsplit.messages import Refusal
from formats import bounded_work as work

SMALL = Bounds(memory_bytes=2**30, seconds=20.0, result_bytes=2**20)
BRIEF = Bounds(memory_bytes=2**30, seconds=2.0)
posix = pytest.mark.skipif(os.name != "posix", reason="limits of processes are kept by POSIX systems")


def refused(*asked: Any, bounds: Bounds = SMALL) -> list[str]:
    with pytest.raises(Refusal) as refusal:
        bounded(asked[0], *asked[1:], file="some.pdf", bounds=bounds)
    assert all(each.what and each.remedy for each in refusal.value.problems)
    return [each.slug for each in refusal.value.problems]


@pytest.fixture(autouse=True)
def _nothing_left() -> Iterator[None]:
    """No process and no open file more than before (the first start leaves Python's own tracker of resources)."""
    bounded(work.squares, 1, file="x", bounds=SMALL)
    descriptors = Path("/proc/self/fd")
    before = len(list(descriptors.iterdir())) if descriptors.exists() else 0
    yield
    assert multiprocessing.active_children() == []
    assert not descriptors.exists() or len(list(descriptors.iterdir())) == before


def test_result_and_progress_come_back() -> None:
    told: list[tuple[int, int]] = []
    squares, notices, process = bounded(work.squares, 5, file="x", bounds=SMALL, told=lambda *each: told.append(each))
    assert np.array_equal(squares, np.arange(5.0) ** 2)
    assert [each.slug for each in notices] == ["plate-file-empty"]
    assert told == [(each, 5) for each in range(1, 6)]
    assert process != os.getpid()


def test_a_refusal_comes_back_as_it_is() -> None:
    assert refused(work.refuses) == ["plate-file-empty"]


@pytest.mark.parametrize("how", [work.raises, work.leaves, work.recurses], ids=lambda how: how.__name__)
def test_faults_become_a_message(how: Any) -> None:
    assert refused(how) == ["reader-stopped"]


@posix
@pytest.mark.parametrize("number", [signal.SIGSEGV, signal.SIGABRT, signal.SIGKILL, signal.SIGTRAP])
def test_signals_become_a_message(number: signal.Signals) -> None:
    assert refused(work.dies, int(number)) == ["reader-stopped"]


@posix
def test_memory_is_bounded() -> None:
    assert refused(work.grows) == ["reader-out-of-memory"]


def test_waiting_is_bounded() -> None:
    begun = time.monotonic()
    assert refused(work.sleeps, 60.0, bounds=BRIEF) == ["reader-too-slow"]
    assert time.monotonic() - begun < 10


@posix
def test_computing_without_end_is_ended() -> None:
    assert refused(work.computes, bounds=BRIEF) == ["reader-too-slow"]


@posix
def test_the_limit_of_the_system_says_the_same() -> None:
    """How a process ends that has used up its processor time before the one who waits loses patience."""
    assert refused(work.dies, int(signal.SIGXCPU)) == ["reader-too-slow"]


@posix
def test_files_are_not_written(tmp_path: Path) -> None:
    assert bounded(work.writes, tmp_path / "a", file="x", bounds=SMALL).startswith("refused")
    assert not (tmp_path / "a").exists() or not (tmp_path / "a").stat().st_size


def test_what_is_printed_there_is_not_seen(capfd: pytest.CaptureFixture[str]) -> None:
    bounded(work.talks, file="x", bounds=SMALL)
    assert capfd.readouterr() == ("", "")


def test_more_than_was_agreed_is_not_taken() -> None:
    assert refused(work.gives_too_much) == ["reader-stopped"]


def test_only_plain_results_are_taken(tmp_path: Path) -> None:
    """A reader under another's will sends what would act when it is unpacked."""
    assert refused(work.is_sly, tmp_path / "made") == ["reader-stopped"]
    assert not (tmp_path / "made").exists()


def test_breaking_off_ends_it() -> None:
    pids: list[int] = []

    def told(pid: int, _: int) -> None:
        pids.append(pid)
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        bounded(work.sleeps, 60.0, file="x", bounds=SMALL, told=told)
    assert _gone(pids[0])


@posix
def test_a_break_at_the_keyboard_ends_both(tmp_path: Path) -> None:
    """Ctrl-C goes to both processes at once; so does this, and nothing is printed by the one that reads."""
    script = tmp_path / "script.py"
    script.write_text(
        textwrap.dedent(
            """
            import os, sys
            from filmsplit.formats.bounded_process import bounded
            from formats import bounded_work as work
            def told(pid, _):
                print(pid, flush=True)
            if __name__ == "__main__":
                try:
                    bounded(work.sleeps, 60.0, file="x", told=told)
                except KeyboardInterrupt:
                    print("broken off")
            """
        )
    )
    with _started(script) as process:
        pid = int(process.stdout.readline())
        os.killpg(process.pid, signal.SIGINT)
        out, err = process.communicate(timeout=20)
    assert out == "broken off\n"
    assert err == ""
    assert _gone(pid)


@posix
def test_without_the_one_who_waits_it_ends(tmp_path: Path) -> None:
    script = tmp_path / "script.py"
    script.write_text(
        "from filmsplit.formats.bounded_process import bounded\n"
        "from formats import bounded_work as work\n"
        "if __name__ == '__main__':\n"
        "    bounded(work.sleeps, 60.0, file='x', told=lambda pid, _: print(pid, flush=True))\n"
    )
    with _started(script) as process:
        pid = int(process.stdout.readline())
        process.kill()
        process.wait(20)
    assert _gone(pid)


def _started(script: Path) -> Any:
    paths = os.pathsep.join(str(each) for each in (Path(__file__).parents[2] / "src", Path(__file__).parents[1]))
    return subprocess.Popen(
        [sys.executable, str(script)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
        env=os.environ | {"PYTHONPATH": paths},
    )


def _gone(pid: int) -> bool:
    """Within some seconds. One that nobody waits for may stay listed as ended."""
    for _ in range(100):
        try:
            os.kill(pid, 0)
            if _is_ended(pid):
                return True
        except ProcessLookupError:
            return True
        time.sleep(0.1)
    return False


def _is_ended(pid: int) -> bool:
    status = Path(f"/proc/{pid}/stat")
    return status.exists() and status.read_text().rsplit(")", 1)[1].split()[0] == "Z"
