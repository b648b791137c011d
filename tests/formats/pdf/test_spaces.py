"""Colour spaces as amounts of ink, by the arithmetic of the standard.

Sources: ISO 32000-2, 8.6 (spaces), 10.4.2 (between device spaces), 11.5.3 (luminosity); ISO 15076-1 (profiles);
IEC 61966-2-1 (sRGB). Lab and XYZ are checked against a general colour library.
"""

from __future__ import annotations

import os
from typing import Any

import numpy as np
import pikepdf
import pytest
from coloraide import Color
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pikepdf import Array, Dictionary, Name

from filmsplit.formats.pdf.asked import PdfAsked
from filmsplit.formats.pdf.cie import lab_of_xyz, srgb_of_lab, xyz_of_lab
from filmsplit.formats.pdf.conversion import Conversion, Intent, Way, output_profile, plain_cmyk, srgb_profile
from filmsplit.formats.pdf.inks import Inks
from filmsplit.formats.pdf.ledger import Ledger
from filmsplit.formats.pdf.malformed import Malformed
from filmsplit.formats.pdf.spaces import PageColours, conversion_for, ink_colours, spots_of, tone_colours
from formats.pdf.made_functions import PDF, power, program, stream
from formats.pdf.made_profile import cmyk_profile

EXAMPLES = int(os.environ.get("FILMSPLIT_FUZZ_EXAMPLES", "150"))
QUICK = settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
NOTHING = Dictionary()
LIKE_GOLD = power([0, 0, 0, 0], [0, 0.3, 1, 0.1])
GOLD = Array([Name.Separation, Name.Gold, Name.DeviceCMYK, LIKE_GOLD])


def colours(*spots: str, conversion: Conversion | None = None) -> PageColours:
    return ink_colours(Inks(spots=spots), ledger=Ledger(), conversion=conversion or Conversion(way=Way.PLAIN))


def tone() -> PageColours:
    return tone_colours(ledger=Ledger(), conversion=Conversion())


def amounts(of: PageColours, described: Any, *values: float, resources: Any = NOTHING) -> list[float]:
    space = of.space_of(described, resources)
    assert space.components == len(values)
    return [float(each) for each in space.amounts(np.array([values], dtype=np.float64))[0]]


def noted(of: PageColours) -> set[str]:
    return {each.slug for each in of.ledger.problems()}


def icc(data: bytes, components: int, **entries: Any) -> Array:
    return Array([Name.ICCBased, stream(data, N=components, **entries)])


def lab(low: float = -100, high: float = 100) -> Array:
    return Array([Name.Lab, Dictionary(WhitePoint=[0.9642, 1, 0.8249], Range=[low, high, low, high])])


def test_device_spaces() -> None:
    of = colours("Gold")
    assert amounts(of, Name.DeviceGray, 0.3) == pytest.approx([0, 0, 0, 0.7, 0])
    assert amounts(of, Name.DeviceCMYK, 0.1, 0.2, 0.3, 1.4) == pytest.approx([0.1, 0.2, 0.3, 1.0, 0])
    assert noted(of) == set()
    assert amounts(of, Name.DeviceRGB, 0.8, 0.5, 0.4) == pytest.approx([0, 0.3, 0.4, 0.2, 0])
    assert noted(of) == {"pdf-rgb-plain"}


def test_who_addresses_which_inks() -> None:
    of = colours("Gold")
    cmyk = of.space_of(Name.DeviceCMYK, NOTHING)
    assert cmyk.is_device_cmyk
    assert cmyk.inks == of.space_of(Name.DeviceGray, NOTHING).inks == frozenset({0, 1, 2, 3})
    assert of.space_of(GOLD, NOTHING).inks == frozenset({4})
    every = Array([Name.Separation, Name.All, Name.DeviceCMYK, LIKE_GOLD])
    assert of.space_of(every, NOTHING).inks == frozenset(range(5))
    indexed = of.space_of(Array([Name.Indexed, Name.DeviceCMYK, 0, pikepdf.String(b"\0" * 4)]), NOTHING)
    assert indexed.inks == frozenset(range(4))
    assert not indexed.is_device_cmyk


def test_colours_at_first() -> None:
    of = colours("Gold")
    assert of.space_of(Name.DeviceCMYK, NOTHING).initial == (0, 0, 0, 1)
    assert of.space_of(GOLD, NOTHING).initial == (1,)
    assert of.space_of(lab(5, 100), NOTHING).initial == (0, 5, 5)


@pytest.mark.parametrize(("name", "place"), [("Cyan", 0), ("Magenta", 1), ("Yellow", 2), ("Black", 3)])
def test_separations_of_process_inks(name: str, place: int) -> None:
    described = Array([Name.Separation, Name("/" + name), Name.DeviceCMYK, LIKE_GOLD])
    wanted = [0.0] * 4
    wanted[place] = 0.4
    assert amounts(colours(), described, 0.4) == wanted


def test_spots_all_inks_and_none() -> None:
    of = colours("Gold", "Silver")
    assert amounts(of, GOLD, 0.4) == [0, 0, 0, 0, 0.4, 0]
    assert amounts(of, Array([Name.Separation, Name.All, Name.DeviceCMYK, LIKE_GOLD]), 0.4) == [0.4] * 6
    assert amounts(of, Array([Name.Separation, Name("/None"), Name.DeviceCMYK, LIKE_GOLD]), 0.4) == [0] * 6


def test_a_mixture_of_inks() -> None:
    names = Array([Name.Gold, Name.Black, Name("/None"), Name.Cyan])
    tint = program("{ 4 copy }", 4, 4)
    described = Array([Name.DeviceN, names, Name.DeviceCMYK, tint])
    assert amounts(colours("Gold"), described, 0.1, 0.2, 0.3, 0.4) == pytest.approx([0.4, 0, 0, 0.2, 0.1])


def test_a_mixture_that_calls_process_inks_by_names_of_its_own() -> None:
    process = Dictionary(ColorSpace=Name.DeviceCMYK, Components=Array([Name.c, Name.m, Name.y, Name.k]))
    attributes = Dictionary(Subtype=Name.NChannel, Process=process)
    names = Array([Name.m, Name.Gold])
    described = Array([Name.DeviceN, names, Name.DeviceCMYK, program("{ 0 0 }", 2, 4), attributes])
    assert amounts(colours("Gold"), described, 0.1, 0.2) == pytest.approx([0, 0.1, 0, 0, 0.2])


def test_an_ink_without_a_plate_is_made_of_process_inks_and_told() -> None:
    of = colours()
    assert amounts(of, GOLD, 0.5) == pytest.approx([0, 0.15, 0.5, 0.05])
    assert noted(of) == {"pdf-ink-without-plate"}


def test_a_table_of_colours() -> None:
    of = colours("Gold")
    table = pikepdf.String(bytes([0, 51, 102, 153, 255, 0, 0, 0]))
    described = Array([Name.Indexed, Name.DeviceCMYK, 1, table])
    assert amounts(of, described, 0) == pytest.approx([0, 0.2, 0.4, 0.6, 0])
    assert amounts(of, described, 7) == pytest.approx([1, 0, 0, 0, 0])  # beyond the end: its last
    spots = Array([Name.Indexed, GOLD, 2, stream(bytes([0, 51, 255]))])
    assert amounts(of, spots, 1) == pytest.approx([0, 0, 0, 0, 0.2])


def test_a_table_of_lab_colours_is_spread_over_its_range() -> None:
    table = pikepdf.String(bytes([128, 255, 0]))
    described = Array([Name.Indexed, lab(-100, 100), 0, table])
    wanted = amounts(colours(), lab(-100, 100), 100 * 128 / 255, 100, -100)
    assert amounts(colours(), described, 0) == pytest.approx(wanted)


def test_patterns_know_what_lies_under_them() -> None:
    of = colours("Gold")
    assert amounts(of, Array([Name.Pattern, GOLD]), 0.4) == [0, 0, 0, 0, 0.4]
    assert of.space_of(Name.Pattern, NOTHING).components == 0


@given(st.tuples(*[st.floats(0, 1)] * 3))
@QUICK
def test_plain_arithmetic_gives_the_light_back(light: tuple[float, float, float]) -> None:
    cyan, magenta, yellow, black = plain_cmyk(np.array([light]))[0]
    assert min(cyan, magenta, yellow) == 0.0
    assert [1 - each - black for each in (cyan, magenta, yellow)] == pytest.approx(list(light))


@given(st.floats(0, 100), st.floats(-90, 90), st.floats(-90, 90))
@QUICK
def test_lab_against_a_colour_library(lightness: float, a: float, b: float) -> None:
    values = np.array([[lightness, a, b]])
    color = Color("lab", [lightness, a, b])
    # The white of that library has 0.8251 of Z, that of profiles 0.8249.
    assert xyz_of_lab(values)[0] == pytest.approx(color.convert("xyz-d50").coords(), rel=4e-4, abs=1e-6)
    if (xyz_of_lab(values) >= 0).all():  # others are no colours
        assert lab_of_xyz(xyz_of_lab(values))[0] == pytest.approx([lightness, a, b], abs=1e-6)
    srgb = np.clip(color.convert("srgb").coords(), 0, 1)
    assert srgb_of_lab(values)[0] == pytest.approx(srgb, abs=4e-3)


def test_calibrated_rgb_of_the_primaries_of_srgb() -> None:
    """Under D65, with a steepness of 2.2: the light as sRGB tells it, by the formula of IEC 61966-2-1."""
    matrix = [0.4124, 0.2126, 0.0193, 0.3576, 0.7152, 0.1192, 0.1805, 0.0722, 0.9505]
    told = Dictionary(WhitePoint=[0.9505, 1, 1.089], Gamma=[2.2] * 3, Matrix=matrix)
    found = amounts(colours(), Array([Name.CalRGB, told]), 0.9, 0.5, 0.2)
    light = [1.055 * each ** (2.2 / 2.4) - 0.055 for each in (0.9, 0.5, 0.2)]
    assert found == pytest.approx(amounts(colours(), Name.DeviceRGB, *light), abs=1e-3)


def test_calibrated_grey() -> None:
    told = Dictionary(WhitePoint=[0.9505, 1, 1.089], Gamma=1)
    # half of the light is 0.7354 of the steps of sRGB
    assert amounts(colours(), Array([Name.CalGray, told]), 0.5)[3] == pytest.approx(1 - 0.7354, abs=1e-4)


def test_profiles_of_grey_and_of_four_inks_are_those_of_the_press() -> None:
    of = colours()
    assert amounts(of, icc(b"", 1), 0.4) == pytest.approx([0, 0, 0, 0.6])
    assert amounts(of, icc(b"", 4), 0.1, 0.2, 0.3, 0.4) == pytest.approx([0.1, 0.2, 0.3, 0.4])
    assert not of.space_of(icc(b"", 4), NOTHING).is_device_cmyk
    assert noted(of) == {"pdf-icc-cmyk"}


def test_rgb_by_its_profile() -> None:
    found = amounts(colours(), icc(srgb_profile(), 3), 0.8, 0.5, 0.4)
    assert found == pytest.approx([0, 0.3, 0.4, 0.2], abs=2e-3)


def test_a_profile_that_is_none_is_told_and_its_alternate_taken() -> None:
    of = colours()
    assert amounts(of, icc(b"no profile", 3, Alternate=lab()), 100, 0, 0) == pytest.approx([0] * 4, abs=1e-3)
    assert "pdf-profile-unusable" in noted(of)
    assert amounts(of, icc(b"no profile", 3), 0.8, 0.5, 0.4) == pytest.approx([0, 0.3, 0.4, 0.2])
    assert amounts(of, icc(b"", 3, Alternate=Name.DeviceGray), 0.8, 0.5, 0.4) == pytest.approx([0, 0.3, 0.4, 0.2])


@pytest.mark.parametrize("lightness", [0.0, 25.0, 60.0, 100.0])
def test_by_a_stated_profile(lightness: float) -> None:
    """The profile makes black of what L* lacks."""
    conversion = Conversion(way=Way.PROFILE, profile=cmyk_profile(), intent=Intent.PERCEPTUAL)
    of = colours(conversion=conversion)
    wanted = [0, 0, 0, 1 - lightness / 100]
    assert amounts(of, lab(), lightness, 0, 0) == pytest.approx(wanted, abs=2e-3)
    grey = float(srgb_of_lab(np.array([[lightness, 0.0, 0.0]]))[0, 0])
    assert amounts(of, Name.DeviceRGB, grey, grey, grey) == pytest.approx(wanted, abs=2e-3)
    assert amounts(of, icc(srgb_profile(), 3), grey, grey, grey) == pytest.approx(wanted, abs=2e-3)
    assert noted(of) == {"pdf-rgb-by-profile"}


def test_many_colours_at_once_are_those_one_by_one() -> None:
    for intent in Intent:
        conversion = Conversion(way=Way.PROFILE, profile=cmyk_profile(), intent=intent)
        light = np.random.default_rng(3).random((5000, 3))
        many = conversion.rgb(light, Ledger())
        few = np.concatenate([conversion.rgb(each[None], Ledger()) for each in light[:20]])
        assert many[:20] == pytest.approx(few, abs=1e-3)
        again = np.concatenate([conversion.rgb(each[None], Ledger()) for each in light[:20]])
        assert np.array_equal(few, again)


@pytest.mark.parametrize("source", [b"", srgb_profile()])
@pytest.mark.parametrize("has_profile", [True, False])
def test_dots_of_256_steps_are_those_in_full(source: bytes, *, has_profile: bool) -> None:
    conversion = Conversion(way=Way.PROFILE, profile=cmyk_profile()) if has_profile else Conversion(way=Way.PLAIN)
    dots = np.random.default_rng(3).integers(0, 256, (3000, 3)).astype(np.uint8)
    fast = conversion.rgb_bytes(dots, Ledger(), source=source) / 255
    # A profile rounds to 256 steps before it and behind it; its own black is as steep as lightness.
    assert fast == pytest.approx(conversion.rgb(dots / 255, Ledger(), source=source), abs=2.1 / 255)


def test_refused_on_request() -> None:
    of = colours(conversion=Conversion(way=Way.REFUSE))
    amounts(of, Name.DeviceRGB, 0, 0, 0)
    assert noted(of) == {"pdf-rgb-refused"}


def test_what_is_asked_decides_on_the_conversion() -> None:
    pdf = pikepdf.new()
    ledger = Ledger()
    assert conversion_for(pdf, PdfAsked(), ledger=ledger).way is Way.PLAIN
    assert conversion_for(pdf, PdfAsked(refuse_rgb=True), ledger=ledger).way is Way.REFUSE
    assert conversion_for(pdf, PdfAsked(profile=cmyk_profile()), ledger=ledger).way is Way.PROFILE
    assert output_profile(pdf) is None
    carried = pdf.make_stream(cmyk_profile())
    carried["/N"] = 4
    light = pdf.make_stream(srgb_profile())
    pdf.Root["/OutputIntents"] = Array(
        [Dictionary(S=Name.GTS_PDFX), Dictionary(DestOutputProfile=light), Dictionary(DestOutputProfile=carried)]
    )
    assert output_profile(pdf) == cmyk_profile()
    assert conversion_for(pdf, PdfAsked(), ledger=ledger).way is Way.OWN_PROFILE
    assert not list(ledger.problems())
    conversion_for(pdf, PdfAsked(profile=srgb_profile()), ledger=ledger)
    assert [each.slug for each in ledger.problems()] == ["pdf-profile-not-of-inks"]


def test_default_spaces_take_the_place_of_device_spaces() -> None:
    of = colours("Gold")
    resources = Dictionary(ColorSpace=Dictionary(DefaultGray=GOLD, DefaultCMYK=Name.DeviceRGB, Own=Name.DeviceGray))
    assert amounts(of, Name.DeviceGray, 0.4, resources=resources) == [0, 0, 0, 0, 0.4]
    assert amounts(of, Name.Own, 0.4, resources=resources) == [0, 0, 0, 0, 0.4]
    assert amounts(of, Name.DeviceGray, 0.4) == pytest.approx([0, 0, 0, 0.6, 0])
    assert noted(of) == set()
    assert amounts(of, Name.DeviceCMYK, 0.1, 0, 0, 0, resources=resources) == pytest.approx([0.1, 0, 0, 0, 0])
    assert noted(of) == {"pdf-default-space-malformed"}


def test_the_tone_of_colours() -> None:
    assert amounts(tone(), Name.DeviceGray, 0.3) == pytest.approx([0.7])
    assert amounts(tone(), Name.DeviceRGB, 0.2, 0.5, 0.9) == pytest.approx([1 - 0.06 - 0.295 - 0.099])
    assert amounts(tone(), Name.DeviceCMYK, 0.2, 0.5, 0.9, 0.1) == pytest.approx([0.06 + 0.295 + 0.099 + 0.1])
    assert amounts(tone(), Name.DeviceCMYK, 1, 1, 1, 1) == [1]
    assert amounts(tone(), GOLD, 1.0) == pytest.approx([0.59 * 0.3 + 0.11 + 0.1])
    assert amounts(tone(), lab(), 100, 0, 0) == pytest.approx([0], abs=1e-3)
    of = tone()
    amounts(of, GOLD, 1.0)
    amounts(of, Name.DeviceRGB, 0, 0, 0)
    assert noted(of) == set()


def test_spots_are_found_wherever_they_are_named() -> None:
    pdf = pikepdf.new()

    def named(name: str) -> Array:
        return Array([Name.Separation, Name(f"/{name}"), Name.DeviceCMYK, like_gold(pdf)])

    image = pdf.make_stream(b"")
    image["/ColorSpace"] = Array([Name.Indexed, named("In picture"), 0, pikepdf.String(b"\0")])
    form = pdf.make_stream(b"")
    form["/Resources"] = Dictionary(
        XObject=Dictionary(Me=form, Im=image), Shading=Dictionary(S=Dictionary(ColorSpace=named("In shading")))
    )
    mixture = Array([Name.DeviceN, Array([Name.Black, Name("/In mixture"), Name("/None")]), Name.DeviceCMYK, Name.x])
    mask = Dictionary(SMask=Dictionary(G=Dictionary(ColorSpace=named("In mask"))))
    resources = Dictionary(
        ColorSpace=Dictionary(A=mixture, B=named("All"), C=named("Cyan"), D=named("In mixture")),
        XObject=Dictionary(P=form),
        ExtGState=Dictionary(G=mask),
    )
    page = pdf.make_indirect(Dictionary(Type=Name.Page, MediaBox=[0, 0, 9, 9], Resources=resources))
    pdf.pages.append(pikepdf.Page(page))
    found = spots_of(pdf, pdf.pages[0])
    assert sorted(found) == ["In mixture", "In picture", "In shading"]


def like_gold(pdf: pikepdf.Pdf) -> Any:
    return pdf.make_indirect(Dictionary(FunctionType=2, Domain=[0, 1], C0=[0, 0, 0, 0], C1=[0, 0.3, 1, 0.1], N=1))


MALFORMED: dict[str, Any] = {
    "unknown name": Name.Unknown,
    "a number": 3,
    "empty": Array([]),
    "unknown kind": Array([Name.Strange, 1]),
    "separation cut short": Array([Name.Separation, Name.Gold]),
    "mixture of all": Array([Name.DeviceN, Array([Name.All, Name.Black]), Name.DeviceCMYK, LIKE_GOLD]),
    "tint of other length": Array([Name.Separation, Name.Lead, Name.DeviceGray, LIKE_GOLD]),
    "table of tables": Array([Name.Indexed, Array([Name.Indexed, Name.DeviceGray, 0, pikepdf.String(b"a")]), 0, 1]),
    "table of too many": Array([Name.Indexed, Name.DeviceGray, 256, pikepdf.String(b"a")]),
    "table of no data": Array([Name.Indexed, Name.DeviceGray, 1, Name.x]),
    "lab without white": Array([Name.Lab, Dictionary()]),
    "profile of two": Array([Name.ICCBased, stream(b"", N=2)]),
    "profile of five": Array([Name.ICCBased, stream(b"", N=5)]),
    "profile as a name": Array([Name.ICCBased, Name.DeviceRGB]),
    "pattern of patterns": Array([Name.Pattern, Name.Pattern]),
}


@pytest.mark.parametrize("name", MALFORMED)
def test_what_is_malformed_is_told(name: str) -> None:
    with pytest.raises(Malformed):
        colours().space_of(MALFORMED[name], NOTHING)


def test_a_space_within_itself_ends() -> None:
    looped = PDF.make_indirect(Array([Name.Pattern, Name.DeviceGray]))
    looped[1] = looped
    with pytest.raises(Malformed):
        colours().space_of(looped, NOTHING)
    names = Dictionary(ColorSpace=Dictionary(A=Name.B, B=Name.A))
    with pytest.raises(Malformed):
        colours().space_of(Name.A, names)


PART = st.recursive(
    st.one_of(
        st.sampled_from(["DeviceGray", "DeviceRGB", "DeviceCMYK", "Gold", "Lead", "Pattern", "A"]).map(
            lambda n: Name("/" + n)
        ),
        st.integers(-2, 300),
        st.binary(max_size=12).map(pikepdf.String),
        st.just(LIKE_GOLD),
        st.just(Dictionary(WhitePoint=[1, 1, 1])),
    ),
    lambda inner: st.tuples(
        st.sampled_from(
            [Name.Indexed, Name.Separation, Name.DeviceN, Name.Lab, Name.CalRGB, Name.Pattern, Name.CalGray]
        ),
        st.lists(inner, max_size=4),
    ).map(lambda made: Array([made[0], *made[1]])),
    max_leaves=12,
)


@given(PART)
@QUICK
def test_no_space_does_more_than_be_malformed(described: Any) -> None:
    of = colours("Gold")
    try:
        space = of.space_of(described, Dictionary(ColorSpace=Dictionary(A=GOLD)))
        found = space.amounts(np.full((3, space.components), 0.4))
    except Malformed:
        return
    assert found.shape == (3, 5)
    assert ((found >= 0) & (found <= 1)).all()
