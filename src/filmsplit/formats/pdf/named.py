"""The resources of a stream that is written once an ink: names of our own, one object for each ink behind each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import pikepdf
from pikepdf import Array, Dictionary, Name

GREY_PATTERN = "/FilmsplitUncoloured"
"""The space in which a pattern without colours of its own is painted."""

Kept = dict[str, dict[str, pikepdf.Object]]


@dataclass(slots=True)
class Named:
    """``shared`` resources are the same object for every ink; ``own`` ones differ by ink."""

    count: int
    _shared: Kept = field(default_factory=dict)
    _own: list[Kept] = field(init=False)
    _names: dict[object, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._own = [{} for _ in range(self.count)]

    def keep(self, category: str, name: str, *, thing: pikepdf.Object) -> None:
        """A resource of the original stream, under its own name."""
        self._shared.setdefault(category, {})[name] = thing

    def shared(self, category: str, thing: pikepdf.Object, *, key: object) -> bytes:
        """The name of one object for all inks. ``key`` is equal for equal objects."""
        return self._name(category, key, things=[thing] * self.count)

    def own(self, category: str, things: Sequence[pikepdf.Object | None], *, key: object) -> bytes:
        """The name of an object of each ink's own."""
        return self._name(category, key, things=things)

    def _name(self, category: str, key: object, *, things: Sequence[pikepdf.Object | None]) -> bytes:
        full = (category, key)
        if full not in self._names:
            name = f"/Filmsplit{len(self._names)}"
            self._names[full] = name
            for kept, thing in zip(self._own, things, strict=True):
                if thing is not None:
                    kept.setdefault(category, {})[name] = thing
        return self._names[full].encode()

    def resources(self, plane: int) -> Dictionary:
        """What one ink's stream needs."""
        made = Dictionary()
        for kept in (self._shared, self._own[plane]):
            for category, things in kept.items():
                if category not in made:
                    made[category] = Dictionary()
                for name, thing in things.items():
                    made[category][name] = thing
        made["/ColorSpace"] = Dictionary({GREY_PATTERN: Array([Name.Pattern, Name.DeviceGray])})
        return made
