"""Each law broken once on purpose: the comparison with the naive train, or the budget, must go red."""

import ctypes
from dataclasses import replace

import numpy as np
import pytest

from filmsplit.ink import transfer
from filmsplit.simulation import exchange, numpy_march, runs, train, work
from filmsplit.simulation import native as native_module
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.kernel.build import FOLDER, SOURCES, build
from physics.trains import chain, coverage, small_press
from physics.twins import agree, twins


def check_everything(*, native=False):
    """The twins on three small trains that between them use every law, and the budget."""
    grid = grid_of(120, 40, round_mm=4.0, across_mm=4.0)
    cover = coverage(grid, gap=0.2)
    for feed in ("ductor", "fountain"):
        asked = Demand(coverage=cover, films_um={"feed": 30.0}, sweeps_mm={"feed": 21.3} if feed == "ductor" else {})
        result = twins(small_press(feed=feed, cycle_rev=1.0), grid, asked, revolutions=3, native=native)
        agree(*result)
        assert abs(result[1].budget_gap_um_mm2) < 1e-11 * result[1].fed_um_mm2
    small = grid_of(60, 3, round_mm=2.0, across_mm=1.0)
    flux = Demand(coverage=coverage(small, mean=0.5), films_um={"feed": 2.0})
    agree(*twins(chain(3, feed="flux", share=0.6), small, flux, revolutions=3, native=native))
    bad = replace(
        chain(3), nips=tuple(replace(nip, contact=0.7) if i != 2 else nip for i, nip in enumerate(chain(3).nips))
    )
    agree(*twins(bad, small, flux, revolutions=3, native=native))
    badly_inked = replace(chain(3), nips=tuple(replace(nip, contact=0.7) for nip in chain(3).nips))
    agree(*twins(badly_inked, small, flux, revolutions=3, native=native))


def scaled(function, part):
    """``function`` of films in place, run on a share that is wrong by ``part``."""
    return lambda a, b, *, share, **rest: function(a, b, share=share * part, **rest)


def lossy(function):
    """``function`` that loses a thousandth of what the second surface keeps."""

    def broken(a, b, **given):
        function(a, b, **given)
        b *= 0.999

    return broken


def uncovered(function):
    """A form nip that takes every cell for solid."""
    return lambda a, b, *, cover, **rest: function(a, b, cover=np.ones_like(cover), **rest)


def without(**changed):
    """A form nip with one of its arguments replaced."""
    return lambda a, b, **given: exchange.form(a, b, **{**given, **changed})


MUTANTS = {
    "rolling share": (numpy_march, "roll", scaled(exchange.roll, 1.01)),
    "rolling loses ink": (numpy_march, "roll", lossy(exchange.roll)),
    "imperfect share": (numpy_march, "roll_badly", scaled(exchange.roll_badly, 1.01)),
    "imperfect contact taken for perfect": (
        numpy_march,
        "roll_badly",
        lambda a, b, *, share, contact, room: exchange.roll(a, b, share=share, room=room),  # noqa: ARG005
    ),
    "sideways share": (numpy_march, "roll_sideways", scaled(exchange.roll_sideways, 1.01)),
    "sideways loses ink": (numpy_march, "roll_sideways", lossy(exchange.roll_sideways)),
    "sideways with one piece": (
        numpy_march,
        "roll_sideways",
        lambda a, b, *, pieces, **rest: exchange.roll_sideways(a, b, pieces=pieces[:1], **rest),
    ),
    "form share": (numpy_march, "form", scaled(exchange.form, 1.01)),
    "imperfect form share": (numpy_march, "form_badly", scaled(exchange.form_badly, 1.01)),
    "form without coverage": (numpy_march, "form", uncovered(exchange.form)),
    "plate inked off image": (numpy_march, "form", without(image=1.0)),
    "oscillating form share": (numpy_march, "form_sideways", scaled(exchange.form_sideways, 1.01)),
    "oscillating form without coverage": (numpy_march, "form_sideways", uncovered(exchange.form_sideways)),
    "sheet share": (transfer.FixedShare, "taken_um", lambda self, b: 0.99 * self.tau * b),
    "swing to the other side": (
        train.CellSwing,
        "at",
        lambda self, steps: -self.half_stroke * np.sin(2 * np.pi * (steps + 0.5) / self.cycle + self.phase),
    ),
    "swing half a step late": (
        train.CellSwing,
        "at",
        lambda self, steps: self.half_stroke * np.sin(2 * np.pi * steps / self.cycle + self.phase),
    ),
    "speed exponent": (train, "fountain_supply", lambda ratio: train.Supply(ratio, 1 / (1 + ratio**1.5))),
    "flux returns ink": (train, "FLUX_SUPPLY", train.Supply(1.0, 0.9)),
    "ductor share": (train, "DUCTOR_SUPPLY", train.Supply(1.0, 0.51)),
    "ductor always on the train": (work, "_on_train", lambda ductor, step: True),  # noqa: ARG005
    "ductor sweep late": (train.CellDuctor, "sweep_at", lambda self, cycle: self.train_dwell(cycle)[1]),
    "blanket meets another plate row": (train.Train, "blanket_lead", property(lambda self: 1)),  # noqa: ARG005
    "a shift too far": (
        runs,
        "Overlap",
        lambda a, b, area: exchange.Overlap(a, slice(b.start + 1, b.stop + 1) if b.stop < 10 else b, area),
    ),
}


def test_nothing_is_broken_to_begin_with():
    check_everything()


@pytest.mark.parametrize("name", MUTANTS)
def test_every_broken_law_is_noticed(name, monkeypatch):
    place, attribute, law = MUTANTS[name]
    monkeypatch.setattr(place, attribute, law)
    with pytest.raises((AssertionError, ValueError)):
        check_everything()


C_MUTANTS = {
    "rolling share": ("left = total * share", "left = total * share * (REAL)1.01"),
    "rolling loses ink": ("b[j] = total - left", "b[j] = (total - left) * (REAL)0.999"),
    "imperfect contact": (
        "* (REAL)contact[j];\n            a[j] += moved;",
        ";\n            a[j] += moved;",
    ),
    "form without coverage": ("(total * share - a[j]) * cover[j]", "(total * share - a[j])"),
    "plate inked off image": ("b[j] = cover[j] > 0 ? kept : 0", "b[j] = kept"),
    "imperfect form": ("a[j] += moved * cover[j]", "a[j] += moved"),
    "one piece only": ("double area = p ? part : 1.0 - part, middle", "double area = p ? 0.0 : 1.0 - part, middle"),
    "second piece on the first's column": ("b + first + step + p", "b + first + step"),
    "oscillating loses ink": ("- far[k - step - 1];\n}", "- far[k - step - 1] * (REAL)0.999;\n}"),
    "oscillating form": ("near[j] * c[j]", "near[j]"),
    "oscillating form off image": ("b[k] = cover[k] > 0 ? taken : b[k]", "b[k] = taken"),
    "sheet share": ("tau * film[j];", "tau * film[j] * (REAL)0.99;"),
    "feed keeps": ("volume[j] - rest * a[j]", "volume[j] - a[j]"),
    "sweep by whole cells": ("MODULO(from + w->whole, size), w->part", "MODULO(from + w->whole, size), 0.0"),
    "sheet row": ("plate = MODULO(row + s->lead, s->rows)", "plate = row"),
    "cover of another row": ("NAME(FORM) ? rb * s->cover_pitch", "NAME(FORM) ? ra * s->cover_pitch"),
    "ductor turns in flight": ("(c->moves[loop] ? done : 0)", "0"),
}


def test_the_c_kernel_is_not_broken_to_begin_with(built_kernel):  # noqa: ARG001
    check_everything(native=True)


@pytest.mark.parametrize("name", C_MUTANTS)
def test_every_broken_law_in_c_is_noticed(name, kernel_file, tmp_path, monkeypatch):
    if kernel_file is None:
        pytest.skip("no C compiler here")
    right, wrong = C_MUTANTS[name]
    texts = {name: (FOLDER / name).read_text(encoding="utf-8") for name in SOURCES}
    assert any(right in text for text in texts.values())
    for source, text in texts.items():
        (tmp_path / source).write_text(text.replace(right, wrong), encoding="utf-8")
    assert build(tmp_path / "broken", folder=tmp_path) is None
    library = ctypes.CDLL(str(tmp_path / "broken"))
    monkeypatch.setattr(native_module, "library", lambda: library)
    with pytest.raises(AssertionError):
        check_everything(native=True)
