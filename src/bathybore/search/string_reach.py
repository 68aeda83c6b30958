"""The string from the stock that reaches deepest: which pipes, how much of each, in what order.

A pipe bears so much below it and no more. Sorted by that limit, weakest lowest, a choice
of lengths can be hung at all exactly when it can be hung in that order (what is borne by
the weaker is borne by all above). So the choices that can be hung are those in which, for
every limit, the weight of all pipes no stronger stays below it: nested sums. Over nested
sums the greatest length is found by taking pipes lightest first, each as far as the sums
allow (they form a polymatroid, on which the greedy way is exact); and every point on that
way is the lightest string of its length.

Where a wide pipe may stand no deeper than its bore lets it, lengths counted from the top
are bounded as well. Then every order of every choice of pipes is a small linear programme,
and the best of them all is the answer: a stock has few pipes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import permutations
from math import inf
from typing import Final

import numpy as np

from bathybore.base.errors import NotConverged

_NOTHING: Final = 1e-6  # m; a length that is none
_INFEASIBLE: Final = 2  # what scipy calls it


@dataclass(frozen=True)
class Offer:
    """One pipe of the stock.

    Attributes
    ----------
    weight : per length in the fluid [N/m], above zero
    bears : greatest tension that may hang at its upper end [N]
    length : how much of it there is [m]
    deepest : greatest depth below the drill floor to which its bore lets it [m]
    """

    name: str
    weight: float
    bears: float
    length: float = inf
    deepest: float = inf


@dataclass(frozen=True)
class Hung:
    """A length of one pipe in a string, with the tension at its upper end [m, N]."""

    offer: Offer
    length: float
    tension: float


@dataclass(frozen=True)
class Deepest:
    """The string that reaches deepest.

    Attributes
    ----------
    pipes : from the bit up
    way : (length, tension at the top) of the lightest strings on the way there, from the
        bottom assembly alone; straight between them
    """

    pipes: tuple[Hung, ...]
    way: tuple[tuple[float, float], ...]

    @property
    def length(self) -> float:
        """Of the pipe, without the bottom assembly [m]."""
        return self.way[-1][0]

    @property
    def tension(self) -> float:
        """At the top [N]."""
        return self.way[-1][1]


def deepest(offers: Sequence[Offer], below: float, hoist: float = inf) -> Deepest:
    """Return the longest string that can be hung.

    Parameters
    ----------
    below : tension under the lowest pipe, by the bottom assembly [N]
    hoist : greatest tension at the top of the string [N]

    Raises
    ------
    ValueError
        A pipe weighs nothing in the fluid: there would be no end of it.
    """
    if any(offer.weight <= 0.0 for offer in offers):
        raise ValueError("a pipe that floats has no limit")
    limits = [min(offer.bears, hoist) for offer in offers]
    borne = [0.0] * len(offers)
    way = [(0.0, below)]
    for i in sorted(range(len(offers)), key=lambda i: (offers[i].weight, -limits[i])):
        # every sum that this pipe counts in: of the limits no smaller than its own
        room = min(
            limit - below - sum(b for b, its in zip(borne, limits, strict=True) if its <= limit)
            for limit in limits
            if limit >= limits[i]
        )
        borne[i] = max(min(offers[i].weight * offers[i].length, room), 0.0)
        if borne[i] > 0.0:
            length, tension = way[-1]
            way.append((length + borne[i] / offers[i].weight, tension + borne[i]))
    pipes, tension = [], below
    for i in sorted(range(len(offers)), key=lambda i: limits[i]):
        if borne[i] > 0.0:
            tension += borne[i]
            pipes.append(Hung(offers[i], borne[i] / offers[i].weight, tension))
    return Deepest(tuple(pipes), tuple(way))


def without_end(offers: Sequence[Offer]) -> tuple[Offer, ...]:
    """Return the same pipes, as much of each as one likes."""
    return tuple(replace(offer, length=inf) for offer in offers)


def deepest_that_fits(offers: Sequence[Offer], below: float, hoist: float) -> tuple[Hung, ...]:
    """Return the longest string whose pipes all stand where they fit, from the bit up.

    Raises
    ------
    NotConverged
        A linear programme was not solved.
    """
    best: tuple[Hung, ...] = ()
    for count in range(1, len(offers) + 1):
        for order in permutations(offers, count):
            if min(offer.bears for offer in order) <= below or below >= hoist:
                continue
            lengths = _longest(order, below, hoist)
            if lengths is not None and sum(lengths) > _length(best) * (1.0 + 1e-9):
                best = _hung(order, lengths, below)
    return best


def _length(pipes: tuple[Hung, ...]) -> float:
    return sum(hung.length for hung in pipes)


def _hung(order: Sequence[Offer], lengths: Sequence[float], below: float) -> tuple[Hung, ...]:
    pipes, tension = [], below
    for offer, length in zip(order, lengths, strict=True):
        tension += offer.weight * length
        if length > _NOTHING:
            pipes.append(Hung(offer, length, tension))
    return tuple(pipes)


def _longest(order: Sequence[Offer], below: float, hoist: float) -> list[float] | None:
    """Return the best lengths of pipes in one order; None where they cannot hang so."""
    from scipy.optimize import linprog  # here: costly to import, rarely needed

    count = len(order)
    weights = np.array([offer.weight for offer in order])
    from_bit = np.tril(np.ones((count, count))) * weights
    room = np.array([min(offer.bears, hoist) - below for offer in order])
    bounded = [i for i, offer in enumerate(order) if offer.deepest < inf]
    from_top = np.triu(np.ones((count, count)))[bounded]
    feet = np.array([order[i].deepest for i in bounded])
    found = linprog(
        -np.ones(count),
        np.vstack([from_bit, from_top]),
        np.concatenate([room, feet]),
        bounds=[(0.0, None if offer.length == inf else offer.length) for offer in order],
    )
    if found.status == _INFEASIBLE:
        return None
    if not found.success or found.x is None:
        raise NotConverged(f"string that fits: {found.message}")
    return [float(length) for length in found.x]
