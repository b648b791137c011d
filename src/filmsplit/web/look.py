"""How a person wants the pages: light or dark, the projector's size, units. Kept in the browser, in one cookie."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import TypeVar

from starlette.requests import Request
from starlette.responses import Response

from filmsplit.units.conductivity import ConductivitySystem
from filmsplit.units.writing import LengthSystem, TemperatureSystem, UnitsRead

COOKIE = "filmsplit-look"
Word = TypeVar("Word", bound=Enum)
_YEAR_S = 365 * 24 * 3600


class Light(Enum):
    """The colours of the pages; the browser's own choice unless told."""

    AS_THE_BROWSER = "browser"
    LIGHT = "light"
    DARK = "dark"


class Size(Enum):
    """How large everything is."""

    BENCH = "bench"
    PROJECTOR = "projector"


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What the pages look like to one person."""

    light: Light = Light.AS_THE_BROWSER
    size: Size = Size.BENCH
    lengths: LengthSystem = LengthSystem.METRIC
    temperatures: TemperatureSystem = TemperatureSystem.CELSIUS
    conductivities: ConductivitySystem = ConductivitySystem.MICROSIEMENS

    @property
    def text(self) -> str:
        """As kept in the cookie."""
        words = (self.light, self.size, self.lengths, self.temperatures, self.conductivities)
        return ".".join(_kept(each) for each in words)

    @property
    def units(self) -> UnitsRead:
        """How numbers with units are written for this person."""
        return UnitsRead(lengths=self.lengths, temperatures=self.temperatures)


def look_of(request: Request) -> Look:
    """The look in the cookie; what is not understood there is as if it were not there."""
    words = request.cookies.get(COOKIE, "").split(".")
    return Look(
        light=_word(Light, words, Light.AS_THE_BROWSER),
        size=_word(Size, words, Size.BENCH),
        lengths=_word(LengthSystem, words, LengthSystem.METRIC),
        temperatures=_word(TemperatureSystem, words, TemperatureSystem.CELSIUS),
        conductivities=_word(ConductivitySystem, words, ConductivitySystem.MICROSIEMENS),
    )


def _word(kind: type[Word], words: list[str], otherwise: Word) -> Word:
    return next((each for each in kind if _kept(each) in words), otherwise)


def _kept(word: Enum) -> str:
    """As a cookie can hold it: signs of units are none that may stand there."""
    return word.name.lower() if word.value.isascii() is False else str(word.value)


def keep(response: Response, look: Look) -> None:
    """Put the look into the browser for a year."""
    response.set_cookie(COOKIE, look.text, max_age=_YEAR_S, httponly=True, samesite="strict", path="/")
