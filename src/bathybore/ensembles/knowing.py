"""What a measurement is worth before a decision: how much better one chooses for knowing it.

The crew can do one of several things. Without the measurement they do what is best over all
members. With it they do, for every outcome of the measurement, what is best over the members
that would have shown it (preposterior analysis, Raiffa and Schlaifer 1961). The difference is
the most that the measurement may cost.

What is best is chosen on one half of the members and its worth is counted on the other half,
both ways round: chosen and counted on the same members, any measurement, pure noise too,
would seem to be worth something.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.ensembles.means import Between, mean_between
from bathybore.ensembles.shapes import Indices

SOURCE: Final = "raiffa-schlaifer-1961"
CLASSES: Final = 8  # outcomes of a measurement that are told apart, as many members in each
FEWEST: Final = 20  # members in a class, or it says nothing


@dataclass(frozen=True)
class Choice:
    """What to do where the measurement lies between two values.

    Attributes
    ----------
    low, high : of the measurement [its unit]; infinite at the ends
    action : index of the best action there
    worth : mean worth of it there, and of what would be done without the measurement
    """

    low: float
    high: float
    action: int
    worth: float
    worth_without: float


@dataclass(frozen=True)
class Knowing:
    """The worth of a measurement.

    Attributes
    ----------
    without : mean worth of the best single action, and which one
    known : mean worth when the measurement decides
    gain : the difference, with its 95 % interval
    perfect : what would be gained if everything were known before: the most any knowledge is worth
    choices : what to do, by the outcome
    """

    without: float
    action: int
    known: float
    gain: float
    low: float
    high: float
    perfect: float
    choices: tuple[Choice, ...]

    def less(self, price: float) -> Knowing:
        """Return the same where the measurement costs something, in the unit of the worth."""
        gain, low, high = self.gain - price, self.low - price, self.high - price
        return replace(self, known=self.known - price, gain=gain, low=low, high=high)


def knowing(
    measured: Array,
    worth: Array,
    classes: int = CLASSES,
    between: Callable[[Array], Between] = mean_between,
) -> Knowing:
    """Return what a measurement is worth.

    Parameters
    ----------
    measured : (member) what would be read, its error included
    worth : (action, member) of the outcome, more is better
    between : gives a mean of gains and its interval; where the worth is a chance, its own

    Raises
    ------
    ValueError
        Too few members to tell the classes apart.
    """
    count = len(measured)
    if count < FEWEST * classes:
        raise ValueError(f"{count} members for {classes} classes: at least {FEWEST} for each")
    edges = _edges(measured, classes)
    where = np.searchsorted(edges, measured, side="right")
    half = np.arange(count) % 2 == 0
    with_it, without_it = np.empty(count), np.empty(count)
    for chosen, counted in ((half, ~half), (~half, half)):
        single = int(np.argmax(worth[:, chosen].mean(axis=1)))
        best = _best(where[chosen], worth[:, chosen], len(edges) + 1, single)
        there = np.flatnonzero(counted)
        with_it[there] = worth[best[where[there]], there]
        without_it[there] = worth[single, there]
    action = int(np.argmax(worth.mean(axis=1)))
    without = float(without_it.mean())
    gain, low, high = between(with_it - without_it)
    return Knowing(
        without=without,
        action=action,
        known=without + gain,
        gain=gain,
        low=low,
        high=high,
        perfect=float(worth.max(axis=0).mean()) - without,
        choices=_choices(edges, where, worth, action, with_it, without_it),
    )


def _edges(measured: Array, classes: int) -> Array:
    """Return what parts the readings into classes of as many members; equal readings stay one."""
    inner = np.quantile(measured, np.arange(1, classes) / classes, method="inverted_cdf")
    return np.unique(inner[inner > measured.min()])


def _best(where: Indices, worth: Array, classes: int, single: int) -> Indices:
    """Return the best action of every class; the single one where no other is shown to be better.

    Shown: by more than one standard error over the members of the class. Who follows every
    whim of a few members does worse by a reading than without it.
    """
    best = np.full(classes, single, dtype=np.intp)
    for one in range(classes):
        here = np.flatnonzero(where == one)
        if len(here) < 2:
            continue
        better = worth[:, here] - worth[single, here]
        means, error = better.mean(axis=1), better.std(axis=1, ddof=1) / len(here) ** 0.5
        means = np.where(means > error, means, 0.0)
        if means.max() > 0.0:
            best[one] = int(np.argmax(means))
    return best


def _choices(
    edges: Array,
    where: Indices,
    worth: Array,
    single: int,
    with_it: Array,
    without_it: Array,
) -> tuple[Choice, ...]:
    """Return the best actions by class, neighbours with the same action as one.

    Parameters
    ----------
    with_it, without_it : (member) worth of what the other half of the members chose
    """
    best = _best(where, worth, len(edges) + 1, single)
    bounds: Sequence[float] = [-np.inf, *edges.tolist(), np.inf]
    found: list[Choice] = []
    start = 0
    for one in range(1, len(best) + 1):
        if one < len(best) and best[one] == best[start]:
            continue
        here = (where >= start) & (where < one)
        means = float(with_it[here].mean()), float(without_it[here].mean())
        found.append(Choice(bounds[start], bounds[one], int(best[start]), *means))
        start = one
    return tuple(found)
