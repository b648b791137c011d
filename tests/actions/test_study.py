"""Studies: rows in order, kept as they come, taken up again; presses ranked by the rule that is printed."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass, field, replace
from pathlib import Path

import pytest

from filmsplit.actions.job_asked import JobAsked
from filmsplit.actions.study import as_csv, distributed, local, read_rows, rows_of
from filmsplit.actions.study_row import Pair, StudyRow, rank, row_of
from filmsplit.actions.work import WorkAsked
from filmsplit.messages import Refusal


def pair(press: str = "heron", shares: str = "10 20 30") -> Pair:
    return Pair(press=press, work=WorkAsked(what=(shares,)), job=JobAsked(title=shares))


def row(key: str = "k", **figures: object) -> StudyRow:
    plain = StudyRow(
        key=key,
        layout="a",
        press="heron",
        refused=(),
        ghost=0.01,
        seen=0,
        fall_off=0.0,
        starved=0,
        not_reached=0,
        sheets_95=100,
        waste=50,
        looked_at=1000,
    )
    return replace(plain, **figures)  # type: ignore[arg-type]


@dataclass
class Here:
    """Computes nothing: gives a row for each pair at once, and counts."""

    asked: list[str] = field(default_factory=list)
    breaks_at: int | None = None

    def submit(self, work: Callable[[Pair], StudyRow], asked: Pair, /) -> Future[StudyRow]:
        assert work is row_of
        self.asked.append(asked.key)
        future: Future[StudyRow] = Future()
        if self.breaks_at is not None and len(self.asked) > self.breaks_at:
            future.set_exception(KeyboardInterrupt())
        else:
            future.set_result(row(asked.key, layout=asked.layout))
        return future


PAIRS = [pair(shares=shares) for shares in ("10", "20", "30", "40")]


def test_rows_come_in_the_order_asked() -> None:
    assert [each.layout for each in rows_of(PAIRS, Here())] == ["10", "20", "30", "40"]


def test_a_key_tells_presses_layouts_and_questions_apart() -> None:
    keys = {pair().key, pair("wagtail").key, pair(shares="11 20 30").key, replace(pair(), visible=0.03).key}
    assert len(keys) == 4
    assert pair().key == pair().key


def test_a_key_is_of_the_bytes_of_the_work(tmp_path: Path) -> None:
    file = tmp_path / "plate.tif"
    file.write_bytes(b"one")
    first = Pair(press="heron", work=WorkAsked(what=(str(file),)), job=JobAsked()).key
    file.write_bytes(b"two")
    assert Pair(press="heron", work=WorkAsked(what=(str(file),)), job=JobAsked()).key != first


def test_what_is_kept_is_not_computed_again(tmp_path: Path) -> None:
    kept = tmp_path / "kept.jsonl"
    rows_of(PAIRS[:2], Here(), kept=kept)
    again = Here()
    found = rows_of(PAIRS, again, kept=kept)
    assert again.asked == [each.key for each in PAIRS[2:]]
    assert [each.layout for each in found] == ["10", "20", "30", "40"]
    assert len(read_rows(kept)) == 4


def test_a_study_broken_off_goes_on(tmp_path: Path) -> None:
    kept = tmp_path / "kept.jsonl"
    with pytest.raises(KeyboardInterrupt):
        rows_of(PAIRS, Here(breaks_at=2), kept=kept)
    before = read_rows(kept)
    assert len(before) <= 2
    again = Here()
    rows_of(PAIRS, again, kept=kept)
    assert len(again.asked) == 4 - len(before)


@pytest.mark.parametrize("cut", [1, 10, 80])
def test_a_half_written_line_is_dropped_and_computed_again(tmp_path: Path, cut: int) -> None:
    kept = tmp_path / "kept.jsonl"
    rows_of(PAIRS[:2], Here(), kept=kept)
    whole = kept.read_bytes()
    kept.write_bytes(whole[:-cut])
    (left,) = read_rows(kept)
    again = Here()
    rows_of(PAIRS[:2], again, kept=kept)
    # Rows are kept in the order in which they come, whichever that is.
    assert again.asked == [each.key for each in PAIRS[:2] if each.key != left]
    assert len(read_rows(kept)) == 2


def test_a_file_of_something_else_is_left_as_it_is(tmp_path: Path) -> None:
    kept = tmp_path / "letter.txt"
    kept.write_text("Dear Sir,\n")
    with pytest.raises(Refusal) as refused:
        rows_of(PAIRS, Here(), kept=kept)
    assert [each.slug for each in refused.value.problems] == ["study-file-foreign"]
    assert kept.read_text() == "Dear Sir,\n"


def test_a_table_has_a_line_for_each_row() -> None:
    read = list(csv.DictReader(io.StringIO(as_csv([row(), row(refused=("too large",), ghost=None)]))))
    assert [each["ghost"] for each in read] == ["0.01", ""]
    assert read[1]["refused"] == "too large"
    assert "key" not in read[0]


@pytest.mark.parametrize(
    ("better", "worse"),
    [
        ({}, {"refused": ("too large",), "ghost": None}),
        ({"ghost": 0.2}, {"starved": 1}),
        ({"ghost": 0.2}, {"not_reached": 1}),
        ({"ghost": 0.03, "waste": 900}, {"ghost": 0.04, "waste": 10}),
        ({"ghost": 0.015, "waste": 10}, {"ghost": 0.001, "waste": 20}),
        ({"waste": 900}, {"waste": None}),
        ({"sheets_95": 10}, {"sheets_95": None}),
    ],
)
def test_presses_are_ranked_as_it_is_printed(better: dict[str, object], worse: dict[str, object]) -> None:
    assert rank(row(**better), visible=0.02) < rank(row(**worse), visible=0.02)


def test_a_refusal_is_a_row() -> None:
    """In a process of its own, as the command does it."""
    too_large = replace(pair(), work=WorkAsked(what=("10 20 30",), sheet_mm=(2000.0, 300.0)))
    with local(1) as executor:
        (found,) = rows_of([too_large], executor)
    assert found.ghost is None
    assert "does not fit" in found.refused[0]


def test_a_cluster_computes_the_same() -> None:
    """One worker within this process."""
    from distributed import LocalCluster  # noqa: PLC0415 - slow to import

    too_large = replace(pair(), work=WorkAsked(what=("10 20 30",), sheet_mm=(2000.0, 300.0)))
    with (
        LocalCluster(n_workers=1, threads_per_worker=1, processes=False, dashboard_address=None) as cluster,
        distributed(cluster.scheduler_address) as executor,
    ):
        (found,) = rows_of([too_large], executor)
    assert found == row_of(too_large)


def test_a_cluster_that_is_not_there_is_told() -> None:
    with pytest.raises(Refusal) as refused, distributed("tcp://127.0.0.1:9"):
        raise AssertionError
    assert [each.slug for each in refused.value.problems] == ["study-cluster-silent"]
