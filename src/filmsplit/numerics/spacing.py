"""Points in the plane with spacings to keep: the nearest places to given ones at which every spacing holds.

Least squares with weights under equalities and inequalities, by a sequence of linearised problems: at each step the
*given* places (not the last ones) are projected on the spacings as they look from the last places, so that what the
sequence settles on is the nearest layout and not just some layout. Which inequalities press is found by an active set.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from filmsplit.numerics.symmetric import Matrix, solve_symmetric

Place = tuple[float, float]

TOLERANCE = 1e-9
"""A spacing holds when it is out by less than this, in the unit of the places."""
_SETTLED = 1e-7
_MAX_STEPS = 80
_MAX_SETS = 12
_MAX_PULLS = 400
_DAMPING = 1e-12
_WORK = 2e7
"""Multiplications after which the search gives up: a second or two. A sound train needs a hundredth of them."""


@dataclass(frozen=True, slots=True)
class Spacing:
    """A rule on distances: the sum of ``sign * |place i - place j|`` over ``terms`` is ``bound`` or, if not
    ``exact``, at least ``bound``."""

    terms: tuple[tuple[int, int, float], ...]
    bound: float
    exact: bool = True

    def excess(self, places: Sequence[Place]) -> float:
        """By how much the sum is above the bound."""
        total = -self.bound
        for i, j, sign in self.terms:
            total += sign * math.hypot(places[i][0] - places[j][0], places[i][1] - places[j][1])
        return total

    def misfit(self, places: Sequence[Place]) -> float:
        """How far the rule is from being kept; 0 when it is."""
        excess = self.excess(places)
        return abs(excess) if self.exact else max(0.0, -excess)

    def slope(self, places: Sequence[Place]) -> dict[int, Place]:
        """Derivative of the sum by each place that it depends on."""
        slope: dict[int, Place] = {}
        for i, j, sign in self.terms:
            x, y = places[i][0] - places[j][0], places[i][1] - places[j][1]
            length = math.hypot(x, y)
            ux, uy = (sign * x / length, sign * y / length) if length > 0 else (sign, 0.0)
            for k, direction in ((i, 1.0), (j, -1.0)):
                old = slope.get(k, (0.0, 0.0))
                slope[k] = (old[0] + direction * ux, old[1] + direction * uy)
        return slope


class Outcome(Enum):
    """How the search ended."""

    EXACT = "Every spacing already held. Nothing was moved."
    SETTLED = "Every spacing holds at the nearest places. Nothing more to do."
    HELD = "Every spacing holds, but nearer places may exist. Give better starting places to come closer."
    OPEN = "Not every spacing can be kept. Look at the largest misfit and change its bound or its places."


@dataclass(frozen=True, slots=True)
class Settled:
    """Places found, how far each rule is from being kept there and at the given places, how it ended, and when."""

    places: tuple[Place, ...]
    misfits: tuple[float, ...]
    misfits_before: tuple[float, ...]
    outcome: Outcome
    steps: int

    @property
    def holds(self) -> bool:
        return self.outcome is not Outcome.OPEN


def settle(
    given: Sequence[Place],
    mobility: Sequence[float],
    *,
    spacings: Sequence[Spacing],
    tolerance: float = TOLERANCE,
    effort: float = 1.0,
) -> Settled:
    """Nearest places to ``given`` that keep ``spacings``.

    A place with ``mobility`` 0 stays; one with 2 yields twice as easily as one with 1. The work is bounded, so that
    hopeless spacings cannot keep anyone waiting: ``effort`` scales the bound, and what is open then stays open.
    """
    search = _Search(given, mobility, spacings=spacings, work=_WORK * effort)
    before = search.misfits(given)
    if max(before, default=0.0) <= tolerance:
        return Settled(tuple(given), before, before, Outcome.EXACT, 0)
    places, settled, steps = search.project()
    places = search.close(places, pull=False)
    misfits = search.misfits(places)
    if max(misfits) > tolerance:
        settled, places = False, search.close(given, pull=True)
        misfits = search.misfits(places)
    outcome = Outcome.OPEN if max(misfits) > tolerance else Outcome.SETTLED if settled else Outcome.HELD
    return Settled(tuple(places), misfits, before, outcome, steps)


class _Search:
    """The places wanted, how easily each moves, and the rules to keep."""

    def __init__(
        self, given: Sequence[Place], mobility: Sequence[float], *, spacings: Sequence[Spacing], work: float
    ) -> None:
        self.given = given
        self.work = work
        self.mobility = mobility
        # A rule between places that cannot move is only ever judged.
        self.judged = spacings
        self.rules = [rule for rule in spacings if any(mobility[i] > 0 or mobility[j] > 0 for i, j, _ in rule.terms)]
        lengths = [rule.bound for rule in self.rules if rule.exact and rule.bound > 0]
        self.reach = 0.25 * min(lengths, default=1.0)

    def misfits(self, places: Sequence[Place]) -> tuple[float, ...]:
        return tuple(rule.misfit(places) for rule in self.judged)

    def project(self) -> tuple[Sequence[Place], bool, int]:
        """Project the given places again and again on the rules as they look from the last places.

        The bend of the rules is not in the linearised problem, so steps overshoot, the more the further the places
        must go. Each step is therefore shortened by what the last two tell (Irons & Tuck 1969, Aitken's rule for
        vectors; from memory).
        """
        places = self.given
        active: set[int] = set()
        share, last = 1.0, None
        for step in range(1, _MAX_STEPS + 1):
            if self.work <= 0:
                break
            wanted, active = self._project_once(places, active)
            ahead = [(q[0] - p[0], q[1] - p[1]) for p, q in zip(places, wanted, strict=True)]
            moved = max(math.hypot(*way) for way in ahead)
            if not math.isfinite(moved):
                break
            share = _next_share(share, last, ahead)
            last = ahead
            places = _towards(places, wanted, min(share, self.reach / moved) if moved > 0 else 1.0)
            if moved < _SETTLED:
                return places, True, step
        return places, False, _MAX_STEPS

    def _project_once(self, places: Sequence[Place], active: set[int]) -> tuple[list[Place], set[int]]:
        """One linearised problem: the active set grows by what would be broken and loses what pulls."""
        excess = [rule.excess(places) for rule in self.rules]
        near = [k for k, rule in enumerate(self.rules) if rule.exact or excess[k] < 4 * self.reach]
        slopes = {k: self.rules[k].slope(places) for k in near}
        # Excess of each rule, linearised, at the given places.
        shift = [(g[0] - p[0], g[1] - p[1]) for g, p in zip(self.given, places, strict=True)]
        at_given = {k: excess[k] + _along(slopes[k], shift) for k in near}
        fixed = [k for k in near if self.rules[k].exact]
        active = {k for k in near if not self.rules[k].exact and (k in active or excess[k] < 0)}
        for _ in range(_MAX_SETS):
            active = self._deepest(active, at_given)
            chosen = fixed + sorted(active)
            force = dict(zip(chosen, self._forces(chosen, slopes=slopes, excess=at_given), strict=True))
            push = self._push(force, slopes)
            pulls = {k for k in active if force[k] < 0}
            broken = {
                k
                for k in near
                if not self.rules[k].exact and k not in active and at_given[k] + _along(slopes[k], push) < -TOLERANCE
            }
            if self.work <= 0 or not (pulls or broken):
                break
            active = (active - pulls) | broken
        return [(g[0] + d[0], g[1] + d[1]) for g, d in zip(self.given, push, strict=True)], active

    def _deepest(self, active: set[int], excess: dict[int, float]) -> set[int]:
        """No more inequalities than circles in a plane can press on each other at once: the most broken ones."""
        most = 3 * len(self.given)
        return active if len(active) <= most else set(sorted(active, key=excess.__getitem__)[:most])

    def _forces(
        self,
        chosen: list[int],
        *,
        slopes: dict[int, dict[int, Place]],
        excess: dict[int, float],
        damping: float = _DAMPING,
    ) -> list[float]:
        """How hard each chosen rule must push for all of them to hold."""
        self.work -= len(chosen) ** 3 + 10 * len(self.rules)
        matrix = self._coupling([slopes[k] for k in chosen])
        for n in range(len(chosen)):
            matrix[n][n] += damping * (1.0 + matrix[n][n])
        return solve_symmetric(matrix, [-excess[k] for k in chosen])

    def _coupling(self, slopes: list[dict[int, Place]]) -> Matrix:
        """How much a push of one rule changes another: only rules that share a place are coupled."""
        matrix = [[0.0] * len(slopes) for _ in slopes]
        by_place: dict[int, list[tuple[int, Place]]] = {}
        for n, slope in enumerate(slopes):
            for i, direction in slope.items():
                by_place.setdefault(i, []).append((n, direction))
        for i, entries in by_place.items():
            ease = self.mobility[i]
            for n, (ax, ay) in entries:
                row = matrix[n]
                for m, (bx, by) in entries:
                    row[m] += ease * (ax * bx + ay * by)
        return matrix

    def _push(self, force: dict[int, float], slopes: dict[int, dict[int, Place]]) -> list[Place]:
        """Where the forces of the rules move each place."""
        push = [(0.0, 0.0)] * len(self.given)
        for k, strength in force.items():
            for i, (x, y) in slopes[k].items():
                ease = self.mobility[i] * strength
                push[i] = (push[i][0] + ease * x, push[i][1] + ease * y)
        return push

    def close(self, places: Sequence[Place], *, pull: bool) -> Sequence[Place]:
        """Close what is still open by the smallest steps; with ``pull``, damped, from far away."""
        damping = 1e-2 if pull else _DAMPING
        rounds = _MAX_PULLS if pull else 6
        best = self._total(places)
        for _ in range(rounds):
            if best <= TOLERANCE**2 / 4 or damping > 1e8 or self.work <= 0:
                break
            trial = self._closed_once(places, damping)
            total = self._total(trial)
            if total < best:
                gained, places, best = best - total, trial, total
                damping = max(_DAMPING, damping / 5)
                if gained < 1e-12 * best:
                    break
            elif pull:
                damping *= 4
            else:
                break
        return places

    def _total(self, places: Sequence[Place]) -> float:
        return sum(rule.misfit(places) ** 2 for rule in self.rules)

    def _closed_once(self, places: Sequence[Place], damping: float) -> Sequence[Place]:
        excess = {k: rule.excess(places) for k, rule in enumerate(self.rules)}
        broken = {k for k, rule in enumerate(self.rules) if not rule.exact and excess[k] < 0}
        chosen = [k for k, rule in enumerate(self.rules) if rule.exact] + sorted(self._deepest(broken, excess))
        slopes = {k: self.rules[k].slope(places) for k in chosen}
        forces = self._forces(chosen, slopes=slopes, excess=excess, damping=damping)
        push = self._push(dict(zip(chosen, forces, strict=True)), slopes)
        moved = max(math.hypot(*step) for step in push)
        wanted = [(p[0] + d[0], p[1] + d[1]) for p, d in zip(places, push, strict=True)]
        return _towards(places, wanted, min(1.0, self.reach / moved) if moved > 0 else 1.0)


def _towards(places: Sequence[Place], wanted: Sequence[Place], share: float) -> list[Place]:
    return [(p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])) for p, q in zip(places, wanted, strict=True)]


def _next_share(share: float, last: Sequence[Place] | None, ahead: Sequence[Place]) -> float:
    """Which share of the next step to go, from how the step wanted has changed since the last one."""
    if last is None:
        return share
    change = [(a[0] - b[0], a[1] - b[1]) for a, b in zip(ahead, last, strict=True)]
    size = sum(x * x + y * y for x, y in change)
    along = sum(b[0] * c[0] + b[1] * c[1] for b, c in zip(last, change, strict=True))
    return min(1.5, max(0.1, -share * along / size)) if size > 0 else 1.0


def _along(slope: dict[int, Place], steps: Sequence[Place]) -> float:
    """Change of a rule's excess when every place makes its step."""
    return sum(x * steps[i][0] + y * steps[i][1] for i, (x, y) in slope.items())
