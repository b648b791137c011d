"""What a run-down told: the ink store, the contact share of each form roller, each with an interval or not at all.

The press of the engine is moved (level of the print, split, one contact share for each form roller) until it fades as
the patches did: Gauss-Newton from what is likely beforehand, readings far from all others counting for less (Huber
1964, memory), intervals from the curvature at the answer.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from filmsplit.ink.density import DensityCurve, amount_for_density, solid_density
from filmsplit.ink.splitting import Array
from filmsplit.messages import Problem, Refusal
from filmsplit.setup.learn import HUBER, Interval, interval_of
from filmsplit.setup.run_down import FEWEST_SHEETS, RunDownPlan, run_down

READING_ERROR = 0.01
"""One standard deviation of a density reading (common practice)."""

ROUNDS = 12
CONVERGED = 0.02
"""Rounds end where no number moves by more than this part of its deviation beforehand; else nothing was found."""

TOLD = 0.7
"""A contact share is told only if its deviation is down to this part of what it was beforehand."""

FITS = 1.35
"""Deviations of more than so many reading errors (root mean square) are not reading errors: sixty readings give 1.00 by
chance, two slips among them 1.13, either with a deviation of 0.09 (arithmetic)."""

FARTHEST = 3.0
"""A reading farther off counts for the misfit as if it were so far: a few slips do not make a misfit."""

REFRESHED = 2
"""The slopes are found at the first guess, anew after so many rounds, and at the answer; they change little between."""

STEP = 0.02
"""Contact shares and split are moved by this much for a slope (the split by a tenth of it)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunDownPriors:
    """What is likely beforehand, and one standard deviation of it (invented defaults; the split as in learning)."""

    contact: float = 0.85
    contact_sigma: float = 0.15
    split_sigma: float = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class FormContact:
    """Contact share of one form roller on the plate; ``told`` is false where the interval is only what was likely."""

    form: str
    share: Interval
    told: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RunDown:
    """``stored_um_mm2`` is the ink on the train at the start of the test (film x area); ``misfit`` the deviations left,
    in reading errors (1 where the press fades like the engine). ``notes`` say what could not be told."""

    stored_um_mm2: Interval
    contacts: tuple[FormContact, ...]
    misfit: float
    notes: tuple[Problem, ...]


def fit_run_down(  # noqa: PLR0913  (all but two are named and have defaults)
    plan: RunDownPlan,
    densities: Sequence[float | None],
    *,
    curve: DensityCurve,
    reading_error: float = READING_ERROR,
    priors: RunDownPriors | None = None,
    coverage: float = 0.8,
) -> RunDown:
    """The press that fades like these densities, one a sheet from the first on (``None``: not read).

    :class:`Refusal` where there are too few readings or too many, one is beyond the ink's saturation, the print hardly
    fades, or the search does not come to rest. :class:`NotSettledError` where the engine does not settle.
    """
    fit = _Fit(plan, _checked(plan, densities, curve), curve, reading_error, priors or RunDownPriors())
    at, slopes = fit.searched()
    covariance = np.asarray(np.linalg.inv(fit.curvature(slopes)), dtype=np.float64)
    return _told(fit, at, covariance=covariance, slopes=slopes, coverage=coverage)


def _checked(plan: RunDownPlan, densities: Sequence[float | None], curve: DensityCurve) -> Array:
    """The readings, not a number where there is none."""
    read = np.array([np.nan if each is None else each for each in densities], dtype=np.float64)
    there = read[np.isfinite(read)]
    problems = []
    if read.size != plan.sheets or there.size < FEWEST_SHEETS:
        values = {"read": int(there.size), "sheets": read.size, "planned": plan.sheets, "fewest": FEWEST_SHEETS}
        problems.append(Problem("setup-run-down-readings", values))
    elif there[-3:].mean() > there[:3].mean() - 0.1:
        problems.append(Problem("setup-run-down-no-fading", {"first": there[:3].mean(), "last": there[-3:].mean()}))
    if np.any((there <= 0) | (there >= curve.saturation)):
        problems.append(Problem("setup-run-down-beyond", {"saturation": curve.saturation}))
    if problems:
        raise Refusal(problems)
    return read


@dataclass(frozen=True, slots=True, eq=False)
class _Slopes:
    """Densities and the logarithm of the store at a guess, and their slopes by each number."""

    densities: Array
    log_store: float
    by_number: Array
    store_by_number: Array


@dataclass(frozen=True, slots=True, eq=False)
class _Fit:
    """A guess is the logarithm of the level (um), the split and the contact shares."""

    plan: RunDownPlan
    read: Array
    curve: DensityCurve
    reading_error: float
    priors: RunDownPriors

    @property
    def likely(self) -> Array:
        """What is likely beforehand; the level by the first readings."""
        there = self.read[np.isfinite(self.read)]
        film = amount_for_density(there[:3].mean(), saturation=self.curve.saturation, rate=self.curve.rate)
        return np.array([float(np.log(film)), 0.0, *([self.priors.contact] * len(self.plan.forms))])

    @property
    def sigmas(self) -> Array:
        """Deviations of it; the level is left free."""
        return np.array([10.0, self.priors.split_sigma, *([self.priors.contact_sigma] * len(self.plan.forms))])

    def searched(self) -> tuple[Array, _Slopes]:
        """The most probable guess and the slopes there."""
        at = self.likely
        slopes = self.slopes(at)
        for number in range(ROUNDS):
            slopes = self.slopes(at) if number == REFRESHED else self._here(at, slopes)
            weight = self.weights(slopes)
            pull = slopes.by_number.T @ (weight * self._off(slopes)) + (self.likely - at) / self.sigmas**2
            following = self._step(at, curvature=self.curvature(slopes), pull=pull)
            moved, at = float(np.max(np.abs(following - at)[1:] / self.sigmas[1:])), following
            if moved <= CONVERGED:
                return at, self.slopes(at)
        raise Refusal(Problem("setup-run-down-not-found", {"rounds": ROUNDS}))

    def _step(self, at: Array, *, curvature: Array, pull: Array) -> Array:
        """One Gauss-Newton step within the bounds; a number pushed against its bound stays there, the others go on."""
        forms = len(self.plan.forms)
        low, high = (np.array([*ends, *([end] * forms)]) for *ends, end in ((-9.0, -0.2, 0.05), (9.0, 0.2, 1.0)))
        free = np.ones(at.size, dtype=bool)
        following = at
        for _ in range(at.size):
            step = np.zeros(at.size)
            step[free] = np.linalg.solve(curvature[np.ix_(free, free)], pull[free])
            following = np.clip(at + step, low, high)
            stuck = free & (following == at) & (step != 0.0)
            if not stuck.any():
                break
            free &= ~stuck
        return np.asarray(following)

    def _off(self, slopes: _Slopes) -> Array:
        return np.asarray(np.nan_to_num(self.read - slopes.densities))

    def weights(self, slopes: _Slopes) -> Array:
        """Weight of each reading: none where there is none, less where it is far off (Huber)."""
        far = np.abs(self._off(slopes)) / self.reading_error
        weight = np.minimum(1.0, HUBER / np.maximum(far, HUBER)) / self.reading_error**2
        return np.where(np.isfinite(self.read), weight, 0.0)

    def curvature(self, slopes: _Slopes) -> Array:
        """Inverse covariance at a guess."""
        weighted = slopes.by_number * self.weights(slopes)[:, None]
        return np.asarray(slopes.by_number.T @ weighted + np.diag(self.sigmas**-2.0))

    def _here(self, at: Array, slopes: _Slopes) -> _Slopes:
        """The print at a guess with slopes from another one."""
        films, log_store = self._printed(at)
        return replace(slopes, densities=self._densities(films), log_store=log_store)

    def slopes(self, at: Array) -> _Slopes:
        """One march at the guess, and one a little to the inner side for each number but the level."""
        films, log_store = self._printed(at)
        densities, by_film = self._densities(films), self._by_film(films)
        by_number, by_store = [by_film * films], [1.0]
        for number in range(1, at.size):
            step = STEP / 10 if number == 1 else -STEP
            other = at.copy()
            other[number] += step
            moved_films, moved_store = self._printed(other)
            by_number.append((self._densities(moved_films) - densities) / step)
            by_store.append((moved_store - log_store) / step)
        return _Slopes(densities, log_store, np.array(by_number).T, np.array(by_store))

    def _printed(self, at: Array) -> tuple[Array, float]:
        done = run_down(self.plan, split=float(at[1]), contacts=[float(each) for each in at[2:]])
        return np.exp(at[0]) * done.films, float(np.log(done.stored_um_mm2) + at[0])

    def _densities(self, films: Array) -> Array:
        return solid_density(films, saturation=self.curve.saturation, rate=self.curve.rate)

    def _by_film(self, films: Array) -> Array:
        return np.asarray(self.curve.saturation * self.curve.rate * np.exp(-self.curve.rate * films))


def _told(fit: _Fit, at: Array, *, covariance: Array, slopes: _Slopes, coverage: float) -> RunDown:
    sigmas = np.sqrt(np.diag(covariance))
    store_variance = float(slopes.store_by_number @ covariance @ slopes.store_by_number)
    contacts = tuple(
        FormContact(
            form=form,
            share=_as_share(interval_of(float(value), float(sigma) ** 2, coverage=coverage)),
            told=bool(sigma <= TOLD * fit.priors.contact_sigma),
        )
        for form, value, sigma in zip(fit.plan.forms, at[2:], sigmas[2:], strict=True)
    )
    left = (fit.read - slopes.densities)[np.isfinite(fit.read)] / fit.reading_error
    misfit = float(np.sqrt(np.mean(np.minimum(np.abs(left), FARTHEST) ** 2)))
    return RunDown(
        stored_um_mm2=_grown(interval_of(slopes.log_store, store_variance, coverage=coverage)),
        contacts=contacts,
        misfit=misfit,
        notes=tuple(_notes(contacts, misfit=misfit)),
    )


def _as_share(interval: Interval) -> Interval:
    """The part of an interval that a share can be in."""
    return replace(interval, low=max(interval.low, 0.0), high=min(interval.high, 1.0))


def _grown(logarithm: Interval) -> Interval:
    """The interval of a number from that of its logarithm."""
    low, value, high = (float(np.exp(each)) for each in (logarithm.low, logarithm.value, logarithm.high))
    return Interval(value=value, low=low, high=high)


def _notes(contacts: Sequence[FormContact], *, misfit: float) -> Iterator[Problem]:
    unknown = ", ".join(each.form for each in contacts if not each.told)
    if unknown:
        yield Problem("setup-run-down-untold", {"forms": unknown})
    if misfit > FITS:
        yield Problem("setup-run-down-misfit", {"misfit": misfit})
