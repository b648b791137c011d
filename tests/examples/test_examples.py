"""The examples teach what is true: one physical number each, and pictures that are up to date."""

import sys
from importlib import import_module
from pathlib import Path

import pytest

FOLDER = Path(__file__).parents[2] / "docs" / "examples"


@pytest.fixture(autouse=True)
def examples_on_path(monkeypatch):
    monkeypatch.syspath_prepend(str(FOLDER))
    yield
    for name in [n for n, m in sys.modules.items() if Path(getattr(m, "__file__", None) or ".").parent == FOLDER]:
        del sys.modules[name]


def test_chain_steps_by_the_sheet_film():
    """q, 2q, 3q, 4q, 5q (algebra of the even split); 1e-6: what 400 turns from empty leave to settle."""
    assert import_module("ex01_chain").main().over_sheet == pytest.approx([1, 2, 3, 4, 5], rel=1e-6)


def test_start_up_area_is_ink_stored_over_ink_printed():
    """Conservation of ink; 1e-6: what 500 turns from empty leave to settle at 20 %."""
    heavy, light = import_module("ex06_start_up").main()
    for found in (heavy, light):
        assert found.missing == pytest.approx(found.stored_over_printed, rel=1e-6)
    assert light.sheets_63 > heavy.sheets_63
    assert light.sheets_95 > heavy.sheets_95


def test_pictures_are_up_to_date():
    gallery = import_module("make_gallery")
    assert {file.stem for file in FOLDER.glob("ex*.py")} == set(gallery.EXAMPLES)
    for name in gallery.EXAMPLES:
        assert (gallery.PICTURES / f"{name}.svg").read_text(encoding="utf-8") == gallery.drawn(name)
