"""Measured densities from a text file: the tagged text of ISO 28178 (keywords, a data format, data sets), or CSV.

Of ISO 28178 what densities need: keywords for how it was measured, the field names ``D_RED``, ``D_GREEN``, ``D_BLUE``,
``D_VIS`` and ``D_MAJOR_FILTER``, ``SAMPLE_ID`` and ``SAMPLE_NAME`` (names from memory of the standard and its American
forerunner). Which solid stands in which zone the file cannot know: samples count from the operator's side.
"""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from filmsplit.messages import Place, Problem, Refusal

MOST_BYTES = 5_000_000
MOST_SETS = 100_000
MOST_PROBLEMS = 50
HIGHEST_DENSITY = 4.0
"""Above this it is no print density but a slip (a percentage, a missing point)."""

DENSITY_FIELDS = ("D_MAJOR_FILTER", "D_VIS", "D_RED", "D_GREEN", "D_BLUE")

_TOKEN = re.compile(r'"([^"]*)"|([^\s"]+)')


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One sample: its number from the operator's side, its name if it has one, density by field name."""

    number: int
    name: str
    densities: Mapping[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """A file of densities, and what it says about how they were measured (empty where it does not say)."""

    samples: tuple[Measured, ...]
    status: str = ""
    polarised: bool | None = None
    backing: str = ""
    keywords: Mapping[str, str] = field(default_factory=dict)


def read_measurement(path: Path) -> Measurement:
    """Densities from a file; :class:`Refusal` with every problem and its line."""
    return read_measurement_text(measurement_text(path), name=path.name)


def measurement_text(path: Path) -> str:
    """The text of a file of densities; :class:`Refusal` where it cannot be read, or is too long to be one."""
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise Refusal(Problem("file-not-readable", {"file": str(path), "detail": error.strerror or ""})) from error
    if len(data) > MOST_BYTES:
        raise Refusal(Problem("measurement-too-long", {"file": str(path), "most": MOST_BYTES // 1_000_000}))
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("latin-1")  # every byte has a meaning there; only names can come out odd


def read_measurement_text(text: str, *, name: str) -> Measurement:
    """Densities from the text of a file called ``name``."""
    if "\x00" in text:
        raise Refusal(Problem("measurement-not-text", {"file": name}))
    if is_tagged(text):
        return _Tagged(name).read(text)
    return _csv(text, name)


def is_tagged(text: str) -> bool:
    """Whether a text is the tagged text of ISO 28178."""
    return re.search(r"^\s*BEGIN_DATA_FORMAT\b", text, re.MULTILINE) is not None


class _Tagged:
    """One walk through tagged text."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.problems: list[Problem] = []
        self.keywords: dict[str, str] = {}
        self.fields: list[str] = []
        self.samples: list[Measured] = []
        self.part = "head"

    def read(self, text: str) -> Measurement:
        for line, content in enumerate(text.splitlines(), start=1):
            tokens = list(_tokens(content))
            if tokens:
                self._line(line, tokens)
        if self.part != "head":
            self._complain("measurement-part-not-ended", 1, part=self.part)
        if not self.samples and not self.problems:
            self._complain("measurement-without-densities", 1, fields=", ".join(DENSITY_FIELDS))
        self._check_count()
        if self.problems:
            raise Refusal(self.problems)
        return _described(self.samples, self.keywords)

    def _line(self, line: int, tokens: list[str]) -> None:
        first = tokens[0]
        if first in {"END_DATA_FORMAT", "END_DATA"}:
            self.part = "head"
        elif first == "BEGIN_DATA_FORMAT":
            self.part, self.fields = "format", []
        elif first == "BEGIN_DATA":
            self.part = "data"
            self._check_fields(line)
        elif self.part == "format":
            self.fields += tokens
        elif self.part == "data":
            self._sample(line, tokens)
        else:
            self._keyword(tokens)

    def _keyword(self, tokens: list[str]) -> None:
        if len(tokens) > 1:
            self.keywords[tokens[0].upper()] = " ".join(tokens[1:])[:200]

    def _check_fields(self, line: int) -> None:
        if not any(each in DENSITY_FIELDS for each in self.fields):
            self._complain("measurement-without-densities", line, fields=", ".join(DENSITY_FIELDS))

    def _sample(self, line: int, tokens: list[str]) -> None:
        if len(tokens) != len(self.fields):
            self._complain("measurement-set-length", line, given=len(tokens), fields=len(self.fields))
            return
        if len(self.samples) >= MOST_SETS:
            self._complain("measurement-too-many", line, most=MOST_SETS)
            return
        row = dict(zip(self.fields, tokens, strict=True))
        densities = {key: self._density(row[key], line) for key in self.fields if key in DENSITY_FIELDS}
        good = {key: value for key, value in densities.items() if value is not None}
        self.samples.append(
            Measured(
                number=len(self.samples) + 1, name=row.get("SAMPLE_NAME", row.get("SAMPLE_ID", "")), densities=good
            )
        )

    def _density(self, text: str, line: int) -> float | None:
        value = _number(text)
        if value is None or not 0 <= value <= HIGHEST_DENSITY:
            self._complain("measurement-not-a-density", line, given=text[:40], highest=HIGHEST_DENSITY)
            return None
        return value

    def _check_count(self) -> None:
        """Where the file says how many sets it has, that many must be there: a cut-off file is found by it."""
        told = self.keywords.get("NUMBER_OF_SETS", "")
        if told.isdigit() and int(told) != len(self.samples) and not self.problems:
            self._complain("measurement-cut-off", 1, told=int(told), found=len(self.samples))

    def _complain(self, slug: str, line: int, **values: object) -> None:
        if len(self.problems) < MOST_PROBLEMS:
            self.problems.append(Problem(slug, values, place=Place(self.name, line, 1)))


def _tokens(line: str) -> Iterator[str]:
    """Words and quoted texts of a line; a # outside quotes begins a remark."""
    for match in _TOKEN.finditer(line):
        quoted, plain = match.groups()
        if plain is not None and plain.startswith("#"):
            return
        yield quoted if quoted is not None else plain


def _csv(text: str, name: str) -> Measurement:
    """A table with a line of headings: ``zone`` and ``density``, separated by comma, semicolon or tab."""
    lines = [line for line in text.splitlines() if line.strip()]
    if not lines:
        raise Refusal(Problem("measurement-empty", {"file": name}))
    separator = max(";\t,", key=lines[0].count)
    rows = list(csv.reader(lines, delimiter=separator))
    headings = [heading.strip().lower() for heading in rows[0]]
    missing = [wanted for wanted in ("zone", "density") if wanted not in headings]
    if missing:
        raise Refusal(Problem("measurement-headings", {"missing": ", ".join(missing)}, place=Place(name, 1, 1)))
    problems: list[Problem] = []
    samples = [
        _row(dict(zip(headings, row, strict=False)), place=Place(name, line, 1), problems=problems)
        for line, row in enumerate(rows[1:], start=2)
    ]
    if problems or not samples:
        raise Refusal(problems[:MOST_PROBLEMS] or Problem("measurement-empty", {"file": name}))
    return _described([each for each in samples if each is not None], {})


def _row(cells: Mapping[str, str], *, place: Place, problems: list[Problem]) -> Measured | None:
    zone, density = cells.get("zone", "").strip(), _number(cells.get("density", "").strip().replace(",", "."))
    if not zone.isdigit() or int(zone) < 1:
        problems.append(Problem("measurement-not-a-zone", {"given": zone[:40]}, place=place))
        return None
    if density is None or not 0 <= density <= HIGHEST_DENSITY:
        given = cells.get("density", "")[:40]
        problems.append(Problem("measurement-not-a-density", {"given": given, "highest": HIGHEST_DENSITY}, place=place))
        return None
    return Measured(number=int(zone), name=cells.get("name", ""), densities={"D_MAJOR_FILTER": density})


def _number(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def _described(samples: Sequence[Measured], keywords: Mapping[str, str]) -> Measurement:
    words = " ".join(
        (keywords.get("FILTER_STATUS", ""), keywords.get("DENSITY_STATUS", ""), keywords.get("FILTER", ""))
    )
    status = re.search(r"\b(?:STATUS\s*)?([ETAIMV])\b", words.upper())
    polarised = {"YES": True, "TRUE": True, "ON": True, "NO": False, "FALSE": False, "NONE": False, "OFF": False}
    return Measurement(
        samples=tuple(samples),
        status=status.group(1) if status else "",
        polarised=polarised.get(keywords.get("POLARIZATION", "").strip().upper()),
        backing=keywords.get("SAMPLE_BACKING", "").strip().lower()[:8],
        keywords=dict(keywords),
    )
