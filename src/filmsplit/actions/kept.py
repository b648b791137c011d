"""Things that take long to make, kept for whoever asks next: each made once, the oldest forgotten."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import Generic, TypeVar

Thing = TypeVar("Thing")


@dataclass(slots=True)
class _Place(Generic[Thing]):
    making: threading.Lock = field(default_factory=threading.Lock)
    thing: Thing | None = None


@dataclass(slots=True)
class Kept(Generic[Thing]):
    """At most ``most`` things by key. Whoever asks while one is made waits for it; one that failed is made anew."""

    most: int
    _places: OrderedDict[Hashable, _Place[Thing]] = field(default_factory=OrderedDict, init=False)
    _changing: threading.Lock = field(default_factory=threading.Lock, init=False)

    def get(self, key: Hashable, make: Callable[[], Thing]) -> Thing:
        """The thing of a key, made where it is not there. What ``make`` raises is raised."""
        place = self._place(key)
        with place.making:
            if place.thing is None:
                place.thing = make()
            return place.thing

    def ready(self, key: Hashable) -> Thing | None:
        """The thing of a key if it is there, without waiting for it."""
        with self._changing:
            place = self._places.get(key)
            if place is None:
                return None
            self._places.move_to_end(key)
            return place.thing

    def begun(self, key: Hashable) -> bool:
        """Whether it is there or being made."""
        with self._changing:
            place = self._places.get(key)
        return place is not None and (place.thing is not None or place.making.locked())

    def __len__(self) -> int:
        with self._changing:
            return len(self._places)

    def _place(self, key: Hashable) -> _Place[Thing]:
        with self._changing:
            place = self._places.setdefault(key, _Place[Thing]())
            self._places.move_to_end(key)
            while len(self._places) > self.most:
                self._places.popitem(last=False)
            return place
