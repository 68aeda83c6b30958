"""Does the cement get where it must without breaking the rock, the pump or the casing's hold?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, summed, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.kernels.cement import pump_out_force
from bathybore.kernels.pipe_flow import annulus_friction_gradient, pipe_friction_gradient
from bathybore.kernels.segments import circulating_pressure, pressure_over_segments
from bathybore.kernels.tubular_strength import internal_yield_pressure
from bathybore.model.basis import DesignBasis
from bathybore.model.plan import Casing, Fluid
from bathybore.operations.casing_loads import (
    Placement,
    imbalance,
    outside_mud,
    placed_layers,
    placement,
)
from bathybore.operations.columns import depth_nodes, depths_of, earth_value, nodes_at
from bathybore.operations.flow_along import FINE, cut_fine
from bathybore.operations.flow_law import (
    changes_in_place,
    resting_numbers,
    resting_rheology,
    rheology,
)
from bathybore.operations.geometry import Segments, string_bores
from bathybore.operations.loads import casing_weight
from bathybore.operations.state import HoleState

PLACING_HIGH = Question(
    "placing-high",
    Discipline.CEMENT,
    "Does the rock bear the slurry while the last of it is placed, friction included?",
    "Lighter lead slurry, lower top of cement, slower rate, or two stages.",
    "The peak comes at the end, at the weakest depth, when the slurry stands highest.",
)
PUMP = Question(
    "placing-pump",
    Discipline.CEMENT,
    "Can the cementing unit push the slurry to its place?",
    "Heavier displacement fluid, slower rate.",
)
LIFT_OFF = Question(
    "pump-out",
    Discipline.CEMENT,
    "Is the casing heavy enough not to be pumped out of the hole?",
    "Keep it latched to the landing string or wellhead; lighter slurry; heavier displacement.",
)
WAIT = Question(
    "waiting",
    Discipline.CEMENT,
    "Is the planned wait at least the usual time to strength before drilling out?",
    "Wait longer, or an accelerated slurry with a strength test at the hole's temperature.",
    "Cold sea beds slow the cement: a test at temperature and pressure decides.",
)
_LAW: Final = {
    "fluid_density": "kg/m3",
    "yield_stress": "Pa",
    "consistency_index": "Pa s^n",
    "flow_index": "-",
}


def cement_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the cement job of the casing just placed."""
    casing = state.activity.casing
    if casing is None or not isinstance(casing.plan, Casing):
        return
    job, step, setting = placement(state, casing), state.step.name, state.hole.setting
    others = [c.shoe for c in state.casings if c.name != casing.name]
    yield _placing_high(step, job, float(max(others, default=setting.sea_bed)))
    yield _pump(step, job)
    yield _pump_out(step, job)
    yield _waiting(step, setting.basis, casing.plan.cement.value("wait", "duration"))


@kept(SOME)
def _waiting(step: str, basis: DesignBasis, planned: Value) -> CheckRecord:
    least = basis.value("least_wait_on_cement", "duration")
    return judge(step, WAIT, least, planned, basis.tight_band)


@kept(SOME)
def _placing_gradient(job: Placement) -> tuple[Segments, Value]:
    """Return the annulus cut where its fluid changes, and the friction in it at the rate."""
    layers = placed_layers(job)
    segments = job.annulus.cut_at(tuple(float(layer.top) for layer in layers))
    if any(changes_in_place(layer.fluid) for layer in layers):
        segments = cut_fine(segments, FINE)
    fluids = [
        next(one.fluid for one in layers if one.top - 1e-6 <= z_ <= one.bottom + 1e-6)
        for z_ in segments.middle
    ]
    gradient = work(
        annulus_friction_gradient,
        flow_rate=job.plan.cement.value("rate", "flow_rate"),
        annulus_outer_diameter=segments.value("annulus_outer_diameter", segments.outer_diameter),
        annulus_inner_diameter=segments.value("annulus_inner_diameter", segments.inner_diameter),
        **_rheologies(job, segments, fluids),
    )
    return segments, gradient


def _friction(job: Placement, z: np.ndarray) -> Value:
    """Return the friction above each depth at the placing rate, each length in its own fluid."""
    segments, gradient = _placing_gradient(job)
    return work(
        pressure_over_segments,
        pressure_gradient=gradient,
        segment_length=segments.length_above(np.asarray(z)),
    ).named("friction_pressure")


def _rheologies(job: Placement, segments: Segments, fluids: list[Fluid]) -> dict[str, Value]:
    """Return density and flow law of the fluid in each segment, as it is there at rest."""
    numbers = np.empty((len(_LAW), len(segments)))
    for fluid in {id(one): one for one in fluids}.values():
        here = np.array([one is fluid for one in fluids])
        z = segments.middle[here]
        numbers[:, here] = resting_numbers(job.setting, job.on_riser, fluid, z)
    return {
        name: segments.value(name, row, unit)
        for (name, unit), row in zip(_LAW.items(), numbers, strict=True)
    }


def _inside_friction(job: Placement) -> Value:
    """Return the friction of the displacement fluid down the landing string and the casing."""
    casing, string = job.casing, job.string
    if string is None:
        raise LookupError(f"{casing.name} is not cemented on a string")
    bores, shown = string_bores(string), job.displacement.fluid
    inner = float(casing.pipe.inside_diameter)
    if job.plan.cement.through_inner_string:
        inner = float(string.parts[0].pipe.inside_diameter)
    way = Segments(
        (*bores.names, f"inside {casing.name}"),
        (*bores.kinds, "pipe"),
        np.append(bores.top, float(casing.top)),
        np.append(bores.bottom, float(casing.shoe)),
        np.append(bores.outer_diameter, inner),
        np.zeros(len(bores) + 1),
    )
    law = rheology(shown)
    if changes_in_place(shown):
        way = cut_fine(way, FINE)
        wet = np.maximum(way.middle, float(job.setting.flow_line))
        law = resting_rheology(job.setting, True, shown, wet)
    gradient = work(
        pipe_friction_gradient,
        flow_rate=job.plan.cement.value("rate", "flow_rate"),
        inside_diameter=way.value("inside_diameter", way.outer_diameter),
        **law,
    )
    return work(
        pressure_over_segments,
        pressure_gradient=gradient,
        segment_length=way.value("segment_length", way.length),
    )


@kept(SOME)
def _placing_high(step: str, job: Placement, top: float) -> CheckRecord:
    """Judge the open hole from ``top``, the shoe above, down to the shoe."""
    hole = job.setting
    z = depth_nodes(hole, top, float(job.casing.shoe))
    none = Value("cuttings_pressure", 0.0, "Pa", FromWalk("hole circulated clean before cementing"))
    demand = work(
        circulating_pressure,
        static_pressure=outside_mud(job, z).named("static_pressure"),
        cuttings_pressure=none,
        friction_pressure=_friction(job, z),
    )
    margin = hole.basis.value("placement_fracture_margin")
    fracture = earth_value(hole, "fracture_pressure", z)
    capacity = Value(
        "circulating_pressure",
        np.asarray(fracture.si) - float(margin),
        "Pa",
        Solved("fracture pressure less the margin while placing", "assumed", (fracture, margin)),
        -1,
    )
    band = hole.basis.tight_band_window
    return judge(step, PLACING_HIGH, demand, capacity, band, depths_of(hole, z))


@kept(SOME)
def _pump(step: str, job: Placement) -> CheckRecord:
    casing, setting = job.casing, job.setting
    shoe = nodes_at(float(casing.shoe))
    parts = (
        imbalance(job),
        _friction(job, shoe).at_node(0),
        _inside_friction(job),
    )
    demand = summed(
        "pressure",
        "Pa",
        "annulus outweighing the inside, friction up the annulus and down the string",
        parts,
    )
    least, note = pump_limit(job)
    return judge(step, PUMP, demand, least, setting.basis.tight_band, note=note)


@kept(SOME)
def pump_limit(job: Placement) -> tuple[Value, str]:
    """Return the least of what limits the head, and a sentence that says which that is.

    While cement is placed the casing's own burst strength limits it as the unit does.
    """
    casing, setting = job.casing, job.setting
    burst = work(
        internal_yield_pressure,
        outside_diameter=casing.pipe.outside_diameter,
        wall=casing.pipe.wall,
        yield_strength=casing.pipe.yield_strength,
    )
    factor = setting.basis.value("burst_factor")
    allowed = Value(
        "pressure",
        float(burst) / float(factor),
        "Pa",
        Solved("burst strength over its design factor", "common-practice", (burst, factor)),
    )
    unit = setting.vessel.cement_unit.value("greatest_pressure", "pressure")
    least = min((unit, allowed), key=float)
    limited = "the unit" if least is unit else f"the burst of {casing.name}"
    return least, f"Limited by {limited}."


@kept(SOME)
def _pump_out(step: str, job: Placement) -> CheckRecord:
    casing, mud = job.casing, job.fluid_outside
    force = work(
        pump_out_force,
        differential_pressure=imbalance(job),
        outside_diameter=casing.pipe.outside_diameter,
    )
    weight = casing_weight(casing, mud, mud).named("pump_out_force")
    caution = (
        "Weight of the casing alone; while it is latched to the landing string or to the wellhead "
        "these carry the rest."
    )
    band = job.setting.basis.tight_band
    return judge(step, LIFT_OFF, force, weight, band, caution=caution)
