"""What a measurement is worth, where it can be worked out by hand."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.base.arrays import Array
from bathybore.ensembles.knowing import knowing


def bet(count: int, error: float, seed: int = 4) -> tuple[Array, Array]:
    """The classical bet: do nothing (worth 0), or take what a standard normal brings.

    Read with a normal error; the best is to take it where its expectation is positive.
    """
    rng = np.random.default_rng(seed)
    truth = rng.normal(size=count)
    read = truth + error * rng.normal(size=count)
    return read, np.array([np.zeros(count), truth])


@pytest.mark.parametrize("error", [0.0, 0.5, 1.0, 2.0])
def test_the_bet_is_worth_what_theory_says(error: float) -> None:
    """Expected value of sample information, Raiffa and Schlaifer 1961: the posterior mean is
    normal with variance 1/(1 + error^2), its positive part has the mean of it over sqrt(2 pi)."""
    read, worth = bet(200_000, error)
    found = knowing(read, worth, classes=8)
    exact = (1.0 / (1.0 + error**2)) ** 0.5 / (2.0 * np.pi) ** 0.5
    assert found.gain == pytest.approx(exact, abs=0.006)
    assert found.perfect == pytest.approx(1.0 / (2.0 * np.pi) ** 0.5, abs=0.006)
    assert found.gain <= found.perfect + 1e-9


def test_the_choice_turns_where_the_expectation_does() -> None:
    read, worth = bet(50_000, 0.5)
    found = knowing(read, worth, classes=10)
    assert [choice.action for choice in found.choices] == [0, 1]
    assert found.choices[0].high == pytest.approx(0.0, abs=0.05)
    assert found.choices[1].worth > 0.0


def test_noise_is_worth_nothing() -> None:
    rng = np.random.default_rng(8)
    gains = []
    for _ in range(200):
        worth = rng.normal(size=(3, 400))
        found = knowing(rng.normal(size=400), worth)
        gains.append(found.gain)
    error = np.std(gains) / len(gains) ** 0.5
    assert abs(np.mean(gains)) < 3.0 * error  # counted on other members


def test_a_whim_of_few_members_is_not_followed() -> None:
    """Actions that are worse on the whole, and a reading that says nothing: it costs next to none.

    Whoever did in every class what came out best there, by however little, would lose by it.
    """
    rng, gains = np.random.default_rng(5), []
    for _ in range(100):
        truth = rng.random(512)
        worth = np.array([truth > bar + 0.1 * rng.normal(size=512) for bar in (0.4, 0.43, 0.43)])
        gains.append(knowing(rng.normal(size=512), worth.astype(float)).gain)
    assert np.mean(gains) > -0.004


def test_one_action_leaves_nothing_to_decide() -> None:
    read, worth = bet(1000, 0.0)
    found = knowing(read, worth[1:])
    assert (found.gain, found.perfect) == (0.0, 0.0)
    assert len(found.choices) == 1


def test_a_better_reading_is_worth_more() -> None:
    gains = [knowing(*bet(100_000, error)).gain for error in (0.2, 1.0, 3.0)]
    assert gains == sorted(gains, reverse=True)


def test_equal_readings_are_one_class() -> None:
    _, worth = bet(1000, 0.0)
    found = knowing(np.zeros(1000), worth)
    assert len(found.choices) == 1
    assert found.choices[0].low == -np.inf
    assert found.choices[0].high == np.inf


def test_too_few_members() -> None:
    with pytest.raises(ValueError, match="at least 20 for each"):
        knowing(np.arange(30.0), np.zeros((2, 30)))
