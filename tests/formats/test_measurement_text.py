"""Densities from tagged text (ISO 28178, from memory of its keywords) and from tables."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from filmsplit.formats.measurement_text import HIGHEST_DENSITY, MOST_BYTES, read_measurement, read_measurement_text
from filmsplit.messages import Refusal

TAGGED = """\
ISO28178
ORIGINATOR "a shop that does not exist"
CREATED "2030-01-02"   # invented
SAMPLE_BACKING "black"
POLARIZATION "YES"
FILTER_STATUS "Status E"
NUMBER_OF_FIELDS 3
BEGIN_DATA_FORMAT
SAMPLE_ID SAMPLE_NAME D_MAJOR_FILTER
END_DATA_FORMAT
NUMBER_OF_SETS 3
BEGIN_DATA
1 "zone 1, solid" 1.42
2 "zone 2" 1.38
3 "zone 3" 1.40
END_DATA
"""


def slugs(text: str) -> list[tuple[str, int]]:
    with pytest.raises(Refusal) as refused:
        read_measurement_text(text, name="sheet.txt")
    return [(problem.slug, problem.place.line if problem.place else 0) for problem in refused.value.problems]


def test_tagged_text_is_read_with_how_it_was_measured() -> None:
    found = read_measurement_text(TAGGED, name="sheet.txt")
    assert [sample.densities["D_MAJOR_FILTER"] for sample in found.samples] == [1.42, 1.38, 1.40]
    assert found.samples[0].name == "zone 1, solid"
    assert (found.status, found.polarised, found.backing) == ("E", True, "black")


def test_what_the_file_does_not_say_stays_unsaid() -> None:
    bare = "\n".join(line for line in TAGGED.splitlines() if not line.startswith(("SAMPLE_B", "POLAR", "FILTER")))
    found = read_measurement_text(bare, name="sheet.txt")
    assert (found.status, found.polarised, found.backing) == ("", None, "")


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_tables_are_read_with_any_usual_separator(separator: str) -> None:
    text = separator.join(("Zone", "Density")) + "\n" + separator.join(("2", "1.31")) + "\n"
    found = read_measurement_text(text, name="sheet.csv")
    assert [(sample.number, sample.densities["D_MAJOR_FILTER"]) for sample in found.samples] == [(2, 1.31)]


def test_decimal_commas_are_read_where_the_comma_does_not_separate() -> None:
    found = read_measurement_text("zone;density\n1;1,42\n", name="sheet.csv")
    assert found.samples[0].densities["D_MAJOR_FILTER"] == 1.42


BROKEN = [
    (TAGGED.replace("1.38", "142"), [("measurement-not-a-density", 14)]),
    (TAGGED.replace("1.38", "nan"), [("measurement-not-a-density", 14)]),
    (TAGGED.replace('"zone 2" 1.38', "zone 2 1.38"), [("measurement-set-length", 14)]),
    (TAGGED.replace("D_MAJOR_FILTER", "LAB_L"), [("measurement-without-densities", 12)]),
    (TAGGED[: TAGGED.index("3 \"zone")], [("measurement-part-not-ended", 1)]),
    (TAGGED.replace('3 "zone 3" 1.40\n', ""), [("measurement-cut-off", 1)]),
    ("", [("measurement-empty", 0)]),
    ("zone,density\n", [("measurement-empty", 0)]),
    ("a,b\n1,2\n", [("measurement-headings", 1)]),
    ("zone,density\n0,1.2\nx,1.2\n", [("measurement-not-a-zone", 2), ("measurement-not-a-zone", 3)]),
    ("zone,density\n1,1.2\n1,9\n", [("measurement-not-a-density", 3)]),
    ("zone\x00,density", [("measurement-not-text", 0)]),
]  # fmt: skip


@pytest.mark.parametrize(("text", "expected"), BROKEN)
def test_every_fault_is_named_with_its_line(text: str, expected: list[tuple[str, int]]) -> None:
    assert slugs(text) == expected


def test_files_that_cannot_be_are_refused_without_being_read_whole(tmp_path: Path) -> None:
    long = tmp_path / "long.txt"
    long.write_bytes(b"1," * (MOST_BYTES // 2 + 1))
    for path, slug in ((long, "measurement-too-long"), (tmp_path / "none.txt", "file-not-readable")):
        with pytest.raises(Refusal) as refused:
            read_measurement(path)
        assert [problem.slug for problem in refused.value.problems] == [slug]


@given(
    cut=st.integers(0, len(TAGGED)),
    put=st.text(st.sampled_from('"#\n\t ;,0123456789.-eEBEGIN_DATAFORMTSé\u2028'), max_size=12),
    table=st.booleans(),
)
def test_whatever_is_done_to_a_file_it_is_read_or_refused(cut: int, put: str, table: bool) -> None:
    whole = "zone;density\n1;1.42\n2;1,38\n" * 3 if table else TAGGED
    text = whole[: cut % len(whole)] + put + whole[cut % len(whole) :]
    try:
        found = read_measurement_text(text, name="sheet.txt")
    except Refusal:
        return  # a refusal says what is wrong: the tests above hold it to that
    values = [value for sample in found.samples for value in sample.densities.values()]
    assert all(0 <= value <= HIGHEST_DENSITY for value in values)
