"""`filmsplit run-down`: the plan, a hidden simulated press found again from a file of readings, and what is refused."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import jsonschema
import numpy as np
import pytest

from cli.terminal import run
from filmsplit.actions.answer_schema import answer_schema
from filmsplit.actions.find import find_press
from filmsplit.actions.run_down_answer import RunDownAnswer
from filmsplit.ink.density import DensityCurve, solid_density
from filmsplit.library.inks import ink
from filmsplit.setup.run_down import plan_run_down, run_down
from filmsplit.studies.film_question import FilmQuestion
from filmsplit.studies.film_setting import settings_of
from filmsplit.studies.zoned import zoned_train

Capture = pytest.CaptureFixture[str]
SCHEMA = json.loads((Path(__file__).parents[2] / "docs" / "run-down-1.schema.json").read_text(encoding="utf-8"))
WEIGHS = ink("process-black").density_g_per_cm3
SATURATION, RATE_M2_PER_G = 2.0, 1.1
INK = ["--ink", "process black", "--constants", f"{SATURATION},{RATE_M2_PER_G}"]
TEST = ["dipper", *INK, "--coverage", "20", "--keys", "6"]
CONTACTS = (0.95, 0.55)
STAGES = ["all"] * 20 + ["F1"] * 20 + ["F2"] * 20


@dataclass(frozen=True)
class Hidden:
    """What was read, and the ink that was on the rollers (um mm2)."""

    densities: tuple[float, ...]
    stored_um_mm2: float


@pytest.fixture(scope="module")
def hidden() -> Hidden:
    """A press of twice as many cells, another split and other contacts; readings off by 0.01 (common practice)."""
    press = find_press("dipper").press
    (setting,) = settings_of(press, press.units[:1], FilmQuestion(coverage=0.2))
    plan = plan_run_down(zoned_train(setting, most_cells=60_000), np.full(8, 20.0), zone=5)
    true = run_down(plan, split=0.02, contacts=CONTACTS)
    curve = DensityCurve(SATURATION, RATE_M2_PER_G * WEIGHS)
    densities = solid_density(1.05 * true.films, saturation=curve.saturation, rate=curve.rate)
    densities = densities + np.random.default_rng(11).normal(0.0, 0.01, 60)
    return Hidden(tuple(float(each) for each in densities), 1.05 * true.stored_um_mm2)


@pytest.fixture
def typed(tmp_path: Path, hidden: Hidden) -> Path:
    """The readings as typed."""
    rows = [f"{sheet},{density:.3f}" for sheet, density in enumerate(hidden.densities, start=1)]
    return written(tmp_path / "fading.csv", ["sheet,density", *rows])


def written(path: Path, lines: list[str]) -> Path:
    path.write_text("\n".join(lines), encoding="utf-8")
    return path


def answer(capsys: Capture, *arguments: str) -> dict[str, Any]:
    ran = run(capsys, "run-down", *arguments, "--json")
    assert ran.code == 0, ran.err
    found = json.loads(ran.out)
    jsonschema.validate(found, SCHEMA)
    return found  # type: ignore[no-any-return]


def refused(capsys: Capture, *arguments: str) -> str:
    ran = run(capsys, "run-down", *arguments)
    assert ran.code == 2, ran.out
    return ran.err


def test_the_schema_is_what_is_answered() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert answer_schema("run-down 1", RunDownAnswer) == SCHEMA


def test_the_plan_says_what_to_print_and_where_to_read(capsys: Capture) -> None:
    ran = run(capsys, "run-down", *TEST)
    assert ran.code == 0, ran.err
    assert "F1 alone" in ran.out
    assert "21–40" in ran.out
    assert "procedure show dipper run-down" in ran.out
    plan = answer(capsys, *TEST, "--sheets", "48", "--zone", "3")
    assert plan["found"] is None
    assert plan["zone"] == 3
    assert [(stage["sheets"], stage["forms"]) for stage in plan["stages"]] == [
        (16, ["F1", "F2"]), (16, ["F1"]), (16, ["F2"]),
    ]  # fmt: skip
    assert plan["stages"][0]["fades_to"] > plan["stages"][1]["fades_to"] > plan["stages"][2]["fades_to"] > 0
    assert len(answer(capsys, *TEST, "--together")["stages"]) == 1


def test_a_hidden_press_is_found_from_its_file(capsys: Capture, typed: Path, hidden: Hidden) -> None:
    """Ink store within 5 %, contacts within 0.1 (over two of the deviations the campaign measured, 2.2 % and 0.04)."""
    found = answer(capsys, *TEST, "--readings", str(typed))
    told = found["found"]
    assert told["stored_um_mm2"]["value"] == pytest.approx(hidden.stored_um_mm2, rel=0.05)
    # 1 um over 1 mm2 is a millionth of a cubic centimetre (arithmetic).
    assert told["stored_g"]["value"] == pytest.approx(told["stored_um_mm2"]["value"] * 1e-6 * WEIGHS)
    assert told["stored_g"]["low"] < told["stored_g"]["value"] < told["stored_g"]["high"]
    assert [each["share"]["value"] for each in told["contacts"]] == pytest.approx(CONTACTS, abs=0.1)
    assert all(each["told"] for each in told["contacts"])
    slugs = {note["slug"] for note in found["notes"]}
    assert "run-down-form-light" in slugs  # F2, at 0.55
    assert not slugs & {"setup-run-down-misfit", "setup-run-down-untold", "run-down-constants-assumed"}
    page = run(capsys, "run-down", *TEST, "--readings", str(typed)).out
    assert f"{told['stored_g']['value']:.2f} g" in page
    assert "F2 gives the plate clearly less" in " ".join(page.split())


def test_stages_and_decimal_commas_and_tagged_text_say_the_same(
    capsys: Capture, typed: Path, hidden: Hidden, tmp_path: Path
) -> None:
    rows = zip(range(1, 61), hidden.densities, STAGES, strict=True)
    lines = [f"{sheet};{density:.3f};{stage}".replace(".", ",") for sheet, density, stage in rows]
    staged = written(tmp_path / "staged.csv", ["Sheet;Density;Stage", *lines])
    tagged = written(
        tmp_path / "tagged.txt",
        ["BEGIN_DATA_FORMAT", "SAMPLE_ID D_MAJOR_FILTER", "END_DATA_FORMAT", "BEGIN_DATA"]
        + [f"{sheet} {density:.3f}" for sheet, density in enumerate(hidden.densities, start=1)]
        + ["END_DATA"],
    )
    plain = answer(capsys, *TEST, "--readings", str(typed))["found"]
    assert answer(capsys, *TEST, "--readings", str(staged))["found"] == plain
    assert answer(capsys, *TEST, "--readings", str(tagged))["found"] == plain


def test_form_rollers_never_alone_are_not_told(capsys: Capture, hidden: Hidden, tmp_path: Path) -> None:
    """Read as one stage, the steps of the true stages fit nothing: the misfit is told, and no roller is."""
    file = written(tmp_path / "a.csv", ["sheet,density,stage", *(f"{n},{d:.3f},all" for n, d in _numbered(hidden))])
    found = answer(capsys, *TEST, "--readings", str(file))
    assert not any(each["told"] for each in found["found"]["contacts"])
    slugs = {note["slug"] for note in found["notes"]}
    assert {"setup-run-down-untold", "setup-run-down-misfit"} <= slugs
    assert "run-down-forms-usual" not in slugs


def _numbered(hidden: Hidden) -> list[tuple[int, float]]:
    return list(enumerate(hidden.densities, start=1))


def test_unread_sheets_are_left_out_and_what_nobody_said_is_told(
    capsys: Capture, hidden: Hidden, tmp_path: Path
) -> None:
    rows = [f"{sheet},{'-' if sheet % 10 == 5 else f'{density:.3f}'}" for sheet, density in _numbered(hidden)]
    file = written(tmp_path / "a.csv", ["sheet,density", *rows[:30], *rows[31:]])
    found = answer(capsys, "dipper", "--readings", str(file))
    assert found["found"]["sheets_read"] == 60 - 6 - 1
    assert found["ink"] == "process-black"
    assert {"run-down-constants-assumed", "run-down-ink-assumed", "run-down-keys-assumed"} <= {
        note["slug"] for note in found["notes"]
    }


@pytest.mark.parametrize(
    ("lines", "slug"),
    [
        ([""], "measurement-empty"),
        (["sheet,density"], "measurement-empty"),
        (["zone,density", "1,1.2"], "run-down-headings"),
        (["sheet,density", "one,1.2"], "run-down-not-a-sheet"),
        (["sheet,density", "1,1.2", "1,1.3"], "run-down-sheet-twice"),
        (["sheet,density", "1,85 %"], "run-down-not-a-density"),
        (["sheet,density", "1,1,35"], "run-down-row-length"),
        (["sheet,density", "1,1.2", "2,1.1"], "setup-run-down-readings"),
        (["sheet,density,stage", "1,1.2,all", "2,1.1,F1"], "setup-run-down-readings"),
        (["sheet,density,stage", "1,1.2,F9", "60,1.1,"], "run-down-stage-unknown"),
        (["sheet,density,stage", "1,1.2,F1", "60,1.1,"], "run-down-first-stage"),
        (["sheet,density", *(f"{sheet},1.2" for sheet in range(1, 61))], "setup-run-down-no-fading"),
        (["sheet,density", *(f"{sheet},{2.5 - sheet / 50}" for sheet in range(1, 61))], "setup-run-down-beyond"),
        (["sheet,density", "999999,1.2"], "setup-run-down-readings"),
        (
            ["BEGIN_DATA_FORMAT", "SAMPLE_ID D_RED D_BLUE", "END_DATA_FORMAT", "BEGIN_DATA", "1 1.2 0.3", "END_DATA"],
            "run-down-which-density",
        ),
    ],
)
def test_readings_that_cannot_be_used(capsys: Capture, tmp_path: Path, lines: list[str], slug: str) -> None:
    assert f"({slug})" in refused(capsys, *TEST, "--readings", str(written(tmp_path / "a.csv", lines)))


@pytest.mark.parametrize(
    ("arguments", "slug"),
    [
        (["--coverage", "20,30"], "job-zones-count"),
        (["--coverage", "a"], "job-list-not-numbers"),
        (["--coverage", "20,20,20,20,20,20,20,0", "--zone", "8"], "setup-run-down-no-image"),
        (["--zone", "9"], "setup-number-out-of-range"),
        (["--sheets", "12"], "setup-run-down-sheets"),
        (["--keys", "0"], "run-down-keys-shut"),
        (["--keys", "99"], "setup-number-out-of-range"),
        (["--sweep", "-1"], "setup-number-out-of-range"),
        (["--ink", "moonlight"], "run-down-ink-unknown"),
        (["--constants", "2"], "setup-words-not-understood"),
        (["--constants", "2,nan"], "setup-number-out-of-range"),
        (["--sheet", "big"], "job-sheet-size"),
        (["--unit", "Z"], "unit-not-found"),
        (["--readings", "nowhere.csv"], "file-not-readable"),
    ],
)
def test_tests_that_cannot_be_asked_for(capsys: Capture, arguments: list[str], slug: str) -> None:
    assert f"({slug})" in refused(capsys, "dipper", *arguments)
