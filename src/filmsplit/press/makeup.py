"""What a roller is made of, in the four classes that decide how it is set, washed and drawn."""

from __future__ import annotations

from enum import Enum

from filmsplit.press.roller import Roller
from filmsplit.press.words import Material


class MakeUp(Enum):
    """Class of surface."""

    BARE_HARD = "bare-hard"
    HARD_COVERED = "hard-covered"
    SOFT = "soft"
    CLOTH = "cloth"


def make_up_of(roller: Roller) -> MakeUp:
    """The class of a roller's surface. A nylon or ebonite cover is hard-covered; a sleeve over rubber is cloth."""
    if roller.cover is None:
        return MakeUp.BARE_HARD
    if roller.cover.material is Material.CLOTH:
        return MakeUp.CLOTH
    return MakeUp.SOFT if roller.is_soft else MakeUp.HARD_COVERED
