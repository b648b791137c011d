"""A photo of the side of a press as a camera could have taken it: drawn from its file, leaning, with what cameras
write into pictures. Where each dot lies on the press is known, because it was drawn so."""

from __future__ import annotations

import io
import math
from dataclasses import dataclass

from PIL import Image, ImageDraw

from filmsplit.press import Unit

SECRET = "Somewhere 51.4779 N, taken by Somebody"


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """Dots per mm, how far the press leans clockwise, the plate's axis, and the size, all in dots."""

    per_mm: float = 2.2
    lean_deg: float = 4.0
    axis: tuple[float, float] = (900.0, 1500.0)
    size: tuple[int, int] = (1800, 2200)

    def at(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        cos, sin = math.cos(math.radians(self.lean_deg)), math.sin(math.radians(self.lean_deg))
        right, down = x_mm * self.per_mm, -y_mm * self.per_mm
        return self.axis[0] + right * cos - down * sin, self.axis[1] + right * sin + down * cos

    def photo(self, unit: Unit, *, kind: str = "JPEG") -> bytes:
        """Every member in grey with its shaft, and words of the camera (Exif description, artist, place)."""
        picture = Image.effect_noise(self.size, 60.0).convert("RGB")
        draw = ImageDraw.Draw(picture)
        for id in ("plate", "blanket", *(each.id for each in unit.rollers)):
            member = unit.member(id)
            assert member.centre is not None
            x, y = self.at(member.centre.x_mm, member.centre.y_mm)
            for r, grey in ((member.diameter_mm / 2 * self.per_mm, 50), (6.0, 210)):
                draw.ellipse((x - r, y - r, x + r, y + r), fill=(grey, grey, grey), outline=(200, 200, 200))
        exif = Image.Exif()
        exif[0x010E], exif[0x013B] = SECRET, SECRET
        exif.get_ifd(0x8825)[1] = "N"
        written = io.BytesIO()
        picture.save(written, format=kind, exif=exif, comment=SECRET.encode())
        return written.getvalue()
