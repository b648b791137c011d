"""Coverage typed zone by zone: percents as a person writes them."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator

from numpy.typing import ArrayLike

from filmsplit.artwork import CoverageMap, Source, Step, StepKind, zone_map
from filmsplit.messages import Problem, Refusal, label

_ZONE = re.compile(r"(?:(?P<times>\d{1,3})\s*[x×*])?(?P<percent>\d{1,3}(?:[.,]\d{1,6})?)%?")


def typed_coverage(text: str, edges_mm: ArrayLike, *, round_mm: float, ink: str) -> CoverageMap:
    """The map of percents in the order of the zones, from the operator's side: ``"0 0 5 12,5 4x30"``.

    Blanks or semicolons stand between zones, so that a comma can be a decimal comma; ``4x30`` is 30 four times.
    Raises ``Refusal`` with everything that is wrong.
    """
    import numpy as np  # noqa: PLC0415  # heavy

    zones = np.size(edges_mm) - 1
    words = re.sub(r"\s*([x×*])\s*", r"\1", text.strip()).replace(" %", "%").replace(";", " ").split()
    problems: list[Problem] = []
    percents = [percent for word in words for percent in _percents(word, problems)]
    if not problems and len(percents) != zones:
        problems.append(Problem("coverage-zones-do-not-fit", {"typed": len(percents), "zones": zones}))
    if problems:
        raise Refusal(problems)
    shares = [percent / 100 for percent in percents]
    source = Source(file="", kind=label("artwork.typed"))
    return zone_map(shares, edges_mm, round_mm=round_mm, ink=ink, source=source).changed(Step(StepKind.TYPED))


def _percents(word: str, problems: list[Problem]) -> Iterator[float]:
    found = _ZONE.fullmatch(word)
    percent = float(found["percent"].replace(",", ".")) if found else math.nan
    if found is None or not 0 <= percent <= 100:
        problems.append(Problem("coverage-not-a-percent", {"word": word[:40]}))
        return
    yield from [percent] * int(found["times"] or 1)
