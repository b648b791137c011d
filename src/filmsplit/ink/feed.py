"""How ink comes into the train.

Every feed is a split with a supply that is made up again at once: the train brings ``d``, the supply a volume, and
the train keeps a share of both. That single form lets one kernel do them all.
"""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.ink.splitting import EVEN_SHARE, Film, volume_share


@dataclass(frozen=True, slots=True)
class Supply:
    """Volume brought to the nip per unit of press travel, and the share of the total that the train keeps."""

    volume_per_film: float
    train_share: float

    def fed(self, train: Film, film: Film) -> Film:
        """What the train gains: its share of the total, less what it brought."""
        return self.train_share * (self.volume_per_film * film) - (1.0 - self.train_share) * train


def fountain_supply(speed_ratio: float) -> Supply:
    """Continuous feed from a fountain roller at ``speed_ratio`` = fountain speed / press speed, film set by the keys.

    The train leaves with (g r + d) / (1 + r^1.65): half the sum at equal speeds ("film-fed"), ``d`` plus the
    metered volume at very low fountain speed ("flux-fed").
    """
    return Supply(speed_ratio, 1.0 - volume_share(speed_ratio))


DUCTOR_SUPPLY = Supply(1.0, EVEN_SHARE)
"""The ductor on the fountain roller: rolling contact, both leave with half of fountain and ductor film."""

FLUX_SUPPLY = Supply(1.0, 1.0)
"""A given film is added to whatever passes; nothing comes back."""
