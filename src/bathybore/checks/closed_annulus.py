"""What warms behind a casing whose annulus is closed under the sea-bed wellhead."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bathybore.base.keeping import SOME, kept
from bathybore.base.working import Solved, Value, work
from bathybore.checks.pipe_body import PipeBody, burst, collapse, joint_of
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.kernels.trapped_annulus import trapped_annulus_pressure
from bathybore.operations.casing_loads import (
    Placement,
    placement,
    placing,
    sea_column,
    yield_in_heat,
)
from bathybore.operations.catalogue_pipes import CasingPipe
from bathybore.operations.columns import depths_of
from bathybore.operations.state import CasingInPlace, HoleState

_CAUTION = (
    "A casing hung in a sea-bed wellhead cannot vent its outer annuli. A cement top below the "
    "shoe above, a burst disc or crushable foam relieve them."
)
INNER = Question(
    "annulus-collapse",
    Discipline.STEEL,
    "Does the casing bear the pressure that its closed annulus builds up when it warms?",
    "Cement no higher than below the shoe above, a heavier wall, a burst disc outside.",
    _CAUTION,
)
OUTER = Question(
    "annulus-burst",
    Discipline.STEEL,
    "Does the casing outside bear the pressure that the closed annulus builds up when it warms?",
    "Leave the cement top below the shoe above, a heavier casing outside, a burst disc.",
    _CAUTION,
)
_UNKNOWN = (
    "design_basis.annulus_warming is not given: how much the mud that comes up warms the annulus, "
    "which is closed between wellhead and cement"
)


def closed_annulus_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge both casings round an annulus that cement closes above the shoe outside.

    Cement up to the wellhead leaves no liquid; a cement top below the shoe outside leaves the
    annulus open to the rock, which takes what it cannot hold.
    """
    casing, step = state.activity.casing, state.step.name
    if casing is None or casing.cement_top is None or casing.is_conductor:
        return
    outer = _outside(state, casing)
    if outer is None:
        return
    if state.hole.basis.annulus_warming is None:
        yield unjudged(step, INNER, _UNKNOWN, _CAUTION)
        yield unjudged(step, OUTER, _UNKNOWN, _CAUTION)
        return
    job = placement(state, casing)
    yield _inner(step, job, outer)
    yield _outer(step, job, outer)


def _outside(state: HoleState, casing: CasingInPlace) -> CasingInPlace | None:
    """Return the casing outside a closed annulus; None where there is no such annulus."""
    around = [one for one in state.casings if one.name != casing.name and not one.is_conductor]
    if not around or casing.cement_top is None or casing.top > state.hole.sea_bed + 1.0:
        return None  # a liner's annulus is open to the casing above it
    outer = max(around, key=lambda one: one.shoe)
    liquid = casing.cement_top > state.hole.sea_bed + 1.0
    return outer if liquid and casing.cement_top < outer.shoe else None


@kept(SOME)
def _gained(job: Placement, outer: CasingInPlace) -> Value:
    fluid, pipe = job.fluid_outside, job.casing.pipe
    return work(
        trapped_annulus_pressure,
        annulus_warming=job.setting.basis.value("annulus_warming"),
        fluid_thermal_expansion=fluid.value("thermal_expansion", "fluid_thermal_expansion"),
        compressibility=fluid.value("compressibility"),
        outside_diameter=pipe.outside_diameter,
        wall=pipe.wall,
        hole_diameter=outer.pipe.inside_diameter.named("hole_diameter"),
    )


def _closed(job: Placement) -> np.ndarray:
    """Return which nodes of the casing stand in the closed liquid."""
    assert job.casing.cement_top is not None
    return np.asarray(job.nodes <= float(job.casing.cement_top) + 1e-6)


@kept(SOME)
def _warmed(job: Placement, outer: CasingInPlace) -> Value:
    """Return the pressure in the annulus once warm, over its nodes."""
    before, gained = placing(job).external_pressure, _gained(job, outer)
    origin = Solved("as the cement was placed, and what warming adds", "definition",
                    (before, gained))  # fmt: skip
    total = np.asarray(before.si)[_closed(job)] + float(gained)
    return Value("external_pressure", total, "Pa", origin, -1)


def _there(job: Placement, value: Value) -> Value:
    origin = Solved("where the annulus is closed", "definition", (value,))
    return Value(value.name, np.asarray(value.si)[_closed(job)], value.unit, origin, -1)


def _body(job: Placement, pipe: CasingPipe) -> PipeBody:
    strength = yield_in_heat(job.setting, pipe.yield_strength, job.nodes[_closed(job)])
    cold = pipe.yield_strength
    return PipeBody(pipe.outside_diameter, pipe.wall, strength, cold, joint_of(pipe))


@kept(SOME)
def _inner(step: str, job: Placement, outer: CasingInPlace) -> CheckRecord:
    placed, basis = placing(job), job.setting.basis
    demand, capacity = collapse(
        basis,
        _body(job, job.casing.pipe),
        _there(job, placed.internal_pressure),
        _warmed(job, outer),
        _there(job, placed.axial_force),
    )
    places = depths_of(job.setting, job.nodes[_closed(job)])
    return judge(step, INNER, demand, capacity, basis.tight_band, places)


@kept(SOME)
def _outer(step: str, job: Placement, outer: CasingInPlace) -> CheckRecord:
    basis, z = job.setting.basis, job.nodes[_closed(job)]
    sea = sea_column(job.setting, z)
    demand, capacity = burst(basis, _body(job, outer.pipe), _warmed(job, outer), sea)
    return judge(step, OUTER, demand, capacity, basis.tight_band, depths_of(job.setting, z))
