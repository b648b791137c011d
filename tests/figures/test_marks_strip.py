"""The strip of measured marks: to scale, suspects' places right, figures apart."""

from __future__ import annotations

import re
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest

from figures.trains import full_press
from filmsplit.faults.match import match_marks
from filmsplit.faults.result import MarkMatch
from filmsplit.faults.travel import window_of
from filmsplit.figures.lettering import text_width_mm
from filmsplit.figures.marks import draw_marks, predicted
from filmsplit.press import Press

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def press() -> Press:
    return full_press()


@pytest.fixture(scope="module")
def found(press: Press) -> MarkMatch:
    """F1 has 54 mm: 12, then 12 + 54 pi = 181.6, then 351.3 mm."""
    return match_marks(press, [12.0, 181.6, 351.3])


def test_predicted_places_are_one_circumference_apart(press: Press, found: MarkMatch) -> None:
    best = found.best
    assert best is not None
    ticks = predicted(best, window_of(press, press.units[0]), [0])
    assert [round(tick.mm) for tick in ticks] == [12, 182, 351]
    for a, b in pairwise(ticks):
        assert b.mm - a.mm == pytest.approx(best.expected_mm)


def test_places_go_on_over_the_next_sheets(press: Press) -> None:
    """By hand: plate 543.5 mm round, roller 54 pi = 169.6: next sheet begins at 12 + 4 x 169.6 - 543.5 = 147."""
    found = match_marks(press, [(0, 12.0), (0, 181.6), (0, 351.3), (1, 147.1)])
    assert found.best is not None
    ticks = predicted(found.best, window_of(press, press.units[0]), [0, 1])
    assert [tick.sheet for tick in ticks] == [0, 0, 0, 1, 1]
    assert ticks[3].mm == pytest.approx(147.1, abs=0.5)


def test_marks_are_drawn_to_the_stated_scale(press: Press, found: MarkMatch) -> None:
    drawing = draw_marks(press, found)
    root = ET.fromstring(drawing.svg)
    scale = float(re.search(r"1 : ([\d.]+)", drawing.svg)[1])  # type: ignore[index]
    bars = [node.get("d", "") for node in root.iter(f"{SVG}path") if node.get("stroke-width") == "0.9"]
    xs = sorted(float(re.match(r"M([\d.]+)", way)[1]) for way in bars)[:]  # type: ignore[index]
    gaps = [b - a for a, b in pairwise(xs) if b - a > 20]
    assert [gap * scale for gap in gaps] == pytest.approx([169.6, 169.7], abs=0.05)


def test_figures_do_not_run_into_each_other(press: Press) -> None:
    """Even where a gear's marks stand closer than their figures are wide."""
    found = match_marks(press, [10.0, 18.2, 26.4, 34.6, 42.8])
    rows: dict[str, list[tuple[float, float]]] = {}
    for node in ET.fromstring(draw_marks(press, found).svg).iter(f"{SVG}text"):
        if node.get("text-anchor") == "middle":
            half = text_width_mm(node.text or "", float(node.get("font-size", 0))) / 2
            x = float(node.get("x", 0))
            rows.setdefault(node.get("y", ""), []).append((x - half, x + half))
    for spans in rows.values():
        assert all(right <= left for (_, right), (left, _) in pairwise(sorted(spans)))


def test_it_is_accessible_and_names_the_suspects(press: Press, found: MarkMatch) -> None:
    drawing = draw_marks(press, found)
    root = ET.fromstring(drawing.svg)
    assert root.get("role") == "img"
    assert "F1" in drawing.alt
    assert "12 mm" in drawing.alt
