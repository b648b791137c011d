"""What the tests have done in a process of its own: good work, and every way to go wrong."""

from __future__ import annotations

import os
import signal
import sys
import time
from pathlib import Path
from typing import Any, NoReturn

import numpy as np

from filmsplit.formats.bounded_process import Progress
from filmsplit.messages import Problem, Refusal


def squares(count: int, *, told: Progress) -> tuple[Any, ...]:
    for done in range(1, count + 1):
        told(done, count)
    return np.arange(float(count)) ** 2, (Problem("plate-file-empty", {"file": "a"}),), os.getpid()


def refuses(*, told: Progress) -> NoReturn:  # noqa: ARG001
    raise Refusal(Problem("plate-file-empty", {"file": "a"}))


def raises(*, told: Progress) -> NoReturn:  # noqa: ARG001
    raise ZeroDivisionError


def dies(number: int, *, told: Progress) -> None:  # noqa: ARG001
    signal.signal(number, signal.SIG_DFL)
    os.kill(os.getpid(), number)
    time.sleep(60)


def leaves(*, told: Progress) -> None:  # noqa: ARG001
    os._exit(0)


def grows(*, told: Progress) -> None:  # noqa: ARG001
    kept = []
    while True:
        kept.append(bytearray(2**26))


def recurses(*, told: Progress) -> None:
    recurses(told=told)


def sleeps(seconds: float, note: str = "", *, told: Progress) -> None:
    told(os.getpid(), 0)
    if note:
        os.kill(int(note), signal.SIGINT)
    time.sleep(seconds)


def computes(*, told: Progress) -> None:  # noqa: ARG001
    while True:
        pass


def writes(path: Path, *, told: Progress) -> str:  # noqa: ARG001
    try:
        path.write_bytes(b"x" * 100)
    except OSError as error:
        return f"refused {error.errno}"
    return "written"


def talks(*, told: Progress) -> int:  # noqa: ARG001
    print("spoken")
    os.write(2, b"shouted")
    return sys.stdout.fileno()


def gives_too_much(*, told: Progress) -> bytes:  # noqa: ARG001
    return bytes(2**22)


class Sly:
    """Would have a file made by whoever takes it."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def __reduce__(self) -> tuple[Any, ...]:
        return (os.mkdir, (str(self.path),))


def is_sly(path: Path, *, told: Progress) -> Sly:  # noqa: ARG001
    return Sly(path)
