"""A press that is not as its file says: what the settings do not know and the loop has to find out. Invented."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from filmsplit.ink.density import DensityCurve
from filmsplit.setup.aim import density_of
from filmsplit.setup.keys import films_per_opening
from filmsplit.setup.learn import Priors
from filmsplit.setup.settings import Settings
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.parameters import Asked, Parameter, ParameterKind, moved
from filmsplit.simulation.settle import settle
from filmsplit.simulation.train import NipKind
from setup.conftest import FloatArray

CURVE = DensityCurve(2.0, 1.1)
"""Constants of an invented ink per um: a solid of 1.1 um reads 1.4."""

SPLIT_OFF = -0.05
FORM_OFF = -0.3
KEYS_OFF = 0.2
ZEROS_OFF = 1.0
"""The press of the promise: split 0.45, a form roller set light, films of the keys 20 % to either side, and two zeros
off: by a whole division of fifteen."""


@dataclass(frozen=True)
class HiddenPress:
    """True gains (parts of the nominal) and zeros (divisions from the nominal) of the keys, split and light form."""

    gains: FloatArray
    zeros: FloatArray
    split_off: float = SPLIT_OFF
    form_off: float = FORM_OFF

    def true_train(self, zoned: ZonedTrain) -> ZonedTrain:
        form = next(nip.id for nip in zoned.train.nips if nip.kind is NipKind.FORM)
        asked = Asked(train=zoned.train, demand=zoned.demand)
        asked = moved(asked, Parameter(kind=ParameterKind.SPLIT), by=self.split_off)
        asked = moved(asked, Parameter(kind=ParameterKind.CONTACT, name=form), by=self.form_off)
        return ZonedTrain(train=asked.train, demand=asked.demand, zones=zoned.zones)

    def prints_um(self, zoned: ZonedTrain, settings: Settings, readings: FloatArray) -> FloatArray:
        """What the press really prints, by zone."""
        gains = self.gains * NOMINAL_UM
        shut = np.array([each.opening == 0 for each in settings.readings])
        films = np.where(shut, 0.0, np.maximum(readings - self.zeros, 0.0) * gains)
        blade = films_per_opening(np.ones(films.size), coupling=settings.limits.coupling)
        true = self.true_train(zoned.swept(settings.plan.sweep_mm))
        return true.prints_um(settle(true.train, true.keyed(blade @ films), throw=True))


NOMINAL_UM = 3.5
"""Film per division in the demo press's file."""


def hidden_press(seed: int, zones: int) -> HiddenPress:
    rng = np.random.default_rng(seed)
    zeros = np.zeros(zones)
    zeros[rng.choice(zones, 2, replace=False)] = rng.choice([-ZEROS_OFF, ZEROS_OFF], 2)
    return HiddenPress(gains=rng.uniform(1 - KEYS_OFF, 1 + KEYS_OFF, zones), zeros=zeros)


def drawn_press(seed: int, zones: int) -> HiddenPress:
    """Every number drawn as learning takes it to be likely beforehand (``Priors``), keys uniform and zeros mixed as in
    the promise; no form roller is set light, because what that does to the print has no number among those learned."""
    rng = np.random.default_rng(seed)
    gains = rng.uniform(1 - KEYS_OFF, 1 + KEYS_OFF, zones) * np.exp(rng.normal(0, Priors().press))
    zeros = np.where(rng.random(zones) < 1 / 6, rng.choice([-ZEROS_OFF, ZEROS_OFF], zones), rng.normal(0, 0.1, zones))
    return HiddenPress(gains=gains, zeros=zeros, split_off=float(rng.normal(0, Priors().split)), form_off=0.0)


def densities(films_um: FloatArray) -> FloatArray:
    return np.array([density_of(float(film), CURVE) for film in films_um])
