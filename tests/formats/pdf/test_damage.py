"""PDFs damaged at random come to a message or a picture, by our own hand. The campaign (tests/campaigns/pdf_damage.py)
has more."""

from __future__ import annotations

import os
import random
from pathlib import Path

import pytest

from formats.pdf.damage import FAULT, READ, STOPPED, damaged, good_pdfs, judged

EXAMPLES = int(os.environ.get("FILMSPLIT_FUZZ_EXAMPLES", "60"))


def test_the_good_files_are_good(tmp_path: Path) -> None:
    assert [each[:2] for each in judged(tmp_path, [data for _, data in good_pdfs()])] == [(READ, "")] * 3


@pytest.mark.parametrize("number", range(3))
def test_any_damage(tmp_path: Path, number: int) -> None:
    good = good_pdfs()[number][1]
    files = [damaged(good, random.Random(f"suite {number} {case}")) for case in range(EXAMPLES)]
    assert [each for each in judged(tmp_path, files) if each[0] in (FAULT, STOPPED)] == []
