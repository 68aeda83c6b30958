"""The mud, barite and cement of members, step by step: the account of the walk over many holes.

The rules are those of `operations.stores`; volumes follow the members' own strings, the hole as
wide as it was drawn. Sections without riser keep the plan's fluids; where a member pumps weighted
mud and dumps it instead, all that is pumped there is that mud, built to the density that the
member drills with, its sweeps left out. On the riser the mud has the
density that the member drills with: the pits are filled and weighted up to it when a shoe is
tested, and again where it is weighed heavier further down. Mud that is let down in density costs
nothing here, as in the walk. Plugs take what is planned.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.ensembles.clock_of_members import Clock, Net, interval
from bathybore.ensembles.legs_of_members import NEAR, Job, Legs, strings_of
from bathybore.ensembles.open_hole import is_dumped
from bathybore.ensembles.shapes import Drawn, Flags, Frame, Made
from bathybore.kernels.cement import pipe_volume
from bathybore.kernels.mud import (
    barite_mass_in_mud,
    barite_mass_to_weight_up,
    mud_lost_on_cuttings,
    solids_dilution_volume,
)
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind
from bathybore.operations.stores import DENSEST_SEA_WATER

STORES: Final = ("mud", "barite", "cement", "cement_water")
_STORE_OF: Final = {
    "mud_built": "mud",
    "barite": "barite",
    "cement": "cement",
    "cement_water": "cement_water",
}
_NAME_OF: Final = {store: name for name, store in _STORE_OF.items()}
_AS_PLANNED: Final = (
    StepKind.SET_CONDUCTOR,
    StepKind.PLUG,
    StepKind.CIRCULATE,
    StepKind.WIPER_TRIP,
)
Used = dict[str, Array]
# Of a store, what a step uses down to each node that is not spread evenly (member, node).
Along = dict[str, Array]


@dataclass(frozen=True, eq=False)
class Bores:
    """What the members' holes hold, arrays (member, string) [m3].

    Attributes
    ----------
    riser : [m3]
    cased : inside the strings above, from the sea bed down
    rat_hole : below the shoe above, gauge
    """

    riser: float
    cased: Array
    rat_hole: Array

    @staticmethod
    def of(frame: Frame, legs: Legs) -> Bores:
        """Return what stands open above the hole of each string."""
        cased, rat_hole = np.zeros(legs.top.shape), np.zeros(legs.top.shape)
        inside, wide, shoe, below = (np.zeros(len(legs.top)) for _ in range(4))
        for index, kind in enumerate(strings_of(frame)):
            cased[:, index], rat_hole[:, index] = inside, below
            if kind.pipe is None:
                continue
            run, bore = legs.run[:, index], float(kind.pipe.inside_diameter)
            top, end = np.maximum(legs.hung[:, index], 0.0), np.where(run, legs.shoe[:, index], 0.0)
            above = np.where(top > 0.0, inside - pipe_volume(wide, shoe - top), 0.0)
            inside = np.where(run, above + pipe_volume(bore, end - top), inside)
            left = legs.bottom[:, index] - end
            below = np.where(run, pipe_volume(kind.hole_diameter, left), below)
            wide, shoe = np.where(run, bore, wide), np.where(run, end, shoe)
        return Bores(_riser_volume(frame), cased, rat_hole)


def _riser_volume(frame: Frame) -> float:
    riser = next((one.riser for one in frame.states if one.riser is not None), None)
    if riser is None:
        return 0.0
    return float(pipe_volume(float(riser.inside_diameter), float(riser.bottom - riser.top)))


@dataclass(frozen=True, eq=False)
class Mud:
    """The mud on board and in the hole (member): how much [m3], how heavy [kg/m3]."""

    there: Array
    density: Array


@dataclass(frozen=True, eq=False)
class Account:
    """What the steps of members use follows from this."""

    frame: Frame
    legs: Legs
    made: Made
    wide: Array
    mud_loss: Array
    cement: Array
    clock: Clock

    @staticmethod
    def of(made: Made, drawn: Drawn, clock: Clock) -> Account:
        wide, loss = drawn.number("hole_enlargement")[:, 0], drawn.number("mud_loss")[:, 0]
        return Account(clock.frame, clock.legs, made, wide, loss, clock.cement, clock)

    @cached_property
    def bores(self) -> Bores:
        return Bores.of(self.frame, self.legs)

    @cached_property
    def base(self) -> float:
        """Density of the sea water that mud is built from."""
        return sea_water(self.frame.hole).density

    def used(self, job: Job, active: Flags, net: Net, mud: Mud) -> tuple[Used, Along, Mud]:
        """Return what a step uses of each store, and the mud after it; nothing where idle."""
        state = self.frame.states[job.state]
        after, along = mud, Along()
        if job.kind in _AS_PLANNED:
            used = self._as_planned(state)
        elif job.kind in (StepKind.DRILL, StepKind.CORE):
            if state.riser is None:
                used, along = self._riserless(job, state, net)
            else:
                used, after = self._with_returns(job, state, mud)
        elif job.kind is StepKind.TEST_SHOE:
            used, after = self._new_mud(job, mud)
        elif job.kind is StepKind.CEMENT:
            share = self.cement[:, job.string]
            used = {store: amount * share for store, amount in self._as_planned(state).items()}
        else:
            return {}, {}, mud
        there = np.where(active, after.there, mud.there)
        density = np.where(active, after.density, mud.density)
        for store, amount in used.items():
            answer = self.clock.answers.scale(job.state, _NAME_OF[store])
            used[store] = np.where(active, amount * answer, 0.0)
            if store in along:
                part = along[store] * np.broadcast_to(answer, active.shape)[:, None]
                along[store] = np.where(active[:, None], part, 0.0)
        return used, along, Mud(there, density)

    def _as_planned(self, state: HoleState) -> Used:
        used: Used = {}
        for use in state.uses:
            store = _STORE_OF.get(use.store)
            if store is not None:
                used[store] = used.get(store, np.zeros(len(self.wide))) + float(use.amount)
        return used

    def _inside(self, string: int, depth: Array, riser: bool) -> Array:
        """Return the volume of the hole down to a depth in a string's hole, without a string."""
        kind, bores = strings_of(self.frame)[string], self.bores
        new = pipe_volume(kind.hole_diameter, depth - self.legs.top[:, string])
        below = self.wide * (bores.rat_hole[:, string] + new)
        return np.asarray(bores.cased[:, string] + below + (bores.riser if riser else 0.0))

    def _barite(self, volume: Array, density: Array | float) -> Array:
        """Return the barite that builds a volume of mud from sea water."""
        mass = np.asarray(barite_mass_in_mud(volume, density, self.base))
        heavy = (np.asarray(density) > self.base * 1.01) & (volume > 0.0)
        return np.where(heavy, mass, 0.0)

    def _riserless(self, job: Job, state: HoleState, net: Net) -> tuple[Used, Along]:
        section, fluids = state.activity.section, self.frame.hole.plan.fluids
        flow, fluid = state.activity.flow_rate, state.activity.fluid
        assert section is not None
        assert flow is not None
        whole, along = float(flow) * net.pumping, Along()
        pumped, lost = whole, []
        part, density = self._dumped(job, fluids[section.fluid].density)
        if part.any():
            dumped = whole[:, None] * part
            along["mud"] = np.cumsum(dumped, axis=1)
            along["barite"] = np.cumsum(self._barite(dumped, density), axis=1)
            pumped = whole - along["mud"][:, -1]
        rest = pumped
        if section.sweep_fluid is not None:
            sweeps = section.sweep_share * pumped
            lost.append((sweeps, fluids[section.sweep_fluid].density))
            rest = pumped - sweeps
        if fluid is not None and fluid.density > DENSEST_SEA_WATER:
            lost.append((rest, fluid.density))
        if section.pad_fluid is not None:
            bottom = interval(self.frame, self.legs, job)[1]
            pad = self.frame.hole.basis.pad_volumes * self._inside(job.string, bottom, False)
            lost.append((pad, fluids[section.pad_fluid].density))
        nothing = np.zeros(len(self.wide))
        used = {
            "mud": sum((volume for volume, _ in lost), nothing),
            "barite": sum((self._barite(*one) for one in lost), nothing),
        }
        return {
            name: used[name] + along[name][:, -1] if along else used[name] for name in used
        }, along

    def _dumped(self, job: Job, planned: float) -> tuple[Array, Array]:
        """Return the parts of a step's time on bottom in which other than the plan's mud is dumped.

        Returns
        -------
        (member, node) part that is spent on the way from the node above; density of the mud on
        it [kg/m3], below the shoe that which the shoe was drilled with
        """
        top, bottom = interval(self.frame, self.legs, job)
        nodes, run = self.frame.depth, self.legs.run[:, job.string]
        shoe = np.where(run, np.minimum(self.legs.shoe[:, job.string], bottom), bottom)
        last = self._density(shoe, np.full(len(shoe), planned))[:, None]
        density = np.where(nodes <= shoe[:, None] + NEAR, self.made.density, last)
        edges = np.clip(nodes, top[:, None], bottom[:, None])
        steps = np.diff(edges, axis=1, prepend=edges[:, :1])
        here = (steps > 0.0) & is_dumped(density, planned)
        if not here.any():
            return np.zeros(here.shape), density
        if job.kind is StepKind.DRILL:
            rate = self.clock.rate.to(edges)
            steps = np.diff(rate, axis=1, prepend=rate[:, :1])
        whole = np.sum(steps, axis=1, keepdims=True)
        return np.divide(steps, whole, out=np.zeros(steps.shape), where=here), density

    def _density(self, depth: Array, otherwise: Array) -> Array:
        """Return the density that members drill with at the last node down to a depth."""
        nodes = self.frame.depth
        at = np.clip(np.searchsorted(nodes, depth + 1e-6, side="right") - 1, 0, len(nodes) - 1)
        density = self.made.density[np.arange(len(depth)), at]
        return np.where(np.isfinite(density), density, otherwise)

    def _new_mud(self, job: Job, mud: Mud) -> tuple[Used, Mud]:
        """Fill hole and riser with the mud of the hole that comes next."""
        top, nodes = self.legs.top[:, job.string], self.frame.depth
        below = nodes[np.minimum(np.searchsorted(nodes, top + 1e-6, side="right"), len(nodes) - 1)]
        density = self._density(below, mud.density)
        needed = self._inside(job.string, top, True) + self.frame.hole.basis.pit_reserve
        new = np.maximum(needed - mud.there, 0.0)
        there = np.minimum(needed, mud.there)
        barite = self._barite(new, density) + self._heavier(there, mud.density, density)
        return {"mud": new, "barite": barite}, Mud(needed, density)

    def _heavier(self, there: Array, old: Array, new: Array) -> Array:
        """Return the barite that makes mud heavier; none where it is to be lighter."""
        mass = np.asarray(barite_mass_to_weight_up(there, old, new))
        return np.where((new > old) & (there > 0.0), mass, 0.0)

    def _with_returns(self, job: Job, state: HoleState, mud: Mud) -> tuple[Used, Mud]:
        """Mud returns; the hole takes more of it, some leaves with the cuttings."""
        section, basis = state.activity.section, self.frame.hole.basis
        assert section is not None
        top, bottom = interval(self.frame, self.legs, job)
        drilled, width = np.maximum(bottom - top, 0.0), section.hole_diameter
        rock = self.wide * pipe_volume(width, drilled)
        ratio = basis.mud_on_cuttings_ratio
        gone = self.wide * mud_lost_on_cuttings(drilled, width, 1.0, ratio) * self.mud_loss
        built = rock + gone
        needed = solids_dilution_volume(
            rock, basis.solids_control_efficiency, basis.drilled_solids_fraction
        )
        built = built + np.maximum(np.asarray(needed) - built, 0.0)
        run = self.legs.run[:, job.string]
        deepest = np.where(run, np.minimum(self.legs.shoe[:, job.string], bottom), bottom)
        density = self._density(deepest, mud.density)
        barite = self._barite(built, density) + self._heavier(mud.there, mud.density, density)
        return {"mud": built, "barite": barite}, Mud(mud.there + rock, density)


def steel(frame: Frame, legs: Legs) -> Array:
    """Return the steel (member) of all strings that are run [kg]."""
    mass = np.zeros(len(legs.end))
    for index, kind in enumerate(strings_of(frame)):
        if kind.pipe is not None:
            mass = mass + float(kind.pipe.linear_mass) * lengths(legs, index)
    return mass


def lengths(legs: Legs, index: int) -> Array:
    """Return the length (member) of a string, from its top to its shoe; 0 where it is not run."""
    length = legs.shoe[:, index] - legs.hung[:, index]
    return np.where(legs.run[:, index], length, 0.0)
