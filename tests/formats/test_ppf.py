"""Preview pictures of job files: every way of storing them, every way of breaking them.

No file of anybody else's was at hand; the fields are from memory of the specification, the filters from the PostScript
Language Reference.
"""

from __future__ import annotations

import contextlib
import random
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from filmsplit.formats.coverage_file import read_coverage, work_size_mm
from filmsplit.formats.coverage_options import CoverageOptions, CoverageRead
from filmsplit.formats.pdf.asked import PdfAsked
from filmsplit.formats.ppf_tokens import Broken, Name, Scanner, Word
from filmsplit.messages import Refusal
from formats.made_ppf import Dots, job, picture, separations
from formats.plate_mutations import damaged, judge

ROWS, COLUMNS = 20, 30


def ramp() -> Dots:
    """Different in every dot, so that any turn shows."""
    return np.arange(ROWS * COLUMNS, dtype=np.uint16).reshape(ROWS, COLUMNS).astype(np.uint8)


def blocks() -> Dots:
    """Fives of equal dots, gently rising: what a JPEG keeps to a step or two."""
    return np.repeat(np.repeat(np.linspace(20, 230, 24).reshape(4, 6), 5, 0), 5, 1).astype(np.uint8)


def read(path: Path, data: bytes, **options: object) -> CoverageRead:
    path.write_bytes(data)
    return read_coverage(path, CoverageOptions(cell_mm=0.5, **options))  # type: ignore[arg-type]


def refused(path: Path, data: bytes, **options: object) -> list[str]:
    with pytest.raises(Refusal) as refusal:
        read(path, data, **options)
    assert all(each.what and each.remedy for each in refusal.value.problems)
    return [each.slug for each in refusal.value.problems]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "job.ppf"


@pytest.mark.parametrize("encoding", ["ASCIIHexDecode", "ASCII85Decode", "Binary"])
@pytest.mark.parametrize("compression", ["None", "RunLengthDecode", "DCTDecode"])
def test_every_dot_comes_back(path: Path, encoding: str, compression: str) -> None:
    inks = [blocks(), 255 - blocks()]
    data = job(separations(inks, encoding=encoding, compression=compression), names=["Cyan", "Gold (fine)"])
    found = read(path, data).maps
    assert [each.ink for each in found] == ["Cyan", "Gold (fine)"]
    for ink, each in zip(inks, found, strict=True):
        assert np.allclose(each.coverage, ink / 255, atol=2.5 / 255 if compression == "DCTDecode" else 1e-12)
    assert work_size_mm(path) == pytest.approx((ROWS / 2, COLUMNS / 2))  # 50.8 dots to the inch are two to the mm


TURNS = {
    "rows from the top": ((COLUMNS, 0, 0, -ROWS, 0, ROWS), lambda seen: seen),
    "rows from the foot": ((COLUMNS, 0, 0, ROWS, 0, 0), lambda seen: seen[::-1]),
    "columns from the right": ((-COLUMNS, 0, 0, -ROWS, COLUMNS, ROWS), lambda seen: seen[:, ::-1]),
    "turned round": ((-COLUMNS, 0, 0, ROWS, COLUMNS, 0), lambda seen: seen[::-1, ::-1]),
}


@pytest.mark.parametrize("turn", TURNS)
def test_pictures_are_seen_the_right_way_up(path: Path, turn: str) -> None:
    matrix, stored = TURNS[turn]
    found = read(path, job(separations([stored(ramp())], matrix=matrix))).maps[0]
    assert np.allclose(found.coverage, ramp() / 255)


@pytest.mark.parametrize("x", [0.12, 0.88])
@pytest.mark.parametrize("y", [0.12, 0.88])
@pytest.mark.parametrize("signs", [(1, 1), (1, -1), (-1, 1), (-1, -1)])
def test_pictures_stored_by_columns_follow_the_matrix(path: Path, x: float, y: float, signs: tuple[int, int]) -> None:
    """By the definition of the image matrix: a place of the unit square goes to a column and a row of the picture."""
    width, height = COLUMNS, ROWS
    b, c = signs[0] * height, signs[1] * width
    e, f = (0 if c > 0 else width), (0 if b > 0 else height)
    column, row = int(c * y + e), int(b * x + f)
    stored = np.zeros((height, width), dtype=np.uint8)
    stored[row, column] = 255
    found = read(path, job(separations([stored], matrix=(0, b, c, 0, e, f)))).maps[0].coverage
    assert found.shape == (width, height)
    assert np.argwhere(found > 0).tolist() == [[int((1 - y) * width), int(x * height)]]


def test_bits(path: Path) -> None:
    dots = np.where(ramp() > 100, np.uint8(255), np.uint8(0))
    found = read(path, job(separations([dots], bits=1, compression="RunLengthDecode", encoding="Binary"))).maps[0]
    assert np.array_equal(found.coverage, dots / 255)


def test_a_composite_has_the_process_inks(path: Path) -> None:
    inks = np.stack([np.full((ROWS, COLUMNS), value, dtype=np.uint8) for value in (0, 51, 102, 255)], axis=2)
    content = b"CIP3BeginPreviewImage\n%sCIP3EndPreviewImage\n"
    found = read(path, job(content % picture(inks)))
    assert {each.ink: each.mean for each in found.maps} == pytest.approx(
        {"Cyan": 0, "Magenta": 0.2, "Yellow": 0.4, "Black": 1}
    )
    both = content % picture(inks) + separations([ramp()])
    assert len(read(path, job(both)).maps) == 1  # separations are nearer to the plates


def test_sides_are_asked_for(path: Path) -> None:
    data = job(separations([ramp()]), separations([255 - ramp()]))
    assert refused(path, data) == ["ppf-which-side"]
    for page, dots in ((1, ramp()), (2, 255 - ramp())):
        found = read(path, data, pdf=PdfAsked(page=page)).maps[0]
        assert np.allclose(found.coverage, dots / 255)
        assert found.source.page == page
    assert refused(path, data, pdf=PdfAsked(page=3)) == ["ppf-side-missing"]


def test_negative_encoding(path: Path) -> None:
    found = read(path, job(separations([ramp()], more=b"/CIP3PreviewImageFilmEncoding /Negative def\n"))).maps[0]
    assert np.allclose(found.coverage, 1 - ramp() / 255)


def test_cuts_fall_between_dots(path: Path) -> None:
    dots = np.zeros((ROWS, COLUMNS), dtype=np.uint8)
    dots[:, :7] = 255
    found = read(path, job(separations([dots])), cuts_across_mm=(3.5,)).maps[0]
    place = list(found.across_edges_mm).index(3.5)
    assert np.all(found.coverage[:, :place] == 1)
    assert np.all(found.coverage[:, place:] == 0)


GOOD = job(separations([ramp(), ramp()]), names=["Cyan"])


@pytest.mark.parametrize(
    ("old", "new", "slugs"),
    [
        (b"/CIP3PreviewImageWidth 30", b"/CIP3PreviewImageWidth 0", ["ppf-field-wrong"] * 2),
        (b"/CIP3PreviewImageWidth 30", b"/CIP3PreviewImageWidth 99999999999", ["ppf-field-wrong"] * 2),
        (b"/CIP3PreviewImageWidth 30", b"/CIP3PreviewImageWidth 29.5", ["ppf-field-wrong"] * 2),
        (b"/CIP3PreviewImageWidth 30 def", b"", ["ppf-field-missing", "ppf-field-wrong"]),
        (b"Comp 8", b"Comp 12", ["ppf-field-wrong"]),
        (b"Components 1", b"Components 3", ["ppf-field-wrong"]),
        (b"[30 0 0 -20 0 20]", b"[30 1 0 -20 0 20]", ["ppf-field-wrong"]),
        (b"[30 0 0 -20 0 20]", b"[30 0 0 -20]", ["ppf-field-wrong"]),
        (b"[50.8 50.8]", b"[0 50.8]", ["ppf-field-wrong"]),
        (b"[50.8 50.8]", b"[5 5]", ["plate-resolution-absurd"]),
        (b"/ASCIIHexDecode", b"/LZWDecode", ["ppf-field-wrong"]),
        (b"/None", b"/Own", ["ppf-field-wrong"]),
        (b"CIP3EndSeparation", b"CIP3EndFront", ["ppf-damaged"]),
        (b"CIP3EndFront", b"CIP3EndBack", ["ppf-damaged"]),
        (b"CIP3BeginSheet", b"CIP3BeginSheet ]", ["ppf-damaged"]),
        (b"(A job)", b"(A job", ["ppf-damaged"]),
        (b"(A job)", b"[" * 40 + b"]" * 40, ["ppf-damaged"]),
    ],
    ids=range(17),
)
def test_each_fault_has_its_message(path: Path, old: bytes, new: bytes, slugs: list[str]) -> None:
    assert old in GOOD
    assert refused(path, GOOD.replace(old, new)) == slugs


def test_data_cut_short(path: Path) -> None:
    end = GOOD.index(b">")
    assert refused(path, GOOD[: end - 10] + GOOD[end:]) == ["ppf-data-short"]
    assert refused(path, GOOD[:-300]) == ["ppf-damaged"]
    assert refused(path, GOOD[: GOOD.index(b"CIP3BeginFront")]) == ["ppf-without-preview"]


def test_pictures_of_two_sizes(path: Path) -> None:
    inner = separations([ramp()]) + separations([ramp()[:10]])
    assert refused(path, job(inner)) == ["ppf-sizes-differ"]


def test_names_left_out_are_numbers(path: Path) -> None:
    assert [each.ink for each in read(path, GOOD).maps] == ["Cyan", "page 2"]
    assert [each.ink for each in read(path, GOOD, inks=("Red", "Green")).maps] == ["Red", "Green"]
    assert refused(path, GOOD, inks=("Red",)) == ["plate-inks-do-not-fit"]


@pytest.mark.parametrize(
    ("text", "tokens"),
    [
        (b"/A 1 def % no\n-2.5e1 .5", [Name("A"), 1.0, Word("def"), -25.0, 0.5]),
        (b"(a(b)c\\)\\101\\n\\\n) <414> <>", [b"a(b)c)A\n", b"A@", b""]),
        (b"[1 [(a) /B] c] {x {y}}", [(1.0, (b"a", Name("B")), Word("c")), (Word("x"), (Word("y"),))]),
        (b"<< /A 1 >> /", [(Name("A"), 1.0), Name("")]),
    ],
)
def test_tokens(text: bytes, tokens: list[object]) -> None:
    """After the examples of the PostScript Language Reference, 3.2."""
    scanner, found = Scanner(text), []
    while (token := scanner.next()) is not None:
        found.append(token)
    assert found == tokens


@settings(max_examples=300, deadline=None, derandomize=True)
@given(st.binary(max_size=200))
def test_any_bytes_are_tokens_or_broken(text: bytes) -> None:
    scanner = Scanner(text)
    with contextlib.suppress(Broken):
        while scanner.next() is not None:
            pass
    assert 0 <= scanner.at <= len(text)


WAYS = (("ASCIIHexDecode", "None"), ("Binary", "RunLengthDecode"), ("Binary", "DCTDecode"), ("ASCII85Decode", "None"))


@settings(max_examples=300, deadline=None, derandomize=True)
@given(kind=st.integers(0, 3), seed=st.integers(0, 2**32))
def test_any_damage(tmp_path_factory: pytest.TempPathFactory, kind: int, seed: int) -> None:
    ways = [
        ("ASCIIHexDecode", "None"),
        ("Binary", "RunLengthDecode"),
        ("Binary", "DCTDecode"),
        ("ASCII85Decode", "None"),
    ]
    encoding, compression = ways[kind]
    good = job(separations([ramp(), blocks()], encoding=encoding, compression=compression), names=["Cyan", "Black"])
    head = good[:40]
    bad = head + damaged(good[40:], random.Random(seed))
    judge(tmp_path_factory.getbasetemp() / "job.ppf", bad)
