"""The ruler that pages are measured with, on pages whose faults are known."""

from __future__ import annotations

from reports.pages import Glyph, Page


def page(*glyphs: Glyph) -> Page:
    return Page(text="", size_mm=(210.0, 297.0), boxes_mm=(), closed_mm=(), glyphs=glyphs, sizes_pt=())


def test_a_letter_that_its_typeface_sets_under_the_one_before_is_no_fault() -> None:
    """J of DejaVu Sans begins 106 of 2048 units before its place, K ends 40 beyond its own: they share 0.2 mm."""
    assert page(Glyph("K", (10.0, 10.0, 12.27, 12.6)), Glyph("J", (12.03, 9.5, 12.9, 12.6))).overlapping() == []


def test_letters_written_over_each_other_are_found() -> None:
    below, after = Glyph("a", (10.0, 10.0, 11.5, 12.0)), Glyph("b", (11.0, 10.0, 12.5, 12.6))
    far = Glyph("c", (50.0, 10.0, 51.0, 12.0))
    assert len(page(below, after).overlapping()) == 1, "the next letter, a third of its width over it"
    assert len(page(below, far, after).overlapping()) == 1, "another letter further on"
    assert page(below, far).overlapping() == []
