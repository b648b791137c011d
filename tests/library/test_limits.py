"""The list of what is not modelled is whole and reaches every kind of answer."""

from __future__ import annotations

import math

import pytest

from filmsplit.library.limits import Limit, limits, limits_of

AREAS = ("layout", "facts", "marks", "ink", "drawing", "contact", "change")


@pytest.mark.parametrize("limit", limits(), ids=lambda limit: limit.slug)
def test_each_limit_says_what_and_so_what(limit: Limit) -> None:
    assert limit.what.endswith(".")
    assert limit.so.endswith(".")
    assert limit.source
    assert limit.area in (*AREAS, "all")


@pytest.mark.parametrize("area", AREAS)
def test_every_area_has_limits_of_its_own_and_the_common_ones(area: str) -> None:
    found = {limit.slug for limit in limits_of(area)}
    assert any(limit.area == area for limit in limits_of(area))
    assert {"no-water-yet", "no-safety"} <= found


def test_the_figures_in_the_sentences_are_right() -> None:
    by_slug = {limit.slug: limit for limit in limits()}
    # Bonded cover: all growth goes into thickness, 3 x alpha x thickness x dT; alpha 2e-4 per K (memory).
    grown_mm = 3 * 2e-4 * 10 * 15
    assert f"{grown_mm:.2f} mm" in by_slug["no-heat"].so
    # The repeat grows by pi x twice that: about half a millimetre.
    assert 2 * math.pi * grown_mm == pytest.approx(0.5, abs=0.1)
    # Geometry: 0.1 mm more radius is 2 pi x 0.1 mm more circumference.
    assert f"{2 * math.pi * 0.1:.1f} mm" in by_slug["print-length"].so
