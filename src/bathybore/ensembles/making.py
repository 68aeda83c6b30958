"""The hole as every member makes it: mud weighed anew, strings set where the window closes.

The rule of the crew, the same for all members:

- Strings are made in the plan's order. A section begins at the shoe above and goes to the
  bottom that the policy gives it; the last one goes on below the target as far as it may, so
  that the reach is known.
- With a riser the mud is the planned one where that lies between what the open hole so far
  needs and what it bears, else the nearest density that does.
- Without a riser the plan's fluid is pumped as far as it serves. From there on weighted mud is
  pumped and dumped, where the plan has some to be left for the casing: as heavy as that or
  thinned with sea water, and as long as the mud on board lasts that was not dumped before.
- Where no density serves any longer, the last depth that one served is the shoe: of a spare
  string, if one fits there and the policy allows it, below which the section goes on; else of
  the section's own casing, below which the next section begins, early.
- A string that gains little new hole is set all the same: nothing else lets the hole go on. One
  that gains none is left on board, and its place is lost.
- A spare's hole is opened up as wide as it needs; below it the section is drilled and opened as
  wide as planned.

A depth that no density serves even alone ends the hole, however many strings there are. Where
mud that is dumped runs out on the way to the target, the stores end it. All other ends are of
the diameter budget: one more string would be needed.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.ensembles.open_hole import Open, Served, is_dumped, open_section, served
from bathybore.ensembles.shapes import LIMITS, Drawn, Flags, Frame, Indices, Limit, Made, Policy
from bathybore.ensembles.window_of_members import Earths, earths_of, surge_of
from bathybore.operations.catalogue_pipes import CasingPipe, casing_pipe
from bathybore.search.bounds import hole_water
from bathybore.search.problems import LAP

ALONE: Final = (Limit.WINDOW, Limit.CAVING, Limit.DIAMETER)


@dataclass(frozen=True, eq=False)
class Ways:
    """The ways to drill a section, the planned one first; the others only where it must be."""

    earths: Earths
    drawn: Drawn
    section: int
    first: int
    last: int

    def _opened(self, dumped: bool = False) -> Open:
        where = (self.section, self.first, self.last)
        return open_section(self.earths, self.drawn, *where, dumped)

    @cached_property
    def planned(self) -> Open:
        return self._opened()

    @cached_property
    def dumped(self) -> Open | None:
        """With weighted mud that is pumped and dumped, where the plan has some for the casing."""
        plan = self.earths.frame.hole.plan.sections[self.section]
        return None if plan.returns == "riser" or plan.pad_fluid is None else self._opened(True)

    @property
    def nodes(self) -> slice:
        return slice(self.first, self.last + 1)

    @property
    def on_riser(self) -> bool:
        return self.planned.bounds.circulation.on_riser

    @cached_property
    def pumped(self) -> Array:
        """(member, node) Pumped from the first node on down [m3], while stands are added too."""
        assert self.dumped is not None
        practice, depth = self.dumped.bounds.practice, self.dumped.bounds.grid.depth
        handling = practice.hole.vessel.handling
        adding = handling.connection_time / handling.stand_length
        rate = self.earths.curves["rate_of_penetration"][:, self.nodes]
        slow = 1.0 / (practice.section.rate_of_penetration_factor * rate)
        per_metre = 0.5 * (slow[:, 1:] + slow[:, :-1]) + adding * self.drawn.number("handling_time")
        pumped = np.zeros((self.drawn.count, len(depth)))
        pumped[:, 1:] = practice.flow_rate * np.cumsum(per_metre * np.diff(depth), axis=1)
        return pumped

    def mud_lasts(self, since: Indices, gone: Array) -> Indices:
        """Return the deepest node to which the mud on board lasts, dumped from a node on.

        Parameters
        ----------
        gone : (member) dumped before [m3]
        """
        stores, number = self.earths.frame.hole.vessel.stores, self.drawn.number
        calls = number("vessel.stores.resupplies", stores.resupplies)
        there = number("vessel.stores.mud_volume", stores.mud_volume) * (1.0 + calls)
        before = np.take_along_axis(self.pumped, since[:, None] - self.first, axis=1)
        enough = self.pumped <= before + there - gone[:, None] + 1e-9
        lasts: Indices = self.first - 1 + np.count_nonzero(enough, axis=1)
        return np.maximum(lasts, since)

    def dumps(self, mud: Array, drilled: Flags) -> Array:
        """Return the mud (member) that is dumped where nodes are drilled with other than planned.

        Parameters
        ----------
        mud : (member, node) density while the bit is there [kg/m3]
        """
        nothing = np.zeros(self.drawn.count)
        other = drilled & is_dumped(mud, self.planned.planned)
        # asked in this order: most members dump none, and what it would need is not worked out
        if not other.any() or self.dumped is None:
            return nothing
        steps = np.diff(self.pumped, axis=1, prepend=0.0)
        return np.asarray(np.sum(np.where(other, steps, 0.0), axis=1))


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
    out_of_mud : (member) the last hole drilled ended where the mud to be dumped did
    gone : (member) mud dumped so far [m3]
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
        self.out_of_mud = np.zeros(drawn.count, bool)
        self.gone = np.zeros(drawn.count)

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
        ways = Ways(self.earths, self.drawn, section, int(self.top.min()), lowest)
        self._close(ways, planned_top)
        ignored = (self.pore | self.wall)[:, ways.nodes]
        goal = self.frame.target if final else bottom
        found = self._run(ways, index, ignored, goal)
        for spare in spares:
            if (found.last < goal).any():
                found = self._below_spare(ways, index, spare, ignored, goal, found)
        self._keep(ways, index, found)
        self.top = found.last

    def _run(self, ways: Ways, index: int, ignored: Flags, goal: int) -> Served:
        """Return how far a section and its casing are served, and there is pipe on board."""
        pipe, found = self._pipe(index), self._run_in(ways.planned, index, ignored)
        self.out_of_mud = np.zeros(found.last.shape, bool)
        short = found.last < goal
        if short.any() and ways.dumped is not None:
            more = self._run_in(ways.dumped, index, ignored)
            lasts = ways.mud_lasts(found.last, self.gone)
            self.out_of_mud = short & (lasts < more.last)
            further = np.where(short, np.minimum(more.last, lasts), found.last)
            before = np.arange(ways.first, ways.last + 1) <= found.last[:, None]
            mud = np.where(before, found.mud, more.mud)
            found = Served(np.maximum(found.last, further), mud)
        if pipe is not None:
            last = np.minimum(found.last, self._pipe_reaches(index, pipe))
            found = replace(found, last=np.maximum(last, self.top))
        if ways.on_riser and self._riserless_casings:  # it lands on the wellhead of a casing
            found = replace(found, last=np.where(self.cased, found.last, self.top))
        return found

    def _run_in(self, one: Open, index: int, ignored: Flags) -> Served:
        pipe = self._pipe(index)
        if pipe is None:
            return served(one, self.top, ignored)
        surge = one.bounds.surge(
            surge_of(one.bounds.practice, pipe, one.bounds.grid.depth), one.terms
        )
        return served(one, self.top, ignored, surge.density)

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

    def _below_spare(
        self, ways: Ways, index: int, spare: int, ignored: Flags, goal: int, found: Served
    ) -> Served:
        """Set a spare where a section is not served to its goal, and go on below it.

        Nothing is asked of members that need none, or gain nothing by it.
        """
        needed, out_of_mud = found.last < goal, self.out_of_mud
        to = self._run(ways, spare, ignored | ~needed[:, None], goal)
        to = replace(to, last=np.where(needed, to.last, self.top))
        self._keep(ways, spare, to)
        gains = to.last > self.top
        self.top = to.last
        again = self._run(ways, index, ignored | ~gains[:, None], goal)
        self.out_of_mud = np.where(gains, self.out_of_mud, out_of_mud)
        return Served(
            np.where(gains, again.last, found.last), np.where(gains[:, None], again.mud, found.mud)
        )

    def _close(self, ways: Ways, top: int) -> None:
        """Keep in mind which nodes of a section, as planned, no density serves even alone.

        Of a section without a riser those that none serves with the riser either.
        """
        first, last = top + 1, ways.last
        mine = slice(first - ways.first, None)
        pore, wall = (np.atleast_2d(flags)[:, mine] for flags in ways.planned.closed)
        if (pore.any() or wall.any()) and ways.dumped is not None:
            still = np.logical_or(*ways.dumped.closed)[..., mine]
            pore, wall = pore & still, wall & still
        risers = [i for i, s in enumerate(self.hole.plan.sections) if s.returns == "riser"]
        if (pore.any() or wall.any()) and not ways.on_riser and risers:
            later = open_section(self.earths, self.drawn, risers[0], first, last)
            still = np.logical_or(*later.closed)
            pore, wall = pore & still, wall & still
        self.pore[:, first : last + 1] |= pore
        self.wall[:, first : last + 1] |= wall

    def _keep(self, ways: Ways, index: int, found: Served) -> None:
        """Write down the hole of a string, its mud while the bit is at each node."""
        where = ways.nodes
        self.tops[:, index], self.lasts[:, index] = self.top, found.last
        if self._pipe(index) is not None:
            self.cased |= found.last > self.top
        nodes = np.arange(where.start, where.stop)
        drilled = (nodes > self.top[:, None]) & (nodes <= found.last[:, None])
        self.gone = self.gone + ways.dumps(found.mud, drilled)
        np.copyto(self.density[:, where], found.mud, where=drilled)
        np.copyto(self.string[:, where], index, where=drilled)

    def ended(self) -> Made:
        """Return the holes, each cut off where the first limit ends it."""
        depth, deepest = self.frame.depth, len(self.frame.depth) - 1
        ends = np.stack(
            [self._before(self.pore), self._before(self.wall), self.lasts[:, -1]], axis=1
        )
        end = ends.min(axis=1)
        by = np.array([LIMITS.index(limit) for limit in ALONE])[ends.argmin(axis=1)]
        of_mud = self.out_of_mud & (by == LIMITS.index(Limit.DIAMETER))
        by = np.where(of_mud, LIMITS.index(Limit.STOCK), by)
        beyond = np.arange(deepest + 1) > end[:, None]
        self.density[beyond], self.string[beyond] = np.nan, -1
        last = np.array([limit is Limit.DIAMETER for limit in ALONE])
        bottom = np.minimum(end, self.frame.target)[:, None]
        is_made = (self.lasts > self.tops) & (self.tops < bottom)
        is_made[:, 0] = True
        return Made(
            shoes=np.where(is_made, depth[np.minimum(self.lasts, bottom)], np.nan),
            density=self.density,
            string=self.string,
            ends=np.where(end < deepest, depth[end], np.inf),
            ends_by=np.where(end < deepest, by, -1),
            alone=np.where((ends < deepest) & ~(of_mud[:, None] & last), depth[ends], np.inf),
        )

    def _before(self, closed: Flags) -> Indices:
        """Return the node before the first that is closed; the deepest where none is."""
        first = np.argmax(closed, axis=1) - 1
        deepest = len(self.frame.depth) - 1
        return np.where(closed.any(axis=1), np.maximum(first, self.bottoms[0]), deepest)
