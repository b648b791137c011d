"""Colours of light (RGB, Lab) to the four process inks: by a stated profile, by plain arithmetic, or refused."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from functools import cache
from typing import Any

import numpy as np
import pikepdf
from numpy.typing import NDArray
from pikepdf import Array, Dictionary, Stream

from filmsplit.formats.pdf.cie import lab_of_xyz, srgb_of_lab
from filmsplit.formats.pdf.colour import Numbers
from filmsplit.formats.pdf.ledger import Ledger
from filmsplit.formats.pdf.malformed import Malformed
from filmsplit.formats.pdf.unpacked import unpacked

Bytes = NDArray[np.uint8]
FULL = np.uint8(255)
MOST_PROFILE_BYTES = 32 << 20
EXACT = 4096
"""Up to so many colours at once are converted in full precision, more of them to 16 bits."""
BLACK_POINT = 0x2000
"""cmsFLAGS_BLACKPOINTCOMPENSATION."""
REMEMBERED = 100_000


class Way(Enum):
    """What is done with colours that are not told as ink, and the message that tells so."""

    PROFILE = "pdf-rgb-by-profile"
    OWN_PROFILE = "pdf-rgb-by-own-profile"
    PLAIN = "pdf-rgb-plain"
    REFUSE = "pdf-rgb-refused"

    @property
    def has_profile(self) -> bool:
        return self in (Way.PROFILE, Way.OWN_PROFILE)


class Intent(Enum):
    """Rendering intents (ISO 15076-1, 6.2), as the library counts them; relative with black point compensation."""

    PERCEPTUAL = 0
    RELATIVE = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Conversion:
    """How colours of light become ink. ``profile`` is that of the printing condition, four inks out."""

    way: Way = Way.REFUSE
    profile: bytes = field(default=b"", repr=False)
    intent: Intent = Intent.RELATIVE
    _met: dict[bytes, Numbers] = field(default_factory=dict, repr=False, compare=False)

    def __post_init__(self) -> None:
        if self.way.has_profile and not is_cmyk_profile(self.profile):
            raise ValueError("the profile of a printing condition has four inks")

    def rgb(self, values: Numbers, ledger: Ledger, *, source: bytes = b"") -> Numbers:
        """``(n, 3)`` to amounts ``(n, 4)``. ``source`` is the profile of the values; none is taken as sRGB."""
        self.noted(ledger)
        if not self.way.has_profile:
            light = values if not source else to_srgb(values, source)
            return plain_cmyk(light)
        return self._converted(values, source or srgb_profile(), space="rgb")

    def rgb_bytes(self, values: Bytes, ledger: Ledger, *, source: bytes = b"") -> Bytes:
        """The same for many dots of 256 steps, to amounts of as many."""
        self.noted(ledger)
        ways = ("rgb", "cmyk", self.intent.value)
        if self.way.has_profile:
            return _as_bytes(values, source or srgb_profile(), profile=self.profile, ways=ways)
        if source:
            values = _as_bytes(values, source, profile=srgb_profile(), ways=("rgb", "rgb", Intent.RELATIVE.value))
        red, green, blue = (FULL - values[:, each] for each in range(3))
        black = np.minimum(np.minimum(red, green), blue)
        return np.stack([red - black, green - black, blue - black, black], axis=1)

    def lab(self, values: Numbers, ledger: Ledger) -> Numbers:
        """``(n, 3)`` CIE Lab of white D50 to amounts ``(n, 4)``."""
        self.noted(ledger)
        if not self.way.has_profile:
            return plain_cmyk(srgb_of_lab(values))
        return self._converted(values, lab_profile(), space="lab")

    def xyz(self, values: Numbers, ledger: Ledger) -> Numbers:
        """``(n, 3)`` CIE XYZ relative to white D50 to amounts ``(n, 4)``."""
        return self.lab(lab_of_xyz(values), ledger)

    def noted(self, ledger: Ledger) -> None:
        """Tell the ledger that colours of light were met."""
        ledger.note(self.way.value)

    def _converted(self, values: Numbers, source: bytes, *, space: str) -> Numbers:
        if len(values) != 1:
            return self._by_library(values, source, space=space)
        key = np.ascontiguousarray(values, dtype=np.float32).tobytes() + space.encode() + source[:128]
        if key not in self._met:
            if len(self._met) > REMEMBERED:
                self._met.clear()
            self._met[key] = self._by_library(values, source, space=space)
        return self._met[key]

    def _by_library(self, values: Numbers, source: bytes, *, space: str) -> Numbers:
        return _transformed(values, source, profile=self.profile, ways=(space, "cmyk", self.intent.value))


def _transformed(values: Numbers, source: bytes, *, profile: bytes, ways: tuple[str, str, int]) -> Numbers:
    """By the colour library. Few colours go as floating point (inks are percent there), many as 16 bits."""
    space, outcome, _ = ways
    is_exact = len(values) <= EXACT or space == "lab"
    top, scale = (1.0, 100.0 if outcome == "cmyk" else 1.0) if is_exact else (65535.0, 65535.0)
    kind = np.float32 if is_exact else np.uint16
    given = values if space == "lab" else np.clip(values, 0.0, 1.0) * top
    exact = np.ascontiguousarray(given if is_exact else np.rint(given), dtype=kind)
    made = _by_library(exact, source, profile=profile, ways=ways)
    out: Numbers = np.clip(made.astype(np.float64) / scale, 0.0, 1.0)
    return out


def _as_bytes(values: Bytes, source: bytes, *, profile: bytes, ways: tuple[str, str, int]) -> Bytes:
    return _by_library(np.ascontiguousarray(values), source, profile=profile, ways=ways)


def _by_library(values: NDArray[Any], source: bytes, *, profile: bytes, ways: tuple[str, str, int]) -> NDArray[Any]:
    """``(n, components)`` to as many of the same kind of numbers. Raises ``Malformed``."""
    from imagecodecs import cms_transform  # noqa: PLC0415  # heavy

    space, outcome, intent = ways
    try:
        made = cms_transform(
            values[None],
            source,
            profile,
            colorspace=space,
            outcolorspace=outcome,
            intent=intent,
            flags=BLACK_POINT if intent == Intent.RELATIVE.value else 0,
            outdtype=values.dtype,
        )
    except (RuntimeError, ValueError, TypeError) as error:
        raise Malformed("a profile that can not be used") from error
    out: NDArray[Any] = np.asarray(made)[0]
    return out


def to_srgb(values: Numbers, source: bytes) -> Numbers:
    """Values of an RGB profile as sRGB. Raises ``Malformed``."""
    return _transformed(values, source, profile=srgb_profile(), ways=("rgb", "rgb", Intent.RELATIVE.value))


def plain_cmyk(values: Numbers) -> Numbers:
    """One minus the light, and what all three have in common as black instead (ISO 32000-2, 10.4.2.4: full black
    generation and undercolour removal)."""
    ink: Numbers = 1.0 - np.clip(values, 0.0, 1.0)
    black = np.minimum(np.minimum(ink[:, 0], ink[:, 1]), ink[:, 2])[:, None]
    return np.concatenate([ink - black, black], axis=1)


@cache
def srgb_profile() -> bytes:
    """sRGB, as the colour library makes it."""
    from PIL import ImageCms  # noqa: PLC0415  # heavy

    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


@cache
def lab_profile() -> bytes:
    """CIE Lab with white D50."""
    from PIL import ImageCms  # noqa: PLC0415  # heavy

    return ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB", 5000)).tobytes()


def profile_space(profile: bytes) -> str:
    """The colour space of an ICC profile by its header (ISO 15076-1, 7.2.6): ``GRAY``, ``RGB``, ``CMYK``, ``Lab``."""
    return profile[16:20].decode("latin-1").strip() if profile[36:40] == b"acsp" else ""


def is_cmyk_profile(profile: bytes) -> bool:
    """Whether this is a profile of four process inks that inks can be had from."""
    return profile_space(profile) == "CMYK" and profile[12:16] in (b"prtr", b"spac")


def output_profile(pdf: pikepdf.Pdf) -> bytes | None:
    """The profile of the printing condition a PDF was made for (14.11.5), where it carries one of four inks."""
    intents = pdf.Root.get("/OutputIntents")
    for each in list(intents) if isinstance(intents, Array) else []:
        carried = each.get("/DestOutputProfile") if isinstance(each, Dictionary) else None
        if not isinstance(carried, Stream):
            continue
        try:
            profile = unpacked(carried, most=MOST_PROFILE_BYTES)
        except Malformed:
            continue
        if is_cmyk_profile(profile):
            return profile
    return None
