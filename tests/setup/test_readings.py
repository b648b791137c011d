"""Readings as they are set: numbers anybody can repeat."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import trains
from filmsplit.press.words import KeyKind
from filmsplit.setup.key_scale import FULL_UM, KeyScale, Origin, key_scale
from filmsplit.setup.readings import openings_of, readings_of


def _scale(
    kind: KeyKind = KeyKind.NUMBERED, *, settable: float = 0.5, zeros: tuple[float, ...] = (0.0, 2.0)
) -> KeyScale:
    return KeyScale(kind=kind, highest=20.0, zeros=zeros, gains_um=(3.0, 4.0), settable=settable, origin=Origin.GIVEN)


def test_numbered_keys_with_zeros_of_their_own() -> None:
    """Half open from 2 to 20 is 11; 0.33 of 20 divisions is 6.6, set as 6.5: 0.1 x 3 um too little."""
    first, second = readings_of(np.array([0.33, 0.5]), _scale())
    assert (first.reading, second.reading) == (6.5, 11.0)
    assert first.film_off_um == pytest.approx(-0.3)
    assert second.film_off_um == pytest.approx(0.0)


def test_a_shut_key_is_shut_and_no_other_is_rounded_to_shut() -> None:
    shut, nearly = readings_of(np.array([0.0, 0.01]), _scale())
    assert (shut.reading, shut.opening) == (0.0, 0.0)
    assert nearly.reading == 2.5
    assert nearly.film_off_um == pytest.approx((2.5 - 2.18) * 4.0)


def test_no_reading_passes_the_limit_of_a_key() -> None:
    """85 % of 20 divisions is 17; asked for 16.9 with whole steps is 17, asked for 17.4 is 17 too."""
    scale = _scale(settable=1.0, zeros=(0.0, 0.0))
    assert [each.reading for each in readings_of(np.array([0.845, 0.87]), scale, highest=0.85)] == [17.0, 17.0]
    assert readings_of(np.array([0.845, 0.0]), scale, highest=0.84)[0].reading == 16.0


def test_steps_are_whole() -> None:
    first, _ = readings_of(np.array([0.33, 0.5]), _scale(KeyKind.STEPPED, settable=1.0))
    assert first.reading == 7.0


def test_unnumbered_keys_in_eighths_of_a_turn_from_just_closed() -> None:
    scale = KeyScale(
        kind=KeyKind.UNNUMBERED, highest=3.0, zeros=(0.0,), gains_um=(20.0,), settable=0.125, origin=Origin.GIVEN
    )
    (only,) = readings_of(np.array([0.47]), scale)  # 1.41 turns
    assert only.reading == 1.375


@given(st.lists(st.floats(0.0, 1.0), min_size=2, max_size=2))
def test_rounding_is_never_more_than_half_of_what_can_be_set_but_for_small_openings(openings: list[float]) -> None:
    scale = _scale()
    back = openings_of(np.array([each.reading for each in readings_of(np.array(openings), scale)]), scale)
    for asked, found, divisions in zip(openings, back, scale.ranges, strict=True):
        if asked * divisions >= scale.settable:
            assert abs(found - asked) * divisions <= scale.settable / 2 + 1e-9


def test_where_the_gain_comes_from_is_said() -> None:
    fountain = trains.build_fountain("IF")
    given_ = key_scale(fountain)
    assert given_.full_um == pytest.approx(50.0)  # 0.5 um x 100 divisions
    unknown = key_scale(replace(fountain, keys=replace(fountain.keys, film_um_per_division=None)))
    assert unknown.full_um == pytest.approx(FULL_UM)
    learned = key_scale(fountain, zeros=(1.0,) * 10, gains_um=(0.6,) * 10)
    assert [each.told("A").slug for each in (given_, unknown, learned)] == [
        "setup-gain-given",
        "setup-gain-assumed",
        "setup-gain-learned",
    ]


def test_a_scale_that_cannot_be() -> None:
    with pytest.raises(ValueError, match="gain"):
        _scale(zeros=(0.0, 20.0))
