"""From a hole and a circulation system to the problem that a search solves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from math import inf, isfinite
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.errors import InputErrors
from bathybore.base.keeping import MANY, kept
from bathybore.kernels.durations import connection_time, operation_time, trip_time
from bathybore.model.hole import Hole
from bathybore.model.plan import Casing
from bathybore.operations.catalogue_pipes import CasingPipe, casing_pipe
from bathybore.search.bounds import Bounds, Grid, Terms, bounds_for, grid
from bathybore.search.circulation import Circulation, System, riser_on_board
from bathybore.search.intervals import Nodes
from bathybore.search.paths import CONDUCTOR, Drilling, Problem, Run
from bathybore.search.practice import Practice, casing_surge, lifts_in, practice_for
from bathybore.search.sizes import Chain, StringSize

DAY: Final = 86400.0
LAP: Final = 100.0  # m of a liner inside the string above, common practice 50 to 150 m
LEAST_LEG: Final = 100.0  # m of new hole, or another string is not worth its days; assumed
FINEST, COARSEST = 1.0, 500.0


def size_of(pipe: CasingPipe, longer: float = 0.0) -> StringSize:
    """Return a casing of the inventory as the diameter chain sees it."""
    outside = float(pipe.outside_diameter)
    coupling = float(pipe.coupling_outside_diameter)
    return StringSize(
        name=pipe.name,
        designation=pipe.designation,
        outside_diameter=outside,
        coupling=coupling if isfinite(coupling) else outside,
        drift=float(pipe.drift_diameter),
        stock=pipe.stock.length + longer,
        linear_mass=float(pipe.linear_mass),
        bore=float(pipe.inside_diameter),
    )


def casing_like(hole: Hole, outside_diameter: float) -> Casing | None:
    """Return the plan's casing nearest in diameter, whose speeds and cement others follow."""
    casings = [section.casing for section in hole.plan.sections if section.casing is not None]

    def away(casing: Casing) -> float:
        return abs(float(casing_pipe(hole, casing.pipe).outside_diameter) - outside_diameter)

    return min(casings, key=away, default=None)


@dataclass(frozen=True, eq=False)
class Prepared:
    """All of a search that its terms do not change."""

    hole: Hole
    system: System
    grid: Grid
    bounds: tuple[Bounds, ...]

    def problem(self, terms: Terms, more: tuple[StringSize, ...] = ()) -> Problem:
        """Return the problem under some terms.

        Parameters
        ----------
        more : strings as if they were on board too
        """
        hole = self.hole
        strings = (*self._strings(terms.longer), *more)
        drillings = tuple(self._drilling(one, strings, terms) for one in self.bounds)
        housing = hole.inventory.wellhead.housing_bore
        chain = Chain(hole.basis.casing_clearance, self._riser_bore, housing)
        runs = tuple(self._runs(strings, chain, terms))
        last_shoe = min(len(self.grid.depth) - 2, self._coring_top)
        coring, barrel = hole.plan.coring, hole.inventory.core_barrel
        last = list(range(len(drillings)))
        if coring is not None and barrel is not None:
            wide = barrel.hole_diameter
            last = [i for i in last if abs(drillings[i].bit - wide) < 1e-4]
        return Problem(
            self.grid.depth,
            strings,
            chain,
            drillings,
            runs,
            tuple(last),
            last_shoe,
            self._riser_days,
            LAP,
            LEAST_LEG,
        )

    @cached_property
    def _coring_top(self) -> int:
        """The node that the core is cut from, or the last: it is cut in the last hole alone."""
        coring = self.hole.plan.coring
        if coring is None:
            return len(self.grid.depth) - 1
        top = self.hole.frame.below_sea_bed(coring.top) + 1e-3
        return int(np.searchsorted(self.grid.depth, top, "right")) - 1

    def _strings(self, longer: float) -> Iterator[StringSize]:
        conductor = self.hole.plan.conductor.pipe
        yield size_of(casing_pipe(self.hole, conductor))
        for name in self.hole.inventory.casing:
            if name != conductor:
                yield size_of(casing_pipe(self.hole, name), longer)

    @cached_property
    def _riser_bore(self) -> float:
        stock = self.hole.inventory
        bores = [stock.wellhead.housing_bore]
        if stock.riser is not None:
            bores.append(stock.riser.outside_diameter - 2.0 * stock.riser.wall)
        if stock.preventer is not None:
            bores.append(stock.preventer.bore)
        return min(bores)

    def _clock(self, seconds: Array | float, tested: bool = False) -> Array:
        """Return days on the clock, with trouble and weather.

        Parameters
        ----------
        tested : with the tests of the preventer that fall due meanwhile, spread evenly
        """
        share = self.hole.site.environment.share_of_time_exceeded
        factor, handling = self.hole.basis.trouble_factor, self.hole.vessel.handling
        days = np.asarray(operation_time(seconds, factor, share)) / DAY
        if not tested:
            return days
        one = float(np.asarray(operation_time(handling.preventer_test_time, factor, share)))
        return days * (1.0 + one / handling.preventer_test_interval)

    @cached_property
    def _riser_days(self) -> float:
        joint, handling = self.hole.inventory.riser, self.hole.vessel.handling
        if joint is None:
            return 0.0
        joints = (self.hole.sea_bed - self.hole.drill_floor) / joint.joint_length
        seconds = 2.0 * joints / handling.riser_joints_per_hour
        seconds += handling.riser_test_and_landing_time + handling.preventer_test_time
        return float(self._clock(seconds))

    def _trip(self, one: Circulation) -> Array:
        """Return the time [s] that a string takes from the drill floor to each node."""
        handling = self.hole.vessel.handling
        pace = handling.time_per_stand if one.on_riser else handling.time_per_stand_open_water
        length = self.grid.z - float(self.hole.drill_floor)
        return np.asarray(trip_time(length, handling.stand_length, pace))

    def cutting(self, practice: Practice) -> Array:
        """Return the hours on bottom [s] from the first node down to each node."""
        factor = practice.section.rate_of_penetration_factor
        slow = 1.0 / (factor * self.hole.earth.at("rate_of_penetration", self.grid.depth))
        steps = 0.5 * (slow[1:] + slow[:-1]) * np.diff(self.grid.depth)
        return np.concatenate([[0.0], np.cumsum(steps)])

    def _drilling(self, bounds: Bounds, strings: tuple[StringSize, ...], terms: Terms) -> Drilling:
        one, practice, handling = bounds.circulation, bounds.practice, self.hole.vessel.handling
        # what is cored is the same for all, and no part of the days compared
        drilled = np.minimum(np.arange(len(self.grid.depth)), self._coring_top)
        cutting, trip = self.cutting(practice)[drilled], self._trip(one)
        length = self.grid.depth[drilled] - self.grid.depth[0]
        seconds = cutting + connection_time(length, handling.stand_length, handling.connection_time)
        life = next(
            (
                b.life
                for b in self.hole.inventory.bits
                if abs(b.diameter - practice.hole_diameter) < 1e-4
            ),
            inf,
        )
        # changes of the bit spread evenly over its hours, each a trip out and in
        changes = np.diff(cutting) / life * (trip[1:] + trip[:-1])
        seconds = seconds + np.concatenate([[0.0], np.cumsum(changes)])
        ends = 2.0 * trip + handling.bottom_assembly_time + handling.leak_off_time
        return Drilling(
            bit=practice.hole_diameter,
            circulation=one.name,
            on_riser=one.on_riser,
            window=bounds.window(terms),
            days=self._clock(seconds, one.on_riser),
            days_at=self._clock(ends, one.on_riser),
            highest_top=self._mud_lasts(bounds, terms),
            weighed=not one.sea_water,
            not_below=_not_lifted(bounds, tuple(string.bore for string in strings)),
        )

    def _mud_lasts(self, bounds: Bounds, terms: Terms) -> Nodes:
        """Return the highest shoe from which the mud on board lasts, where it is dumped."""
        if bounds.circulation.closed or bounds.circulation.sea_water:
            return np.zeros(self.grid.depth.shape, dtype=np.intp)
        pumped = self.pumped(bounds)
        stores = self.hole.vessel.stores
        there = stores.mud_volume * (1 + stores.resupplies) + terms.more_mud
        return np.searchsorted(pumped, pumped - there - 1e-9, side="left")

    def pumped(self, bounds: Bounds) -> Array:
        """Return what is pumped [m3] from the first node down to each node."""
        return bounds.practice.flow_rate * self.cutting(bounds.practice)

    def _runs(self, strings: tuple[StringSize, ...], chain: Chain, terms: Terms) -> Iterator[Run]:
        for at, bounds in enumerate(self.bounds):
            bit = bounds.practice.hole_diameter
            for index, string in enumerate(strings):
                if index and chain.casing_stands(string, bit):
                    yield self._run(at, index, bounds, string, terms)

    def _run(self, at: int, index: int, bounds: Bounds, string: StringSize, terms: Terms) -> Run:
        handling, on_riser = self.hole.vessel.handling, bounds.circulation.on_riser
        like = casing_like(self.hole, string.outside_diameter)
        wait = like.cement.wait if like is not None else 12 * 3600.0
        running = handling.casing_joint_length * handling.casing_joints_per_hour
        # in on the landing string and out again: as far as the sea bed, where most are hung
        landing = 2.0 * self._trip(bounds.circulation)[0]
        fixed = handling.rig_up_casing_time + wait + landing
        fixed += self.hole.inventory.wellhead.running_tool_time
        return Run(
            drilling=at,
            string=index,
            surge=bounds.surge(
                casing_surge(bounds.practice, string.outside_diameter, like, self.grid.depth), terms
            ),
            days_at=np.full(self.grid.depth.shape, float(self._clock(fixed, on_riser))),
            days_per_metre=float(self._clock(1.0 / running, on_riser)),
        )


@kept(MANY)  # one search asks the same of every problem that it tries
def _not_lifted(bounds: Bounds, bore: tuple[float, ...]) -> frozenset[int]:
    """Return the strings in whose bore [m] the cuttings of a bit do not rise as they should."""
    bores = np.array(bore)
    rock = bounds.grid.hole.earth.at("rate_of_penetration", bounds.grid.depth)
    # below the conductor the fastest rock there is; below a casing at least the slowest
    rates = np.full(bores.shape, float(np.min(rock)))
    rates[CONDUCTOR] = float(np.max(rock))
    rise = lifts_in(bounds.practice, bores, rates, bounds.circulation.on_riser)
    return frozenset(int(index) for index in np.flatnonzero(~rise))


def prepare(hole: Hole, system: System, spacing: float) -> Prepared:
    """Return what a search of a hole with a circulation system needs.

    Raises
    ------
    InputErrors
        The grid cannot be used, or what the system needs is not on board.
    """
    if not FINEST <= spacing <= COARSEST:
        expected = f"{FINEST:.0f} to {COARSEST:.0f} m"
        raise InputErrors.one("grid", f"{spacing:g} m", expected)
    if system.has_riser and not riser_on_board(hole):
        raise InputErrors.one(
            "circulation",
            f"'{system.name}', but no riser, preventer or tensioners on board",
            "inventory.riser, inventory.preventer and vessel.tensioners",
        )
    nodes = grid(hole, spacing)
    if len(nodes.depth) < 2:
        raise InputErrors.one(
            "grid", "a target at the conductor's shoe", "a target below the conductor"
        )
    bits = {bit.diameter for bit in hole.inventory.bits}
    if hole.plan.coring is not None and hole.inventory.core_barrel is not None:
        bits.add(hole.inventory.core_barrel.hole_diameter)
    return Prepared(
        hole,
        system,
        nodes,
        tuple(
            bounds_for(nodes, one, practice_for(hole, bit, one))
            for one in system.circulations
            for bit in sorted(bits, reverse=True)
        ),
    )
