"""Colour spaces out of their objects in a PDF (ISO 32000-2, 8.6). What can not be read raises ``Malformed``."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from pikepdf import Array, Dictionary, Name, Object, Stream, String

from filmsplit.formats.pdf.colour import Numbers, Space
from filmsplit.formats.pdf.conversion import MOST_PROFILE_BYTES, profile_space, to_srgb
from filmsplit.formats.pdf.functions import function_of
from filmsplit.formats.pdf.ledger import Ledger
from filmsplit.formats.pdf.malformed import Malformed
from filmsplit.formats.pdf.numbers_of import (
    dictionary_of,
    items_of,
    name_of,
    number_of,
    numbers_of,
    pairs_of,
    whole_of,
)
from filmsplit.formats.pdf.space_kinds import CalGray, CalRgb, Cmyk, Gray, Indexed, Lab, Pattern, Rgb
from filmsplit.formats.pdf.space_named import ALL, NONE, Alternate, Everywhere, Named, colorants_of
from filmsplit.formats.pdf.target import Target, ToneTarget
from filmsplit.formats.pdf.unpacked import unpacked

MOST_NESTED = 8
"""Spaces within spaces that are followed; the standard allows four."""
MOST_TABLE_BYTES = 1 << 16
DEVICE = {
    "DeviceGray": "DefaultGray",
    "DeviceRGB": "DefaultRGB",
    "DeviceCMYK": "DefaultCMYK",
}
"""Device spaces, and the name under which resources may put another in their place (8.6.5.6)."""
SHORT = {"G": "DeviceGray", "RGB": "DeviceRGB", "CMYK": "DeviceCMYK", "I": "Indexed", "CalCMYK": "DeviceCMYK"}
"""Names in inline pictures (table 91); CalCMYK was never specified and is to be taken for DeviceCMYK (table 61)."""
PROFILES = {1: "GRAY", 3: "RGB", 4: "CMYK"}
GREYEST_GAMMA, STEEPEST_GAMMA = 0.05, 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SpaceReader:
    """Reads one space. ``defaults`` are taken for device spaces of their kind."""

    target: Target
    ledger: Ledger
    resources: Object
    defaults: dict[str, Object]

    def space(self, described: Object, depth: int) -> Space:
        if depth > MOST_NESTED:
            raise Malformed("colour spaces within colour spaces without end")
        if isinstance(described, Name):
            return self._by_name(described, depth)
        parts = items_of(described, least=1)
        name = name_of(parts[0])
        name = SHORT.get(name, name)
        if len(parts) == 1 or name in DEVICE:
            return self._by_name(parts[0], depth)
        kind = KINDS.get(name)
        if kind is None:
            raise Malformed(f"a colour space of no known kind ({name[:40]})")
        return kind(self, parts, depth)

    def _by_name(self, described: Object, depth: int) -> Space:
        name = name_of(described)
        name = SHORT.get(name, name)
        if name in DEVICE:
            default = self.defaults.get(DEVICE[name])
            return self._device(name) if default is None else self._by_default(name, default, depth=depth)
        if name == "Pattern":
            return Pattern(target=self.target)
        spaces = self.resources.get("/ColorSpace") if isinstance(self.resources, Dictionary) else None
        found = spaces.get("/" + name) if isinstance(spaces, Dictionary) else None
        if found is None or found == described:
            raise Malformed(f"a colour space nobody has described ({name[:40]})")
        return self.space(found, depth + 1)

    def _device(self, name: str) -> Space:
        if name == "DeviceGray":
            return Gray(target=self.target)
        return Rgb(target=self.target) if name == "DeviceRGB" else Cmyk(target=self.target, is_device_cmyk=True)

    def _by_default(self, name: str, default: Object, *, depth: int) -> Space:
        """The space that is taken instead of a device space; within it device spaces are themselves."""
        plain = SpaceReader(target=self.target, ledger=self.ledger, resources=self.resources, defaults={})
        try:
            made = plain.space(default, depth + 1)
        except Malformed:
            self.ledger.note("pdf-default-space-malformed", space=name)
            return self._device(name)
        if made.components != self._device(name).components:
            self.ledger.note("pdf-default-space-malformed", space=name)
            return self._device(name)
        return made

    def icc(self, parts: list[Object], depth: int) -> Space:
        stream = parts[1]
        if not isinstance(stream, Stream):
            raise Malformed("a profile that is no stream")
        components = whole_of(stream.get("/N"), least=1, most=4)
        if components == 4:
            self.ledger.note("pdf-icc-cmyk")
            return Cmyk(target=self.target, is_device_cmyk=False)
        if components == 1:
            return Gray(target=self.target)
        try:
            return self._profiled(stream, components)
        except Malformed:
            return self._unprofiled(stream, components, depth=depth)

    def _profiled(self, stream: Stream, components: int) -> Space:
        profile = unpacked(stream, most=MOST_PROFILE_BYTES)
        space = profile_space(profile)
        if space == "Lab" and components == 3:
            bounds = pairs_of(stream["/Range"], count=3)[1:] if "/Range" in stream else np.array([[-128.0, 127.0]] * 2)
            return Lab(target=self.target, range=bounds)
        if space != PROFILES.get(components):
            raise Malformed("a profile of another kind than its components")
        to_srgb(np.zeros((1, 3)), profile)
        return Rgb(target=self.target, profile=profile)

    def _unprofiled(self, stream: Stream, components: int, *, depth: int) -> Space:
        """By the alternate space, where a profile can not be used (8.6.5.5)."""
        self.ledger.note("pdf-profile-unusable", components=components)
        if "/Alternate" in stream:
            made = self.space(stream["/Alternate"], depth + 1)
            if made.components == components:
                return made
        if components != 3:
            raise Malformed("a profile of so many components is not known")
        return self._device("DeviceRGB")

    def cal_gray(self, parts: list[Object], depth: int) -> Space:  # noqa: ARG002
        told = dictionary_of(parts[1])
        gamma = number_of(told.get("/Gamma", 1))
        return CalGray(target=self.target, gamma=float(np.clip(gamma, GREYEST_GAMMA, STEEPEST_GAMMA)))

    def cal_rgb(self, parts: list[Object], depth: int) -> Space:  # noqa: ARG002
        told = dictionary_of(parts[1])
        gamma = numbers_of(told["/Gamma"], least=3)[:3] if "/Gamma" in told else np.ones(3)
        matrix = numbers_of(told["/Matrix"], least=9)[:9] if "/Matrix" in told else np.eye(3)
        return CalRgb(
            target=self.target,
            gamma=np.clip(gamma, GREYEST_GAMMA, STEEPEST_GAMMA),
            matrix=matrix.reshape(3, 3),
            white=_white(told),
        )

    def lab(self, parts: list[Object], depth: int) -> Space:  # noqa: ARG002
        told = dictionary_of(parts[1])
        _white(told)
        bounds = pairs_of(told["/Range"], count=2) if "/Range" in told else np.array([[-100.0, 100.0]] * 2)
        return Lab(target=self.target, range=bounds)

    def indexed(self, parts: list[Object], depth: int) -> Space:
        if len(parts) < 4:
            raise Malformed("a table of colours without its table")
        base = self.space(parts[1], depth + 1)
        if isinstance(base, (Indexed, Pattern)):
            raise Malformed("a table of colours of a table or of patterns")
        last = whole_of(parts[2], least=0, most=255)
        data = np.frombuffer(_table_bytes(parts[3]), dtype=np.uint8)
        needed = (last + 1) * base.components
        # What is missing at the end of a table counts as zero, as readers of common use take it (common practice).
        samples = np.concatenate([data[:needed], np.zeros(max(0, needed - data.size), dtype=np.uint8)])
        low, high = np.array(base.bounds(8)).T
        values = low + samples.reshape(-1, base.components) / 255.0 * (high - low)
        return Indexed(base=base, table=base.amounts(values))

    def named(self, parts: list[Object], depth: int) -> Space:
        names = colorants_of(Array(parts))
        if names == (ALL,):
            return Everywhere(target=self.target)
        places = tuple(self.target.place(each) for each in names)
        lacking = [name for name, place in zip(names, places, strict=True) if place is None and name != NONE]
        if not lacking:
            return Named(target=self.target, places=places)
        if not isinstance(self.target, ToneTarget):
            self.ledger.note("pdf-ink-without-plate", ink=lacking[0][:60])
        under, tint = self.space(parts[2], depth + 1), function_of(parts[3])
        if isinstance(under, Pattern) or (tint.inputs, tint.outputs) != (len(names), under.components):
            raise Malformed("inks whose look does not fit the space it is told in")
        return Alternate(tint=tint, under=under, components=len(names))

    def pattern(self, parts: list[Object], depth: int) -> Space:
        under: Space = self.space(parts[1], depth + 1)
        if isinstance(under, Pattern):
            raise Malformed("patterns of patterns")
        return Pattern(target=self.target, under=under)


def _white(told: Object) -> Numbers:
    white = numbers_of(told.get("/WhitePoint"), least=3)[:3]
    if np.any(white <= 0.0) or np.any(white > 10.0):
        raise Malformed("a white that is none")
    return white


def _table_bytes(table: Object) -> bytes:
    if isinstance(table, Stream):
        return unpacked(table, most=MOST_TABLE_BYTES)
    if isinstance(table, String):
        return bytes(table)
    raise Malformed("a table of colours that is no data")


Kind = Callable[[SpaceReader, list[Object], int], Space]
KINDS: dict[str, Kind] = {
    "ICCBased": SpaceReader.icc,
    "CalGray": SpaceReader.cal_gray,
    "CalRGB": SpaceReader.cal_rgb,
    "Lab": SpaceReader.lab,
    "Indexed": SpaceReader.indexed,
    "Separation": SpaceReader.named,
    "DeviceN": SpaceReader.named,
    "Pattern": SpaceReader.pattern,
}
