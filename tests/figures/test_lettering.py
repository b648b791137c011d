"""The width table is that of the vendored fonts, and the fonts are the files the readme vouches for."""

from __future__ import annotations

import hashlib
import re
from importlib.resources import files

import pytest
from PIL import ImageFont

from filmsplit.figures.lettering import is_covered, text_width_mm, wrapped
from filmsplit.figures.raster import FONT_FILES

FONTS = files("filmsplit.figures").joinpath("fonts")
TEXTS = (
    "ink fountain roller",
    "Ø ~172.5 mm",
    "30 Shore A",
    "Walze für Feuchtwasser",
    "Валик 4",
    "Wałek nadający",
    "F1",
)


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("text", TEXTS)
def test_a_text_is_as_wide_as_the_font_sets_it(text: str, bold: bool) -> None:
    """Outside check: FreeType, through Pillow, measures the same file."""
    font = ImageFont.truetype(str(FONTS.joinpath(FONT_FILES[bold])), 2048, layout_engine=ImageFont.Layout.BASIC)
    assert text_width_mm(text, 2.0, bold=bold) == pytest.approx(font.getlength(text) * 2.0 / 2048, rel=0.002)


def test_the_fonts_are_those_of_the_readme() -> None:
    readme = FONTS.joinpath("README.md").read_text(encoding="utf-8")
    for name in FONT_FILES:
        digest = hashlib.sha256(FONTS.joinpath(name).read_bytes()).hexdigest()
        assert re.search(rf"`{name}` \| `{digest}`", readme)


def test_the_licence_comes_with_the_fonts_and_its_naming_rule_is_kept() -> None:
    """The licence asks a changed font not to be called Bitstream, Vera, Tavmjong Bah or Arev."""
    licence = FONTS.joinpath("LICENSE-FONTS.txt").read_text(encoding="utf-8")
    assert "Permission is hereby granted" in licence
    for name in FONT_FILES:
        family, _ = ImageFont.truetype(str(FONTS.joinpath(name)), 10).getname()
        assert family == "Filmsplit Sans"


def test_a_character_the_font_lacks_is_known_and_counts_as_one_em() -> None:
    assert is_covered("Ø 54 mm · Zürich")
    assert not is_covered("印刷")
    assert text_width_mm("印", 2.0) == pytest.approx(2.0)


def test_wrapping_keeps_every_word_and_the_width() -> None:
    lines = wrapped("rider on the second form roller", 20.0, 2.25)
    assert " ".join(lines) == "rider on the second form roller"
    assert all(text_width_mm(line, 2.25) <= 20.0 for line in lines)
    assert len(lines) > 1
