"""A deliberately naive train: plain Python, one step and one pair of cells at a time. Imports nothing of ours.

Takes the description as plain dictionaries in millimetres and does its own cutting into cells.
"""

import math


class NaiveTrain:
    def __init__(self, net, *, plate_rows, columns, width_mm):
        self.h, self.w = net["plate_mm"] / plate_rows, width_mm / columns
        self.rows, self.columns, self.net, self.step = plate_rows, columns, net, 0
        self.size, self.face, self.film, self.swing, self.role = {}, {}, {}, {}, {}
        for loop in net["loops"]:
            id, role = loop["id"], loop["role"].value
            self.role[id] = role
            self.size[id] = plate_rows if role != "roller" else round(loop["length_mm"] / self.h)
            self.face[id] = [self.inside(loop["face_mm"], j) for j in range(columns)]
            self.film[id] = [[0.0] * columns for _ in range(self.size[id])]
            self.swing[id] = loop["swing"]
        ducts = [f for f in net["feeds"] if "fountain" in f]
        self.turned = {f["fountain"]["loop"]: 0 for f in ducts}
        self.on_train = dict.fromkeys(self.turned, False)
        self.fed = self.printed = 0.0
        self.printed_film = [[0.0] * columns for _ in range(plate_rows)]

    def inside(self, face, j):
        return face is None or face[0] <= (j + 0.5) * self.w < face[1]

    def row(self, place):
        """Number of the cell now standing at a place, and its list of films."""
        loop = place["loop"]
        number = (self.turned.get(loop, self.step) - round(place["at_mm"] / self.h)) % self.size[loop]
        return number, self.film[loop][number]

    def stands(self, loop):
        swing = self.swing[loop]
        if not swing:
            return 0.0
        turn = (self.step + 0.5) / (swing["cycle_rev"] * self.rows) + swing["phase_deg"] / 360
        return swing["stroke_mm"] / 2 / self.w * math.sin(2 * math.pi * turn)

    def meetings(self, a, b, *, bounded_a=True, bounded_b=True):
        """Pairs of columns that overlap: column of a, of b, overlapped part of a cell, press column of its middle."""
        za, zb = self.stands(a), self.stands(b) if b else 0.0
        for i in range(self.columns):
            for j in range(self.columns):
                low, high = max(i + za, j + zb), min(i + za, j + zb) + 1
                if high > low and (not bounded_a or self.face[a][i]) and (not bounded_b or self.face[b][j]):
                    yield i, j, high - low, min(max(math.floor((low + high) / 2), 0), self.columns - 1)

    def turn(self, *, coverage, film, sweep_mm, tau, contacts, sheet_columns=None, open_nips=()):
        """One step of everything. ``contacts``: exchange share per column, by nip number."""
        for feed in self.net["feeds"]:
            self.feed(feed, film, sweep_mm)
        for number, nip in enumerate(self.net["nips"]):
            if number not in open_nips:
                self.nip(nip, contacts[number], coverage)
        if self.net["sheet"]:
            self.sheet(coverage, tau, sheet_columns)
        self.step += 1
        for loop, on in self.on_train.items():
            self.turned[loop] += on

    def nip(self, nip, contact, coverage):
        a, b = nip["a"]["loop"], nip["b"]["loop"]
        if not self.on_train.get(a, True) or not self.on_train.get(b, True):
            return
        number, films_b = self.row(nip["b"])
        _, films_a = self.row(nip["a"])
        on_plate = self.role[b] == "plate"
        before_a, before_b = list(films_a), list(films_b)
        for i, j, area, middle in list(self.meetings(a, b)):
            cover = coverage[number][j] if on_plate else 1.0
            if cover == 0:
                continue
            total = before_a[i] + before_b[j]
            part = area * contact[middle]
            films_a[i] += cover * part * (nip["share"] * total - before_a[i])
            films_b[j] += part * ((1 - nip["share"]) * total - before_b[j])

    def plate_number(self):
        """Plate row whose image is on the blanket cell now at the sheet."""
        nip = next(n for n in self.net["nips"] if {self.role[n[s]["loop"]] for s in "ab"} == {"plate", "blanket"})
        plate, blanket = (nip["a"], nip["b"]) if self.role[nip["a"]["loop"]] == "plate" else (nip["b"], nip["a"])
        number, films = self.row(self.net["sheet"])
        lead = round(blanket["at_mm"] / self.h) - round(plate["at_mm"] / self.h)
        return (number + lead) % self.rows, films

    def sheet(self, coverage, tau, sheet_columns):
        number, films = self.plate_number()
        for j in range(self.columns):
            if sheet_columns is None or sheet_columns[0] <= j < sheet_columns[1]:
                self.printed_film[number][j] = tau * films[j]
                self.printed += coverage[number][j] * tau * films[j]
                films[j] -= tau * films[j]

    def feed(self, feed, film, sweep_mm):
        if "fountain" in feed:
            self.duct(feed, film, sweep_mm)
            return
        loop, ratio = feed["at"]["loop"], feed.get("speed_ratio")
        _, films = self.row(feed["at"])
        before = list(films)
        for i, j, area, _ in self.meetings(loop, None, bounded_b=False):
            if self.inside(feed["face_mm"], j):
                left = before[i] + film[j] if ratio is None else (film[j] * ratio + before[i]) / (1 + ratio**1.65)
                films[i] += area * (left - before[i])
                self.fed += area * (left - before[i])

    def duct(self, feed, film, sweep_mm):
        loop = feed["fountain"]["loop"]
        cycle = feed["cycle_rev"] * self.rows
        feed_dwell, train_dwell = round(feed["dwell_feed_mm"] / self.h), round(feed["dwell_train_mm"] / self.h)
        number = math.floor((self.step + 0.5) / cycle)
        begin, following = round(number * cycle), round((number + 1) * cycle)
        since = self.step - begin
        first = feed_dwell + (following - begin - feed_dwell - train_dwell) // 2
        self.on_train[loop] = first <= since < first + train_dwell
        if since != feed_dwell:
            return
        left = sweep_mm / self.h
        start = self.turned[loop] - round(feed["fountain"]["at_mm"] / self.h)
        number = start
        while left > 0:
            films = self.film[loop][number % self.size[loop]]
            for j in range(self.columns):
                if self.inside(feed["face_mm"], j) and self.face[loop][j]:
                    gain = min(left, 1.0) * ((film[j] + films[j]) / 2 - films[j])
                    films[j] += gain
                    self.fed += gain
            left, number = left - 1, number + 1
        self.turned[loop] += round(sweep_mm / self.h)
