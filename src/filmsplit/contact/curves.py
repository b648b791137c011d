"""Stripe, engagement, load and peak of one kind of contact as smooth curves, fitted to the direct solver once.

Everything without units: lengths in the first cover's thickness ``h``, so that one set of curves serves every single
soft roller, and one set each pair of covers of the same proportions.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from filmsplit.contact.indentation import indent
from filmsplit.contact.layer import Layer
from filmsplit.numerics.log_curve import LogCurve, log_nodes

LEAST_HALF_WIDTH, MOST_HALF_WIDTH = 0.005, 10.0
"""Half the stripe over the cover's thickness, at least and at most: a hair line, and a stripe of twenty thicknesses."""
CURVE_ERROR = 1e-6
"""The curves differ from the direct solver by at most this part of a value; a test holds them to it."""
_NODES = 40


@dataclass(frozen=True, slots=True, eq=False)
class ContactCurves:
    """Over half the stripe ``a/h``: ``P R/(E' h^2)``, ``d R/h^2``, ``p0 R/(E' h)``, and ``e R/h`` of each cover."""

    load: LogCurve
    approach: LogCurve
    peak: LogCurve
    stretches: tuple[LogCurve, ...]


@lru_cache(maxsize=64)
def contact_curves(layers: tuple[Layer, ...]) -> ContactCurves:
    """The curves of one cover on a hard partner, or of two covers. What was fitted once is kept.

    ``ArithmeticError`` where a solution is not resolved, or stripe and load would not grow together.
    """
    low, high = LEAST_HALF_WIDTH, MOST_HALF_WIDTH
    solved = [indent(float(half_width), layers) for half_width in log_nodes(low, high, _NODES)]
    if not all(one.resolved for one in solved):
        raise ArithmeticError("a contact is not resolved; its curves would not be true")
    curves = ContactCurves(
        load=_through([one.load for one in solved]),
        approach=_through([one.approach for one in solved]),
        peak=_through([one.peak for one in solved]),
        stretches=tuple(_through([one.stretches[i] for one in solved]) for i in range(len(layers))),
    )
    if not (curves.load.rises and curves.approach.rises and curves.peak.rises):
        raise ArithmeticError("load, engagement and peak pressure must grow with the stripe")
    return curves


def _through(values: Sequence[float]) -> LogCurve:
    return LogCurve.through(np.array(values), low=LEAST_HALF_WIDTH, high=MOST_HALF_WIDTH)
