"""Editing changes what was asked for and nothing else: comments, blank lines and layout stay to the letter."""

from __future__ import annotations

import difflib
import os
from pathlib import Path

import pytest

import filmsplit.library
from filmsplit.formats.press_edit import add_contacts, add_rollers, edit_file, set_value
from filmsplit.formats.press_file import describe
from filmsplit.formats.press_template import new_press
from filmsplit.messages import Refusal
from filmsplit.press.words import Material, MotionKind, Role, TurnSense
from formats.corpus import GOOD

HERON = (Path(filmsplit.library.__file__).parent / "presses" / "heron.yaml").read_text(encoding="utf-8")
EMPTY = new_press("wren", "Wren", plate_turns=TurnSense.CLOCKWISE)


def changed_lines(before: str, after: str) -> tuple[list[str], list[str]]:
    """The lines taken away and the lines put in."""
    diff = list(difflib.ndiff(before.splitlines(), after.splitlines()))
    return [line[2:] for line in diff if line[0] == "-"], [line[2:] for line in diff if line[0] == "+"]


def slugs(act: object, *arguments: object, **named: object) -> list[str]:
    with pytest.raises(Refusal) as refused:
        act(*arguments, **named)  # type: ignore[operator]
    return [problem.slug for problem in refused.value.problems]


def test_one_value_changes_one_line() -> None:
    after = set_value(HERON, "units.A.rollers.F1.diameter_mm", "53.6")
    assert changed_lines(HERON, after) == (["        diameter_mm: 54"], ["        diameter_mm: 53.6"])
    assert len(after.splitlines()) == len(HERON.splitlines())
    assert describe(after).press.unit("A").roller("F1").diameter_mm == 53.6


@pytest.mark.parametrize(
    ("way", "value", "seen"),
    [
        ("F1.diameter_mm", "53.6", "diameter_mm: 53.6"),
        ("A.F1.diameter_mm", "unknown", "diameter_mm: unknown"),
        ("face_mm", "345", "face_mm: 345"),
        ("note", "a: b # c, [d]", 'note: "a: b # c, [d]"'),
        ("plate.gap_mm", "88.0", "gap_mm: 88.0"),
        ("F1/plate.stripe.target_mm", "4", "{target_mm: 4, source: press manual}"),
        ("plate/F1.stripe.target_mm", "4", "{target_mm: 4, source: press manual}"),
        ("fountain.keys.highest", "2.5", "highest: 2.5,"),
        ("fountain.zone_widths_mm", "34 34 34", "zone_widths_mm: [34, 34, 34]"),
        ("F1/D1.adjusters.gear.kind", "lever", "          gear: {kind: lever}"),
        ("F1.lifts_out", "no", "lifts_out: no"),
        ("F2.name", "second form roller", "        name: second form roller"),
        ("F2.lifts_out", "yes", "        lifts_out: yes"),
        ("S1.motion.kind", "turns", "        motion: {kind: turns}"),
        ("F2.centre.x_mm", "56", "{x_mm: 56, y_mm: 96.6}"),
        ("D1.cover", "unknown", "        cover: unknown"),
        ("A.fountain.blade", "divided", "      blade: divided"),
    ],
)
def test_ways_to_a_field(way: str, value: str, seen: str) -> None:
    after = set_value(GOOD, way, value)
    assert seen in after
    gone, come = changed_lines(GOOD, after)
    assert len(come) == 1
    assert len(gone) <= 1


def test_a_value_is_what_it_was_set_to() -> None:
    after = set_value(GOOD, "D1.core.material", "copper")
    assert describe(after).press.unit("A").roller("D1").core.material is Material.COPPER
    again = set_value(after, "D1.core.material", "chrome")
    assert describe(again).press.unit("A").roller("D1").core.material is Material.CHROME


def test_comments_stay_where_they_are() -> None:
    text = GOOD.replace("diameter_mm: 54\n", "diameter_mm: 54   # pi tape, cold\n\n        # glazed in spring\n")
    after = set_value(set_value(text, "F1.diameter_mm", "54.1"), "F1.mass_kg", "3")
    assert "diameter_mm: 54.1   # pi tape, cold\n" in after
    assert "        # glazed in spring\n" in after
    assert "        mass_kg: 3\n" in after


def test_windows_line_ends_and_byte_order_mark_stay() -> None:
    text = "\ufeff" + GOOD.replace("\n", "\r\n")
    after = set_value(text, "F2.mass_kg", "2.5")
    assert after.startswith("\ufeff")
    assert after.count("\n") == after.count("\r\n") == text.count("\r\n") + 1
    assert describe(after).press.unit("A").roller("F2").mass_kg == 2.5


def test_a_file_without_a_last_line_end_can_grow() -> None:
    after = add_contacts(GOOD.rstrip("\n"), "a,b\nF1,S1\n")
    assert after.endswith("      - {a: F1, b: S1}\n")


@pytest.mark.parametrize(
    ("way", "value", "slug"),
    [
        ("F9.diameter_mm", "50", "press-edit-no-such-part"),
        ("F1.diametre_mm", "50", "press-edit-no-such-part"),
        ("units.A.rollers.F9.diameter_mm", "50", "press-edit-no-such-part"),
        ("units.Z.rollers.F1.diameter_mm", "50", "press-edit-no-such-part"),
        ("F1", "50", "press-edit-not-one-value"),
        ("F1.cover", "rubber", "press-edit-not-one-value"),
        ("units.A.rollers", "unknown", "press-edit-not-one-value"),
        ("F1.name", "two\nlines", "press-edit-value-has-line-end"),
        ("F1.diameter_mm", "5400", "press-file-out-of-range"),
        ("F1.diameter_mm", "53,6", "press-file-number-comma"),
        ("F1.diameter_mm", "1}, x: {", "press-file-not-a-number"),
        ("F1.id", "plate", "press-file-id-reserved"),
        ("IF.id", "IX", "press-file-fountain-roller-unknown"),
    ],
)
def test_what_cannot_be_is_refused(way: str, value: str, slug: str) -> None:
    assert slug in slugs(set_value, GOOD, way, value)


def test_a_short_way_that_leads_to_two_places_is_refused() -> None:
    unit = GOOD[GOOD.index("  - id: A\n") :]
    two = GOOD + unit.replace("  - id: A\n", "  - id: B\n")
    assert slugs(set_value, two, "F1.diameter_mm", "50") == ["press-edit-ambiguous"]
    after = set_value(two, "B.F1.diameter_mm", "50")
    assert describe(after).press.unit("A").roller("F1").diameter_mm == 54
    assert describe(after).press.unit("B").roller("F1").diameter_mm == 50


ROLLERS = "id,name,role,x_mm,y_mm,diameter_mm,cover.material,cover.thickness_mm,motion.kind,lifts_out\n"


def test_tables_become_rollers_and_contacts() -> None:
    table = (
        ROLLERS
        + 'F1,"first, and best",form,-35.1,107.9,54,nitrile rubber,unknown,,YES\n'
        + "D1,,drum,,,65.9,,,turns,\n"
    )
    text = add_contacts(add_rollers(EMPTY, table), "a,b,stripe.target_mm\nF1,plate,3.5\nF1,D1,\n")
    unit = describe(text).press.unit("A")
    assert [roller.name for roller in unit.rollers] == ["first, and best", "D1"]
    assert unit.roller("F1").role is Role.FORM
    assert unit.roller("F1").lifts_out
    assert unit.roller("D1").centre is None
    assert unit.roller("D1").cover is None
    assert unit.roller("D1").motion.kind is MotionKind.TURNS
    assert [contact.id for contact in unit.contacts] == ["F1/plate", "F1/D1"]
    assert "# Fill in what you know" in text


def test_semicolons_let_a_decimal_comma_through() -> None:
    text = add_rollers(EMPTY, "id;role;diameter_mm\nF1;form;53,6\n")
    assert describe(text).press.unit("A").roller("F1").diameter_mm == 53.6


def test_a_table_adds_to_what_is_there() -> None:
    after = add_rollers(GOOD, "id,role,diameter_mm\nR1,rider,34\n")
    gone, come = changed_lines(GOOD, after)
    assert gone == []
    assert come == ["      - id: R1", "        role: rider", "        diameter_mm: 34"]
    assert [roller.id for roller in describe(after).press.unit("A").rollers][-1] == "R1"


@pytest.mark.parametrize(
    ("table", "slug", "line"),
    [
        ("", "press-table-empty", 1),
        ("id,role\n", "press-table-empty", 1),
        ("id,rolle\nF9,form\n", "press-table-column-unknown", 1),
        ("id,role,role\nF9,form,form\n", "press-table-column-twice", 1),
        ("id,role,diameter_mm\nF8,form,50\nF9,form,53,6\n", "press-table-row-too-long", 3),
        ('id,role\nF9,"form\n', "press-table-not-readable", 2),
        ("id,role,diameter_mm\nF8,form,50\nF9,form,thick\n", "press-file-not-a-number", 3),
        ("id,role,diameter_mm\nF8,form,50\nF9,foam,50\n", "press-file-word-unknown", 3),
        ("id,role,diameter_mm\nF8,form,50\nF9,,50\n", "press-file-missing", 3),
        ("id,role,diameter_mm\nF1,form,50\n", "press-file-id-twice", 2),
        ("unit,id,role\nZ,F9,form\n", "press-table-which-unit", None),
    ],
)
def test_a_table_is_told_its_line(table: str, slug: str, line: int | None) -> None:
    with pytest.raises(Refusal) as refused:
        add_rollers(GOOD, table, name="rollers.csv")
    told = [(problem.slug, problem.place.line if problem.place else None) for problem in refused.value.problems]
    assert (slug, line) in told


def test_a_new_file_is_good_and_says_what_to_do() -> None:
    press = describe(EMPTY).press
    assert (press.id, press.name) == ("wren", "Wren")
    assert press.is_assumed("units", "A", "cylinders", "plate", "body_diameter_mm")
    assert "isolated and locked" in EMPTY
    assert "# yaml-language-server: $schema=here.json" in new_press(
        "w", plate_turns=TurnSense.CLOCKWISE, schema="here.json"
    )


def test_a_file_is_changed_whole(tmp_path: Path) -> None:
    path = tmp_path / "press.yaml"
    path.write_bytes(GOOD.encode())
    path.chmod(0o640)
    edited = edit_file(path, lambda text: set_value(text, "F1.diameter_mm", "54.2"))
    assert path.read_text(encoding="utf-8") == edited.text
    assert "diameter_mm: 54.2" in edited.text
    assert path.stat().st_mode & 0o777 == 0o640
    assert os.listdir(tmp_path) == ["press.yaml"]


def test_a_refused_change_leaves_the_file(tmp_path: Path) -> None:
    path = tmp_path / "press.yaml"
    path.write_text(GOOD, encoding="utf-8")
    assert slugs(edit_file, path, lambda text: text.replace("diameter_mm: 54", "diameter_mm: x")) == [
        "press-file-not-a-number"
    ]
    assert path.read_text(encoding="utf-8") == GOOD
    assert os.listdir(tmp_path) == ["press.yaml"]


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "real.yaml").write_text(GOOD, encoding="utf-8")
    (tmp_path / "link.yaml").symlink_to(tmp_path / "real.yaml")
    edit_file(tmp_path / "link.yaml", lambda text: set_value(text, "F1.mass_kg", "3"))
    assert (tmp_path / "link.yaml").is_symlink()
    assert "mass_kg: 3" in (tmp_path / "real.yaml").read_text(encoding="utf-8")


def test_what_the_geometry_lacks_is_reported_not_refused(tmp_path: Path) -> None:
    path = tmp_path / "press.yaml"
    path.write_text(GOOD, encoding="utf-8")
    edited = edit_file(path, lambda text: add_rollers(text, "id,role\nR1,rider\n"))
    assert "roller-touches-nothing" in [problem.slug for problem in edited.problems]
    assert "id: R1" in path.read_text(encoding="utf-8")


def test_a_folder_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    assert slugs(edit_file, tmp_path / "nowhere" / "press.yaml", lambda text: text) == ["file-not-readable"]
