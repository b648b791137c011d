"""Aims of process inks against the windows and tolerances of the standards, as far as remembered."""

from __future__ import annotations

import pytest

from filmsplit.library.inks import Ink, ink, inks
from filmsplit.messages import Severity
from filmsplit.setup.aim_checks import aim_problems, colour_problems


@pytest.mark.parametrize("each", inks(), ids=lambda each: each.slug)
def test_process_print_aims(each: Ink) -> None:
    """Windows C, M, Y 0.7-1.1, K 0.9-1.3 um: ISO 2846-1, laboratory prints (memory). So 0.9 to 1.1 suits them all."""
    assert each.film is not None
    for film_um in (0.9, 1.0, 1.1):
        assert aim_problems(film_um, ink=each.slug, window=each.film) == ()
    (thick,) = aim_problems(1.4, ink=each.slug, window=each.film)
    (thin,) = aim_problems(0.6, ink=each.slug, window=each.film)
    assert (thick.slug, thin.slug) == ("setup-aim-thick", "setup-aim-thin")
    assert thick.severity is Severity.WARNING
    assert "1.4" in thick.what
    assert "ISO 2846-1" in thick.what


def test_black_is_printed_thicker_than_the_colours() -> None:
    """0.8 um is enough for cyan and not for black, 1.2 um suits black and not cyan (ISO 2846-1, memory)."""
    cyan, black = ink("process-cyan").film, ink("process-black").film
    assert cyan is not None
    assert black is not None
    assert [len(aim_problems(film, ink="", window=cyan)) for film in (0.8, 1.2)] == [0, 1]
    assert [len(aim_problems(film, ink="", window=black)) for film in (0.8, 1.2)] == [1, 0]


def test_tolerances_of_solids() -> None:
    """Delta E*ab 5 binds, delta E 2000 3.5 (K 5) informs: ISO 12647-2:2013 (memory)."""
    allowed = {each.slug: (each.solid.delta_e_ab, each.solid.delta_e_00) for each in inks() if each.solid is not None}
    colours = {"process-cyan", "process-magenta", "process-yellow"}
    assert allowed == dict.fromkeys(colours, (5.0, 3.5)) | {"process-black": (5.0, 5.0)}


def test_a_solid_is_judged_by_both_tolerances() -> None:
    """Cyan at 55, -37, -50: 2 lighter is fine, 4 lighter passes the binding tolerance alone, 6 lighter none.

    Along lightness alone delta E 2000 is the difference over 1 + 0.015 (L - 50)^2 / sqrt(20 + (L - 50)^2), L the mean:
    4 over 1.108 = 3.61 (Sharma, Wu & Dalal 2005, by hand).
    """
    solid = ink("process-cyan").solid
    assert solid is not None
    found = [colour_problems((55.0 + more, -37.0, -50.0), ink="cyan", solid=solid) for more in (0.0, 2.0, 4.0, 6.0)]
    assert [[each.slug for each in problems] for problems in found] == [
        [],
        [],
        ["setup-colour-doubtful"],
        ["setup-colour-beyond"],
    ]
    assert found[2][0].values["difference"] == pytest.approx(4 / (1 + 0.015 * 49 / 69**0.5), abs=0.01)
