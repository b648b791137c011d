"""A photo of one's own press: plain, scaled by taps, rollers placed on it, seen by the owner alone, in no export.

Sources: what a camera writes into pictures is Exif (CIPA DC-008: 0x010E description, 0x013B artist, 0x8825 GPS); where
the rollers are is the press file that the photo was drawn from.
"""

from __future__ import annotations

import ast
import base64
import io
import re
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from PIL import Image

from filmsplit.formats.photo_plain import LONGEST_SIDE
from filmsplit.formats.photo_store import FOLDER, photo_of
from filmsplit.formats.press_file import load
from filmsplit.library.workshop import demo_path
from filmsplit.messages import label
from filmsplit.press.survey import survey
from filmsplit.web.shop_mode.access import Access
from filmsplit.web.shop_mode.door import COOKIE
from filmsplit.web.shop_mode.people import Role
from house.source import modules
from web.drawn_photo import SECRET, Drawn
from web.served import Visit

HERE = "/presses/heron/A/photo"
DRAWN = Drawn()
UNIT = survey(load(demo_path("heron")).press).press.units[0]
"""The unit as the photo shows it."""


@pytest.fixture(scope="module")
def photo() -> bytes:
    return DRAWN.photo(UNIT)


def bring(visit: Visit, data: bytes, *, here: str = HERE, status: int = 200, name: str = "../../p.jpg") -> str:
    answer = visit.client.post(here, data={"token": visit.token()}, files={"file": (name, data)})
    assert answer.status_code == status, answer.text
    return answer.text


def dots(*of: tuple[float, float]) -> list[str]:
    return [f"{x:.1f},{y:.1f}" for x, y in of]


def scale(visit: Visit, *, status: int = 200, **changed: str) -> str:
    """Scale by a rule of 500 mm held level."""
    a, b, m = dots(DRAWN.at(-300, -120), DRAWN.at(200, -120), DRAWN.axis)
    told = {"a": a, "b": b, "m": m, "length": "500", "lie": "level", "seen": "operator"}
    return visit.send(f"{HERE}/scale", status=status, **(told | changed))


@pytest.fixture
def scaled(at_heron: Visit, photo: bytes) -> Visit:
    bring(at_heron, photo)
    scale(at_heron)
    return at_heron


def kept(visit: Visit) -> list[Path]:
    return sorted((visit.folder / FOLDER).glob("*"))


def test_a_photo_is_made_plain_before_it_is_kept(at_heron: Visit, photo: bytes) -> None:
    assert SECRET.encode() in photo
    text = bring(at_heron, photo)
    assert label("web_photo.tap_a") in text
    told = kept(at_heron)
    assert {path.suffix for path in told} == {".jpg", ".json"}
    assert all(re.fullmatch(r"[0-9a-f]{16}", path.stem) for path in told)
    data = next(path for path in told if path.suffix == ".jpg").read_bytes()
    assert SECRET.encode() not in data
    assert b"Exif" not in data
    assert not Image.open(io.BytesIO(data)).getexif()
    answer = at_heron.client.get(f"{HERE}/picture.jpg")
    assert answer.content == data
    assert answer.headers["cache-control"] == "private, no-store"


def test_a_large_photo_is_made_smaller_and_stands_upright(at_heron: Visit) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6  # the camera was held upright: turn by 90 degrees
    written = io.BytesIO()
    Image.new("RGB", (4000, 3000), "grey").save(written, format="JPEG", exif=exif)
    bring(at_heron, written.getvalue())
    found = photo_of(at_heron.folder / FOLDER, "heron", "A")
    assert found is not None
    assert (found.wide, found.high) == (LONGEST_SIDE * 3 // 4, LONGEST_SIDE)


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"no picture",
        b"\x89PNG\r\n\x1a\n" + b"\0" * 300,
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"GIF89a" * 9,
    ],
    ids=["empty", "text", "broken", "svg", "gif"],
)
def test_what_is_no_photo_is_not_kept_and_the_one_before_stays(scaled: Visit, data: bytes) -> None:
    before = kept(scaled)
    bring(scaled, data, status=422)
    assert kept(scaled) == before
    assert label("web_photo.tap_c") in scaled.page(HERE)


def test_a_picture_larger_than_memory_allows_is_refused(at_heron: Visit) -> None:
    written = io.BytesIO()
    Image.new("1", (16_000, 16_000)).save(written, format="PNG")
    assert "MB unpacked" in bring(at_heron, written.getvalue(), status=422)
    assert kept(at_heron) == []


def test_rollers_tapped_lie_where_the_press_has_them(scaled: Visit) -> None:
    """To the half millimetre a dot is worth, and the tenth that is kept."""
    for roller in UNIT.rollers:
        assert roller.centre is not None
        centre = DRAWN.at(roller.centre.x_mm, roller.centre.y_mm)
        rim = (centre[0] + roller.diameter_mm / 2 * DRAWN.per_mm, centre[1])
        (c,) = dots(centre)
        answer = scaled.client.get(
            HERE, params={"who": roller.id, "c": c, "right": f"{rim[0]:.1f}", "down": f"{rim[1]:.1f}"}
        )
        found = parse_qs(urlsplit(str(answer.url)).query)
        assert found["part"] == ["roller"]
        assert found["id"] == [roller.id]
        assert float(found["x_mm"][0]) == pytest.approx(roller.centre.x_mm, abs=0.5)
        assert float(found["y_mm"][0]) == pytest.approx(roller.centre.y_mm, abs=0.5)
        assert float(found["diameter_mm"][0]) == pytest.approx(roller.diameter_mm, abs=0.5)
        assert answer.status_code == 200


@pytest.mark.parametrize("wide", ["", "360", "760", "1520"])
def test_a_tap_counts_in_pixels_of_the_photo_as_shown(scaled: Visit, wide: str) -> None:
    per_pixel = DRAWN.size[0] / float(wide or 760)
    x, y = DRAWN.at(40, 300)
    tap = {"at.x": f"{x / per_pixel:.0f}", "at.y": f"{y / per_pixel:.0f}"}
    text = scaled.client.get(HERE, params={"wide": wide, "who": "new", **tap}).text
    assert label("web_photo.tap_r") in text
    form = re.search(r'href="(/presses/heron/edit\?[^"]+)"[^>]*>' + re.escape(label("web_photo.by_diameter")), text)
    assert form is not None
    found = parse_qs(urlsplit(form[1].replace("&amp;", "&")).query)
    assert found["part"] == ["new-roller"]
    assert "diameter_mm" not in found
    off_mm = per_pixel / DRAWN.per_mm
    assert (float(found["x_mm"][0]), float(found["y_mm"][0])) == pytest.approx((40, 300), abs=off_mm)


def test_a_roller_is_placed_from_the_photo_and_drawn_over_it(visit: Visit, photo: bytes) -> None:
    """A press of which only the cylinders' way of turning is known, from the photo to its first roller."""
    here = "/presses/wren/A/photo"
    visit.send("/presses/new", code="wren", plate_turns="clockwise")
    bring(visit, photo, here=here)
    a, b, m = dots(DRAWN.at(-300, -120), DRAWN.at(200, -120), DRAWN.axis)
    visit.send(f"{here}/scale", a=a, b=b, m=m, length="500", lie="level", seen="operator")
    (c,) = dots(DRAWN.at(-40, 97))
    right, down = DRAWN.at(-40 - 27, 97)
    form = visit.client.get(here, params={"c": c, "right": str(right), "down": str(down)})
    filled = dict(re.findall(r'<input id="f-[\w.]+" name="([\w.]+)"[^>]* value="([^"]*)"', form.text))
    assert abs(float(filled["diameter_mm"]) - 54) < 0.5
    visit.send(
        "/presses/wren/edit", unit="A", part="new-roller", role="form", touches_1="plate", **filled | {"id": "F1"}
    )
    over = visit.page(here)
    assert re.search(r"<svg[^>]*aria-hidden.*>F1</text>", over, re.S)


def test_steps_back_and_sizes_keep_what_was_tapped(at_heron: Visit, photo: bytes) -> None:
    bring(at_heron, photo)
    text = at_heron.client.get(HERE, params={"a": "10.0,20.0", "b": "900.0,20.0"}).text
    assert label("web_photo.tap_m") in text
    assert "a=10.0%2C20.0&amp;b=900.0%2C20.0&amp;wide=1520" in text
    back = re.search(r'href="([^"]+)"[^>]*>' + re.escape(label("web_photo.back_one")), text)
    assert back is not None
    assert "a=10.0%2C20.0" in back[1]
    assert "b=" not in back[1]


@pytest.mark.parametrize(
    ("changed", "slug_word"),
    [
        ({"length": ""}, None),
        ({"length": "500 parsec"}, None),
        ({"length": "3"}, "known length is between"),
        ({"lie": ""}, "was not said"),
        ({"seen": "<script>"}, "was not said"),
        ({"b": "-300,5"}, "not tapped yet"),
        ({"b": "99999,5"}, "not tapped yet"),
        ({"a": "nan,inf"}, "not tapped yet"),
        ({"lie": "upright"}, "leans by"),
    ],
)
def test_a_scale_that_cannot_be_told_is_refused_and_nothing_typed_is_lost(
    at_heron: Visit, photo: bytes, changed: dict[str, str], slug_word: str | None
) -> None:
    bring(at_heron, photo)
    text = scale(at_heron, status=422, **changed)
    assert "<script>" not in text.replace("<script type", "")
    if slug_word is not None:
        assert slug_word in text
    found = photo_of(at_heron.folder / FOLDER, "heron", "A")
    assert found is not None
    assert found.scale is None


def test_in_inches_the_length_is_typed_in_inches(at_heron: Visit, photo: bytes) -> None:
    bring(at_heron, photo)
    at_heron.send("/look", light="light", size="bench", lengths="in")
    scale(at_heron, length=f"{500 / 25.4:.4f}")
    found = photo_of(at_heron.folder / FOLDER, "heron", "A")
    assert found is not None
    assert found.scale is not None
    assert found.scale.mm_per_dot == pytest.approx(1 / DRAWN.per_mm, rel=1e-3)


@pytest.mark.parametrize(
    "tap", [{"right": "99999", "down": "1"}, {"right": "5", "down": ""}, {"right": "-1", "down": "x"}]
)
def test_a_position_off_the_photo_is_said(scaled: Visit, tap: dict[str, str]) -> None:
    answer = scaled.client.get(HERE, params={"typed": "yes", **tap})
    assert answer.status_code == 422
    assert "no place on the photo" in answer.text


def test_axis_and_rim_at_one_place_are_said(scaled: Visit) -> None:
    answer = scaled.client.get(HERE, params={"c": "500,500", "right": "501", "down": "500"})
    assert answer.status_code == 422
    assert label("web_photo.tap_r") in answer.text


def test_a_scale_can_be_told_again_and_a_photo_deleted(scaled: Visit) -> None:
    assert label("web_photo.tap_a") in scaled.send(f"{HERE}/scale", again="yes")
    assert label("web_photo.bring") in scaled.send(f"{HERE}/delete")
    assert kept(scaled) == []
    scaled.send(f"{HERE}/delete")
    assert "no photo of heron" in scaled.page(f"{HERE}/picture.jpg", status=422)


def test_each_unit_has_its_own_and_another_takes_the_place_of_the_one_before(at_heron: Visit, photo: bytes) -> None:
    bring(at_heron, photo)
    first = kept(at_heron)
    bring(at_heron, photo)
    assert len(kept(at_heron)) == 2
    assert kept(at_heron) != first
    at_heron.send("/presses/bring", press="wagtail")
    assert label("web_photo.bring") in at_heron.page("/presses/wagtail/A/photo")


@pytest.mark.parametrize("torn", ["", "{", '{"filmsplit": "filmsplit-photo 1", "press": "heron"}', "[]", "null"])
def test_what_was_broken_off_is_nobodys_photo(scaled: Visit, torn: str) -> None:
    next(path for path in kept(scaled) if path.suffix == ".json").write_text(torn)
    assert label("web_photo.bring") in scaled.page(HERE)


@pytest.mark.parametrize("role", [Role.OPERATOR, Role.LEARNER])
def test_only_the_owner_sees_and_changes_it(tmp_path: Path, photo: bytes, role: Role) -> None:
    access = Access(tmp_path)
    owner = Visit(tmp_path, access)
    owner.send("/presses/bring", press="heron")
    bring(owner, photo)
    access.add("Somebody", role)
    tablet = Visit(tmp_path, access, "192.0.2.7")
    tablet.client.cookies.set(COOKIE, access.choose(1, "Somebody") if access.pair(access.code()) else "")
    before = kept(owner)
    for address in (HERE, f"{HERE}/picture.jpg"):
        tablet.page(address, status=403)
    bring(tablet, photo, status=403)
    for way in ("/scale", "/delete"):
        tablet.send(HERE + way, status=403)
    assert kept(owner) == before


# Exports --------------------------------------------------------------------------------------------------------------


def test_a_photo_is_in_nothing_else_that_the_workbench_gives(scaled: Visit) -> None:
    """Every page, paper, drawing and file that links lead to, and the API's own answers: no dot and no name of it."""
    picture = next(path for path in kept(scaled) if path.suffix == ".jpg")
    data = picture.read_bytes()
    signs = [data[start : start + 48] for start in range(600, len(data) - 48, len(data) // 7)]
    signs += [base64.b64encode(data[600:1200])[4:60], picture.stem.encode()]
    ahead, known, seen = ["/", "/history/records.json", "/api/openapi.json"], set[str](), 0
    kinds: dict[str, int] = {}
    while ahead:
        address = ahead.pop(0)
        kind = re.sub(r"[0-9]+|(?<=[/=])[A-Z]\w*", "*", address.partition("?")[0])
        kinds[kind] = kinds.get(kind, 0) + 1
        if kinds[kind] > 2 or address.startswith(HERE):
            continue
        answer = scaled.client.get(address)
        assert answer.status_code < 500, address
        assert not any(each in answer.content for each in signs), address
        seen += 1
        found = re.findall(r'(?:href|src)="(/[^"#]*)', answer.text if "html" in answer.headers["content-type"] else "")
        new = [each.replace("&amp;", "&") for each in found if each.replace("&amp;", "&") not in known]
        known.update(new)
        ahead += dict.fromkeys(new)
    assert HERE in known
    assert any(each.endswith(".pdf") for each in known)
    assert any(each.endswith(".yaml") for each in known)
    assert seen > 40


def test_nothing_but_its_own_page_knows_where_photos_lie() -> None:
    """What does not import the folder's owner cannot put a photo into anything."""
    asks = {
        module.path.stem
        for module in modules()
        for node in module.nodes(ast.ImportFrom)
        if node.module in ("filmsplit.formats.photo_store", "filmsplit.actions.press_photo")
    }
    assert asks == {"press_photo"}
