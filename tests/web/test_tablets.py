"""Several tablets record at once while the server is killed and started again: nothing is lost, nothing is doubled.

The longer run is `python dev.py campaign tablets`; its seconds are recorded there and not tested here.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from filmsplit.web.network import addresses_here
from web.tablets import at_once, on_record


def test_nothing_is_lost_and_nothing_is_doubled(tmp_path: Path) -> None:
    if not addresses_here(0):
        pytest.skip("this computer is in no network: no tablet could find it")
    tally = at_once(tmp_path, tablets=6, lasting_s=10.0, pause_s=0.2, kills=1)
    kept = on_record(tmp_path)
    assert len(tally.confirmed) > 30
    assert tally.given_up == 0
    assert tally.repeated, "the kill met nobody: nothing was tried"
    assert set(kept) == tally.confirmed
    assert set(kept.values()) == {1}
