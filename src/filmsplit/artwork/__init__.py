"""what is asked of the ink: coverage in mm, placed on the plate, summed by zone"""

from filmsplit.artwork.coverage import CoverageMap, Frame, Source, Step, StepKind
from filmsplit.artwork.curve import PlateCurve
from filmsplit.artwork.cuts import zone_cuts
from filmsplit.artwork.doubts import doubts
from filmsplit.artwork.placement import Placement, Sheet, StepAndRepeat, Turn, WorkStyle
from filmsplit.artwork.placing import place
from filmsplit.artwork.plate import Plate
from filmsplit.artwork.zones import ZoneTotals, zone_map, zone_totals

__all__ = [
    "CoverageMap",
    "Frame",
    "Placement",
    "Plate",
    "PlateCurve",
    "Sheet",
    "Source",
    "Step",
    "StepAndRepeat",
    "StepKind",
    "Turn",
    "WorkStyle",
    "ZoneTotals",
    "doubts",
    "place",
    "zone_cuts",
    "zone_map",
    "zone_totals",
]
