"""Two rollers as they meet: diameters, covers, hardness; and what becomes of a setting when one of them changes."""

from __future__ import annotations

from dataclasses import dataclass, replace

from filmsplit.contact.hardness import Correlation
from filmsplit.contact.nip import BondedCover, Known, Nip, Squeeze, squeeze
from filmsplit.messages import Problem, Refusal


@dataclass(frozen=True, slots=True, kw_only=True)
class SoftCover:
    """A cover as it is measured: thickness on one side, and hardness."""

    thickness_mm: float
    hardness_shore_a: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """A roller or a cylinder over all it wears. ``cover`` is ``None`` for one that does not yield."""

    diameter_mm: float
    cover: SoftCover | None = None

    def grown(self, mm: float) -> Body:
        """With ``mm`` more on the radius (less where negative), all of it in the cover where there is one.

        A bonded cover cannot grow along its core. Refuses to leave no cover or no body.
        """
        cover = self.cover and replace(self.cover, thickness_mm=self.cover.thickness_mm + mm)
        if self.diameter_mm + 2.0 * mm <= 0.0 or (cover is not None and cover.thickness_mm <= 0.0):
            raise Refusal(Problem("nip-size-not-positive"))
        return Body(diameter_mm=self.diameter_mm + 2.0 * mm, cover=cover)

    def at_hardness(self, shore_a: float) -> Body:
        """The same body with its cover at another hardness; a hard body stays as it is."""
        return replace(self, cover=self.cover and replace(self.cover, hardness_shore_a=shore_a))


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Two bodies that meet, and the correlation their hardness is read with."""

    a: Body
    b: Body
    correlation: Correlation = Correlation.GENT

    @property
    def nip(self) -> Nip:
        """The contact between them. Refuses two hard bodies, and a cover thicker than its roller's radius."""
        return Nip(
            relative_radius_mm=self.relative_radius_mm,
            covers=tuple(self._bonded(body) for body in (self.a, self.b) if body.cover is not None),
        )

    @property
    def relative_radius_mm(self) -> float:
        """1 / (1/R1 + 1/R2). Refuses a diameter that is not above zero."""
        if not (self.a.diameter_mm > 0.0 and self.b.diameter_mm > 0.0):
            raise Refusal(Problem("nip-size-not-positive"))
        return 0.5 / (1.0 / self.a.diameter_mm + 1.0 / self.b.diameter_mm)

    def _bonded(self, body: Body) -> BondedCover:
        assert body.cover is not None
        thickness = body.cover.thickness_mm
        if thickness >= 0.5 * body.diameter_mm:
            raise Refusal(Problem("cover-fills-the-roller", {"cover": thickness, "diameter": body.diameter_mm}))
        return BondedCover(
            thickness_mm=thickness, modulus_mpa=self.correlation.modulus_mpa(body.cover.hardness_shore_a)
        )


def at_fixed_centres(before: Pair, after: Pair, *, engagement_mm: float) -> Squeeze[float] | None:
    """The contact after a change of the bodies with the axes left where they were; ``None`` if they no longer touch.

    Whatever the radii gain, the engagement gains. At the same engagement the stripe does not depend on hardness.
    """
    engagement = engagement_mm + radius_gain_mm(before, after)
    return squeeze(after.nip, Known.ENGAGEMENT, engagement) if engagement > 0.0 else None


def radius_gain_mm(before: Pair, after: Pair) -> float:
    """What both radii together gained."""
    return 0.5 * (after.a.diameter_mm - before.a.diameter_mm + after.b.diameter_mm - before.b.diameter_mm)


def centre_move_mm(nip: Nip, *, from_stripe_mm: float, to_stripe_mm: float) -> float:
    """How much closer the axes must come for another stripe; negative: further apart."""
    now, wanted = (squeeze(nip, Known.STRIPE, stripe).engagement_mm for stripe in (from_stripe_mm, to_stripe_mm))
    return wanted - now
