"""Zone means of a page by our reader and by another program's separations (Ghostscript's tiffsep, if it is installed).

The other program draws 1200 dots to the inch and takes eight by eight together. It shares no code with ours, and
paints every dot it touches: letters and lines come out a little fatter there.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import tempfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from filmsplit.artwork import CoverageMap
from filmsplit.formats.coverage_limits import MM_PER_INCH
from filmsplit.formats.coverage_options import CoverageOptions
from filmsplit.formats.pdf.asked import PdfAsked
from filmsplit.formats.pdf.conversion import srgb_profile
from filmsplit.formats.pdf.door import pdf_coverage, pdf_page_size_mm
from filmsplit.messages.problem import Severity

OTHER = shutil.which("gs")
FINE_DPI, TAKEN_TOGETHER = 1200, 8
PROFILE = Path("/usr/share/color/icc/ghostscript/default_cmyk.icc")
"""The profile that comes with the other program."""
ZONES = 12
WITHIN = 0.003
"""Zone means may differ by so much."""
LONGEST_S = 600.0
_NAMED = re.compile(r"page(?:\d*)\((.*)\)\.tif")
Means = Mapping[str, NDArray[np.float64]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """Zone means by ink of both (inks with none are left out), what our reader said about the page, and
    whether that was a warning (of more than colours of light, which both treat alike)."""

    ours: Means
    other: Means
    told: tuple[str, ...]
    warned: bool

    @property
    def worst(self) -> Iterator[tuple[float, str, int]]:
        """By ink the largest difference, ours less the other's, and the zone it is in (from 1)."""
        for ink in {**self.ours, **self.other}:
            difference = self.ours.get(ink, np.zeros(ZONES)) - self.other.get(ink, np.zeros(ZONES))
            zone = int(np.argmax(np.abs(difference)))
            yield float(difference[zone]), ink, zone + 1


def compared(path: Path, *, page: int) -> Compared:
    """Both opinions, colours of light turned into ink by the same profiles, relative with black point compensation."""
    asked = PdfAsked(page=page, profile=PROFILE.read_bytes())
    width_mm = pdf_page_size_mm(path, CoverageOptions(pdf=asked))[1]
    cuts = tuple(width_mm * zone / ZONES for zone in range(1, ZONES))
    read = pdf_coverage(path, CoverageOptions(pdf=asked, cuts_across_mm=cuts))
    ours = {each.ink: _zones(each, (0.0, *cuts, width_mm)) for each in read.maps}
    other = {ink: means for ink, means in separations(path, page=page, width_mm=width_mm).items() if means.any()}
    warned = any(each.severity is Severity.WARNING and each.slug != "pdf-rgb-by-profile" for each in read.notices)
    return Compared(ours=ours, other=other, told=tuple(each.slug for each in read.notices), warned=warned)


def _zones(artwork: CoverageMap, edges_mm: tuple[float, ...]) -> NDArray[np.float64]:
    """Means of the columns, each cell shared out where a zone ends within it."""
    down = np.diff(artwork.round_edges_mm)
    columns = down @ artwork.coverage / down.sum()
    total = np.concatenate([[0.0], np.cumsum(columns * np.diff(artwork.across_edges_mm))])
    at = np.interp(edges_mm, artwork.across_edges_mm, total)
    return np.diff(at) / np.diff(edges_mm)


def separations(path: Path, *, page: int, width_mm: float) -> dict[str, NDArray[np.float64]]:
    """Zone means by ink as the other program has them (it takes units of a page for points)."""
    assert OTHER is not None
    with tempfile.TemporaryDirectory() as folder:
        told = ["-q", "-dBATCH", "-dNOPAUSE", "-dSAFER", "-sDEVICE=tiffsep", "-dUseCropBox", "-dShowAnnots=false"]
        told += [f"-r{FINE_DPI}", f"-dDownScaleFactor={TAKEN_TOGETHER}", f"-dFirstPage={page}", f"-dLastPage={page}"]
        light = Path(folder) / "light.icc"
        light.write_bytes(srgb_profile())
        told += [f"--permit-file-read={folder}/:{PROFILE}", f"-sDefaultRGBProfile={light}"]
        told += [
            f"-sOutputICCProfile={PROFILE}",
            "-dRenderIntent=1",
            "-dBlackPtComp=1",
            "-dImageIntent=1",
            "-dImageBlackPt=1",
        ]
        told += [f"-sOutputFile={folder}/page.tif", str(path)]
        subprocess.run([OTHER, *told], check=True, capture_output=True, timeout=LONGEST_S)
        return {_ink(each): _read(each, width_mm) for each in sorted(Path(folder).glob("page*(*).tif"))}


def _ink(path: Path) -> str:
    found = _NAMED.fullmatch(path.name)
    assert found is not None, path.name
    return found[1]


def _read(path: Path, width_mm: float) -> NDArray[np.float64]:
    """The page ends within the last dot."""
    import tifffile  # noqa: PLC0415 - only where there is something to compare

    dots = 1.0 - tifffile.imread(path).astype(np.float64) / 255
    columns = dots.mean(axis=0)
    total = np.concatenate([[0.0], np.cumsum(columns)])
    edges = np.linspace(0, width_mm / MM_PER_INCH * FINE_DPI / TAKEN_TOGETHER, ZONES + 1)
    means: NDArray[np.float64] = np.diff(np.interp(edges, np.arange(total.size), total)) / np.diff(edges)
    return means
