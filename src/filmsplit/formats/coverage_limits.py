"""What a plate can be at most: anything beyond is refused before memory or time is spent on it."""

from __future__ import annotations

from collections.abc import Iterator

from filmsplit.messages import Problem

MM_PER_INCH = 25.4
LONGEST_MM = 2500.0
"""No sheetfed plate is longer (this project's own bound; the largest sheet formats are below 2 m)."""
LOWEST_DPI, HIGHEST_DPI = 20.0, 12_700.0
MOST_DOTS = 2 * 10**10
"""Four times the largest plate this project measures; about a minute and a half of reading."""


def sizes_possible(height: int, width: int, *, dots_per_mm: tuple[float, float], name: str) -> Iterator[Problem]:
    """What is absurd about a picture's dots, its resolution or its size."""
    if height < 1 or width < 1 or height * width > MOST_DOTS:
        yield Problem("plate-too-many-dots", {"file": name, "rows": height, "columns": width, "most": MOST_DOTS / 1e9})
        return
    dpi = tuple(each * MM_PER_INCH for each in dots_per_mm)
    if not LOWEST_DPI <= min(dpi) <= max(dpi) <= HIGHEST_DPI:
        limits = {"lowest": LOWEST_DPI, "highest": HIGHEST_DPI}
        yield Problem("plate-resolution-absurd", {"file": name, "down_dpi": dpi[0], "across_dpi": dpi[1], **limits})
        return
    size = (height / dots_per_mm[0], width / dots_per_mm[1])
    if max(size) > LONGEST_MM:
        yield Problem(
            "plate-size-absurd", {"file": name, "long_mm": size[0], "wide_mm": size[1], "most_mm": LONGEST_MM}
        )
