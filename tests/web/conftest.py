from __future__ import annotations

from pathlib import Path

import pytest

from web.served import Visit


@pytest.fixture
def visit(tmp_path: Path) -> Visit:
    """A browser before an empty shop."""
    return Visit(tmp_path)


@pytest.fixture
def at_heron(visit: Visit) -> Visit:
    """A browser before a shop with one press whose rollers are registered."""
    visit.send("/presses/bring", press="heron")
    visit.send("/presses/heron/register")
    return visit
