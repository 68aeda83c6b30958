"""The string from the stock that reaches deepest: which pipes, how much of each, in what order.

A pipe bears so much below it and no more. Sorted by that limit, weakest lowest, a choice
of lengths can be hung at all exactly when it can be hung in that order (what is borne by
the weaker is borne by all above). So the choices that can be hung are those in which, for
every limit, the weight of all pipes no stronger stays below it: nested sums. Over nested
sums the greatest length is found by taking pipes lightest first, each as far as the sums
allow (they form a polymatroid, on which the greedy way is exact); and every point on that
way is the lightest string of its length.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf


@dataclass(frozen=True)
class Offer:
    """One pipe of the stock.

    Attributes
    ----------
    weight : per length in the fluid [N/m], above zero
    bears : greatest tension that may hang at its upper end [N]
    length : how much of it there is [m]
    """

    name: str
    weight: float
    bears: float
    length: float = inf


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
