"""The ink fountain: blade, keys and sweep."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.press import assumed
from filmsplit.press.rows import row
from filmsplit.press.words import BladeKind, KeyKind, SweepKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Keys:
    """How the keys are read and set."""

    kind: KeyKind = row(
        "numbered, unnumbered (turns from just closed) or stepped", assumed=KeyKind.UNNUMBERED, counts_for=("ink",)
    )
    lowest: float = row("reading when just closed", low=-1000, high=1000, assumed=0.0)
    highest: float = row(
        "largest reading: divisions, turns or steps", low=0.1, high=10000, assumed=assumed.HIGHEST_KEY_READING
    )
    film_um_per_division: float | None = row(
        "film on the fountain roller per division, turn or step", unit="µm", low=0.001, high=1000, counts_for=("ink",)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Sweep:
    """How far the fountain roller turns for each feed."""

    kind: SweepKind = row("continuous, or notched in whole steps", assumed=SweepKind.CONTINUOUS, counts_for=("ink",))
    lowest: float = row("smallest setting", low=0, high=10000, assumed=0.0)
    highest: float = row(
        "largest setting: divisions or notches", low=0.1, high=10000, assumed=assumed.HIGHEST_SWEEP_SETTING
    )
    mm_per_division: float | None = row(
        "fountain roller surface per division or notch", unit="mm", low=0.001, high=500, counts_for=("ink",)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Fountain:
    """The ink fountain of a unit."""

    roller: str = row("id of the fountain roller", required=True)
    zone_widths_mm: tuple[float, ...] = row(
        "width of each zone, from the operator's side",
        unit="mm",
        low=1,
        high=500,
        assumed=assumed.ZONE_WIDTHS,
        source="zones of 30 mm across the face",
        counts_for=("ink",),
    )
    first_zone_mm: float = row(
        "where zone 1 begins, from the operator-side end of the face", unit="mm", low=-500, high=2000, assumed=0.0
    )
    blade: BladeKind = row("blade in one piece or divided", assumed=BladeKind.ONE_PIECE, counts_for=("ink",))
    keys: Keys = row("the keys", assumed={})
    sweep: Sweep = row("the sweep", assumed={})
