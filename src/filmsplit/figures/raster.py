"""A drawing as a PNG, the same on every machine: drawn with the fonts that come with the package."""

from __future__ import annotations

from importlib.resources import as_file, files

from filmsplit.figures.drawing import PAPER, Drawing
from filmsplit.figures.lettering import FONT_FAMILY

FONT_FILES = ("filmsplit-sans.ttf", "filmsplit-sans-bold.ttf")
MOST_PIXELS = 20_000
"""Widest picture that is made."""


READABLE_PX_PER_MM = 8.0
"""From here on the smallest letters of a drawing (2 mm) can be read on a screen."""


def readable_width_px(drawing: Drawing) -> int:
    """A width at which the whole drawing can be read."""
    return min(MOST_PIXELS, round(drawing.width_mm * READABLE_PX_PER_MM))


def to_png(drawing: Drawing, *, width_px: int) -> bytes:
    """The drawing as a PNG ``width_px`` wide, on white."""
    import resvg_py  # noqa: PLC0415  # only a picture needs it

    if not 1 <= width_px <= MOST_PIXELS:
        raise ValueError(f"width_px must lie between 1 and {MOST_PIXELS}")
    height_px = max(1, round(width_px * drawing.height_mm / drawing.width_mm))
    with as_file(files("filmsplit.figures").joinpath("fonts")) as folder:
        return bytes(
            resvg_py.svg_to_bytes(
                svg_string=drawing.svg,
                width=width_px,
                height=height_px,
                dpi=96,
                background=PAPER,
                skip_system_fonts=True,
                font_files=[str(folder / name) for name in FONT_FILES],
                font_family=FONT_FAMILY,
                sans_serif_family=FONT_FAMILY,
            )
        )
