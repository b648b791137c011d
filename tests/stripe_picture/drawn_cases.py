"""Which pictures are drawn: readable ones all over what is promised, and ones that nobody could read."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np

from stripe_picture.drawn_pictures import Scene, Shot

INKS = {
    "black": (0.04, 0.04, 0.05),
    "cyan": (0.05, 0.25, 0.55),
    "magenta": (0.55, 0.06, 0.16),
    "yellow": (0.72, 0.6, 0.06),
    "dark blue": (0.04, 0.05, 0.18),
}


def readable(number: int) -> tuple[Scene, Shot]:
    """A picture within the promise: 6 to 20 dots/mm, tilt to 20 degrees, blur (sigma) to 0.3 mm, ramp 0.2 to 1 mm,
    dropout to 20 %, with noise, glare, shadow, uneven light and JPEG."""
    random = np.random.default_rng(7000 + number)
    px_per_mm = math.exp(random.uniform(math.log(6), math.log(20)))
    tilt = 20 * math.sqrt(random.uniform())
    scene = Scene(
        seed=number,
        card=int(random.integers(3)),
        stripe_y=random.uniform(53, 68),
        slope=random.uniform(-0.06, 0.06),
        bow=random.uniform(-0.5, 0.5),
        width=random.uniform(2, 10),
        taper=random.uniform(-0.8, 0.8),
        bulge=random.uniform(-0.5, 0.5),
        ramp=random.uniform(0.2, 1.0),
        dropout=random.uniform(0, 0.2),
        ink=INKS[random.choice(["black", "black", *INKS])],
        paper=tuple(random.uniform(0.7, 0.85) * np.array([1, 1, random.uniform(0.9, 1)])),
        table=tuple(random.uniform(0.05, 0.6) * np.array([1, random.uniform(0.7, 1), random.uniform(0.5, 1)])),
    )
    edge = 11 + 36 * math.sin(math.radians(tilt))
    shot = Shot(
        px_per_mm=px_per_mm,
        tilt=tilt,
        tilt_towards=random.uniform(0, 360),
        turn=random.uniform(-6, 6) + (180 if random.uniform() < 0.15 else 0),
        distance=random.uniform(260, 500),
        blur=random.uniform(0.03, 0.3),
        noise=random.uniform(0.003, 0.03),
        uneven=random.uniform(0, 0.4),
        shadow=random.uniform(0, 0.5),
        shadow_at=(random.uniform(20, 130), random.uniform(20, 70), random.uniform(0, 2 * math.pi)),
        glare=random.uniform(0, 0.25),
        glare_at=(random.uniform(0, 150), random.uniform(0, 80), random.uniform(6, 25)),
        tone=random.uniform(0.92, 1.08),
        quality=int(random.integers(70, 96)),
        frame=(-edge, -edge, 150 + edge, 78 + edge),
    )
    return scene, shot


def unreadable() -> Iterator[tuple[str, Scene, Shot]]:
    """Pictures that must be refused, each with what is wrong with it. Five of each kind."""
    for kind, spoil in SPOILED.items():
        for number in range(5):
            scene, shot = readable(9000 + number)
            scene = replace(scene, width=3.0 + number, ramp=0.4, dropout=0.03, ink=INKS["black"], stripe_y=58.0)
            shot = replace(shot, px_per_mm=8.0, tilt=8.0, turn=4.0, blur=0.1, noise=0.01, glare=0.0, shadow=0.1)
            yield (kind, *spoil(scene, shot, number))


Spoil = Callable[[Scene, Shot, int], tuple[Scene, Shot]]
SPOILED: dict[str, Spoil] = {
    "no card": lambda scene, shot, _: (replace(scene, card=None), shot),
    "card cut by the frame": lambda scene, shot, n: (scene, replace(shot, frame=(-20, 16 + n, 170, 95))),
    "blurred": lambda scene, shot, n: (scene, replace(shot, blur=0.6 + 0.15 * n)),
    "too small": lambda scene, shot, n: (scene, replace(shot, px_per_mm=3.5 - 0.3 * n)),
    "from the side": lambda scene, shot, n: (scene, replace(shot, tilt=45 + 2.0 * n, tilt_towards=72.0 * n)),
    "no stripe": lambda scene, shot, _: (replace(scene, stripe_from=400.0, stripe_to=500.0), shot),
    "stripe cut by the frame": lambda scene, shot, _: (
        scene,
        replace(shot, tilt=0.0, turn=0.0, frame=(-15, -15, 165, scene.stripe_y + 0.2)),
    ),
    "stripe under the card": lambda scene, shot, _: (replace(scene, stripe_y=42.0), shot),
    "too short": lambda scene, shot, n: (replace(scene, stripe_from=20.0, stripe_to=45.0 + 4 * n), shot),
    "two stripes": lambda scene, shot, n: (replace(scene, second_y=72.0 + n, width=4.0), shot),
    "too faint": lambda scene, shot, n: (replace(scene, ink=(0.5, 0.5, 0.5 + 0.02 * n)), shot),
    "glare over the stripe": lambda scene, shot, n: (
        scene,
        replace(shot, glare=6.0, glare_at=(60.0 + 8 * n, 58.0, 22.0)),
    ),
    "blotchy": lambda scene, shot, n: (replace(scene, dropout=0.6 + 0.03 * n), shot),
}
