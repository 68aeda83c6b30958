"""What so many members tell of a mean, of a chance, of a level, and how well they tell it."""

from __future__ import annotations

from typing import Final, TypeAlias

import numpy as np

from bathybore.base.arrays import Array

PAIRED: Final = "agresti-min-2005"
_TWO_SIDED: Final = 1.959963984540054  # standard deviations of a normal that hold 95 %
_RESAMPLED: Final = 400  # times that members are drawn again from themselves
_SEED: Final = 20051  # of that; any other would do

Between: TypeAlias = tuple[float, float, float]  # a number, and the ends of its 95 % interval


def mean_between(terms: Array) -> Between:
    """Return the mean of terms, one a member, and the ends of its 95 % interval (two or more)."""
    mean = float(terms.mean())
    half = _TWO_SIDED * float(terms.std(ddof=1)) / len(terms) ** 0.5
    return mean, mean - half, mean + half


def chance_between(terms: Array) -> Between:
    """Return the mean of differences of chance, and the ends of its 95 % interval.

    The interval is that of Agresti and Min (2005, from memory) for pairs of yes and no: half a
    pair is added to each of the four ways in which two answers may come together. Without it
    members that all answer alike would seem to leave no doubt, however few they are.

    Parameters
    ----------
    terms : (member) 1 where the second answer alone is yes, -1 where the first alone is, else 0
    """
    better, worse = (float(np.count_nonzero(one)) + 0.5 for one in (terms > 0.0, terms < 0.0))
    count = len(terms) + 2.0
    middle = (better - worse) / count
    half = _TWO_SIDED * (better + worse - (better - worse) ** 2 / count) ** 0.5 / count
    return float(terms.mean()), max(middle - half, -1.0), min(middle + half, 1.0)


def level_of(worth: Array, level: float) -> float:
    """Return what a share of the members does at least as well as; more is better."""
    return float(np.quantile(worth, 1.0 - level, method="inverted_cdf"))


def level_between(after: Array, before: Array, level: float) -> Between:
    """Return by how much a level of the same members differs, with its 95 % interval.

    Members are drawn again from themselves, both answers of each together (percentiles of the
    bootstrap, Efron): a level has no scatter that one could write down without its density.
    """
    rng, count = np.random.default_rng(_SEED), len(after)
    again = np.empty(_RESAMPLED)
    for one in range(_RESAMPLED):
        members = rng.integers(0, count, count)
        again[one] = level_of(after[members], level) - level_of(before[members], level)
    low, high = np.quantile(again, (0.025, 0.975), method="inverted_cdf")
    found = level_of(after, level) - level_of(before, level)
    return found, float(low), float(high)
