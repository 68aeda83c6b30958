"""Laws against closed forms, against each other, and against what ranks allow."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from scipy.special import ndtri

from bathybore.ensembles.distributions import median, probability_below, quantile, values_of
from bathybore.model.laws import Bounds, Law, LawName

SHARES = (np.arange(400_000) + 0.5) / 400_000


def law(name: LawName, bounds: Bounds | None = None, **numbers: float) -> Law:
    return Law(name, tuple(numbers.items()), bounds=bounds or Bounds())


NORMAL = law("normal", mean=5.0, standard_deviation=2.0)
LOGNORMAL = law("lognormal", mean=3.0, standard_deviation=1.2)
TRIANGULAR = law("triangular", least=1.0, most_likely=2.0, greatest=6.0)
PERT = law("pert", least=1.0, most_likely=2.0, greatest=6.0)
UNIFORM = law("uniform", least=-1.0, greatest=3.0)
CUT = law("normal", Bounds(4.0, 9.0), mean=5.0, standard_deviation=2.0)
SMOOTH = (NORMAL, LOGNORMAL, TRIANGULAR, PERT, UNIFORM, CUT)
# mean and variance by hand, with the standard closed forms
MOMENTS = {
    NORMAL: (5.0, 4.0),
    LOGNORMAL: (3.0, 1.44),
    TRIANGULAR: (9.0 / 3.0, (1 + 4 + 36 - 2 - 6 - 12) / 18.0),
    PERT: (15.0 / 6.0, (2.5 - 1.0) * (6.0 - 2.5) / 7.0),
    UNIFORM: (1.0, 16.0 / 12.0),
}


@pytest.mark.parametrize("one", MOMENTS, ids=lambda one: one.name)
def test_mean_and_variance_are_those_of_the_closed_form(one: Law) -> None:
    values = quantile(one, SHARES)
    mean, variance = MOMENTS[one]
    assert values.mean() == pytest.approx(mean, rel=1e-5)
    assert values.var() == pytest.approx(variance, rel=2e-4)  # the tails of a sum over shares


def test_a_cut_normal_law_has_the_moments_of_what_is_left() -> None:
    low, high = (4.0 - 5.0) / 2.0, (9.0 - 5.0) / 2.0
    density = [math.exp(-0.5 * x * x) / math.sqrt(2.0 * math.pi) for x in (low, high)]
    share = 0.5 * (math.erf(high / math.sqrt(2)) - math.erf(low / math.sqrt(2)))
    mean = 5.0 + 2.0 * (density[0] - density[1]) / share
    values = quantile(CUT, SHARES)
    assert values.mean() == pytest.approx(mean, rel=1e-7)
    assert values.min() >= 4.0
    assert values.max() <= 9.0


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (TRIANGULAR, stats.triang(0.2, 1.0, 5.0)),
        (PERT, stats.beta(1.8, 4.2, 1.0, 5.0)),
        (CUT, stats.truncnorm(-0.5, 2.0, 5.0, 2.0)),
        (LOGNORMAL, stats.lognorm(math.sqrt(math.log(1.16)), scale=3.0 / math.sqrt(1.16))),
    ],
    ids=["triangular", "pert", "cut", "lognormal"],
)
def test_quantiles_are_those_of_another_library(one: Law, other: object) -> None:
    shares = np.array([0.001, 0.05, 0.1, 0.2, 0.5, 0.9, 0.999])
    assert quantile(one, shares) == pytest.approx(other.ppf(shares), rel=1e-9)  # type: ignore[attr-defined]


@pytest.mark.parametrize("one", SMOOTH, ids=lambda one: one.name)
def test_shares_and_values_are_each_others_way_back(one: Law) -> None:
    shares = np.linspace(0.001, 0.999, 97)
    assert probability_below(one, quantile(one, shares)) == pytest.approx(shares, abs=1e-9)


@pytest.mark.parametrize("one", SMOOTH, ids=lambda one: one.name)
@given(scores=st.lists(st.floats(-6.0, 6.0), min_size=2, max_size=20))
def test_values_rise_with_scores_so_ranks_stay(one: Law, scores: list[float]) -> None:
    values = values_of(one, np.sort(scores))
    assert (np.diff(values) >= -1e-14 * np.abs(values[1:])).all()  # but for the last digit


@pytest.mark.parametrize("name", ["normal", "lognormal"])
def test_p10_and_p90_are_what_one_in_ten_stays_below_and_above(name: LawName) -> None:
    one = law(name, p10=2.0, p90=7.0)
    assert quantile(one, 0.1) == pytest.approx(2.0)
    assert quantile(one, 0.9) == pytest.approx(7.0)
    middle = 4.5 if name == "normal" else math.sqrt(14.0)
    assert median(one) == pytest.approx(middle)


def test_an_empirical_law_has_its_values_and_weights_and_nothing_between() -> None:
    one = Law("empirical", values=(1.0, 4.0, 9.0), weights=(0.2, 0.5, 0.3))
    shares = np.array([0.0, 0.1, 0.2, 0.21, 0.7, 0.71, 1.0])
    assert list(quantile(one, shares)) == [1.0, 1.0, 1.0, 4.0, 4.0, 9.0, 9.0]
    drawn, counts = np.unique(quantile(one, SHARES), return_counts=True)
    assert list(drawn) == [1.0, 4.0, 9.0]
    assert counts / SHARES.size == pytest.approx([0.2, 0.5, 0.3], abs=1e-5)
    assert list(probability_below(one, np.array([0.5, 1.0, 5.0, 9.0]))) == pytest.approx(
        [0.0, 0.2, 0.7, 1.0]
    )


@pytest.mark.parametrize("most_likely", [1.0, 6.0])
@pytest.mark.parametrize("name", ["triangular", "pert"])
def test_the_peak_may_stand_at_an_end(name: LawName, most_likely: float) -> None:
    one = law(name, least=1.0, most_likely=most_likely, greatest=6.0)
    values = quantile(one, np.array([0.0, 0.25, 0.5, 0.75, 1.0]))
    assert values[0] == pytest.approx(1.0)
    assert values[-1] == pytest.approx(6.0)
    assert (np.diff(values) > 0.0).all()
    weight = 1.0 if name == "triangular" else 4.0
    mean = (1.0 + weight * most_likely + 6.0) / (2.0 + weight)
    assert quantile(one, SHARES).mean() == pytest.approx(mean, rel=1e-5)


def test_a_sum_of_lognormal_numbers_has_the_mean_and_variance_of_fenton_and_wilkinson() -> None:
    """Sums of twelve independent lognormals: mean and variance add up exactly.

    Their lognormal stand-in by these two moments (Fenton and Wilkinson) then has the middle
    of the sum within a per cent, for twelve such numbers are nearly lognormal together.
    """
    count, terms = 40_000, 12
    rng = np.random.Generator(np.random.PCG64(7))
    total = values_of(LOGNORMAL, rng.standard_normal((count, terms))).sum(axis=1)
    mean, variance = terms * 3.0, terms * 1.44
    assert abs(total.mean() - mean) < 4.0 * math.sqrt(variance / count)
    fourth = ((total - total.mean()) ** 4).mean()
    assert abs(total.var() - variance) < 4.0 * math.sqrt((fourth - variance**2) / count)
    spread = math.sqrt(math.log1p(variance / mean**2))
    for share in (0.1, 0.5, 0.9):
        stand_in = mean * math.exp(spread * ndtri(share) - 0.5 * spread**2)
        assert np.quantile(total, share) == pytest.approx(stand_in, rel=0.01)
