"""What the casings of many members bear of the hole below them.

Two cases hang on how deep the hole below a casing goes: full of a kick, held by the fracture
pressure at the open shoe; and returns lost at the bottom. They are those of the walk, by the same
equations, with the shoes, the mud and the rock of each member: pressure inside, pressure outside,
all stresses together. The other cases (cementing, the test, heat and cold) are asked of the plan;
that of a riser lost, too: of a member it asks less than returns lost in the same mud.

Of a casing that a member sets early the plan's fluids outside are taken as they are planned at
each depth; what hangs below ends at the member's own shoe. A spare string has no place in the
plan and is not asked; one long enough to hang in the wellhead covers what is above it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final, TypeAlias

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.keeping import FEW, kept
from bathybore.base.working import FromWalk, Value, work
from bathybore.checks.pipe_body import PipeBody, burst, collapse, joint_of, triaxial
from bathybore.checks.record import ROUNDING
from bathybore.ensembles.shapes import Drawn, Flags, Frame, Indices, Made
from bathybore.ensembles.window_of_members import earths_of, heat_of_sea
from bathybore.kernels.gas import gas_column_top_pressure
from bathybore.kernels.mud import compressible_column_pressure, density_at
from bathybore.kernels.segments import ballooning_force, pressure_above_loss_zone
from bathybore.kernels.string_mechanics import wall_tension
from bathybore.kernels.tubular_strength import yield_at_temperature
from bathybore.operations.casing_loads import (
    Placement,
    bending,
    inside_after_placement,
    outside_mud,
    placement,
    sea_column,
    wall_left,
    weight_per_length,
)
from bathybore.operations.columns import gravity, warmth_of_parts
from bathybore.operations.exposures import exposures
from bathybore.operations.influx import kick_intensity, kick_is_gas
from bathybore.operations.sea_fluid import formation_water_density
from bathybore.operations.steps import StepKind

KICK: Final = ("burst", "triaxial")
LOST_RETURNS: Final = ("collapse", "triaxial")
STRENGTH: Final = "casing_strength"
INTENSITY: Final = "design_basis.kick_intensity"
BLOCK: Final = 128  # members at a time: what a cache holds
_MADE: Final = FromWalk("of the member")
# Whether members fail with the bit at a bottom (member) each.
_Fails: TypeAlias = Callable[[Indices, Indices], Flags]


@dataclass(frozen=True, eq=False)
class Planned:
    """A casing as the plan cements it, at the frame's nodes from its top to its shoe.

    Attributes
    ----------
    string : index in the frame's strings
    first, last : nodes at or above its top, and at its shoe
    weight : of a metre as it hangs [N/m]
    inside, outside : (node) [Pa] as it was placed
    """

    job: Placement
    string: int
    first: int
    last: int
    weight: float
    inside: Array
    outside: Array

    @property
    def nodes(self) -> slice:
        return slice(self.first, self.last + 1)


@kept(FEW)
def planned_casings(frame: Frame) -> tuple[Planned, ...]:
    """Return the casings of the plan below which anything is drilled with a riser."""
    return tuple(_planned(frame))


def _planned(frame: Frame) -> Iterator[Planned]:
    names = [one.name for one in frame.strings]
    bed = float(frame.hole.sea_bed)
    for state in frame.states:
        casing = state.activity.casing
        if state.step.kind is not StepKind.CEMENT or casing is None or casing.is_conductor:
            continue
        if casing.name not in names or not exposures(frame.hole, casing):
            continue
        job = placement(state, casing)
        top = max(float(casing.top) - bed, 0.0)
        first = int(np.searchsorted(frame.depth, top + 1e-6, side="right")) - 1
        last = int(np.argmin(np.abs(frame.depth - (float(casing.shoe) - bed))))
        z = frame.z[first : last + 1]
        yield Planned(
            job=job,
            string=names.index(casing.name),
            first=first,
            last=last,
            weight=float(weight_per_length(job, casing.pipe)),
            inside=np.asarray(inside_after_placement(job, z).si),
            outside=np.asarray(outside_mud(job, z).si),
        )


@kept(FEW)
def _sea(frame: Frame) -> Array:
    """Return the pressure of the sea, and of sea water in the rock below it, at the nodes."""
    return np.asarray(sea_column(frame.hole.setting, frame.z).si)


@dataclass(frozen=True, eq=False)
class CasingBites:
    """How deep the hole below them the casings bear.

    Attributes
    ----------
    cases : 'kick' or 'lost-returns', and the casing that is asked
    depth : (member, case) deepest bottom that is borne [m below sea bed]; infinite where all are
    """

    cases: tuple[str, ...]
    depth: Array

    @property
    def first(self) -> Array:
        """(member) The least of them."""
        return np.asarray(self.depth.min(axis=1, initial=np.inf))


_CASES: Final = ("kick", "lost-returns")


def casing_cases(frame: Frame) -> tuple[str, ...]:
    """Return the cases of `casing_bites` in their order: what is asked, and of which casing."""
    names = [planned.job.casing.name for planned in planned_casings(frame)]
    return tuple(f"{case} {name}" for name in names for case in _CASES)


def casing_bites(frame: Frame, made: Made, drawn: Drawn) -> CasingBites:
    """Return how deep a hole the casings of the members bear below them."""
    found = list[Array]()
    holes = Holes(frame, made, drawn)
    for planned in planned_casings(frame):
        asked = Asked(holes, planned)
        found += [asked.deepest(asked.kick_fails), asked.deepest(asked.loss_fails)]
    depth = np.stack(found, axis=1) if found else np.empty((drawn.count, 0))
    return CasingBites(casing_cases(frame), depth)


class Holes:
    """The holes of the members, and the rock that they stand in."""

    def __init__(self, frame: Frame, made: Made, drawn: Drawn) -> None:
        self.frame, self.made, self.drawn = frame, made, drawn
        self.hole, self.setting = frame.hole, frame.hole.setting
        self.gravity = gravity(frame.hole)
        self.earths = earths_of(frame, drawn)

    @cached_property
    def shoe_above(self) -> Indices:
        """(member, string) Node of the deepest shoe that stands when a string's hole is drilled."""
        return self.frame.nodes_at(self.made.shoe_above)


def rows(numbers: Array, members: Indices) -> Array:
    """Return those of some members; of all where all have the same."""
    return numbers if len(numbers) == 1 else numbers[members]


@dataclass(frozen=True, eq=False)
class Below:
    """A hole below a casing: that of one string, in some members.

    Attributes
    ----------
    section : of the plan
    members : that drill it while the casing is bare to it
    shoe : (member) node of the open shoe above it
    bottoms : (member, node of the frame) where the bit comes to
    """

    section: int
    string: int
    members: Indices
    shoe: Indices
    bottoms: Flags

    def of(self, part: Indices) -> Below:
        return replace(
            self,
            members=self.members[part],
            shoe=self.shoe[part],
            bottoms=self.bottoms[part],
        )


class Asked:
    """One casing of the plan, asked in all members."""

    def __init__(self, holes: Holes, planned: Planned) -> None:
        self.holes, self.planned = holes, planned
        self.pipe, self.basis = planned.job.casing.pipe, planned.job.setting.basis
        frame = holes.frame
        self.depth, self.z = frame.depth[planned.nodes], frame.z[planned.nodes]
        self.below = tuple(self._holes_below())

    def _holes_below(self) -> Iterator[Below]:
        """Yield the holes that the casing faces, until a string from the wellhead covers it."""
        frame, made, sections = self.holes.frame, self.holes.made, self.holes.hole.plan.sections
        bare = np.isfinite(made.shoes[:, self.planned.string])
        for index in range(self.planned.string + 1, len(frame.strings)):
            string = frame.strings[index]
            here = made.string == index
            there = bare & here.any(axis=1)
            if sections[string.section].returns == "riser" and there.any():
                members = np.flatnonzero(there)
                shoe = self.holes.shoe_above[members, index]
                yield Below(string.section, index, members, shoe, here[members])
            bare = bare & ~self._covered(index)

    def _covered(self, index: int) -> Flags:
        """Return in which members a string covers the casing up to its top."""
        frame, made = self.holes.frame, self.holes.made
        string, hole = frame.strings[index], self.holes.hole
        shoe = made.shoes[:, index]
        if string.spare:
            return np.asarray(shoe <= hole.inventory.casing[string.name].length)
        casing = hole.plan.sections[string.section].casing
        if casing is None:
            return np.zeros(shoe.shape, bool)
        top = float(hole.sea_bed if isinstance(casing.hung_at, str) else hole.z(casing.hung_at))
        return np.isfinite(shoe) & (top <= float(self.planned.job.casing.top) + 1.0)

    def deepest(self, asker: Callable[[Below], _Fails]) -> Array:
        """Return the deepest bottom below the casing that it bears in one case."""
        answer = np.full(self.holes.drawn.count, np.inf)
        for whole in self.below:
            for start in range(0, len(whole.members), BLOCK):
                below = whole.of(np.arange(start, min(start + BLOCK, len(whole.members))))
                found = _first_that_fails(asker(below), below.bottoms)
                before = self.holes.frame.depth[np.maximum(found - 1, 0)]
                ends = np.where(found >= 0, before, np.inf)
                answer[below.members] = np.minimum(answer[below.members], ends)
        return answer

    # ---- a kick ----------------------------------------------------------------------------

    def kick_fails(self, below: Below) -> _Fails:
        """Ask for the greatest and the least kick that any bottom so far has brought.

        Burst grows with the pressure inside, and all stresses together are a convex function of
        it: between two pressures that are borne, all others are. So where a casing bears kicks
        without weight and such as heavy as the sea, no column of gas need be worked out.
        """
        bears = ~self._bounds_fail(below)
        at_shoe = np.full(below.bottoms.shape, np.nan)
        doubtful = np.flatnonzero(~bears)
        if doubtful.size:
            at_shoe[doubtful] = self.at_shoe(below.of(doubtful))
        greatest = np.fmax.accumulate(at_shoe, axis=1)
        least = np.fmin.accumulate(at_shoe, axis=1)

        def fails(members: Indices, bottoms: Indices) -> Flags:
            failed = np.zeros(len(members), bool)
            asked = np.flatnonzero(~bears[members])
            if not asked.size:
                return failed
            part = below.of(members[asked])
            most, low = (
                kick[members[asked], bottoms[asked]][:, None] for kick in (greatest, least)
            )
            failed[asked] = self._fails(part, KICK, self.full_of_kick(part, most), self.sea)
            inside = self.full_of_kick(part, low)
            failed[asked] |= self._fails(part, ("triaxial",), inside, self.sea)
            return failed

        return fails

    def _bounds_fail(self, below: Below) -> Flags:
        """Return where a casing fails under more, or less, than any kick brings inside."""
        frame, shoe = self.holes.frame, below.shoe[:, None]
        nodes = np.flatnonzero(below.bottoms.any(axis=0))
        there = below.bottoms[:, nodes]
        source, bound = self._sources(below, nodes), self._fracture(below)
        sea = _sea(frame)
        lightest = source - np.maximum(sea[nodes] - sea[shoe], 0.0)
        most = np.where(there, np.minimum(source, bound), -np.inf).max(axis=1)[:, None]
        least = np.where(there, np.minimum(lightest, bound), np.inf).min(axis=1)[:, None]
        inside = np.broadcast_to(most, (len(most), len(self.z)))
        failed = self._fails(below, KICK, inside, self.sea)
        inside = least - np.maximum(sea[shoe] - sea[self.planned.nodes], 0.0)
        return failed | self._fails(below, ("triaxial",), inside, self.sea)

    def _sources(self, below: Below, nodes: Indices) -> Array:
        """Return the pressure of a kick where it comes in."""
        pore = rows(self.holes.earths.curves["pore_pressure"], below.members)[:, nodes]
        lever = self.holes.frame.z[nodes] - float(self.holes.hole.drill_floor)
        return np.asarray(pore + self._intensity(below) * self.holes.gravity * lever)

    def _fracture(self, below: Below) -> Array:
        """Return the fracture pressure at the open shoe (member, 1)."""
        fracture = rows(self.holes.earths.curves["fracture_pressure"], below.members)
        return _taken(np.broadcast_to(fracture, below.bottoms.shape), below.shoe[:, None])

    def at_shoe(self, below: Below) -> Array:
        """Return the pressure at the open shoe by the bottom that a kick comes from, else NaN."""
        nodes, shoe = np.flatnonzero(below.bottoms.any(axis=0)), below.shoe[:, None]
        inside = self._above(below, self._sources(below, nodes), np.maximum(nodes, shoe), shoe)
        brought = np.minimum(inside, self._fracture(below))
        found = np.full(below.bottoms.shape, np.nan)
        found[:, nodes] = np.where(below.bottoms[:, nodes], brought, np.nan)
        return found

    def _intensity(self, below: Below) -> Array | float:
        section = self.holes.hole.plan.sections[below.section]
        drawn = self.holes.drawn.numbers.get(INTENSITY)
        if section.kick_intensity is None and drawn is not None:
            return drawn[below.members][:, None]
        return float(kick_intensity(self.holes.hole, section))

    def full_of_kick(self, below: Below, at_shoe: Array, nodes: Indices | None = None) -> Array:
        """Return the pressure inside, from that at the open shoe up.

        Parameters
        ----------
        nodes : of the frame; all of the casing if left out
        """
        shoe = below.shoe[:, None]
        if nodes is None:
            nodes = np.arange(self.planned.first, self.planned.last + 1)
        return self._above(below, at_shoe, shoe, np.minimum(nodes, shoe))

    def _above(self, below: Below, pressure: Array, foot: Indices, node: Indices) -> Array:
        """Return the pressure of gas, or of formation water, at nodes above a foot."""
        frame, setting = self.holes.frame, self.holes.setting
        height = frame.depth[foot] - frame.depth[node]
        bottom = float(frame.z[below.bottoms.any(axis=0)].max(initial=0.0))
        if not kick_is_gas(setting, float(frame.z[below.shoe.min()]), bottom):
            # as in the ledger: as light as where it comes from, or as in the cold sea
            warmth = rows(self.holes.earths.curves["temperature"], below.members)
            water = formation_water_density(setting, pressure, _taken(warmth, foot))
            return np.asarray(pressure_above_loss_zone(pressure, water, height, self.holes.gravity))
        heat, warmth = (
            rows(numbers, below.members)
            for numbers in (self.holes.earths.heat, self.holes.earths.curves["temperature"])
        )
        taken = _taken(heat, foot) - _taken(heat, node)
        mean = np.where(height > 1e-9, taken / np.maximum(height, 1e-9), _taken(warmth, foot))
        return np.asarray(
            gas_column_top_pressure(
                pressure, height, mean, setting.basis.gas_gravity, gravity=self.holes.gravity
            )
        )

    # ---- lost returns -------------------------------------------------------------------------

    def loss_fails(self, below: Below) -> _Fails:
        outside = self.backup(below)

        def fails(members: Indices, bottoms: Indices) -> Flags:
            part = below.of(members)
            inside = self.fallen_back(part, bottoms[:, None])
            return self._fails(part, LOST_RETURNS, inside, rows(outside, members))

        return fails

    def fallen_back(self, below: Below, bottom: Indices) -> Array:
        """Return the pressure inside when returns are lost at a bottom (member, 1)."""
        frame = self.holes.frame
        lost = _sea(frame)[bottom]
        mud = np.take_along_axis(self.holes.made.density[below.members], bottom, axis=1)
        height = frame.z[bottom] - self.z
        return np.asarray(pressure_above_loss_zone(lost, mud, height, self.holes.gravity))

    def backup(self, below: Below) -> Array:
        """Return the pressure outside of the mud, the member's own, that it was cemented in."""
        start, top = self.planned.job.column_top
        fluid, height = self.planned.job.fluid_outside, self.z - start
        shoe = self.shoes[below.members][:, None]
        mud = np.take_along_axis(self.holes.made.density[below.members], shoe, axis=1)
        if not self.planned.job.on_riser:
            mud = np.full_like(mud, fluid.density)  # what is left in the hole for it
        part, hole = slice(self.planned.first, self.planned.last + 1), self.holes.hole
        heat = (
            heat_of_sea(hole, float(start)) + rows(self.holes.earths.heat, below.members)[:, part]
        )
        mean = Value("temperature", heat / np.maximum(height, 1e-9), "K", _MADE)
        warm = warmth_of_parts(hole, fluid, top, float(start), self.z, mean)
        weighed = density_at(
            mud,
            0.0,
            np.asarray(warm.si),
            fluid.compressibility,
            fluid.thermal_expansion,
            fluid.reference_temperature,
        )
        given = (float(top), weighed, fluid.compressibility, height, self.holes.gravity)
        return np.asarray(compressible_column_pressure(*given))

    # ---- what it bears ------------------------------------------------------------------------

    @cached_property
    def sea(self) -> Array:
        return _sea(self.holes.frame)[None, self.planned.nodes]

    # what hangs on no case is worked out once, for all members

    @cached_property
    def shoes(self) -> Indices:
        """(member) Node of the casing's own shoe."""
        return self.holes.frame.nodes_at(
            np.nan_to_num(self.holes.made.shoes[:, self.planned.string])
        )

    @cached_property
    def stands(self) -> Flags:
        """(member, node) Whether the casing is there."""
        nodes = np.arange(self.planned.first, self.planned.last + 1)
        return np.asarray(nodes <= self.shoes[:, None])

    @cached_property
    def warm_yield(self) -> Array:
        """(member or 1, node) Yield strength in the warmth of the rock [Pa]."""
        warmth = self.holes.earths.curves["temperature"][:, self.planned.nodes]
        value = Value("temperature", warmth, "K", _MADE, -1)
        cold = self.pipe.yield_strength
        return np.asarray(work(yield_at_temperature, yield_strength=cold, temperature=value).si)

    @cached_property
    def placed(self) -> Array:
        """(member, node) Axial force as it was placed [N]."""
        planned, shoe = self.planned, self.holes.frame.depth[self.shoes][:, None]
        hanging = planned.weight * np.maximum(shoe - self.depth, 0.0)
        return np.asarray(wall_tension(hanging, planned.inside, planned.outside, *self._sizes))

    @property
    def _sizes(self) -> tuple[Real, Real]:
        return self.pipe.outside_diameter.si, self.pipe.inside_diameter.si

    def _fails(
        self, below: Below, questions: tuple[str, ...], inside: Array, outside: Array
    ) -> Flags:
        there = self.stands[below.members]
        failed, body = np.zeros(len(below.members), bool), self._body(below)
        for question in questions:
            demand, capacity = self.judged(below, question, inside, outside, body)
            over = ~(demand - capacity <= ROUNDING * capacity)  # what is missing is no pass
            failed |= (over & there).any(axis=1)
        return failed

    def judged(
        self,
        below: Below,
        question: str,
        inside: Array,
        outside: Array,
        body: PipeBody | None = None,
    ) -> tuple[Array, Array]:
        """Return demand and capacity over the casing's nodes, its strength as drawn.

        Parameters
        ----------
        body : the casing's in these members, where it is at hand
        """
        body = self._body(below) if body is None else body
        within, without = self._sides(inside, outside)
        if question == "burst":
            asked, there = burst(self.basis, body, within, without)
        else:
            force = Value("axial_force", self.force(below, inside, outside), "N", _MADE, -1)
            if question == "collapse":
                asked, there = collapse(self.basis, body, within, without, force)
            else:
                bent = bending(self.holes.setting, self.pipe.outside_diameter)
                asked, there = triaxial(self.basis, body, within, without, force, bent)
        strength = self.holes.drawn.number(STRENGTH)[below.members]
        return np.asarray(asked.si), np.asarray(there.si) * strength

    def _sides(self, inside: Array, outside: Array) -> tuple[Value, Value]:
        return (
            Value("internal_pressure", inside, "Pa", _MADE, -1),
            Value("external_pressure", outside, "Pa", _MADE, -1),
        )

    def _body(self, below: Below) -> PipeBody:
        hot = rows(self.warm_yield, below.members)
        wall = wall_left(self.holes.setting, self.pipe.wall, True)
        warm = Value("yield_strength", hot, "Pa", _MADE, -1)
        cold = self.pipe.yield_strength
        return PipeBody(self.pipe.outside_diameter, wall, warm, cold, joint_of(self.pipe))

    def force(self, below: Below, inside: Array, outside: Array) -> Array:
        """Return the axial force: as placed, and what the pressures since have added."""
        before, without = self.planned.inside, self.planned.outside
        since = ballooning_force(inside - before, outside - without, *self._sizes)
        return np.asarray(self.placed[below.members] + since)


def _taken(numbers: Array, nodes: Indices) -> Array:
    """Return a curve of each member at nodes of its own."""
    if len(numbers) == 1:
        same: Array = numbers[0][nodes]
        return same
    found: Array = np.take_along_axis(
        numbers, np.broadcast_to(nodes, (len(numbers), nodes.shape[1])), 1
    )
    return found


def _first_that_fails(fails: Callable[[Indices, Indices], Flags], bottoms: Flags) -> Indices:
    """Return the first bottom (member) that a casing does not bear, by halving; -1 where none.

    What is asked only grows with the bottom: the greatest kick so far; mud that falls further
    back, for it is heavier than the sea.
    """
    first = np.argmax(bottoms, axis=1)
    last = bottoms.shape[1] - 1 - np.argmax(bottoms[:, ::-1], axis=1)
    members = np.arange(len(bottoms))
    failed = fails(members, last)
    found = np.where(failed, last, -1)
    members = members[failed]
    above = first - 1  # borne, or above the hole
    while members.size:
        members = members[found[members] - above[members] > 1]
        if not members.size:
            break
        middle = (found[members] + above[members]) // 2
        failed = fails(members, middle)
        found[members] = np.where(failed, middle, found[members])
        above[members] = np.where(failed, above[members], middle)
    return found
