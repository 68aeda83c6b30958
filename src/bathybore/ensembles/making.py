"""The hole as every member makes it: mud weighed anew, strings set where the window closes.

The rule of the crew, the same for all members:

- Strings are made in the plan's order. A section begins at the shoe above and goes to the
  bottom that the policy gives it; the last one goes on below the target as far as it may, so
  that the reach is known.
- With a riser the mud is the planned one where that lies between what the open hole so far
  needs and what it bears, else the nearest density that does. Without a riser the plan's fluid
  is pumped, whatever the rock asks for.
- Where no density serves any longer, the last depth that one served is the shoe: of a spare
  string, if one fits there and the policy allows it, below which the section goes on; else of
  the section's own casing, below which the next section begins, early.
- A string that gains little new hole is set all the same: nothing else lets the hole go on. One
  that gains none is left on board, and its place is lost.
- A spare's hole is opened up as wide as it needs; below it the section is drilled and opened as
  wide as planned.

A depth that no density serves even alone ends the hole, however many strings there are. All
other ends are of the diameter budget: one more string would be needed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.ensembles.shapes import LIMITS, Drawn, Flags, Frame, Indices, Limit, Made, Policy
from bathybore.ensembles.window_of_members import (
    BLOCK,
    Earths,
    earths_of,
    member_grid,
    section_bounds,
    surge_of,
    terms_of,
)
from bathybore.operations.catalogue_pipes import CasingPipe, casing_pipe
from bathybore.search.bounds import COLLAPSE, Bounds, KickLoad, Terms, hole_water
from bathybore.search.problems import LAP

ALONE: Final = (Limit.WINDOW, Limit.CAVING, Limit.DIAMETER)
_PIECE: Final = 32768  # pairs of nodes, all members counted, at a time: what a cache holds


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
        return self.bounds.practice.fluid.density

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


def open_section(earths: Earths, drawn: Drawn, section: int, first: int, last: int) -> Open:
    """Return what a section of the plan needs and bears between two nodes."""
    grid, terms = member_grid(earths, first, last), terms_of(earths.frame.hole, drawn)
    bounds = section_bounds(grid, section, drawn)
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
class _Served:
    """How far one density serves from a top down, and what it may be.

    Attributes
    ----------
    last : (member) last node that is served; the top itself where nothing is
    low, high : (member, node) what is needed and borne of the hole down to each node
    """

    last: Indices
    low: Array
    high: Array


def _served(one: Open, tops: Indices, ignored: Flags, surge: Array | float = np.inf) -> _Served:
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
    return _Served(last, low - one.room, high)


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
        part, rows = kick.of_members(block), block[:, None]
        pieces = _pieces(top, int(decides[block[0]]), int(last[block].max()), _PIECE // len(block))
        for weak, foot, starts, feet in pieces:
            borne = np.where(asked[rows, weak], part.borne(weak, foot), np.inf)
            least = np.minimum.reduceat(borne, starts, axis=1)
            least = np.where(asked[rows, feet], least, np.inf)
            high[rows, feet] = np.minimum(high[rows, feet], least)
    np.minimum.accumulate(high, axis=1, out=high)


def _first_bottom_that_decides(kick: KickLoad, asks: Array, asked: Flags, last: Indices) -> Indices:
    """Return the first bottom whose kick a mud asked for is too heavy for, found by halving.

    One below the last where there is none.
    """
    below, above = last + 1, np.full(last.shape, -1)  # it decides at the one, not at the other
    middle, members = last, np.arange(len(last))
    while members.size:
        decides = _weakest(kick.of_members(members), asked[members], middle) < asks[members, middle]
        below[members] = np.where(decides, middle, below[members])
        above[members] = np.where(decides, above[members], middle)
        members = members[below[members] - above[members] > 1]
        middle = (below[members] + above[members]) // 2
    return below


def _weakest(kick: KickLoad, asked: Flags, bottom: Indices) -> Array:
    """Return the least that any open node bears of a kick from one bottom a member."""
    nodes = np.arange(int(bottom.max()) + 1)
    foot = bottom[:, None]
    borne = kick.borne(nodes, np.maximum(nodes, foot))
    open_ = asked[:, nodes] & (nodes <= foot)
    return np.asarray(np.min(borne, axis=1, where=open_, initial=np.inf))


def _pieces(
    top: int, foot: int, bottom: int, most: int
) -> Iterator[tuple[Indices, Indices, Indices, Indices]]:
    """Yield weak points from a top and bottoms pair by pair, where each bottom starts, bottoms.

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
        yield weak, np.repeat(feet, counts), starts, feet
        foot = end


def made(frame: Frame, policy: Policy, drawn: Drawn) -> Made:
    """Return the holes as the members make them, mud and strings alone."""
    making = _Making(frame, policy, drawn)
    spares: list[int] = []
    making.set_conductor()
    for index, string in enumerate(frame.strings[1:], 1):
        if string.spare:
            spares.append(index)
        else:
            making.drill(index, spares if policy.spares else [])
            spares = []
    return making.ended()


class _Making:
    """The members on their way down.

    Attributes
    ----------
    top : (member) node of the shoe that the next section begins at
    tops, lasts : of every string so far, the same and the node that its hole came to
    pore, wall : (member, node) closed alone, for its pores or for its wall
    cased : (member) a casing stands below the conductor
    """

    def __init__(self, frame: Frame, policy: Policy, drawn: Drawn) -> None:
        self.frame, self.hole, self.drawn = frame, frame.hole, drawn
        self.earths = earths_of(frame, drawn)
        shape = drawn.count, len(frame.depth)
        kept = [i for i, string in enumerate(frame.strings) if not string.spare]
        self.bottoms = dict(zip(kept, map(self._node, policy.bottoms), strict=True))
        if (np.diff(list(self.bottoms.values())) <= 0).any():
            raise ValueError(f"bottoms do not lie one below the other: {policy.bottoms}")
        self.density = np.full(shape, np.nan)
        self.string = np.full(shape, -1)
        self.pore, self.wall = np.zeros(shape, bool), np.zeros(shape, bool)
        self.top = np.zeros(drawn.count, dtype=np.intp)
        strings = drawn.count, len(frame.strings)
        self.tops, self.lasts = np.zeros(strings, np.intp), np.zeros(strings, np.intp)
        self.cased = np.zeros(drawn.count, bool)

    def _node(self, depth: float) -> int:
        """Return the node nearest to a depth."""
        return int(np.argmin(np.abs(self.frame.depth - depth)))

    def set_conductor(self) -> None:
        """Set the conductor where it is planned: jetted or driven, no window is asked."""
        shoe = self.bottoms[0]
        self.density[:, : shoe + 1] = float(hole_water(self.hole))
        self.string[:, : shoe + 1] = 0
        self.top[:] = self.lasts[:, 0] = shoe

    def drill(self, index: int, spares: list[int]) -> None:
        """Drill the hole of a string, as deep as it is served, and set the string."""
        section, bottom = self.frame.strings[index].section, self.bottoms[index]
        planned_top = max(node for one, node in self.bottoms.items() if one < index)
        final = index == len(self.frame.strings) - 1
        lowest = len(self.frame.depth) - 1 if final else bottom
        one = open_section(self.earths, self.drawn, section, int(self.top.min()), lowest)
        self._close(one, section, planned_top)
        ignored = (self.pore | self.wall)[:, one.nodes]
        goal = self.frame.target if final else bottom
        served = self._run(one, index, ignored)
        for spare in spares:
            if not (served.last < goal).any():
                break
            self._set_spare(one, spare, ignored, served.last < goal)
            served = self._run(one, index, ignored)
        self._keep(one, index, served)
        self.top = served.last

    def _run(self, one: Open, index: int, ignored: Flags) -> _Served:
        """Return how far a section and its casing are served, and there is pipe on board."""
        top = self.top
        pipe = self._pipe(index)
        if pipe is None:
            served = _served(one, top, ignored)
        else:
            surge = one.bounds.surge(surge_of(one.bounds.practice, pipe), one.terms).density
            served = _served(one, top, ignored, surge)
            last = np.minimum(served.last, self._pipe_reaches(index, pipe))
            served = replace(served, last=np.maximum(last, top))
        if one.bounds.circulation.on_riser and self._riserless_casings:
            # a riser lands on the wellhead of a casing
            served = replace(served, last=np.where(self.cased, served.last, top))
        return served

    def _pipe(self, index: int) -> CasingPipe | None:
        """Return what a string is made of; None where the hole stays open."""
        string = self.frame.strings[index]
        casing = self.hole.plan.sections[string.section].casing
        if string.spare:
            return casing_pipe(self.hole, string.name)
        return None if casing is None else casing_pipe(self.hole, casing.pipe)

    @cached_property
    def _riserless_casings(self) -> bool:
        return any(
            one.casing is not None and one.returns != "riser" for one in self.hole.plan.sections
        )

    def _pipe_reaches(self, index: int, pipe: CasingPipe) -> Indices:
        """Return the deepest node that a string reaches with the pipe on board.

        From the wellhead; as a liner, from its lap in the string above. A spare is either.
        """
        string, length = self.frame.strings[index], pipe.stock.length
        casing = self.hole.plan.sections[string.section].casing
        as_liner = self.frame.depth[self.top] - LAP + length
        if string.spare:
            reach = np.maximum(as_liner, length)
        elif casing is None or isinstance(casing.hung_at, str):
            reach = np.full(as_liner.shape, length)
        else:
            reach = as_liner
        return np.searchsorted(self.frame.depth, reach + 1e-6, side="right") - 1

    def _set_spare(self, one: Open, spare: int, ignored: Flags, needed: Flags) -> None:
        served = self._run(one, spare, ignored)
        served = replace(served, last=np.where(needed, served.last, self.top))
        self._keep(one, spare, served)
        self.top = served.last

    def _close(self, one: Open, section: int, top: int) -> None:
        """Keep in mind which nodes of a section, as planned, no density serves even alone.

        Of a section without a riser those that none serves with the riser either.
        """
        first, last = top + 1, one.nodes.stop - 1
        mine = slice(first - one.first, None)
        pore, wall = (np.atleast_2d(flags)[:, mine] for flags in one.closed)
        risers = [i for i, s in enumerate(self.hole.plan.sections) if s.returns == "riser"]
        if not one.bounds.circulation.on_riser and risers and (pore.any() or wall.any()):
            other = open_section(self.earths, self.drawn, risers[0], first, last)
            with_riser = np.logical_or(*other.closed)
            pore, wall = pore & with_riser, wall & with_riser
        self.pore[:, first : last + 1] |= pore
        self.wall[:, first : last + 1] |= wall

    def _keep(self, one: Open, index: int, served: _Served) -> None:
        """Write down the hole of a string, its mud while the bit is at each node."""
        self.tops[:, index], self.lasts[:, index] = self.top, served.last
        if self._pipe(index) is not None:
            self.cased |= served.last > self.top
        nodes = np.arange(one.first, one.nodes.stop)
        drilled = (nodes > self.top[:, None]) & (nodes <= served.last[:, None])
        mud = np.minimum(np.maximum(one.planned, served.low), served.high)
        np.copyto(self.density[:, one.nodes], mud, where=drilled)
        np.copyto(self.string[:, one.nodes], index, where=drilled)

    def ended(self) -> Made:
        """Return the holes, each cut off where the first limit ends it."""
        depth, deepest = self.frame.depth, len(self.frame.depth) - 1
        ends = np.stack(
            [self._before(self.pore), self._before(self.wall), self.lasts[:, -1]], axis=1
        )
        end = ends.min(axis=1)
        by = np.array([LIMITS.index(limit) for limit in ALONE])[ends.argmin(axis=1)]
        beyond = np.arange(deepest + 1) > end[:, None]
        self.density[beyond], self.string[beyond] = np.nan, -1
        bottom = np.minimum(end, self.frame.target)[:, None]
        is_made = (self.lasts > self.tops) & (self.tops < bottom)
        is_made[:, 0] = True
        return Made(
            shoes=np.where(is_made, depth[np.minimum(self.lasts, bottom)], np.nan),
            density=self.density,
            string=self.string,
            ends=np.where(end < deepest, depth[end], np.inf),
            ends_by=np.where(end < deepest, by, -1),
            alone=np.where(ends < deepest, depth[ends], np.inf),
        )

    def _before(self, closed: Flags) -> Indices:
        """Return the node before the first that is closed; the deepest where none is."""
        first = np.argmax(closed, axis=1) - 1
        deepest = len(self.frame.depth) - 1
        return np.where(closed.any(axis=1), np.maximum(first, self.bottoms[0]), deepest)
