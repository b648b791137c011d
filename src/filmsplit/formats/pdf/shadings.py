"""Shadings of a page in grey for each ink (ISO 32000-2, 8.7.4.5)."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
from pikepdf import Array, Dictionary, Name, Object, Stream

from filmsplit.formats.pdf.colour import Colours, Numbers, Space
from filmsplit.formats.pdf.functions import Function, function_of
from filmsplit.formats.pdf.malformed import Malformed
from filmsplit.formats.pdf.mesh_bits import HALF_GREY, POINTS, Mesh, mesh_of
from filmsplit.formats.pdf.mesh_patches import Strips, strips_of
from filmsplit.formats.pdf.numbers_of import dictionary_of, numbers_of, pairs_of, whole_of
from filmsplit.formats.pdf.shading_lines import grey_line

BY_PLACE, AXIAL, RADIAL = 1, 2, 3
LAST_MESH = 7
STEPS = 256
"""Colours the drawing library takes from the function of an axial or radial shading."""
GRID = 512
"""Places each way in which a shading by place is sampled."""
TOP = 65535
BENT = 0.01
"""Of ink: a function that bends more between the corners of a mesh than that is told."""
ANEW = ("/ColorSpace", "/Function", "/Background", "/Length", "/Filter", "/DecodeParms")


class _Kind(Protocol):
    """One kind of shading."""

    def amounts(self) -> Numbers:
        """Amounts at all places that are told, ``(n, planes)``."""
        ...

    def shading(self, grey: Numbers) -> Object:
        """The shading with these greys at the same places."""
        ...


@dataclass(slots=True, kw_only=True)
class InkShading:
    """A shading for each ink. ``grey`` and ``white`` are new objects each time."""

    space: Space
    kind: _Kind
    background: Numbers | None
    _amounts: list[Numbers] = field(default_factory=list)

    @property
    def inks(self) -> frozenset[int]:
        return self.space.inks

    def grey(self, plane: int) -> Object | None:
        """The shading of one plane; ``None`` where it is white."""
        amounts = self._known()[:, plane]
        behind = None if self.background is None else float(self.background[plane])
        return self._made(amounts, behind) if amounts.any() or behind else None

    def white(self) -> Object:
        """A white shading of the same shape."""
        return self._made(np.zeros(len(self._known())), None if self.background is None else 0.0)

    def _known(self) -> Numbers:
        if not self._amounts:
            self._amounts.append(self.kind.amounts())
        return self._amounts[0]

    def _made(self, amounts: Numbers, behind: float | None) -> Object:
        made = self.kind.shading(1.0 - amounts)
        made["/ColorSpace"] = Name.DeviceGray
        if behind is not None:
            made["/Background"] = Array([1.0 - behind])
        return made


def ink_shading(shading: Object, colours: Colours, resources: Object) -> InkShading:
    """A shading for each ink. Raises ``Malformed``."""
    described = dictionary_of(shading)
    told = described.get("/ColorSpace")
    if told is None:
        raise Malformed("a shading without a colour space")
    space = colours.space_of(told, resources)
    if not space.components:
        raise Malformed("a shading whose colours are patterns")
    kind = _kind(described, space, colours)
    return InkShading(space=space, kind=kind, background=_background(described, space))


def _background(described: Object, space: Space) -> Numbers | None:
    if "/Background" not in described:
        return None
    values = numbers_of(described["/Background"], least=space.components)[: space.components]
    return np.asarray(space.amounts(values[None])[0])


def _kind(described: Object, space: Space, colours: Colours) -> _Kind:
    number = whole_of(described.get("/ShadingType"), least=1, most=LAST_MESH)
    function = _function(described, space, inputs=2 if number == BY_PLACE else 1)
    if number > RADIAL:
        if not isinstance(described, Stream):
            raise Malformed("a mesh without data")
        read = mesh_of(described, number, components=1 if function is not None else space.components)
        mesh = strips_of(read) if number in POINTS else read
        return _Meshed(described=described, space=space, function=function, mesh=mesh, colours=colours)
    if function is None:
        raise Malformed("a shading without a function")
    if number == BY_PLACE:
        return _ByPlace(described=described, space=space, function=function)
    return _Along(described=described, space=space, function=function)


def _function(described: Object, space: Space, *, inputs: int) -> Function | None:
    if "/Function" not in described:
        return None
    made = function_of(described["/Function"])
    if (made.inputs, made.outputs) != (inputs, space.components):
        raise Malformed("a shading whose function does not give its colours")
    return made


def _kept(described: Object) -> Dictionary:
    """What shapes a shading."""
    return Dictionary({key: value for key, value in described.items() if key not in ANEW})


@dataclass(frozen=True, slots=True, kw_only=True)
class _Along:
    """Axial and radial shadings: one parameter. The drawing library takes ``STEPS`` colours, each from the beginning of
    its step; it is given those of the middles, and at the ends those of the ends, which may go on for long."""

    described: Object
    space: Space
    function: Function

    @property
    def _domain(self) -> Numbers:
        return (
            numbers_of(self.described["/Domain"], least=2)[:2] if "/Domain" in self.described else np.array([0.0, 1.0])
        )

    def amounts(self) -> Numbers:
        share = (np.arange(STEPS + 1) + 0.5) / (STEPS - 1)
        share[0], share[STEPS - 1 :] = 0.0, 1.0
        low, high = self._domain
        return self.space.amounts(self.function(low + share[:, None] * (high - low)))

    def shading(self, grey: Numbers) -> Object:
        made = _kept(self.described)
        made["/Domain"] = Array([0, 1])
        made["/Function"] = grey_line(grey)
        return made


@dataclass(frozen=True, slots=True, kw_only=True)
class _ByPlace:
    """Shadings by place: sampled on a grid."""

    described: Object
    space: Space
    function: Function

    @property
    def _domain(self) -> Numbers:
        if "/Domain" not in self.described:
            return np.array([[0.0, 1.0], [0.0, 1.0]])
        return pairs_of(self.described["/Domain"], count=2)

    def amounts(self) -> Numbers:
        across, up = (np.linspace(low, high, GRID) for low, high in self._domain)
        places = np.stack([np.tile(across, GRID), np.repeat(up, GRID)], axis=1)
        return self.space.amounts(self.function(places))

    def shading(self, grey: Numbers) -> Object:
        made = _kept(self.described)
        samples = np.rint(TOP * (grey + HALF_GREY) / (1.0 + HALF_GREY)).astype(">u2")
        table = _any_stream(self.described["/Function"]).copy()
        for key in list(table.keys()):
            if key != "/Length":
                del table[key]
        table.write(samples.tobytes())
        bounds = Array([0, 1.0 + HALF_GREY])
        entries = {"/FunctionType": 0, "/Size": Array([GRID, GRID]), "/BitsPerSample": 16, "/Range": bounds}
        for key, value in {**entries, "/Domain": Array([float(each) for each in self._domain.ravel()])}.items():
            table[key] = value
        made["/Function"] = table
        return made


def _any_stream(described: Object) -> Stream:
    """Functions of two inputs are streams, or arrays of streams."""
    found = described[0] if isinstance(described, Array) else described
    if not isinstance(found, Stream):
        raise Malformed("a function of two inputs that is no stream")
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class _Meshed:
    """Meshes: each corner has a colour. The drawing library goes straight from corner to corner, also where a function
    of one parameter would bend between them, which is told. Patches are cut into corners close enough for that."""

    described: Stream
    space: Space
    function: Function | None
    mesh: Mesh | Strips
    colours: Colours

    def amounts(self) -> Numbers:
        values = self.mesh.values
        if self.function is None:
            return self.space.amounts(values)
        if isinstance(self.mesh, Mesh) and self._bends():
            self.colours.ledger.note("pdf-mesh-function")
        return self.space.amounts(self.function(values))

    def _bends(self) -> bool:
        assert self.function is not None
        if not self.mesh.values.size:
            return False
        along = np.linspace(self.mesh.values.min(), self.mesh.values.max(), STEPS)
        found = self.space.amounts(self.function(along[:, None]))
        straight = found[0] + np.linspace(0.0, 1.0, STEPS)[:, None] * (found[-1] - found[0])
        return bool(np.abs(found - straight).max() > BENT)

    def shading(self, grey: Numbers) -> Object:
        made: Stream = self.described.copy()  # type: ignore[assignment]
        for key in ("/Function", "/Background"):
            if key in made:
                del made[key]
        self.mesh.rewritten(made, grey)
        return made
