"""PNG: of the size asked for, with letters from the vendored fonts, legible in grey."""

from __future__ import annotations

import math
from io import BytesIO

import pytest
from PIL import Image

from figures.trains import full_press
from filmsplit.figures.classes import PathKind
from filmsplit.figures.drawing import Drawing, finish, text
from filmsplit.figures.layout import Wanted, lay_out
from filmsplit.figures.lettering import text_width_mm
from filmsplit.figures.lines import Tells
from filmsplit.figures.raster import to_png
from filmsplit.figures.train import draw_train

WORDS = "Ø 54 mm fourth form roller"


def opened(png: bytes) -> Image.Image:
    return Image.open(BytesIO(png))


def words_only(font_size: float) -> Drawing:
    return finish([text(WORDS, (10.0, 30.0), size=font_size)], size_mm=(200.0, 50.0), title="words", alt="words")


def test_it_is_as_wide_as_asked_and_keeps_its_shape() -> None:
    drawing = draw_train(full_press())
    picture = opened(to_png(drawing, width_px=900))
    assert picture.width == 900
    assert picture.height == pytest.approx(900 * drawing.height_mm / drawing.width_mm, abs=1)


def test_letters_are_drawn_where_the_layout_reckons_them() -> None:
    """The dark pixels reach exactly as far as the width table says: the font in the package was used."""
    picture = opened(to_png(words_only(10.0), width_px=2000)).convert("L")
    left, _, right, _ = picture.point(lambda value: 255 if value < 128 else 0).getbbox() or (0, 0, 0, 0)
    assert left / 10 == pytest.approx(10.0, abs=1.0)
    assert (right - left) / 10 == pytest.approx(text_width_mm(WORDS, 10.0), abs=1.5)


def test_the_same_drawing_gives_the_same_bytes() -> None:
    assert to_png(words_only(8.0), width_px=500) == to_png(words_only(8.0), width_px=500)


@pytest.mark.parametrize("width_px", [0, -5, 10**6])
def test_a_size_out_of_reason_is_refused(width_px: int) -> None:
    with pytest.raises(ValueError, match="width_px"):
        to_png(words_only(8.0), width_px=width_px)


def test_a_hard_grey_photocopy_keeps_rims_and_paths() -> None:
    """As a copier that knows only black and white: at 12 dots a millimetre (300 dpi) rims and paths come through."""
    press = full_press()
    layout = lay_out(press, press.units, Wanted(Tells.EVERYTHING, ink_path=True, contacts=True, paper=None))
    per_mm = 12
    picture = opened(to_png(draw_train(press), width_px=round(layout.page.width_mm * per_mm))).convert("L")

    def is_black(spot: tuple[float, float]) -> bool:
        x, y = (round(value * per_mm) for value in spot)
        return any(picture.getpixel((x + dx, y + dy)) < 128 for dx in (-2, 0, 2) for dy in (-2, 0, 2))

    nips = [nip.at for nip in layout.stages[0].nips]
    spots = [ride.at(part / 40) for ride in dict(layout.rides)[PathKind.INK] for part in range(1, 40)]
    open_way = [spot for spot in spots if min(math.dist(spot, nip) for nip in nips) > 3.0]
    assert len(open_way) > 0.7 * len(spots)
    assert all(map(is_black, open_way))
    body = layout.stages[0].bodies["RD1"]
    assert all(is_black(body.at(angle, inset=0.25)) for angle in range(0, 360, 10))


def test_nothing_of_a_roller_is_drawn_outside_its_circle() -> None:
    """The free side of the metering roller: white from a fifth of a millimetre outside the rim."""
    press = full_press()
    layout = lay_out(press, press.units, Wanted(Tells.EVERYTHING, ink_path=True, contacts=True, paper=None))
    picture = opened(to_png(draw_train(press), width_px=round(layout.page.width_mm * 12))).convert("L")
    body = layout.stages[0].bodies["WM"]
    for angle in range(195, 300, 3):
        x, y = body.at(angle, inset=-0.2)
        assert picture.getpixel((round(x * 12), round(y * 12))) > 250
