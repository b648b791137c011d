"""Broken press files, each ``good.yaml`` with one thing changed, and what a person must be told about it.

What counts as broken, and the word for it, is this project's own (docs/press-file.md, docs/messages.md): there is no
outside source. That a loop with an odd number of rolling members cannot turn is elementary mechanics.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

GOOD = (Path(__file__).parent / "good.yaml").read_text(encoding="utf-8")


@dataclass(frozen=True)
class Broken:
    """``old`` replaced by ``new``; the message expected, a piece of the line it points to, and the part it names."""

    slug: str
    old: str
    new: str
    at: str
    part: str
    severity: str = "refused"

    @property
    def text(self) -> str:
        if GOOD.count(self.old) != 1:
            raise ValueError(f"{self.old!r} must stand in the good file exactly once")
        return GOOD.replace(self.old, self.new)

    @property
    def line(self) -> int:
        """The line with ``at``; of several, the first from the change on."""
        start = (
            self.text.find(self.at, GOOD.index(self.old)) if self.text.count(self.at) > 1 else self.text.find(self.at)
        )
        if start < 0:
            raise ValueError(f"{self.at!r} is in no line from the change on")
        return self.text.count("\n", 0, start) + 1

    def __str__(self) -> str:
        return f"{self.slug}-{self.line}"


def _broken(
    slug: str, old: str, new: str, part: str = "", *, at: str | None = None, severity: str = "refused"
) -> Broken:
    return Broken(slug, old, new, new.strip("\n").partition("\n")[0] if at is None else at, part, severity)


_F1 = "diameter_mm: 54\n"
_D1 = "drive: {kind: gear, teeth: 24}"
_STROKE = "motion: {kind: oscillates, stroke_mm: 14, cycle_rev: 2.4, phase_deg: 0}"
_LEVER = "tightens: anticlockwise, backlash_deg: 6}"
_KEYS = "{kind: unnumbered, highest: 3, film_um_per_division: unknown}"
_SLIP = "{a: WM, b: PR, kind: slips, speed_ratio: 2.5, slip_direction: same}"
_ZONES = "[33, 33, 33, 33, 33, 33, 33, 33, 33, 33]"
_S1_D2 = "{a: S1, b: D2}"
_F2_D1 = "- {a: F2, b: D1}\n"
_S1_CONTACTS = "      - {a: S1, b: D1}\n      - {a: S1, b: D2}\n"
_S1_COVER = "cover: {material: nitrile rubber, thickness_mm: 8, hardness_shore_a: 30}\n      - id: D2"

FILE = (
    _broken("press-file-first-line", "filmsplit: press 1", "filmsplit: job 1"),
    _broken("press-file-first-line", "filmsplit: press 1\n", "", at="# Invented"),
    _broken("press-file-other-version", "filmsplit: press 1", "filmsplit: press 2"),
    _broken("press-file-several-documents", "units:\n", "---\nunits:\n"),
    _broken("press-file-not-yaml", "hand_wheel: yes", "hand_wheel: yes: no"),
    _broken("press-file-not-yaml", "note: one unit", "note: [one unit", at="face_mm"),
    _broken("press-file-not-yaml", "name: Dunlin", "name: @Dunlin"),
    _broken("press-file-tab", "name: Dunlin", "name:\n\tDunlin", at="\tDunlin"),
    _broken("press-file-anchor", "\nface_mm: 340", "\nface_mm: &face 340"),
    _broken("press-file-anchor", "sheet_width_mm: 320", "sheet_width_mm: *face"),
    _broken("press-file-tag", "\nface_mm: 340", "\nface_mm: !!int 340"),
    _broken("press-file-key-twice", "\nface_mm: 340\n", "\nface_mm: 340\nface_mm: 341\n", at="face_mm: 341"),
    _broken("press-file-key-not-a-word", "note: one unit, two form rollers", "[a, b]: one"),
    _broken("press-file-control-character", "name: Dunlin", "name: Dun\x07lin"),
    _broken("press-file-control-character", "name: Dunlin", "name: Dun\u202elin"),
    _broken("press-file-text-control", "name: Dunlin", 'name: "Dun\\x07lin"', "name"),
    _broken("press-file-too-deep", "name: Dunlin", "name: " + "[" * 40 + "]" * 40),
)

SHAPE = (
    _broken("press-file-key-mistyped", _F1, "diametre_mm: 54\n", "F1"),
    _broken("press-file-key-mistyped", "hand_wheel: yes", "handwheel: yes"),
    _broken("press-file-key-mistyped", "body_diameter_mm: 172.4", "body_diam_mm: 172.4", "unit A"),
    _broken("press-file-key-unknown", _F1, _F1 + "        ztq: 1\n", "F1", at="ztq"),
    _broken("press-file-key-without-value", _D1, "core: {ends: round, keyed}", "D1"),
    _broken("press-file-missing", "- id: S1\n        role: distributor\n", "- id: S1\n", "S1"),
    _broken("press-file-missing", "      plate_turns: clockwise\n", "", "unit A", at="    cylinders:"),
    _broken("press-file-missing", "      roller: IF\n", "", "unit A", at="    fountain:"),
    _broken("press-file-missing", "{x_mm: 16.2, y_mm: 139}", "{x_mm: 16.2}", "D1"),
    _broken("press-file-missing", "- {a: F2, b: plate}", "- {a: F2}", "unit A"),
    _broken("press-file-missing", "id: dunlin\n", "", at="filmsplit"),
    _broken("press-file-cannot-be-unknown", "plate_turns: clockwise", "plate_turns: unknown", "unit A"),
    _broken("press-file-cannot-be-unknown", "id: dunlin", "id: unknown"),
    _broken("press-file-cannot-be-unknown", "role: metering", "role: unknown", "WM"),
    _broken("press-file-value-empty", _F1, "diameter_mm:\n", "F1"),
    _broken("press-file-not-one-value", _F1, "diameter_mm: [54, 55]\n", "F1"),
    _broken("press-file-not-one-value", "name: Dunlin", "name: {short: Dunlin}"),
    _broken("press-file-not-a-record", _D1, "drive: geared", "D1"),
    _broken("press-file-not-a-record", "- {a: F2, b: plate}", "- F2 on plate", "unit A"),
    _broken("press-file-not-a-list", GOOD[GOOD.index("    contacts:") :], "    contacts: {}\n", "unit A"),
    _broken("press-file-not-a-list-of-numbers", _ZONES, "33", "unit A"),
    _broken("press-file-not-a-list-of-numbers", _ZONES, "[]", "unit A"),
)

VALUES = (
    _broken("press-file-not-a-number", _F1, "diameter_mm: thick\n", "F1"),
    _broken("press-file-not-a-number", _F1, "diameter_mm: 0x36\n", "F1"),
    _broken("press-file-not-a-number", _F1, "diameter_mm: 5_4\n", "F1"),
    _broken("press-file-number-comma", "diameter_mm: 65.9", "diameter_mm: 65,9", "D1"),
    _broken("press-file-number-unit", _F1, "diameter_mm: 54 mm\n", "F1"),
    _broken("press-file-number-unit", _F1, 'diameter_mm: 2.125"\n', "F1"),
    _broken("press-file-number-quoted", _F1, 'diameter_mm: "54"\n', "F1"),
    _broken("press-file-not-finite", _F1, "diameter_mm: .nan\n", "F1"),
    _broken("press-file-not-finite", _F1, "diameter_mm: .inf\n", "F1"),
    _broken("press-file-not-finite", _F1, "diameter_mm: 1e999\n", "F1"),
    _broken("press-file-not-whole", "gear_teeth: 63", "gear_teeth: 63.5", "unit A"),
    _broken("press-file-out-of-range", _F1, "diameter_mm: 5400\n", "F1"),
    _broken("press-file-out-of-range", _F1, "diameter_mm: -54\n", "F1"),
    _broken("press-file-out-of-range", "hardness_shore_a: 20", "hardness_shore_a: 120", "WF"),
    _broken("press-file-out-of-range", _ZONES, "[33, 0, 33]", "unit A"),
    _broken("press-file-not-yes-or-no", "lifts_out: yes", "lifts_out: maybe", "F1"),
    _broken("press-file-not-yes-or-no", "hand_wheel: yes", "hand_wheel: 1"),
    _broken("press-file-word-unknown", "role: distributor", "role: distributer", "S1"),
    _broken("press-file-word-unknown", _D1, "drive: {kind: cogwheel}", "D1"),
    _broken("press-file-word-unknown", "plate_turns: clockwise", "plate_turns: left", "unit A"),
    _broken("press-file-text-too-long", "name: Dunlin", "name: " + "x" * 2001),
)

NAMES = (
    _broken("press-file-id-not-plain", "id: dunlin", "id: dun lin"),
    _broken("press-file-id-not-plain", "id: dunlin", "id: ../dunlin"),
    _broken("press-file-id-not-plain", "id: dunlin", "id: " + "d" * 25),
    _broken("press-file-id-reserved", "  - id: A\n", "  - id: none\n", "none"),
    _broken("press-file-unit-id-taken", "  - id: A\n", "  - id: edit\n", "edit"),
    _broken("press-file-id-reserved", "    contacts:\n", "      - {id: Plate, role: rider}\n    contacts:\n", "Plate"),
    _broken("press-file-id-twice", "    contacts:\n", "      - {id: WO, role: rider}\n    contacts:\n", "WO"),
    _broken("press-file-member-mistyped", _S1_D2, "{a: S1, b: D22}", "S1/D22"),
    _broken("press-file-member-unknown", _S1_D2, "{a: S1, b: heavy}", "S1/heavy"),
    _broken("press-file-contact-with-itself", _S1_D2, "{a: S1, b: S1}", "S1/S1"),
    _broken("press-file-contact-twice", _S1_D2, "{a: D1, b: S1}", "D1/S1"),
    _broken("press-file-contact-of-cylinders", _S1_D2, "{a: blanket, b: plate}", "blanket/plate"),
    _broken("press-file-fountain-roller-unknown", "roller: IF", "roller: FX", "unit A"),
    _broken("press-file-fountain-roller-role", "roller: IF", "roller: D1", "unit A"),
    _broken("press-file-also-moves-mistyped", "also_moves: F1/plate", "also_moves: plate/F1", "F1/D1"),
    _broken("press-file-also-moves-unknown", "also_moves: F1/plate", "also_moves: everything", "F1/D1"),
)

TOGETHER = (
    _broken("press-file-field-idle", f"eccentric, mm_per_deg: 0.012, {_LEVER}", "screw, mm_per_deg: 1}", "F1/plate"),
    _broken("press-file-field-idle", "mm_per_turn: 0.75", "mm_per_deg: 0.01", "F1/D1"),
    _broken("press-file-field-idle", "{a: F2, b: D1}", "{a: F2, b: D1, speed_ratio: 0.5}", "F2/D1"),
    _broken("press-file-field-idle", "motion: {kind: turns}", "motion: {kind: turns, stroke_mm: 12}", "IF"),
    _broken("press-file-field-idle", _STROKE, _STROKE.replace("phase_deg: 0", "swing_mm: 3"), "D1"),
    _broken("press-file-field-idle", "{kind: friction by spring}", "{kind: friction by spring, teeth: 30}", "F1"),
    _broken("press-file-slip-without-ratio", _SLIP, "{a: WM, b: PR, kind: slips}", "WM/PR"),
    _broken("press-file-empty-scale", "lowest: 1, highest: 10", "lowest: 10, highest: 1", "unit A"),
    _broken("press-file-empty-scale", _KEYS, "{kind: unnumbered, lowest: 5, highest: 3}", "unit A"),
    _broken("press-file-cover-too-thick", "thickness_mm: 9,", "thickness_mm: 27,", "F1"),
    _broken(
        "press-file-gap-too-long", "gap_mm: 88\n        cover_mm: 1.7", "gap_mm: 888\n        cover_mm: 1.7", "unit A"
    ),
    _broken(
        "press-file-bearer-and-undercut",
        "gear_teeth: 63",
        "undercut_mm: 0.3\n        bearer_diameter_mm: 175",
        "unit A",
        at="bearer",
    ),
)

STRUCTURE = (*FILE, *SHAPE, *VALUES, *NAMES, *TOGETHER)
"""Each of these is told by one message and no other."""

GEOMETRY = (
    # S1, D1 and F1 would all roll on each other: three members in a ring.
    _broken("train-jams", _F2_D1, _F2_D1 + "      - {a: S1, b: F1}\n", "S1", at="{a: S1, b: D1}"),
    # Roller S1 drawn 100 mm off to the side.
    _broken(
        "contact-out-of-reach", "x_mm: -28.3, y_mm: 173.6", "x_mm: -128.3, y_mm: 173.6", "S1/D1", at="{a: S1, b: D1}"
    ),
    # Two rollers at opposite ends of the train said to touch.
    _broken("contact-does-not-close", "{a: WF, b: WO}", "{a: IF, b: WO}", "IF/WO"),
    # A second roller in the place of S1, and nothing said about the two meeting.
    _broken(
        "bodies-overlap",
        "- id: PR\n",
        "- {id: X1, role: rider, centre: {x_mm: -28.3, y_mm: 173.6}}\n      - id: PR\n",
        "S1",
    ),
    _broken("roller-touches-nothing", _S1_CONTACTS, "", "S1", at="- id: S1"),
    _broken("no-way-to-plate", "      - {a: DU, b: D2, kind: touches at times}\n", "", "IF", at="- id: IF"),
    # The fountain roller 36 mm further off: the ductor's two gaps are together longer than its way.
    _broken("ductor-cannot-reach", "{x_mm: 95.7, y_mm: 261.3}", "{x_mm: 125.7, y_mm: 281.3}", "DU", at="swing_mm"),
    # 9.4 mm less diameter is 29.5 mm less once round.
    _broken("cylinders-differ", "body_diameter_mm: 169.4", "body_diameter_mm: 160", "A", at="blanket:"),
    _broken("gaps-differ", "gap_mm: 88\n        cover_mm: 1.7", "gap_mm: 80\n        cover_mm: 1.7", "A"),
)
"""What cannot be on a press; other messages may come with it."""

NOTICES = (
    _broken(
        "hard-on-hard",
        _S1_COVER,
        _S1_COVER.replace("nitrile rubber", "ebonite"),
        "S1/D1",
        at="{a: S1, b: D1}",
        severity="warning",
    ),
    _broken(
        "ink-and-dampening-joined",
        "{a: WM, b: WO}",
        "{a: WM, b: WO}\n      - {a: WO, b: F1, kind: touches at times}",
        "WO/F1",
        at="  - id: A",
        severity="information",
    ),
)
"""What can be, but a person should know."""
