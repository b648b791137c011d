"""Many layouts on many presses: rows computed by an executor, kept as they come, and taken up again after a break."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from contextlib import contextmanager
from dataclasses import asdict, fields
from multiprocessing import get_context
from pathlib import Path
from typing import Protocol

from filmsplit.actions.study_row import Pair, StudyRow, row_of
from filmsplit.formats.result_lines import add_line, foreign, read_lines
from filmsplit.messages import Problem, Refusal

Told = Callable[[StudyRow, int, int], None]
"""Told each row as it is done, how many are, and how many there are."""


class Executor(Protocol):
    """Where rows are computed: anything that takes a function with its arguments and gives a future."""

    def submit(self, work: Callable[[Pair], StudyRow], pair: Pair, /) -> Future[StudyRow]: ...


@contextmanager
def local(workers: int) -> Iterator[Executor]:
    """Processes on this computer. What waits is dropped where it ends early."""
    pool = ProcessPoolExecutor(max_workers=workers, mp_context=get_context("spawn"))
    try:
        yield pool
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


@contextmanager
def distributed(address: str) -> Iterator[Executor]:
    """Workers of a Dask cluster. :class:`Refusal` where the extra is not installed or nobody answers there."""
    try:
        from distributed import Client  # noqa: PLC0415 - an extra
    except ImportError as error:
        raise Refusal(Problem("study-dask-missing")) from error
    try:
        client = Client(address, timeout="10s")  # type: ignore[no-untyped-call]
    except (OSError, TimeoutError, ValueError) as error:
        raise Refusal(Problem("study-cluster-silent", {"address": address})) from error
    with client:
        yield client.get_executor(pure=False)  # type: ignore[no-untyped-call]


def rows_of(
    pairs: Sequence[Pair], executor: Executor, *, kept: Path | None = None, told: Told | None = None
) -> list[StudyRow]:
    """A row for each pair, in their order. Those in the file ``kept`` are taken from it, new ones added to it at once.

    A line that was half written when something broke off is dropped. :class:`Refusal` where a press is not known or a
    file cannot be read.
    """
    keys = [_key(pair) for pair in pairs]
    known = {} if kept is None else read_rows(kept)
    waiting = {
        executor.submit(row_of, pair): key
        for key, pair in {key: pair for key, pair in zip(keys, pairs, strict=True) if key not in known}.items()
    }
    try:
        for row in _as_they_come(set(waiting)):
            known[row.key] = row
            if kept is not None:
                add_line(kept, asdict(row))
            if told is not None:
                told(row, len(known), len(pairs))
    finally:
        for future in waiting:
            future.cancel()
    return [known[key] for key in keys]


def _key(pair: Pair) -> str:
    try:
        return pair.key
    except OSError as error:
        values = {"file": str(error.filename), "detail": error.strerror or ""}
        raise Refusal(Problem("file-not-readable", values)) from error


def _as_they_come(waiting: set[Future[StudyRow]]) -> Iterator[StudyRow]:
    while waiting:
        done, waiting = wait(waiting, return_when=FIRST_COMPLETED)
        for future in done:
            yield future.result()


# The file of rows -----------------------------------------------------------------------------------------------------


def read_rows(kept: Path) -> dict[str, StudyRow]:
    """The whole rows of a file by their key; none where there is no file. :class:`Refusal` where it is none of ours."""
    rows = {}
    for number, told in enumerate(read_lines(kept), start=1):
        try:
            row = StudyRow(**{**told, "refused": tuple(told["refused"])})
        except (TypeError, KeyError) as error:
            raise foreign(kept, number) from error
        rows[row.key] = row
    return rows


def as_csv(rows: Iterable[StudyRow]) -> str:
    """The results as a table for other programs; an empty cell where nothing is known."""
    kept = io.StringIO()
    names = [each.name for each in fields(StudyRow) if each.name != "key"]
    table = csv.DictWriter(kept, names, lineterminator="\n", extrasaction="ignore")
    table.writeheader()
    for row in rows:
        table.writerow({**asdict(row), "refused": " ".join(row.refused)})
    return kept.getvalue()
