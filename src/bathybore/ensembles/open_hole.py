"""An open hole of many members: what it needs and bears, and how far one density serves it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.ensembles.numbers_of_members import one_moved
from bathybore.ensembles.shapes import Drawn, Flags, Frame, Indices
from bathybore.ensembles.window_numbers import Strays, slope_of
from bathybore.ensembles.window_of_members import (
    BLOCK,
    Earths,
    earths_of,
    member_grid,
    section_bounds,
    terms_of,
)
from bathybore.model.hole_numbers import number_at
from bathybore.search.bounds import COLLAPSE, Bounds, KickLoad, Terms, hole_water

_PIECE: Final = 8192  # pairs of nodes, all members counted, at a time: what a cache holds
_FEET: Final = 256  # members whose deciding bottom is looked for at a time


@dataclass(frozen=True, eq=False)
class Open:
    """What the rock needs and bears over the nodes of a section, by members, as densities.

    Attributes
    ----------
    first : of the frame's nodes
    pore, wall : needed, with the room that a mud asks for [kg/m3]
    borne : kick and casing left out
    kick : None without a riser
    """

    first: int
    bounds: Bounds
    terms: Terms
    room: float
    pore: Array
    wall: Array
    borne: Array
    kick: KickLoad | None

    @property
    def nodes(self) -> slice:
        return slice(self.first, self.first + len(self.bounds.grid.depth))

    @property
    def planned(self) -> float:
        """Density of the plan's mud; where mud is dumped, of the lightest there is."""
        practice = self.bounds.practice
        dumped = not (self.bounds.circulation.closed or self.bounds.circulation.sea_water)
        return float(hole_water(practice.hole)) if dumped else practice.fluid.density

    @cached_property
    def needed(self) -> Array:
        return np.maximum(self.pore, self.wall)

    @cached_property
    def closed(self) -> tuple[Flags, Flags]:
        """Where no density serves a node alone: for its pores, or for its wall."""
        borne = self.borne
        if self.kick is not None:
            here = np.arange(borne.shape[-1])
            borne = np.minimum(borne, self.kick.borne(here, here))
        pore = self.pore > borne
        return pore, (self.wall > borne) & ~pore


def is_dumped(density: Array, planned: float) -> Flags:
    """Return where a section without a riser is drilled with other than the plan's fluid."""
    with np.errstate(invalid="ignore"):
        return np.asarray(np.abs(density - planned) > 1e-9 * planned)


def open_section(
    earths: Earths, drawn: Drawn, section: int, first: int, last: int, dumped: bool = False
) -> Open:
    """Return what a section of the plan needs and bears between two nodes.

    Parameters
    ----------
    dumped : with the heavy mud that the plan leaves for the casing, thinned with sea water as
        far as may be, pumped and dumped
    """
    one = _open_section(earths, drawn, section, first, last, dumped)
    frame, where = earths.frame, (section, first, last, dumped)
    moved = Strays(frame, drawn).moved(
        (one.pore, one.wall, one.borne), lambda key: _slopes(frame, key, *where)
    )
    return replace(one, pore=moved[0], wall=moved[1], borne=moved[2])


@kept(SOME)
def _slopes(
    frame: Frame, key: str, section: int, first: int, last: int, dumped: bool
) -> tuple[Array, ...] | None:
    """Return what the planned rock needs and bears more by a unit of a number of the hole."""

    def asked(there: Frame) -> tuple[Array, ...]:
        planned = one_moved(there, key, number_at(there.hole.document, key, key).planned)
        planned = replace(planned, numbers={})
        one = _open_section(earths_of(there, planned), planned, section, first, last, dumped)
        return one.pore, one.wall, one.borne

    return slope_of(frame, key, asked)


def _open_section(
    earths: Earths, drawn: Drawn, section: int, first: int, last: int, dumped: bool
) -> Open:
    grid, terms = member_grid(earths, first, last), terms_of(earths.frame.hole, drawn)
    bounds = section_bounds(grid, section, drawn, dumped)
    if dumped:
        terms = replace(terms, heaviest_mud=bounds.practice.fluid.value("density"))
    window = bounds.window(terms, with_kick=False)
    walls = [one.density for one in window.needed if one.name == COLLAPSE]
    pores = [one.density for one in window.needed if one.name != COLLAPSE]
    wall = np.maximum.reduce(walls) if walls else np.full_like(pores[0], -np.inf)
    return Open(
        first=first,
        bounds=bounds,
        terms=terms,
        room=window.room,
        pore=_greatest(pores) + window.room,
        wall=wall + window.room,
        borne=_least([one.density for one in window.borne]),
        kick=bounds.kick_load(terms) if bounds.circulation.on_riser else None,
    )


def _greatest(densities: list[Array]) -> Array:
    greatest = densities[0]
    for one in densities[1:]:
        greatest = np.maximum(greatest, one)
    return greatest


def _least(densities: list[Array]) -> Array:
    return -_greatest([-one for one in densities])


@dataclass(frozen=True, eq=False)
class Served:
    """How far one density at a time serves an open hole from its top down.

    Attributes
    ----------
    last : (member) last node that is served; the top itself where nothing is
    mud : (member, node) density while the bit is there [kg/m3]: the planned one where it lies
        between what the hole so far needs and bears, else the nearest that does
    """

    last: Indices
    mud: Array


def served(one: Open, tops: Indices, ignored: Flags, surge: Array | float = np.inf) -> Served:
    """Return how far a section is served from each member's top.

    Parameters
    ----------
    ignored : (member, node) that are left out: they end the hole whatever else is
    surge : (member, node) density borne while a casing is run
    """
    nodes = np.arange(one.first, one.nodes.stop)
    asked = (nodes >= tops[:, None]) & ~ignored
    low = np.maximum.accumulate(np.where(asked, one.needed, -np.inf), axis=1)
    high = np.where(asked, np.minimum(one.borne, surge), np.inf)
    high = np.minimum.accumulate(high, axis=1)
    last = _last(low <= high, tops, one.first)
    if one.kick is not None:
        asks = np.maximum(low, one.planned)
        _lower_to_kick(high, one.kick, asks, asked, last - one.first)
        last = _last(low <= high, tops, one.first)
    return Served(last, np.minimum(np.maximum(one.planned, low - one.room), high))


def _last(serves: Flags, tops: Indices, first: int) -> Indices:
    """Return the node before the first that is not served; once closed, a hole stays closed."""
    last: Indices = np.maximum(first + np.count_nonzero(serves, axis=1) - 1, tops)
    return last


def _lower_to_kick(high: Array, kick: KickLoad, asks: Array, asked: Flags, last: Indices) -> None:
    """Lower what is borne to what the weakest node bears of a kick, where that decides anything.

    The deeper the bottom, the less a weak point bears: the greater kick weighs more, and
    stands taller. So there is a first bottom at which the weakest bears less than the mud that
    is asked for, planned or needed, and above it a kick changes nothing.

    Parameters
    ----------
    asks : (member, node) the heaviest mud wanted in the hole down to each node
    asked : (member, node) whether a node stands in the open hole
    last : (member) last node to which the hole is served otherwise
    """
    decides = _first_bottom_that_decides(kick, asks, asked, last)
    some = np.flatnonzero(decides <= last)
    order = some[np.argsort(decides[some], kind="stable")]
    for start in range(0, len(order), BLOCK):
        block = order[start : start + BLOCK]
        top = int(np.argmax(asked[block].any(axis=0)))
        part, mine, borne = kick.of_members(block), asked[block], high[block]
        pieces = _pieces(top, int(decides[block[0]]), int(last[block].max()), _PIECE // len(block))
        for weak, foot, starts in pieces:
            by_pair = np.where(mine[:, weak], part.borne(weak, foot), np.inf)
            least = np.minimum.reduceat(by_pair, starts, axis=1)
            feet = slice(foot[0], foot[-1] + 1)
            least[~mine[:, feet]] = np.inf
            np.minimum(borne[:, feet], least, out=borne[:, feet])
        high[block] = borne
    np.minimum.accumulate(high, axis=1, out=high)


def _first_bottom_that_decides(kick: KickLoad, asks: Array, asked: Flags, last: Indices) -> Indices:
    """Return the first bottom whose kick a mud asked for is too heavy for, found by halving.

    One below the last where there is none.
    """
    found = last + 1
    for start in range(0, len(last), _FEET):
        block = np.arange(start, min(start + _FEET, len(last)))
        part, below, above = kick.of_members(block), found[block], np.full(len(block), -1)
        middle, members = last[block], np.arange(len(block))
        while members.size:  # it decides at the one below, not at the one above
            some = block[members]
            heavy = asks[some, middle]
            decides = _breaks(part.of_members(members), asked[some], middle, heavy)
            below[members] = np.where(decides, middle, below[members])
            above[members] = np.where(decides, above[members], middle)
            members = members[below[members] - above[members] > 1]
            middle = (below[members] + above[members]) // 2
        found[block] = below
    return found


def _breaks(kick: KickLoad, asked: Flags, bottom: Indices, density: Array) -> Flags:
    """Return whether a kick from one bottom a member breaks any open node under a mud a member."""
    nodes = np.arange(int(bottom.max()) + 1)
    foot = bottom[:, None]
    broken = kick.breaks(nodes, np.maximum(nodes, foot), density[:, None])
    return np.asarray((broken & asked[:, nodes] & (nodes <= foot)).any(axis=1))


def _pieces(
    top: int, foot: int, bottom: int, most: int
) -> Iterator[tuple[Indices, Indices, Indices]]:
    """Yield weak points from a top and bottoms pair by pair, and where each bottom starts.

    Parameters
    ----------
    foot, bottom : first and last of the bottoms
    most : pairs at a time
    """
    while foot <= bottom:
        end, pairs = foot, 0
        while end <= bottom and (end == foot or pairs + end - top + 1 <= most):
            pairs += end - top + 1
            end += 1
        feet = np.arange(foot, end)
        counts = feet - top + 1
        starts = np.cumsum(counts) - counts
        weak = np.arange(pairs) - np.repeat(starts, counts) + top
        yield weak, np.repeat(feet, counts), starts
        foot = end
