"""A deliberately naive train: plain Python, one step and one pair of cells at a time. Imports nothing of ours.

Takes the description as plain dictionaries in millimetres and does its own cutting into cells. Films of loops at other
speeds than the press are volumes per travel: film x speed.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterator, Sequence
from typing import Any

Rows = list[list[float]]


class NaiveTrain:
    def __init__(self, net: dict[str, Any], *, plate_rows: int, columns: int, width_mm: float) -> None:
        self.h, self.w = net["plate_mm"] / plate_rows, width_mm / columns
        self.rows, self.columns, self.net, self.step = plate_rows, columns, net, 0
        self.loops = {loop["id"]: loop for loop in net["loops"]}
        self.role = {id: str(loop["role"].value) for id, loop in self.loops.items()}
        self.size = {
            id: plate_rows if self.role[id] != "roller" else round(loop["length_mm"] / self.h)
            for id, loop in self.loops.items()
        }
        self.face = {id: [self.inside(loop["face_mm"], j) for j in range(columns)] for id, loop in self.loops.items()}
        self.film: dict[str, Rows] = {id: [[0.0] * columns for _ in range(size)] for id, size in self.size.items()}
        self.turned = {feed["fountain"]["loop"]: 0 for feed in net["feeds"] if "fountain" in feed}
        self.on_train = dict.fromkeys(self.turned, False)
        self.fed = self.printed = 0.0
        self.printed_film: Rows = [[0.0] * columns for _ in range(plate_rows)]

    def inside(self, face: Sequence[float] | None, j: int) -> bool:
        return face is None or face[0] <= (j + 0.5) * self.w < face[1]

    def row(self, place: dict[str, Any]) -> tuple[int, list[float]]:
        """Number of the cell now standing at a place, and its list of films."""
        loop = place["loop"]
        number = (self.turned.get(loop, self.step) - round(place["at_mm"] / self.h)) % self.size[loop]
        return number, self.film[loop][number]

    def stands(self, loop: str) -> float:
        swing = self.loops[loop]["swing"]
        if not swing:
            return 0.0
        turn = (self.step + 0.5) / (swing["cycle_rev"] * self.rows) + swing["phase_deg"] / 360
        return float(swing["stroke_mm"] / 2 / self.w * math.sin(2 * math.pi * turn))

    def meetings(self, a: str, b: str | None) -> Iterator[tuple[int, int, float, int]]:
        """Pairs of columns that overlap: column of a, of b, overlapped part of a cell, press column of its middle."""
        za, zb = self.stands(a), self.stands(b) if b else 0.0
        for i in range(self.columns):
            for j in range(self.columns):
                low, high = max(i + za, j + zb), min(i + za, j + zb) + 1
                if high > low and self.face[a][i] and (not b or self.face[b][j]):
                    yield i, j, high - low, min(max(math.floor((low + high) / 2), 0), self.columns - 1)

    def turn(
        self,
        *,
        coverage: Rows,
        film: Sequence[float],
        sweep_mm: float,
        taken: Callable[[float], float],
        contacts: Sequence[Sequence[float]],
        open_nips: Collection[int] = (),
        sheet: Callable[[int, int], bool],
    ) -> None:
        """One step. ``contacts`` by nip and column; ``taken`` by the sheet; ``sheet``: does it lie there?"""
        for feed in self.net["feeds"]:
            self.feed(feed, film, sweep_mm)
        for number, nip in enumerate(self.net["nips"]):
            if number not in open_nips:
                self.nip(nip, contacts[number], coverage)
        self.take(coverage, taken, sheet)
        self.step += 1
        for loop, on in self.on_train.items():
            self.turned[loop] += on

    def nip(self, nip: dict[str, Any], contact: Sequence[float], coverage: Rows) -> None:
        if self.role[nip["a"]["loop"]] == "plate" and self.role[nip["b"]["loop"]] == "roller":
            nip = {**nip, "a": nip["b"], "b": nip["a"], "share": 1 - nip["share"]}
        a, b, share = nip["a"]["loop"], nip["b"]["loop"], nip["share"]
        if not self.on_train.get(a, True) or not self.on_train.get(b, True):
            return
        if nip["slips"]:
            weight = (self.loops[a]["speed"] / self.loops[b]["speed"]) ** 1.65
            share = weight / (1 + weight)
        number, films_b = self.row(nip["b"])
        _, films_a = self.row(nip["a"])
        on_plate = self.role[b] == "plate" and self.role[a] == "roller"
        before_a, before_b = list(films_a), list(films_b)
        for i, j, area, middle in self.meetings(a, b):
            cover = coverage[number][j] if on_plate else 1.0
            if cover == 0:
                continue
            total = before_a[i] + before_b[j]
            part = area * contact[middle]
            films_a[i] += cover * part * (share * total - before_a[i])
            films_b[j] += part * ((1 - share) * total - before_b[j])

    def take(self, coverage: Rows, taken: Callable[[float], float], sheet: Callable[[int, int], bool]) -> None:
        nip = next(n for n in self.net["nips"] if {self.role[n[s]["loop"]] for s in "ab"} == {"plate", "blanket"})
        plate, blanket = (nip["a"], nip["b"]) if self.role[nip["a"]["loop"]] == "plate" else (nip["b"], nip["a"])
        number, films = self.row(self.net["sheet"])
        lead = round(blanket["at_mm"] / self.h) - round(plate["at_mm"] / self.h)
        number = (number + lead) % self.rows  # the plate row whose image is on the blanket cell now at the sheet
        for j in range(self.columns):
            if sheet(number, j):
                self.printed_film[number][j] = taken(films[j])
                self.printed += coverage[number][j] * self.printed_film[number][j]
                films[j] -= self.printed_film[number][j]

    def feed(self, feed: dict[str, Any], film: Sequence[float], sweep_mm: float) -> None:
        if "fountain" in feed:
            self.duct(feed, film, sweep_mm)
            return
        ratio = feed.get("speed_ratio")
        _, films = self.row(feed["at"])
        before = list(films)
        for i, j, area, _ in self.meetings(feed["at"]["loop"], None):
            if self.inside(feed["face_mm"], j):
                left = before[i] + film[j] if ratio is None else (film[j] * ratio + before[i]) / (1 + ratio**1.65)
                films[i] += area * (left - before[i])
                self.fed += area * (left - before[i])

    def duct(self, feed: dict[str, Any], film: Sequence[float], sweep_mm: float) -> None:
        loop = feed["fountain"]["loop"]
        cycle = feed["cycle_rev"] * self.rows
        late = feed["phase_deg"] / 360 * cycle
        feed_dwell, train_dwell = round(feed["dwell_feed_mm"] / self.h), round(feed["dwell_train_mm"] / self.h)
        number = math.floor((self.step + 0.5 - late) / cycle)
        begin, following = round(late + number * cycle), round(late + (number + 1) * cycle)
        since = self.step - begin
        first = feed_dwell + (following - begin - feed_dwell - train_dwell) // 2
        self.on_train[loop] = first <= since < first + train_dwell
        if since != feed_dwell:
            return
        left = sweep_mm / self.h
        number = self.turned[loop] - round(feed["fountain"]["at_mm"] / self.h)
        while left > 0:
            films = self.film[loop][number % self.size[loop]]
            for j in range(self.columns):
                if self.inside(feed["face_mm"], j) and self.face[loop][j]:
                    gain = min(left, 1.0) * ((film[j] + films[j]) / 2 - films[j])
                    films[j] += gain
                    self.fed += gain
            left, number = left - 1, number + 1
        self.turned[loop] += round(sweep_mm / self.h)
