"""The same small work as bits, as grey, and as figures by zone: what every way in must agree on."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from filmsplit.artwork import CoverageMap, zone_totals
from filmsplit.formats.coverage_file import read_coverage
from filmsplit.formats.coverage_options import CoverageOptions
from filmsplit.messages import Refusal

DPI = 508.0
"""20 dots to the millimetre, so that millimetres are whole dots and every sum can be done by hand."""
DOTS_PER_MM = 20
ZONE_MM = 30.0
SHARES = (0.0, 0.02, 0.10, 0.25, 0.5, 1.0)
EDGES_MM = np.arange(len(SHARES) + 1) * ZONE_MM
HEIGHT_MM = 20


def bits(height: int = HEIGHT_MM * DOTS_PER_MM) -> np.ndarray:
    """Zones of exactly these shares: in every 100 rows of a zone so many are solid, in an order that is not regular."""
    rows = np.random.default_rng(5).permuted(np.arange(100))
    solid = [np.tile(rows < round(100 * share), height // 100 + 1)[:height] for share in SHARES]
    return np.repeat(np.array(solid).T, round(ZONE_MM * DOTS_PER_MM), axis=1).astype(np.uint8)


def grey(height: int = HEIGHT_MM * DOTS_PER_MM) -> np.ndarray:
    """Zones of even values, 255 being full ink: shares to the nearest of 255 steps (0.2 % at most)."""
    values = np.rint(255 * np.array(SHARES)).astype(np.uint8)
    return np.tile(np.repeat(values, round(ZONE_MM * DOTS_PER_MM)), (height, 1))


def read(path: Path, data: bytes, **options: object) -> tuple[CoverageMap, ...]:
    """Write, then read with cuts at the zones."""
    path.write_bytes(data)
    cuts = tuple(EDGES_MM.tolist())
    return read_coverage(path, CoverageOptions(**{"cuts_across_mm": cuts, **options})).maps  # type: ignore[arg-type]


def zones(artwork: CoverageMap) -> np.ndarray:
    return zone_totals(artwork, EDGES_MM).coverage


def refused(path: Path, data: bytes, **options: object) -> list[str]:
    """The slugs of the refusal; every message must be complete. Fails where the file is read."""
    with pytest.raises(Refusal) as refusal:
        read(path, data, **options)
    assert all(problem.what and problem.remedy for problem in refusal.value.problems)
    return [problem.slug for problem in refusal.value.problems]
