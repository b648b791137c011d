"""Places on a photo: a similarity of the plane, checked against complex numbers, which turn and stretch on their own.

Source: z -> a z + b is every similarity that keeps the sense of turning, and its conjugate every one that does not
(any text on complex numbers; Needham, Visual Complex Analysis, ch. 3).
"""

from __future__ import annotations

import cmath
import math
from random import Random

import pytest

from filmsplit.messages import Refusal
from filmsplit.press.photo_scale import MOST_TILT_DEG, Lie, PhotoScale, ScaleTold, Seen, photo_scale
from filmsplit.press.roller import Point

LONGER_SIDE = 2400.0


def told(rng: Random, *, seen: Seen, lie: Lie = Lie.LEVEL) -> tuple[ScaleTold, complex, complex]:
    """Taps of a photo that leans a little, and the similarity they were made by: dot = stretch * place + axis."""
    lean = math.radians(rng.uniform(-MOST_TILT_DEG, MOST_TILT_DEG) * 0.99)
    stretch, axis = cmath.rect(rng.uniform(0.5, 4.0), lean), complex(rng.uniform(0, 2000), rng.uniform(0, 2000))
    start, length_mm = complex(rng.uniform(-400, 400), rng.uniform(-400, 400)), rng.uniform(600, 900)
    along = {Lie.LEVEL: 1, Lie.UPRIGHT: 1j}[lie] * rng.choice((-1, 1))
    ends = [stretch * place + axis for place in (start, start + length_mm * along)]
    first, second = ((each.real, each.imag) for each in ends)
    given = ScaleTold(ends=(first, second), length_mm=length_mm, lie=lie, middle=(axis.real, axis.imag), seen=seen)
    return given, stretch, axis


@pytest.mark.parametrize("lie", [Lie.LEVEL, Lie.UPRIGHT])
@pytest.mark.parametrize("seen", list(Seen))
@pytest.mark.parametrize("seed", range(20))
def test_places_are_those_of_the_similarity_the_taps_were_made_by(seed: int, seen: Seen, lie: Lie) -> None:
    given, stretch, axis = told(Random(seed), seen=seen, lie=lie)
    scale = photo_scale(given, longer_side=LONGER_SIDE / 4)
    rng = Random(seed)
    for _ in range(10):
        x, up = rng.uniform(-500, 500), rng.uniform(-500, 500)
        # From the gear side right is left; on a photo down is what is up on the press.
        dot = stretch * complex(-x if seen is Seen.GEAR else x, -up) + axis
        point = scale.point((dot.real, dot.imag))
        assert (point.x_mm, point.y_mm) == pytest.approx((x, up), abs=1e-6)
        assert scale.dot(Point(x_mm=x, y_mm=up)) == pytest.approx((dot.real, dot.imag), abs=1e-6)
    assert scale.length_mm(*given.ends) == pytest.approx(given.length_mm)


def test_a_photo_of_which_nothing_is_known_is_taken_as_held_upright() -> None:
    given = ScaleTold(ends=((0, 0), (300, 400)), length_mm=250, lie=Lie.ANY, middle=(0, 0), seen=Seen.OPERATOR)
    assert photo_scale(given, longer_side=1000) == PhotoScale(
        mm_per_dot=0.5, tilt_deg=0.0, middle=(0, 0), mirrored=False
    )


@pytest.mark.parametrize(
    ("end", "lie", "slug"),
    [
        ((20.0, 0.0), Lie.ANY, "photo-ends-too-near"),
        ((0.0, 0.0), Lie.LEVEL, "photo-ends-too-near"),
        ((500.0, 140.0), Lie.LEVEL, "photo-leans"),
        ((140.0, 500.0), Lie.UPRIGHT, "photo-leans"),
        ((0.0, 500.0), Lie.LEVEL, "photo-leans"),
    ],
)
def test_taps_that_tell_no_scale_are_refused(end: tuple[float, float], lie: Lie, slug: str) -> None:
    given = ScaleTold(ends=((0.0, 0.0), end), length_mm=100, lie=lie, middle=(0, 0), seen=Seen.OPERATOR)
    with pytest.raises(Refusal) as refusal:
        photo_scale(given, longer_side=1000)
    assert [each.slug for each in refusal.value.problems] == [slug]
