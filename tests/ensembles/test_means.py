"""Intervals of what members tell: their coverage, and their limits."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.ensembles.means import chance_between, level_between, level_of, mean_between


def test_members_that_all_answer_alike_leave_a_doubt() -> None:
    """None of 512 differs: one in some hundreds may."""
    mean, low, high = chance_between(np.zeros(512))
    assert mean == 0.0
    assert -0.01 < low < 0.0 < high < 0.01
    assert high == -low
    few = chance_between(np.zeros(32))
    assert few[2] > 10.0 * high


def test_of_many_members_it_is_the_interval_of_the_mean() -> None:
    terms = np.random.default_rng(3).choice([-1.0, 0.0, 1.0], 100_000, p=[0.1, 0.7, 0.2])
    np.testing.assert_allclose(chance_between(terms), mean_between(terms), atol=2e-5)


@pytest.mark.parametrize("chances", [(0.003, 0.003), (0.02, 0.0), (0.1, 0.05), (0.0, 0.3)])
def test_the_interval_of_a_chance_holds_the_truth_as_often_as_it_says(
    chances: tuple[float, float],
) -> None:
    worse, better = chances
    rng, held = np.random.default_rng(7), 0
    for _ in range(1000):
        terms = rng.choice([-1.0, 0.0, 1.0], 256, p=[worse, 1.0 - worse - better, better])
        _, low, high = chance_between(terms)
        held += low <= better - worse <= high
    assert held / 1000.0 >= 0.94


def test_the_interval_of_a_level_holds_the_truth_as_often_as_it_says() -> None:
    """Two normal worths of the same members, the second better by one at every level."""
    rng, held = np.random.default_rng(11), 0
    for _ in range(150):
        before = rng.normal(size=300)
        after = before + 1.0 + 0.5 * rng.normal(size=300)
        exact = (1.0 + 0.25) ** 0.5 * -1.2815515655446004 + 1.0 + 1.2815515655446004
        _, low, high = level_between(after, before, 0.9)
        held += low <= exact <= high
    assert held / 150.0 >= 0.89  # 95 % less three standard errors of 150


def test_a_level_is_what_that_share_does_at_least_as_well_as() -> None:
    worth = np.arange(1.0, 11.0)
    assert level_of(worth, 0.9) == 1.0
    assert level_of(worth, 0.5) == 5.0
    assert np.mean(worth >= level_of(worth, 0.9)) >= 0.9


def test_the_same_members_make_no_difference_at_a_level() -> None:
    worth = np.random.default_rng(2).normal(size=100)
    assert level_between(worth, worth, 0.8) == (0.0, 0.0, 0.0)
