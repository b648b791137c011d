"""Work on a file nobody has vouched for, in a process of its own: bounded in memory, time and what it may write.

A reader that a file makes crash, loop or grow takes only itself along. What it gives back is pickled by our own code in
that process, through a pipe nobody else holds.
"""

from __future__ import annotations

import contextlib
import multiprocessing
from collections.abc import Callable
from dataclasses import dataclass
from multiprocessing.connection import Connection
from time import monotonic
from typing import Any, TypeVar

from filmsplit.messages import Problem, Refusal

Result = TypeVar("Result")
Progress = Callable[[int, int], None]
ENDS_WITHIN_S = 5.0
"""For a process that has given its result to end by itself."""
DONE, REFUSED, OUT_OF_MEMORY, WENT_WRONG, PROGRESS = "done", "refused", "memory", "wrong", "progress"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """What a process may use. Only time is bounded where the system has no limits of its own for a process."""

    memory_bytes: int = 4 * 2**30
    seconds: float = 300.0


USUAL = Bounds()


def bounded(
    work: Callable[..., Result], *asked: object, file: str, bounds: Bounds = USUAL, told: Progress | None = None
) -> Result:
    """The result of ``work(*asked, told=...)``. Raises the ``Refusal`` it raises, or one that says how it ended.

    The process is gone when this returns, however it returns.
    """
    context = multiprocessing.get_context("spawn")
    ours, theirs = context.Pipe(duplex=False)
    process = context.Process(target=_run, args=(theirs, work, asked, bounds), daemon=True)
    process.start()
    theirs.close()
    try:
        return _awaited(ours, file, bounds=bounds, told=told)  # type: ignore[no-any-return]
    finally:
        ours.close()
        process.join(0 if process.exitcode is None and _is_stuck(process) else ENDS_WITHIN_S)
        if process.is_alive():
            process.kill()
            process.join()
        process.close()


def _is_stuck(process: Any) -> bool:
    """Whether it does not end by itself at once."""
    process.join(0.2)
    return bool(process.is_alive())


def _awaited(ours: Connection, file: str, *, bounds: Bounds, told: Progress | None) -> Any:
    until = monotonic() + bounds.seconds
    while True:
        if not ours.poll(max(0.0, until - monotonic())):
            raise Refusal(Problem("reader-too-slow", {"file": file, "seconds": bounds.seconds}))
        try:
            kind, value = ours.recv()
        except EOFError:  # it ended without a word: killed by a limit, or by its own fault
            raise Refusal(Problem("reader-stopped", {"file": file})) from None
        if kind == PROGRESS:
            if told is not None:
                told(*value)
            continue
        return _outcome(kind, value, file=file, bounds=bounds)


def _outcome(kind: str, value: Any, *, file: str, bounds: Bounds) -> Any:
    if kind == DONE:
        return value
    if kind == REFUSED:
        raise Refusal(value)
    if kind == OUT_OF_MEMORY:
        raise Refusal(Problem("reader-out-of-memory", {"file": file, "most_mb": bounds.memory_bytes // 2**20}))
    raise Refusal(Problem("reader-stopped", {"file": file}))


# In the other process -------------------------------------------------------------------------------------------------


def _run(pipe: Connection, work: Callable[..., Any], asked: tuple[object, ...], bounds: Bounds) -> None:
    _limit(bounds)

    def told(done: int, of: int) -> None:
        pipe.send((PROGRESS, (done, of)))

    with contextlib.suppress(BrokenPipeError, KeyboardInterrupt):
        try:
            pipe.send((DONE, work(*asked, told=told)))
        except Refusal as refusal:
            pipe.send((REFUSED, refusal.problems))
        except MemoryError:
            pipe.send((OUT_OF_MEMORY, None))
        except BrokenPipeError:
            raise
        except Exception as error:  # noqa: BLE001 - told to the one who waits, who has words for it
            pipe.send((WENT_WRONG, repr(error)[:500]))
    pipe.close()


def _limit(bounds: Bounds) -> None:
    """Limits of the system's own, where it has them: memory, processor time, no core, no file written."""
    try:
        import resource  # noqa: PLC0415 - not on every system
    except ImportError:
        return
    seconds = int(bounds.seconds) + 1
    wanted = {
        resource.RLIMIT_AS: bounds.memory_bytes,
        resource.RLIMIT_CPU: seconds,
        resource.RLIMIT_CORE: 0,
        resource.RLIMIT_FSIZE: 0,
    }
    for limit, value in wanted.items():
        _, hard = resource.getrlimit(limit)
        most = value if hard == resource.RLIM_INFINITY else min(value, hard)
        with contextlib.suppress(ValueError, OSError):  # a system that knows the limit and does not keep it
            resource.setrlimit(limit, (most, most))
