"""What is typed after `filmsplit setup`, read: the job, and where its work lies."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TypedDict, TypeVar

from filmsplit.actions.job_asked import JobAsked
from filmsplit.actions.work import WorkAsked
from filmsplit.artwork import PlateCurve, StepAndRepeat, Turn, WorkStyle
from filmsplit.formats.pdf.asked import PageBox, PdfAsked
from filmsplit.messages import Problem, Refusal, label
from filmsplit.setup.cover_checks import InkFamily, WashClass
from filmsplit.setup.limits import KeyLimits
from filmsplit.studies.job_question import Before
from filmsplit.units import parse_length_mm

Value = TypeVar("Value")
MOST_PROFILE_BYTES = 32 * 2**20
"""Profiles of printing processes have one to three MB."""
_STYLES = {None: WorkStyle.SHEETWISE, "turn": WorkStyle.WORK_AND_TURN, "tumble": WorkStyle.WORK_AND_TUMBLE}


class SetupWords(TypedDict):
    """The options as typed."""

    title: str
    stock: str
    run: int | None
    unit: str | None
    inks: str
    pass_: tuple[str, ...]
    aim: float | None
    density: float | None
    constants: str | None
    tolerance: float | None
    tau: float
    before: str
    after: str
    sweep: float | None
    key_range: str | None
    key_mean: str | None
    least_fill: float
    left_over: float
    family: str
    wash: str | None
    unlearned: bool
    sheet: str | None
    gripper: str | None
    lead: str | None
    side: str | None
    turn: str
    mirrored: bool
    negative: bool
    repeat: str | None
    step: str | None
    back: str | None
    plate_curve: str | None
    dpi: float | None
    page: int | None
    box: str
    rgb: str
    paper: Path | None
    letter: bool
    unrecorded: bool
    xjdf: Path | None
    jdf: Path | None
    csv: Path | None
    records: Path | None
    over: bool
    as_json: bool


@dataclass(slots=True)
class _Reading:
    """Words read one after another; what is not understood is kept to be told all at once."""

    problems: list[Problem] = field(default_factory=list)

    def read(self, word: str, text: str | None, *, by: Callable[[str], Value]) -> Value | None:
        if text is None:
            return None
        try:
            return by(text)
        except (ValueError, Refusal) as error:
            if isinstance(error, Refusal):
                self.problems += error.problems
            values = {"option": f"--{word}", "text": text, "example": label(f"setup_example.{word}")}
            self.problems.append(Problem("setup-words-not-understood", values))
            return None


def read_words(work: tuple[str, ...], words: SetupWords) -> tuple[WorkAsked, JobAsked, list[Problem]]:
    """The work and the job, and what of them could not be read."""
    reading = _Reading()
    return _work(work, words, reading=reading), _job(words, reading=reading), reading.problems


def _work(work: tuple[str, ...], words: SetupWords, *, reading: _Reading) -> WorkAsked:
    return WorkAsked(
        what=work,
        sheet_mm=reading.read("sheet", words["sheet"], by=_sizes_mm),
        gripper_mm=reading.read("gripper", words["gripper"], by=parse_length_mm) or 0.0,
        lead_mm=reading.read("lead", words["lead"], by=parse_length_mm),
        side_mm=reading.read("side", words["side"], by=parse_length_mm),
        turn=Turn(int(words["turn"])),
        mirrored=words["mirrored"],
        negative=words["negative"],
        repeat=_repeat(words, reading=reading),
        style=_STYLES[words["back"]],
        curve=reading.read("plate-curve", words["plate_curve"], by=_curve),
        resolution_dpi=words["dpi"],
        pdf=_pdf(words, reading=reading),
        inks=_names(words["inks"]),
    )


def _pdf(words: SetupWords, *, reading: _Reading) -> PdfAsked:
    """Which page, which box, and what becomes of colours that are no inks: plain arithmetic, a profile, a refusal."""
    way = words["rgb"]
    profile = None if way in ("own", "refuse") else reading.read("rgb", way, by=_profile)
    return PdfAsked(page=words["page"], box=PageBox(words["box"]), profile=profile or None, refuse_rgb=way == "refuse")


def _profile(text: str) -> bytes:
    """The profile in a file. Raises ``ValueError`` where there is none."""
    path = Path(text)
    if not path.is_file() or path.stat().st_size > MOST_PROFILE_BYTES:
        raise ValueError(text)
    return path.read_bytes()


def _repeat(words: SetupWords, *, reading: _Reading) -> StepAndRepeat:
    """How often, and how far apart; several times need a step."""
    times = reading.read("repeat", words["repeat"], by=_times) or (1, 1)
    step = reading.read("step", words["step"], by=_sizes_mm)
    if step is None and times != (1, 1) and words["step"] is None:
        reading.problems.append(Problem("setup-repeat-without-step"))
    down_mm, across_mm = step or (0.0, 0.0)
    return StepAndRepeat(times_round=times[0], times_across=times[1], step_round_mm=down_mm, step_across_mm=across_mm)


def _job(words: SetupWords, *, reading: _Reading) -> JobAsked:
    passes = tuple(reading.read("pass", text, by=_pass) or () for text in words["pass_"])
    return JobAsked(
        title=words["title"],
        stock=words["stock"],
        run=words["run"],
        unit=words["unit"],
        passes=passes,
        aim_um=words["aim"],
        density=words["density"],
        constants=reading.read("constants", words["constants"], by=_pair),
        tolerance=words["tolerance"],
        tau=words["tau"],
        before=Before(words["before"]),
        after=words["after"],
        sweep=words["sweep"],
        limits=_limits(words, reading=reading),
        least_fill_kg=words["least_fill"],
        left_over_kg=words["left_over"],
        family=InkFamily(words["family"]),
        wash=None if words["wash"] is None else WashClass(words["wash"]),
        use_learned=not words["unlearned"],
    )


def _limits(words: SetupWords, *, reading: _Reading) -> KeyLimits | None:
    """The shop's own limits of the keys, where any are told."""
    limits = KeyLimits()
    ends = reading.read("key-range", words["key_range"], by=_percents)
    mean = reading.read("key-mean", words["key_mean"], by=_percents)
    try:
        if ends is not None:
            limits = replace(limits, lowest=ends[0], highest=ends[1])
        if mean is not None:
            limits = replace(limits, mean_lowest=mean[0], mean_highest=mean[1])
    except ValueError:
        reading.problems.append(
            Problem("setup-key-limits", {"range": words["key_range"] or "", "mean": words["key_mean"] or ""})
        )
    return None if ends is None and mean is None else limits


def _names(text: str) -> tuple[str, ...]:
    return tuple(name.strip() for name in text.split(",") if name.strip())


def _pass(text: str) -> tuple[tuple[str, str], ...]:
    """``A=black,B=red``."""
    pairs = [part.split("=") for part in text.split(",")]
    return tuple((unit.strip(), ink.strip()) for unit, ink in pairs)


def _pair(text: str) -> tuple[float, float]:
    first, second = (float(part) for part in text.split(","))
    return first, second


def _sizes_mm(text: str) -> tuple[float, float]:
    """Two lengths, each with a unit or in mm."""
    first, second = text.lower().replace("×", "x").split("x")
    return parse_length_mm(first), parse_length_mm(second)


def _times(text: str) -> tuple[int, int]:
    first, second = (int(part) for part in text.lower().replace("×", "x").split("x"))
    if min(first, second) < 1:
        raise ValueError(text)
    return first, second


def _percents(text: str) -> tuple[float, float]:
    low, high = (float(part) / 100 for part in text.replace("–", "-").split("-"))
    return low, high


def _curve(text: str) -> PlateCurve:
    """``50:62,80:88``."""
    pairs = [part.split(":") for part in text.split(",")]
    return PlateCurve.from_percents((float(file), float(plate)) for file, plate in pairs)
