"""The flow law of a mud along its way up: as warm and pressed as the plan's own section has it.

A mud of one set of readings, or of constants, is the same everywhere. Any other follows the
walk of the plan: the mud of the nearest section as it goes round there; deeper than that, as
warm as at its bottom. Where the plan cannot be walked so far it counts as cold as the sea gets,
at which mud is thick.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.errors import NotConverged, OrderError
from bathybore.base.keeping import FEW, SOME, kept
from bathybore.base.working import FromWalk, Value
from bathybore.model.hole import Hole
from bathybore.model.plan import Fluid
from bathybore.operations.circulation import (
    Circulation,
    annulus_pressure,
    of_drilling,
    string_fits,
)
from bathybore.operations.columns import column_top, gravity, pressure_under
from bathybore.operations.flow_along import FINE, cut_fine
from bathybore.operations.flow_law import changes_in_place, resting_numbers, rheology, rheology_at
from bathybore.operations.heat_cells import annulus_temperature
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind
from bathybore.operations.walk import states_of


@dataclass(frozen=True, eq=False)
class Stretch:
    """A way up cut into cells from the top down, and the flow law in each.

    Attributes
    ----------
    edges : [m] from its top
    law : density, yield stress, consistency and flow index, cell by cell
    """

    edges: Array
    law: tuple[Array, Array, Array, Array]

    @cached_property
    def length(self) -> Array:
        return np.diff(self.edges)

    def down_to(self, gradient: Array, depth: Array) -> Array:
        """Return what a gradient in the cells [Pa/m] adds up to from the top to depths [Pa]."""
        whole = np.concatenate([[0.0], np.cumsum(gradient * self.length)])
        return np.asarray(np.interp(depth, self.edges, whole))


@kept(SOME)
def below_sea_bed(hole: Hole, index: int, fluid: Fluid) -> Stretch:
    """Return a mud from the sea bed to the target, as it goes round in a section of the plan."""
    return _stretch(hole, index, fluid, float(hole.sea_bed), float(hole.z(hole.plan.target)) + 1.0)


@kept(SOME)
def in_riser(hole: Hole, index: int, fluid: Fluid) -> Stretch:
    """Return a mud from the flow line to the sea bed, as it goes round in a section."""
    return _stretch(hole, index, fluid, float(hole.flow_line), float(hole.sea_bed))


@kept(SOME)
def at_rest_below_sea_bed(hole: Hole, on_riser: bool, fluid: Fluid) -> Stretch:
    """Return a mud from the sea bed to the target that stood still."""
    top, bottom = float(hole.sea_bed), float(hole.z(hole.plan.target)) + 1.0
    edges = _edges(fluid, top, bottom)
    z = 0.5 * (edges[1:] + edges[:-1])
    return Stretch(edges - top, resting_numbers(hole.setting, on_riser, fluid, z))


def _edges(fluid: Fluid, top: float, bottom: float) -> Array:
    count = int(np.ceil((bottom - top) / FINE)) if changes_in_place(fluid) else 1
    return np.linspace(top, bottom, count + 1)


def _stretch(hole: Hole, index: int, fluid: Fluid, top: float, bottom: float) -> Stretch:
    edges = _edges(fluid, top, bottom)
    z = 0.5 * (edges[1:] + edges[:-1])
    found = rheology(fluid)
    if changes_in_place(fluid):
        found = rheology_at(fluid, *_met(hole, index, fluid, z))
    density, rest, thick, flow_index = (
        np.broadcast_to(np.asarray(one.si, dtype=float), z.shape) for one in found.values()
    )
    return Stretch(edges - top, (density, rest, thick, flow_index))


def _met(hole: Hole, index: int, fluid: Fluid, z: Array) -> tuple[Value, Value]:
    """Return temperature and pressure that a mud meets at places on its way up."""
    flow = _as_planned(hole, index)
    known = None if flow is None or z[0] < float(flow.annuli.top[0]) else _in_walk(flow, z)
    how = FromWalk("mud of the plan's section as it goes round")
    if known is None:
        how = FromWalk("the coldest there is, as the plan's section is not walked")
        coldest = np.min(hole.sea.at("temperature", hole.sea.depths))
        begin, top = column_top(hole, z[0] < hole.sea_bed)
        column = np.asarray(pressure_under(hole, fluid, top, begin, z).si)
        known = np.full(z.shape, min(float(coldest), hole.basis.pumped_temperature)), column
    warm, pressed = known
    return Value("temperature", warm, "K", how), Value("pressure", pressed, "Pa", how)


def _in_walk(flow: Circulation, z: Array) -> tuple[Array, Array] | None:
    """Return temperature and pressure in the annulus; None where the walk finds none either."""
    cells = cut_fine(flow.annuli, FINE)
    try:
        warm = np.asarray(annulus_temperature(flow.warmed, cells.middle).si)
        pressed = np.asarray(annulus_pressure(flow, cells).si)
    except (NotConverged, LookupError):
        return None
    deeper = np.maximum(z - cells.middle[-1], 0.0) * flow.fluid.density * gravity(flow.setting)
    return np.interp(z, cells.middle, warm), np.interp(z, cells.middle, pressed) + deeper


@kept(FEW)
def _drilled(hole: Hole) -> dict[str, HoleState]:
    """Return the state after each section that the walk drills."""
    found = dict[str, HoleState]()
    try:
        for state in states_of(hole):
            section = state.activity.section
            if state.step.kind is StepKind.DRILL and section is not None:
                found[section.name] = state
    except OrderError:
        pass  # what was drilled before it stands
    return found


@kept(SOME)
def _as_planned(hole: Hole, index: int) -> Circulation | None:
    """Return how the mud of a section goes round at its bottom; None where it is not walked."""
    found = _drilled(hole).get(hole.plan.sections[index].name)
    try:
        return of_drilling(found) if found is not None and string_fits(found) else None
    except LookupError:
        return None
