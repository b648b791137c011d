"""The colour spaces of a page, each giving amounts of ink (ISO 32000-2, 8.6), or the tone of a soft mask."""

from __future__ import annotations

from dataclasses import dataclass, field

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, Stream

from filmsplit.formats.pdf.asked import PdfAsked
from filmsplit.formats.pdf.colour import Space
from filmsplit.formats.pdf.conversion import Conversion, Way, is_cmyk_profile, output_profile
from filmsplit.formats.pdf.inks import Inks
from filmsplit.formats.pdf.ledger import Ledger
from filmsplit.formats.pdf.malformed import Malformed
from filmsplit.formats.pdf.numbers_of import name_of
from filmsplit.formats.pdf.space_reader import DEVICE, SHORT, SpaceReader
from filmsplit.formats.pdf.spots import spots_of
from filmsplit.formats.pdf.target import InkTarget, Target, ToneTarget

OWN_NAMES = frozenset({*DEVICE, *SHORT, "Pattern"})
"""Names that stand for themselves wherever they are met."""

__all__ = ["PageColours", "conversion_for", "ink_colours", "spots_of", "tone_colours"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PageColours:
    """The spaces of a page, for its inks or (``is_tone``: in soft masks) for its tone alone."""

    inks: Inks
    ledger: Ledger
    conversion: Conversion
    is_tone: bool = False
    _known: dict[object, Space] = field(default_factory=dict, repr=False, compare=False)

    @property
    def count(self) -> int:
        return self.target.count

    @property
    def target(self) -> Target:
        if self.is_tone:
            return ToneTarget()
        return InkTarget(inks=self.inks, ledger=self.ledger, conversion=self.conversion)

    def space_of(self, described: Object, resources: Object) -> Space:
        """The space an object describes: a name or an array. Raises ``Malformed``."""
        described = _resolved(described, resources)
        defaults = _defaults(resources)
        key = (_told(described), tuple((name, _told(each)) for name, each in defaults.items()))
        if key not in self._known:
            reader = SpaceReader(target=self.target, ledger=self.ledger, resources=resources, defaults=defaults)
            self._known[key] = reader.space(described, 0)
        return self._known[key]

    def noting(self, ledger: Ledger) -> PageColours:
        """The same spaces, read anew, whose notes go to another ledger."""
        return PageColours(inks=self.inks, ledger=ledger, conversion=self.conversion, is_tone=self.is_tone)


def _resolved(described: Object, resources: Object) -> Object:
    """What the resources call so, where it is no name that stands for itself."""
    spaces = resources.get("/ColorSpace") if isinstance(resources, (Dictionary, Stream)) else None
    if isinstance(described, Name) and isinstance(spaces, Dictionary) and name_of(described) not in OWN_NAMES:
        found: Object = spaces.get("/" + name_of(described), described)
        return found
    return described


def _told(described: Object) -> bytes:
    """Equal for equal spaces of one document."""
    if isinstance(described, (Name, Array, Dictionary, Stream)):
        return described.unparse()
    raise Malformed("a colour space is a name or an array")


def _defaults(resources: Object) -> dict[str, Object]:
    spaces = resources.get("/ColorSpace") if isinstance(resources, (Dictionary, Stream)) else None
    if not isinstance(spaces, Dictionary):
        return {}
    return {name: spaces["/" + name] for name in DEVICE.values() if "/" + name in spaces}


def ink_colours(inks: Inks, *, ledger: Ledger, conversion: Conversion) -> PageColours:
    """Colours as amounts of these inks."""
    return PageColours(inks=inks, ledger=ledger, conversion=conversion)


def tone_colours(*, ledger: Ledger, conversion: Conversion) -> PageColours:
    """Colours as tone: one plane, one minus the luminosity."""
    return PageColours(inks=Inks(), ledger=ledger, conversion=conversion, is_tone=True)


def conversion_for(pdf: pikepdf.Pdf, asked: PdfAsked, *, ledger: Ledger) -> Conversion:
    """How colours of light become ink: by the profile that was told, the document's own, or plain arithmetic."""
    if asked.profile is not None and not is_cmyk_profile(asked.profile):
        ledger.note("pdf-profile-not-of-inks")
        return Conversion(way=Way.REFUSE)
    if asked.refuse_rgb:
        return Conversion(way=Way.REFUSE)
    if asked.profile is not None:
        return Conversion(way=Way.PROFILE, profile=asked.profile)
    own = output_profile(pdf)
    return Conversion(way=Way.PLAIN) if own is None else Conversion(way=Way.OWN_PROFILE, profile=own)
