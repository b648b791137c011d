"""A press described by form: every change whole or not at all, kept, undone byte for byte; and the attacks on it.

Sources: what a press file may say is its own reference page; the attacks are those of the OWASP cheat sheets (from
memory).
"""

from __future__ import annotations

import html
import re
from pathlib import Path

import pytest

from filmsplit.actions.press_changes import EARLIER
from filmsplit.formats.press_earlier import Version, change_to, earlier_of
from filmsplit.formats.press_file import load
from filmsplit.messages import Problem, label
from filmsplit.web.shop_mode.access import Access
from filmsplit.web.shop_mode.door import COOKIE
from filmsplit.web.shop_mode.people import Role
from web.served import Visit

EVIL = "<script>alert(1)</script>\"'><img src=x onerror=alert(2)>"


@pytest.fixture
def wren(visit: Visit) -> Visit:
    """A shop with a press just begun."""
    visit.send("/presses/new", code="wren", name="Wren", plate_turns="clockwise")
    return visit


def file_of(visit: Visit, press: str = "wren") -> Path:
    return visit.folder / "presses" / f"{press}.yaml"


def send(visit: Visit, press: str = "wren", *, way: str = "", status: int = 200, **fields: str) -> str:
    return visit.send(f"/presses/{press}/edit{way}", status=status, **{"unit": "A", **fields})


def add(visit: Visit, id: str, role: str, **fields: str) -> str:
    return send(visit, part="new-roller", id=id, role=role, **fields)


def small_press(visit: Visit) -> None:
    """A train of five rollers from fountain to plate, as any duplicator has it."""
    send(visit, part="cylinders", **{"plate.body_diameter_mm": "160"})
    add(visit, "F1", "form", cover="unknown", touches_1="plate", **{"centre.x_mm": "-40", "centre.y_mm": "97"})
    add(visit, "D1", "drum", touches_1="F1", **{"centre.x_mm": "-45", "centre.y_mm": "152"})
    add(visit, "R1", "distributor", cover="unknown", touches_1="D1", **{"centre.x_mm": "-45", "centre.y_mm": "204"})
    add(visit, "S", "fountain", **{"centre.x_mm": "20", "centre.y_mm": "277"})
    ductor = {"centre.x_mm": "-18", "centre.y_mm": "241", "cover": "unknown"}
    add(visit, "Q", "ductor", touches_1="S", touches_2="R1", **ductor)
    send(visit, part="fountain", roller="S", zone_widths_mm="10x32")


def test_a_new_press_is_written_and_can_be_described(visit: Visit) -> None:
    text = visit.send("/presses/new", code="wren", name="Wren", plate_turns="clockwise")
    assert label("web_edit.title", press="Wren") in text
    assert load(file_of(visit)).press.name == "Wren"


@pytest.mark.parametrize(
    "code", ["", "../wren", "a/b", "new", "NEW", "x" * 25, "wren.yaml", EVIL, "a\x00b", "plate", "con"]
)
def test_a_code_that_is_no_plain_word_makes_no_file(visit: Visit, code: str) -> None:
    before = set(visit.folder.parent.rglob("*.yaml"))
    text = visit.send("/presses/new", status=422, code=code, plate_turns="clockwise")
    assert 'id="p-code"' in text
    assert "<img src=x" not in text
    assert set(visit.folder.parent.rglob("*.yaml")) == before


def test_a_code_is_taken_only_once_whatever_its_case(wren: Visit) -> None:
    before = file_of(wren).read_bytes()
    wren.send("/presses/new", status=422, code="WREN", plate_turns="clockwise")
    assert file_of(wren).read_bytes() == before


def test_which_way_the_plate_turns_is_never_taken_for_granted(visit: Visit) -> None:
    text = visit.send("/presses/new", status=422, code="wren")
    assert Problem("press-turn-unsaid").what in text
    assert not file_of(visit).exists()


def test_an_invented_press_can_be_copied_under_a_code_of_ones_own(visit: Visit) -> None:
    visit.send("/presses/new", code="wren", name="Wren", like="heron")
    press = load(file_of(visit)).press
    assert (press.id, press.name, press.invented) == ("wren", "Wren", True)


def test_from_nothing_to_a_press_that_can_be_used(wren: Visit) -> None:
    small_press(wren)
    press = load(file_of(wren)).press
    unit = press.units[0]
    assert [each.id for each in unit.rollers] == ["F1", "D1", "R1", "S", "Q"]
    assert unit.fountain is not None
    assert unit.fountain.zone_widths_mm == (32.0,) * 10
    assert label("web_edit.usable") in wren.page("/presses/wren/edit")


def test_a_field_is_changed_and_every_other_character_stays(at_heron: Visit) -> None:
    before = file_of(at_heron, "heron").read_text()
    send(at_heron, "heron", part="roller", of="F1", diameter_mm="54.5")
    after = file_of(at_heron, "heron").read_text()
    old, new = before.splitlines(), after.splitlines()
    differ = [(a, b) for a, b in zip(old, new, strict=True) if a != b]
    assert len(differ) == 1
    assert "54.5" in differ[0][1]


def test_what_is_sent_as_it_is_written_changes_nothing(at_heron: Visit) -> None:
    """Every field of every form, sent back as the page shows it."""
    before = file_of(at_heron, "heron").read_bytes()
    page = at_heron.page("/presses/heron/edit")
    links = {html.unescape(each) for each in re.findall(r'href="(/presses/heron/edit\?[^"#]*)', page)}
    assert len(links) > 25
    for link in links:
        text = at_heron.page(link)
        if "part=new-" in link:
            continue
        fields = dict(re.findall(r'<input id="f-[^"]+" name="([^"]+)"[^>]* value="([^"]*)"', text))
        for name, options in re.findall(r'<select id="f-[^"]+" name="([^"]+)"[^>]*>(.*?)</select>', text, re.S):
            fields[name] = re.search(r'value="([^"]*)" selected', options)[1]  # type: ignore[index]
        hidden = dict(re.findall(r'<input type="hidden" name="(part|of)" value="([^"]*)"', text))
        assert fields, link
        send(at_heron, "heron", **{name: html.unescape(value) for name, value in (fields | hidden).items()})
        assert file_of(at_heron, "heron").read_bytes() == before, link


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("diameter_mm", "5400"),
        ("diameter_mm", "wide"),
        ("role", ""),
        ("drive.teeth", "2.5"),
        ("cover.hardness_shore_a", "-1"),
        ("id", "plate"),
    ],
)
def test_what_cannot_be_is_said_beside_its_field_and_the_file_is_untouched(
    at_heron: Visit, field: str, value: str
) -> None:
    before = file_of(at_heron, "heron").read_bytes()
    text = send(at_heron, "heron", status=422, part="roller", of="F1", **{field: value})
    assert f'id="p-{field}"' in text
    assert file_of(at_heron, "heron").read_bytes() == before
    assert not (at_heron.folder / EARLIER).exists() or "heron.json" not in [
        p.name for p in (at_heron.folder / EARLIER).iterdir()
    ]


def test_markup_in_a_name_is_shown_as_text(wren: Visit) -> None:
    text = add(wren, "F1", "form", name=EVIL, purpose=EVIL, touches_1="plate")
    shown = text + wren.page("/presses/wren/edit?unit=A&part=roller&id=F1") + wren.page("/presses/wren/A")
    assert "onerror" in shown
    assert "<img src=x" not in shown
    assert "<script>alert" not in shown


def test_a_line_end_in_a_value_writes_no_line_of_yaml(wren: Visit) -> None:
    before = file_of(wren).read_bytes()
    send(wren, status=422, part="press", name="Wren\nunits: []")
    assert file_of(wren).read_bytes() == before
    add(wren, "F1", "form", touches_1="plate", name="F\n      - id: X9\n        role: form")
    assert [each.id for each in load(file_of(wren)).press.units[0].rollers] == ["F1"]


def test_a_roller_is_renamed_wherever_it_is_named(at_heron: Visit) -> None:
    before = file_of(at_heron, "heron").read_text()
    contacts = len(load(file_of(at_heron, "heron")).press.units[0].contacts)
    send(at_heron, "heron", part="roller", of="F1", id="First")
    press = load(file_of(at_heron, "heron")).press
    assert "First" in [each.id for each in press.units[0].rollers]
    assert len(press.units[0].contacts) == contacts
    assert not [each for each in press.units[0].contacts if "F1" in (each.a, each.b)]
    send(at_heron, "heron", way="/undo")
    assert file_of(at_heron, "heron").read_text() == before


def test_the_fountain_roller_is_renamed_with_its_fountain(wren: Visit) -> None:
    small_press(wren)
    send(wren, part="roller", of="S", id="S2")
    fountain = load(file_of(wren)).press.units[0].fountain
    assert fountain is not None
    assert fountain.roller == "S2"


def test_a_roller_is_taken_out_with_its_contacts(at_heron: Visit) -> None:
    before = load(file_of(at_heron, "heron")).press.units[0]
    send(at_heron, "heron", way="/take-out", part="contact", of=before.contacts[-1].id)
    send(at_heron, "heron", way="/take-out", part="roller", of="F1")
    text = file_of(at_heron, "heron").read_text()
    assert not re.search(r"\bid: F1\b|\ba: F1\b|\bb: F1\b", text)


def test_all_rollers_can_be_taken_out_and_put_back(wren: Visit) -> None:
    small_press(wren)
    before = file_of(wren).read_bytes()
    send(wren, way="/take-out", part="fountain")
    for id in ("Q", "S", "R1", "D1", "F1"):
        send(wren, way="/take-out", part="roller", of=id)
    assert load(file_of(wren)).press.units[0].rollers == ()
    for _ in range(6):
        send(wren, way="/undo")
    assert file_of(wren).read_bytes() == before


def test_the_fountain_roller_stays_while_there_is_a_fountain(wren: Visit) -> None:
    small_press(wren)
    before = file_of(wren).read_bytes()
    send(wren, way="/take-out", status=422, part="roller", of="S")
    assert file_of(wren).read_bytes() == before


def test_undo_and_redo_go_through_every_change_byte_for_byte(wren: Visit) -> None:
    seen = [file_of(wren).read_bytes()]
    for width in ("300", "301", "302"):
        send(wren, part="press", face_mm=width)
        seen.append(file_of(wren).read_bytes())
    for before in reversed(seen[:-1]):
        send(wren, way="/undo")
        assert file_of(wren).read_bytes() == before
    send(wren, way="/undo", status=422)
    for after in seen[1:]:
        send(wren, way="/redo")
        assert file_of(wren).read_bytes() == after
    send(wren, way="/redo", status=422)


def test_undo_keeps_line_ends_and_a_mark_at_the_beginning(at_heron: Visit) -> None:
    path = file_of(at_heron, "heron")
    odd = b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n")
    path.write_bytes(odd)
    send(at_heron, "heron", part="press", note="another")
    assert path.read_bytes() != odd
    send(at_heron, "heron", way="/undo")
    assert path.read_bytes() == odd


def test_a_form_sent_twice_changes_once(wren: Visit) -> None:
    add(wren, "F1", "form", touches_1="plate", key="k1")
    once = file_of(wren).read_bytes()
    add(wren, "F1", "form", touches_1="plate", key="k1")
    assert file_of(wren).read_bytes() == once
    send(wren, part="press", face_mm="300", key="k2")
    send(wren, way="/undo", key="k3")
    send(wren, way="/undo", key="k3")
    assert file_of(wren).read_bytes() == once


def test_a_form_filled_in_over_another_text_is_refused(wren: Visit) -> None:
    page = wren.page("/presses/wren/edit")
    seen = re.search(r'name="seen" value="(\w+)"', page)[1]  # type: ignore[index]
    send(wren, part="press", face_mm="300")
    before = file_of(wren).read_bytes()
    text = send(wren, status=422, part="press", face_mm="310", seen=seen)
    assert Problem("press-changed-meanwhile").what in text
    assert file_of(wren).read_bytes() == before


def test_what_was_changed_by_hand_in_between_can_be_had_again(wren: Visit) -> None:
    by_hand = file_of(wren).read_text().replace("Wren", "Jenny")
    file_of(wren).write_text(by_hand)
    send(wren, part="press", face_mm="300")
    send(wren, way="/undo")
    assert file_of(wren).read_text() == by_hand


def test_earlier_versions_are_bounded(tmp_path: Path) -> None:
    from filmsplit.formats import press_earlier  # noqa: PLC0415

    path, kept = tmp_path / "a.yaml", tmp_path / "a.json"
    for number in range(press_earlier.MOST_VERSIONS + 5):
        change_to(path, kept, earlier=earlier_of(kept), version=Version(text=f"{number}", said="set"))
    assert len(earlier_of(kept).versions) == press_earlier.MOST_VERSIONS
    for _ in range(4):
        big = Version(text="x" * (press_earlier.MOST_CHARACTERS // 2), said="set")
        change_to(path, kept, earlier=earlier_of(kept), version=big)
    assert len(earlier_of(kept).versions) == 2


def test_torn_earlier_versions_stop_no_page_without_saying_so(wren: Visit) -> None:
    before = file_of(wren).read_bytes()
    (wren.folder / EARLIER / "wren.json").write_text("{")
    send(wren, part="press", face_mm="300", status=422)
    assert "wren.json" in wren.page("/presses/wren/edit", status=422)
    assert file_of(wren).read_bytes() == before


@pytest.mark.parametrize("role", [Role.OPERATOR, Role.LEARNER])
def test_only_the_owner_changes_a_press(tmp_path: Path, role: Role) -> None:
    access = Access(tmp_path)
    owner = Visit(tmp_path, access)
    owner.send("/presses/new", code="wren", plate_turns="clockwise")
    access.add("Somebody", role)
    tablet = Visit(tmp_path, access, "192.0.2.7")
    tablet.client.cookies.set(COOKIE, access.choose(1, "Somebody") if access.pair(access.code()) else "")
    before = file_of(owner).read_bytes()
    for address in ("/presses/new", "/presses/wren/edit"):
        tablet.page(address, status=403)
    for address in (
        "/presses/new",
        "/presses/wren/edit",
        "/presses/wren/edit/undo",
        "/presses/wren/edit/redo",
        "/presses/wren/edit/take-out",
    ):
        tablet.send(address, status=403, unit="A", part="press", face_mm="300", code="other", plate_turns="clockwise")
    assert file_of(owner).read_bytes() == before
    assert not file_of(owner, "other").exists()
    assert "/edit" not in tablet.page("/presses/wren/A")


def test_who_changed_what_is_told(tmp_path: Path) -> None:
    access = Access(tmp_path)
    access.add("Ida", Role.OWNER)
    tablet = Visit(tmp_path, access, "192.0.2.7")
    tablet.client.cookies.set(COOKIE, access.choose(1, "Ida") if access.pair(access.code()) else "")
    tablet.send("/presses/new", code="wren", plate_turns="clockwise")
    text = send(tablet, part="press", face_mm="300")
    assert re.search(r"face_mm unknown → 300</td>\s*<td>Ida", text)


def test_the_history_tells_changes_of_press_files_too(tmp_path: Path) -> None:
    access = Access(tmp_path)
    access.add("Ida", Role.OWNER)
    access.add("Sam", Role.LEARNER)
    owner, learner = Visit(tmp_path, access, "192.0.2.7"), Visit(tmp_path, access, "192.0.2.8")
    for number, (tablet, name) in enumerate(((owner, "Ida"), (learner, "Sam")), 1):
        tablet.client.cookies.set(COOKIE, access.choose(number, name) if access.pair(access.code()) else "")
    owner.send("/presses/new", code="wren", plate_turns="clockwise")
    owner.send("/presses/new", code="finch", plate_turns="clockwise")
    send(owner, part="press", face_mm="300")
    send(owner, way="/undo")
    told = owner.page("/history")
    line = (
        r'class="gone"><td class="at">[^<]+</td><th scope="row"><a class="in-line" href="/presses/wren/edit#changes">'
    )
    assert re.search(line + r"wren.*face_mm unknown → 300</td><td>Ida</td>", told, re.DOTALL)
    assert "/presses/wren/edit" not in learner.page("/history")
    assert "face_mm unknown → 300" in learner.page("/history?press=wren")
    for query in ("press=finch", "person=Sam", "kind=hardness", "until=2001-01-01", "since=2101-01-01"):
        assert "face_mm" not in owner.page(f"/history?{query}"), query


def test_the_file_can_always_be_taken_along(wren: Visit) -> None:
    file_of(wren).write_bytes(b"press: [\xff")
    answer = wren.client.get("/presses/wren/file.yaml")
    assert answer.content == b"press: [\xff"
    assert 'filename="wren.yaml"' in answer.headers["content-disposition"]


def test_a_file_that_cannot_be_read_says_so_where_it_is_described(wren: Visit) -> None:
    file_of(wren).write_text("filmsplit: press 1\nid: [")
    text = wren.page("/presses/wren/edit")
    assert "/presses/wren/file.yaml" in text
    send(wren, part="press", face_mm="300", status=422)


def test_no_token_no_change(wren: Visit) -> None:
    before = file_of(wren).read_bytes()
    answer = wren.client.post("/presses/wren/edit", data={"unit": "A", "part": "press", "face_mm": "300"})
    assert answer.status_code == 403
    assert file_of(wren).read_bytes() == before


def bring(visit: Visit, data: bytes, *, name: str = "wren.yaml", code: str = "", status: int = 200) -> str:
    sent = {"token": visit.token(), "code": code}
    answer = visit.client.post("/presses/import", data=sent, files={"file": (name, data)})
    assert answer.status_code == status, answer.text
    return answer.text


def test_a_file_taken_along_is_brought_into_another_shop_byte_for_byte(at_heron: Visit, tmp_path: Path) -> None:
    taken = at_heron.client.get("/presses/heron/file.yaml").content
    other = Visit(tmp_path / "other")
    bring(other, taken, name="../../evil.yaml")
    assert file_of(other, "heron").read_bytes() == taken
    bring(other, taken, status=422)
    bring(other, taken, code="second")
    assert load(file_of(other, "second")).press.id == "second"


def test_where_a_roller_lies_can_come_with_the_link_and_changes_nothing(wren: Visit) -> None:
    small_press(wren)
    before = file_of(wren).read_bytes()
    query = "x_mm=-12.5&y_mm=88&diameter_mm=55.5"
    new = wren.client.get(f"/presses/wren/edit?unit=A&part=new-roller&{query}").text
    known = wren.client.get(f"/presses/wren/edit?unit=A&part=roller&id=F1&{query}").text
    for name, value in (("centre.x_mm", "-12.5"), ("centre.y_mm", "88"), ("diameter_mm", "55.5")):
        field = rf'<input id="f-{name}" name="{name}"[^>]* value="{value}"'
        assert re.search(field, new), name
        assert re.search(field, known), name
    assert re.search(r'name="id"[^>]* value="F1"', known)
    evil = wren.client.get("/presses/wren/edit", params={"part": "new-roller", "x_mm": EVIL}).text
    assert "<script>alert" not in evil
    assert wren.client.get(f"/presses/wren/edit?part=cylinders&{query}").status_code == 200
    assert file_of(wren).read_bytes() == before


@pytest.mark.parametrize(
    "data",
    [
        b"x" * 1_000_001,
        b"\x89PNG\r\n\x1a\n\x00\xff",
        b"filmsplit: press 1\nid: ../evil\nunits: []\n",
        b"filmsplit: press 1\na: &a [1]\nb: *a\n",
        b"filmsplit: press 1\nid: " + b"[" * 5000,
        b"",
        b"<script>alert(1)</script>",
    ],
    ids=["huge", "picture", "path", "anchors", "deep", "empty", "markup"],
)
def test_what_is_no_press_file_is_not_brought_in(visit: Visit, data: bytes) -> None:
    text = bring(visit, data, status=422)
    assert "<script>alert" not in text
    assert not list(visit.folder.rglob("*.yaml"))
    assert not list(visit.folder.rglob("*.json"))


def test_a_press_that_no_press_can_be_is_not_brought_in_and_the_limit_is_named(visit: Visit) -> None:
    from filmsplit.press.press import MOST_ROLLERS  # noqa: PLC0415
    from formats.test_press_door import press_file  # noqa: PLC0415

    text = bring(visit, press_file(1, MOST_ROLLERS + 1).encode(), status=422)
    assert f"No more than {MOST_ROLLERS} are read" in text
    assert not list(visit.folder.rglob("*.yaml"))
    bring(visit, press_file(1, MOST_ROLLERS).encode())
    assert file_of(visit).exists()
