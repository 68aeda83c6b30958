"""When one mud density serves an open hole from its top to its bottom.

An open hole is two nodes of the depth grid, both judged: the shoe it begins at and its
bottom. What rock and limits need and bear stands at every node as a density: needed at
least, borne at most. A kick is borne at every node for every bottom that the bit passes.

All that is asked of a hole is asked of every shorter one inside it, so the shoes from
which a node can be reached are those below a highest one: one integer a node.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from bathybore.base.arrays import Array
from bathybore.base.working import Value

Nodes = npt.NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Bound:
    """One reason for a least or a greatest density, at every node.

    Attributes
    ----------
    name : the reason, in words
    density : (node) [kg/m3]; minus or plus infinity where it asks for nothing
    opened : the density at a node with its working
    """

    name: str
    density: Array
    opened: Callable[[int], Value]


@dataclass(frozen=True, eq=False)
class KickBound:
    """The greatest density with which a kick is borne.

    Attributes
    ----------
    density : (weak point, bottom) [kg/m3]; entries with the bottom above the weak point are
        not read
    opened : the density for a weak point and a bottom, with its working
    """

    name: str
    density: Array
    opened: Callable[[int, int], Value]


@dataclass(frozen=True, eq=False)
class Window:
    """All that an open hole needs and bears.

    Attributes
    ----------
    room : [kg/m3] at least between what is needed and what is borne
    """

    needed: tuple[Bound, ...]
    borne: tuple[Bound, ...]
    kick: KickBound | None = None
    room: float = 0.0


@dataclass(frozen=True, eq=False)
class Limit:
    """The bound that decides one end of a density interval.

    Attributes
    ----------
    node : where it decides
    density : [kg/m3]
    bottom : of the hole, where a kick comes in; None of other bounds
    """

    bound: Bound | KickBound
    node: int
    density: float
    bottom: int | None = None

    @property
    def name(self) -> str:
        return self.bound.name

    def opened(self) -> Value:
        """Return the density with its working."""
        if isinstance(self.bound, KickBound):
            assert self.bottom is not None
            return self.bound.opened(self.node, self.bottom)
        return self.bound.opened(self.node)


@dataclass(frozen=True, eq=False)
class Interval:
    """What one open hole needs at least and bears at most."""

    needed: Limit
    borne: Limit

    @property
    def room(self) -> float:
        """Return the width of the interval [kg/m3]; negative where it is closed."""
        return self.borne.density - self.needed.density


def highest_tops(window: Window) -> Nodes:
    """Return for every node the highest node from which one density serves down to it.

    A node that no density serves has a deeper node for an answer: nothing above it will do.
    """
    needed = np.max([bound.density for bound in window.needed], axis=0) + window.room
    tops = _tops_by_nodes(needed, np.min([bound.density for bound in window.borne], axis=0))
    if window.kick is not None:
        tops = np.maximum(tops, _tops_by_bottoms(needed, window.kick.density))
    return tops


def also_below(tops: Nodes, window: Window, more: Bound) -> Nodes:
    """Return the highest tops when one more bound is borne beside those of a window."""
    if (more.density >= np.min([bound.density for bound in window.borne], axis=0)).all():
        return tops  # it asks for nothing that the window does not ask for already
    needed = np.max([bound.density for bound in window.needed], axis=0) + window.room
    return np.maximum(tops, _tops_by_nodes(needed, more.density))


def _tops_by_nodes(needed: Array, borne: Array) -> Nodes:
    """Of two nodes that no density serves together the higher must be behind a casing."""
    nodes = np.arange(len(needed))
    apart = needed[None, :] > borne[:, None]  # (node that bears, node that needs)
    above = nodes[:, None] <= nodes[None, :]
    highest = np.maximum(_deepest(apart & above), _deepest(apart.T & above)) + 1
    return np.maximum.accumulate(highest)


def _tops_by_bottoms(needed: Array, borne: Array) -> Nodes:
    """The same where what a node bears depends on the bottom that the bit has come to."""
    nodes = np.arange(len(needed))
    inside = nodes[:, None] <= nodes[None, :]  # (node, bottom)
    # (top, bottom): over all nodes from the top down, and all bottoms that the bit passed
    at_most = np.minimum.accumulate(np.where(inside, borne, np.inf)[::-1], axis=0)[::-1]
    at_most = np.minimum.accumulate(at_most, axis=1)
    at_least = np.where(inside, needed[:, None], -np.inf)
    at_least = np.maximum.accumulate(at_least[::-1], axis=0)[::-1]
    return _deepest((at_least > at_most) & inside) + 1


def _deepest(flags: npt.NDArray[np.bool_]) -> Nodes:
    """Return the last row in which each column has a flag; -1 where none has."""
    last = len(flags) - 1 - np.argmax(flags[::-1], axis=0)
    return np.where(flags.any(axis=0), last, -1)


def interval(window: Window, top: int, bottom: int) -> Interval:
    """Return the density interval of an open hole, with the bound that decides each end."""
    needed = max(
        (_limit(bound, top, bottom, np.argmax) for bound in window.needed),
        key=lambda limit: limit.density,
    )
    borne = [_limit(bound, top, bottom, np.argmin) for bound in window.borne]
    if window.kick is not None:
        borne.append(_kick_limit(window.kick, top, bottom))
    return Interval(needed, min(borne, key=lambda limit: limit.density))


def _limit(bound: Bound, top: int, bottom: int, worst: Callable[[Array], np.intp]) -> Limit:
    node = top + int(worst(bound.density[top : bottom + 1]))
    return Limit(bound, node, float(bound.density[node]))


def _kick_limit(kick: KickBound, top: int, bottom: int) -> Limit:
    part = kick.density[top : bottom + 1, top : bottom + 1]
    part = np.where(np.triu(np.ones(part.shape, dtype=bool)), part, np.inf)
    node, foot = np.unravel_index(int(np.argmin(part)), part.shape)
    weak, at = top + int(node), top + int(foot)
    return Limit(kick, weak, float(kick.density[weak, at]), at)
