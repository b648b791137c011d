"""How the pages look to this person: light or dark, the size for a projector, units."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter, Depends, Form
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from filmsplit.messages import label
from filmsplit.units.conductivity import ConductivitySystem
from filmsplit.units.writing import LengthSystem, TemperatureSystem
from filmsplit.web.forms import ours
from filmsplit.web.look import Light, Look, Size, keep
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class LookPage:
    """The choices, each a list of one kind."""

    template: ClassVar[str] = "look.html"
    place: ClassVar[str] = ""

    lights: tuple[Light, ...] = tuple(Light)
    sizes: tuple[Size, ...] = tuple(Size)
    systems: tuple[LengthSystem, ...] = tuple(LengthSystem)
    warmths: tuple[TemperatureSystem, ...] = tuple(TemperatureSystem)
    conductivities: tuple[ConductivitySystem, ...] = tuple(ConductivitySystem)

    @property
    def title(self) -> str:
        return label("web.look")


@router.get("/look")
def look(request: Request) -> Response:
    """The choices."""
    return bench_of(request).show(request, LookPage())


@router.post("/look", dependencies=[Depends(ours)])
def choose(
    light: Light = Form(),
    *,
    size: Size = Form(),
    lengths: LengthSystem = Form(),
    temperatures: TemperatureSystem = Form(TemperatureSystem.CELSIUS),
    conductivities: ConductivitySystem = Form(ConductivitySystem.MICROSIEMENS),
) -> Response:
    """Keep what was chosen in the browser."""
    response = RedirectResponse("/look", 303)
    look = Look(light=light, size=size, lengths=lengths, temperatures=temperatures, conductivities=conductivities)
    keep(response, look)
    return response
