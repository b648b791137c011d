"""Pictures of stripes whose true edges are known, drawn apart from what reads them.

Nothing here is shared with the reader: the card is the PDF itself, made dots by another program and cut along its
outline; the camera is a pinhole looked through ray by ray; paper, ink, light and lens are laid out in millimetres.
The 50 % edge is where, with nothing missing, half of the ink's depth in light is reached.
"""

from __future__ import annotations

import io
import math
from dataclasses import dataclass, field
from functools import cache

import numpy as np
import pypdfium2
from PIL import Image
from pypdfium2 import raw
from scipy import ndimage

from filmsplit.reports.scale_card import scale_card_pdf
from filmsplit.reports.typeset import Paper

CARD_DOTS_PER_MM = 20.0
CARD_MM = (150.0, 42.0)
MM_PER_POINT = 25.4 / 72


@cache
def printed_cards() -> tuple[np.ndarray, ...]:
    """Grey pictures (0 to 1) of the three cards of the PDF, cut along their outlines."""
    page = pypdfium2.PdfDocument(scale_card_pdf(paper=Paper.A4))[0]
    height = page.get_size()[1] * MM_PER_POINT
    whole = np.asarray(page.render(scale=CARD_DOTS_PER_MM * MM_PER_POINT).to_pil().convert("L")) / 255.0
    cards = []
    for found in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        left, bottom, right, top = (MM_PER_POINT * each for each in found.get_bounds())
        if abs(right - left - CARD_MM[0]) < 0.5 and abs(top - bottom - CARD_MM[1]) < 0.5:
            x, y = (left + right) / 2 - CARD_MM[0] / 2, height - (top + bottom) / 2 - CARD_MM[1] / 2
            rows, columns = round(y * CARD_DOTS_PER_MM), round(x * CARD_DOTS_PER_MM)
            cards.append((y, whole[rows : rows + 840, columns : columns + 3000]))
    assert len(cards) == 3
    return tuple(card.astype(np.float32) for _, card in sorted(cards, key=lambda each: each[0]))


@dataclass(frozen=True)
class Scene:
    """What lies on the table, in mm: the card's upper left corner is (0, 0), x along its upper edge, y down."""

    seed: int
    card: int | None = 1
    more_cards: tuple[tuple[int, float], ...] = ()
    """Further cards, each with how far right of the first one it lies."""
    stripe_y: float = 56.0
    slope: float = 0.0
    bow: float = 0.0
    width: float = 4.0
    taper: float = 0.0
    bulge: float = 0.0
    ramp: float = 0.5
    dropout: float = 0.0
    ink: tuple[float, float, float] = (0.04, 0.04, 0.05)
    paper: tuple[float, float, float] = (0.82, 0.82, 0.79)
    table: tuple[float, float, float] = (0.32, 0.26, 0.2)
    stripe_from: float = -60.0
    stripe_to: float = 260.0
    paper_y: tuple[float, float] = (25.0, 95.0)
    second_y: float | None = None


@dataclass(frozen=True)
class Shot:
    """How the picture is taken. Lengths in mm, angles in degrees."""

    px_per_mm: float = 10.0
    tilt: float = 0.0
    tilt_towards: float = 0.0
    turn: float = 0.0
    distance: float = 320.0
    blur: float = 0.1
    noise: float = 0.01
    uneven: float = 0.0
    shadow: float = 0.0
    shadow_at: tuple[float, float, float] = (75.0, 50.0, 0.6)
    glare: float = 0.0
    glare_at: tuple[float, float, float] = (30.0, 20.0, 12.0)
    tone: float = 1.0
    quality: int = 88
    frame: tuple[float, float, float, float] = (-10.0, -8.0, 160.0, 84.0)


@dataclass(frozen=True)
class Drawn:
    jpeg: bytes
    scene: Scene
    truth: np.ndarray = field(compare=False)
    """[n, 3]: along the card, near edge, far edge."""

    def width_at(self, along: float) -> float:
        """The width square to the stripe."""
        near, far = (np.interp(along, self.truth[:, 0], self.truth[:, column]) for column in (1, 2))
        return float(far - near) * math.cos(math.atan(self.scene.slope))


def middle_and_half(scene: Scene, x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Middle line and half of the width (square to x)."""
    t = (x - 75.0) / 75.0
    middle = scene.stripe_y + scene.slope * (x - 75.0) + scene.bow * (1 - t**2)
    width = scene.width + scene.taper * (x - 75.0) / 100.0 + scene.bulge * (1 - t**2)
    return middle, width / 2 / math.cos(math.atan(scene.slope))


def draw(scene: Scene, shot: Shot) -> Drawn:
    random = np.random.default_rng(scene.seed)
    x, y = _seen_places(shot)
    light = _ground(scene, x, y, random) * _lighting(shot, x, y)[..., None]
    light += _glare(shot, x, y)[..., None]
    sigma = math.hypot(shot.blur * shot.px_per_mm, 0.35)
    light = ndimage.gaussian_filter(light, (sigma, sigma, 0))
    light *= 0.9 / np.percentile(light, 97) if shot.glare < 3 else 1.0
    light += random.standard_normal(light.shape, dtype=np.float32) * (shot.noise * np.sqrt(np.clip(light, 0.02, 1)))
    jpeg = _developed(light, shot)
    along = np.arange(-5.0, 156.0, 0.5)
    middle, half = middle_and_half(scene, along)
    return Drawn(jpeg, scene, np.stack([along, middle - half, middle + half], axis=1))


def _seen_places(shot: Shot) -> tuple[np.ndarray, np.ndarray]:
    """Where on the table the ray through each dot ends: a pinhole above the middle of the frame, turned and tilted."""
    left, top, right, bottom = shot.frame
    columns, rows = round((right - left) * shot.px_per_mm), round((bottom - top) * shot.px_per_mm)
    focal = shot.distance * shot.px_per_mm
    i, j = np.meshgrid(np.arange(columns) - (columns - 1) / 2, np.arange(rows) - (rows - 1) / 2)
    rays = np.stack([i, j, np.full(i.shape, focal)], axis=-1).astype(np.float32)
    to, lean, turn = (math.radians(each) for each in (shot.tilt_towards, shot.tilt, shot.turn))
    roll = np.array([[math.cos(turn), -math.sin(turn), 0], [math.sin(turn), math.cos(turn), 0], [0, 0, 1]])
    axis = np.array([math.cos(to), math.sin(to), 0.0])
    cross = np.array([[0, -axis[2], axis[1]], [axis[2], 0, -axis[0]], [-axis[1], axis[0], 0]])
    tilt = np.eye(3) + math.sin(lean) * cross + (1 - math.cos(lean)) * cross @ cross
    rays = rays @ (tilt @ roll).T.astype(np.float32)
    eye = -shot.distance * tilt[:, 2]
    reach = -eye[2] / rays[..., 2]
    x, y = (eye[axis] + reach * rays[..., axis] for axis in (0, 1))
    return (x + (left + right) / 2).astype(np.float32), (y + (top + bottom) / 2).astype(np.float32)


def _ground(scene: Scene, x: np.ndarray, y: np.ndarray, random: np.random.Generator) -> np.ndarray:
    ground = np.empty((*x.shape, 3), dtype=np.float32)
    ground[:] = scene.table
    ground *= 1 + 0.15 * np.sin(0.9 * y + 2 * np.sin(0.11 * x + scene.seed))[..., None]  # boards
    on_paper = (y > scene.paper_y[0]) & (y < scene.paper_y[1])
    cover = _ink_cover(scene, x[on_paper], y[on_paper], random)[:, None]
    paper, ink = np.float32(scene.paper), np.float32(scene.ink)
    ground[on_paper] = paper + cover * (ink - paper)
    first = () if scene.card is None else ((scene.card, 0.0),)
    for card, left in first + scene.more_cards:
        on_card = (x >= left) & (x < left + CARD_MM[0]) & (y >= 0) & (y < CARD_MM[1])
        at = (y[on_card] * CARD_DOTS_PER_MM - 0.5, (x[on_card] - left) * CARD_DOTS_PER_MM - 0.5)
        grey = ndimage.map_coordinates(printed_cards()[card], at, order=1, mode="nearest")
        ground[on_card] = (0.05 + 0.83 * grey)[:, None]
    return ground


def _ink_cover(scene: Scene, x: np.ndarray, y: np.ndarray, random: np.random.Generator) -> np.ndarray:
    """Share of ink at each place; the ramp falls evenly from 1 to 0 across the edge, half of it at the edge."""
    cover = np.zeros(x.shape, dtype=np.float32)
    for middle_y in (scene.stripe_y, scene.second_y):
        if middle_y is not None:
            middle, half = middle_and_half(scene, x)
            inside = half - np.abs(y - middle - middle_y + scene.stripe_y)
            inside *= math.cos(math.atan(scene.slope))
            here = (x > scene.stripe_from) & (x < scene.stripe_to)
            cover = np.maximum(cover, np.clip(inside / scene.ramp + 0.5, 0, 1) * here)
    if scene.dropout:
        cover *= 1 - _missing(scene.dropout, x, y, random)
    return cover


def _missing(share: float, x: np.ndarray, y: np.ndarray, random: np.random.Generator) -> np.ndarray:
    """Islands: a random field of two sizes of spots, cut at the level that leaves the share bare."""
    shape = (340, 1360)  # 8 to a millimetre, 42.5 x 170 mm
    fine, coarse = (
        ndimage.gaussian_filter(random.standard_normal(shape, dtype=np.float32), size) for size in (2.4, 7.2)
    )
    spots = fine / fine.std() + 0.8 * coarse / coarse.std()
    bare = np.clip((spots - np.quantile(spots, 1 - share)) * 4, 0, 1)
    at = np.stack([np.clip((y - 41) * 8, 0, 339), np.clip((x + 10) * 8, 0, 1359)])
    return ndimage.map_coordinates(bare.astype(np.float32), at, order=1)


def _lighting(shot: Shot, x: np.ndarray, y: np.ndarray) -> np.ndarray:
    across = 1 + shot.uneven * ((x - 75) / 150 * math.cos(shot.turn) + (y - 40) / 90 * math.sin(1 + shot.turn))
    x0, y0, direction = shot.shadow_at
    off = (x - x0) * math.cos(direction) + (y - y0) * math.sin(direction)
    return np.clip(across, 0.3, 2) * (1 - shot.shadow / (1 + np.exp(-off / 2.5)))


def _glare(shot: Shot, x: np.ndarray, y: np.ndarray) -> np.ndarray:
    x0, y0, size = shot.glare_at
    return shot.glare * np.exp(-((x - x0) ** 2 + (y - y0) ** 2) / (2 * size**2))


def _developed(light: np.ndarray, shot: Shot) -> bytes:
    """sRGB with a camera's own idea of contrast (an exponent), as JPEG."""
    steps = np.linspace(0, 1, 4096) ** shot.tone
    srgb = np.where(steps <= 0.0031308, 12.92 * steps, 1.055 * np.maximum(steps, 1e-9) ** (1 / 2.4) - 0.055)
    told = np.rint(255 * srgb).astype(np.uint8)[np.rint(4095 * np.clip(light, 0, 1)).astype(np.int16)]
    held = io.BytesIO()
    Image.fromarray(told).save(held, "JPEG", quality=shot.quality)
    return held.getvalue()
