"""Work on a file nobody has vouched for, in a process of its own: bounded in memory, time and what it may write.

A reader that a file makes crash, loop or grow takes only itself along. What it gives back comes through a pipe nobody
else holds, and only arrays, plain values and descriptions of this package are taken from it: a reader that a file has
brought under its will cannot have anything done here.
"""

from __future__ import annotations

import contextlib
import io
import multiprocessing
import os
import pickle
import signal
import threading
from collections.abc import Callable
from dataclasses import dataclass, is_dataclass
from enum import Enum
from multiprocessing.connection import Connection
from time import monotonic
from typing import Any, TypeVar

from filmsplit.messages import Problem, Refusal

Result = TypeVar("Result")
Progress = Callable[[int, int], None]
ENDS_WITHIN_S = 5.0
"""For a process that has given its result to end by itself."""
PLAIN = frozenset(
    {
        *(("builtins", name) for name in ("complex", "frozenset", "set", "slice", "bytearray")),
        ("collections", "OrderedDict"),
        ("copyreg", "_reconstructor"),
        *(("pathlib", name) for name in ("Path", "PosixPath", "WindowsPath", "PurePosixPath", "PureWindowsPath")),
        *(("pathlib._local", name) for name in ("Path", "PosixPath", "WindowsPath")),
        *(("numpy", name) for name in ("dtype", "ndarray")),
        *((f"numpy.{core}.multiarray", name) for core in ("core", "_core") for name in ("_reconstruct", "scalar")),
        *((f"numpy.{core}.numeric", "_frombuffer") for core in ("core", "_core")),
    }
)
"""What results are made of, beside this package's own descriptions."""
OUR_OWN = "filmsplit."
DONE, REFUSED, OUT_OF_MEMORY, WENT_WRONG, PROGRESS = "done", "refused", "memory", "wrong", "progress"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """What a process may use. Only time is bounded where the system has no limits of its own for a process."""

    memory_bytes: int = 4 * 2**30
    seconds: float = 300.0
    result_bytes: int = 2**29


USUAL = Bounds()


def bounded(
    work: Callable[..., Result], *asked: object, file: str, bounds: Bounds = USUAL, told: Progress | None = None
) -> Result:
    """The result of ``work(*asked, told=...)``. Raises the ``Refusal`` it raises, or one that says how it ended.

    The process is gone when this returns, however it returns.
    """
    context = multiprocessing.get_context("spawn")
    ours, theirs = context.Pipe(duplex=False)
    process = context.Process(target=_run, args=(theirs, work), kwargs={"asked": asked, "bounds": bounds}, daemon=True)
    try:
        try:
            process.start()
        finally:
            theirs.close()
        return _awaited(ours, process, file=file, bounds=bounds, told=told)  # type: ignore[no-any-return]
    finally:
        ours.close()
        _ended(process)


def _ended(process: Any) -> None:
    """Wait a little for a process that has nothing left to do; end it where it goes on."""
    if process.pid is not None:
        process.join(0.2)
        if process.exitcode is None:
            process.kill()
            process.join()
    process.close()


def _awaited(ours: Connection, process: Any, *, file: str, bounds: Bounds, told: Progress | None) -> Any:
    until = monotonic() + bounds.seconds
    too_slow = Problem("reader-too-slow", {"file": file, "seconds": bounds.seconds})
    while True:
        if not ours.poll(max(0.0, until - monotonic())):
            raise Refusal(too_slow)
        try:
            kind, value = _taken(ours.recv_bytes(bounds.result_bytes))
        except EOFError:  # it ended without a word: killed by a limit, or by its own fault
            process.join(ENDS_WITHIN_S)
            is_slow = process.exitcode == -getattr(signal, "SIGXCPU", 0) != 0
            raise Refusal(too_slow if is_slow else Problem("reader-stopped", {"file": file})) from None
        except (OSError, pickle.UnpicklingError):  # more than is ever given back, or something else
            raise Refusal(Problem("reader-stopped", {"file": file})) from None
        if kind == PROGRESS:
            if told is not None:
                told(*value)
            continue
        return _outcome(kind, value, file=file, bounds=bounds)


class _Careful(pickle.Unpickler):
    """Takes what results are made of, and nothing else."""

    def find_class(self, module: str, name: str) -> Any:
        if (module, name) not in PLAIN and not module.startswith(OUR_OWN):
            raise pickle.UnpicklingError(f"{module}.{name}")
        found = super().find_class(module, name)
        is_described = isinstance(found, type) and (is_dataclass(found) or issubclass(found, Enum))
        if module.startswith(OUR_OWN) and not is_described:
            raise pickle.UnpicklingError(f"{module}.{name}")
        return found


def _taken(message: bytes) -> tuple[str, Any]:
    kind, value = _Careful(io.BytesIO(message)).load()
    return kind, value


def _outcome(kind: str, value: Any, *, file: str, bounds: Bounds) -> Any:
    if kind == DONE:
        return value
    if kind == REFUSED:
        raise Refusal(value)
    if kind == OUT_OF_MEMORY:
        raise Refusal(Problem("reader-out-of-memory", {"file": file, "most_mb": bounds.memory_bytes // 2**20}))
    raise Refusal(Problem("reader-stopped", {"file": file}))


# In the other process -------------------------------------------------------------------------------------------------


def _run(pipe: Connection, work: Callable[..., Any], *, asked: tuple[object, ...], bounds: Bounds) -> None:
    """Whatever else is raised ends the process without a word, which the one who waits has words for."""
    _alone()
    _limit(bounds)

    def give(kind: str, value: object) -> None:
        pipe.send_bytes(pickle.dumps((kind, value), protocol=5))

    with contextlib.suppress(BrokenPipeError):
        try:
            give(DONE, work(*asked, told=lambda done, of: give(PROGRESS, (done, of))))
        except Refusal as refusal:
            give(REFUSED, refusal.problems)
        except MemoryError:
            give(OUT_OF_MEMORY, None)
        except BrokenPipeError:
            raise
        except Exception as error:  # noqa: BLE001 - told to the one who waits, who has words for it
            give(WENT_WRONG, repr(error)[:500])
    pipe.close()


def _alone() -> None:
    """A break at the keyboard is for the one who waits; what libraries print is for nobody; and without the one who
    waits there is nothing left to do."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with contextlib.suppress(OSError):
        nowhere = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(nowhere, stream)
        os.close(nowhere)
    parent = multiprocessing.parent_process()
    assert parent is not None

    def watch() -> None:
        parent.join()
        os._exit(1)

    threading.Thread(target=watch, daemon=True).start()


def _limit(bounds: Bounds) -> None:
    """Limits of the system's own, where it has them: memory, processor time, no core, no file written."""
    try:
        import resource  # noqa: PLC0415 - not on every system
    except ImportError:
        return
    seconds = int(bounds.seconds) + 1
    wanted = {
        resource.RLIMIT_AS: (bounds.memory_bytes, bounds.memory_bytes),
        resource.RLIMIT_CPU: (seconds, seconds + 1),  # first a signal that tells why, then the end
        resource.RLIMIT_CORE: (0, 0),
        resource.RLIMIT_FSIZE: (0, 0),
    }
    for limit, values in wanted.items():
        _, hard = resource.getrlimit(limit)
        soft, most = (each if hard == resource.RLIM_INFINITY else min(each, hard) for each in values)
        with contextlib.suppress(ValueError, OSError):  # a system that knows the limit and does not keep it
            resource.setrlimit(limit, (soft, most))
