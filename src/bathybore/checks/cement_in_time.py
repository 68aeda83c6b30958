"""A cement job followed in time: does rock, casing and pump bear its worst minute?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.checks.cement import pump_limit
from bathybore.checks.pipe_body import PipeBody, burst, collapse, joint_of
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.kernels.cement_placement import placing_pump_pressure, uplift_while_placing
from bathybore.kernels.segments import circulating_pressure
from bathybore.model.plan import Casing
from bathybore.operations.casing_loads import (
    Placement,
    hanging_force,
    placement,
    yield_in_heat,
)
from bathybore.operations.cement_in_time import cement_in_time, goes_round
from bathybore.operations.columns import (
    depth_nodes,
    depths_of,
    earth_value,
    nodes_at,
    pressure_under,
)
from bathybore.operations.loads import casing_weight
from bathybore.operations.state import HoleState

HIGH = Question(
    "placing-peak",
    Discipline.CEMENT,
    "Does the rock bear the worst minute of the cement job at every open depth?",
    "Slower rate, lighter lead slurry, lower top of cement, or two stages.",
    "Flow is followed as steady from minute to minute; a plug that stops it short hits harder.",
)
LOW = Question(
    "placing-least",
    Discipline.CEMENT,
    "Does the annulus hold the pore pressure at every minute of the cement job?",
    "Heavier spacer, or less of it.",
    "Once slurry gels it no longer passes its weight on: gas may then enter whatever stands here.",
)
PUMP = Question(
    "placing-pump-in-time",
    Discipline.CEMENT,
    "Does the cementing head stay within unit and casing through the whole job?",
    "Heavier displacement fluid, slower rate.",
)
COLLAPSE = Question(
    "placing-collapse-in-time",
    Discipline.CEMENT,
    "Does the casing bear the pressure outside at the worst minute of its cement job?",
    "Heavier wall; heavier fluid inside; slower rate; pressure in the inner string's annulus.",
)
BURST = Question(
    "placing-burst-in-time",
    Discipline.CEMENT,
    "Does the casing bear the pressure inside at the worst minute of its cement job?",
    "Heavier wall, slower rate.",
)
FALL = Question(
    "free-fall",
    Discipline.CEMENT,
    "Has the string filled again before the plug lands, so that its landing is seen?",
    "Heavier displacement fluid, lighter slurry or less of it, or a faster rate.",
    "While slurry falls ahead of the pump, returns faster than the pump are no loss of control, "
    "and returns slower than it are no loss of mud.",
)
UPLIFT = Question(
    "pump-out-in-time",
    Discipline.CEMENT,
    "Is the casing too heavy to be pumped out of the hole at any minute of the job?",
    "Keep it latched to the landing string or wellhead; lighter slurry; heavier displacement.",
    "Weight of the casing alone; while it is latched to the landing string or to the wellhead "
    "these carry the rest.",
)


def cement_in_time_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the cement job of the casing just placed, minute by minute."""
    casing = state.activity.casing
    if casing is None or not isinstance(casing.plan, Casing):
        return
    job, step, setting = placement(state, casing), state.step.name, state.hole.setting
    if not goes_round(job):
        for question in (HIGH, LOW, PUMP, COLLAPSE, BURST, UPLIFT, FALL):
            yield unjudged(step, question, "the casing does not fit; see casing-clearance")
        return
    others = [one.shoe for one in state.casings if one.name != casing.name]
    z = depth_nodes(setting, float(max(others, default=setting.sea_bed)), float(casing.shoe))
    yield _high(step, job, z)
    yield _low(step, job, z)
    yield _pump(step, job)
    yield _collapse(step, job)
    yield _burst(step, job)
    yield _uplift(step, job)
    yield _fall(step, job)


# ---- in the open hole --------------------------------------------------------------------


def _inputs(job: Placement) -> tuple[Value, ...]:
    """Return what a job in time follows from: rate and volumes."""
    volumes = job.volumes
    return (
        job.plan.cement.value("rate", "flow_rate"),
        volumes.lead,
        volumes.tail,
        volumes.displacement,
    )


_HOW: Final = (
    "cement job followed in time: weight round the bend, friction and pump in balance at every "
    "minute, fluids and free fall kept volume by volume"
)


def followed(name: str, numbers: Real, unit: str, job: Placement, axis: int | None) -> Value:
    return Value(name, numbers, unit, Solved(_HOW, "definition", _inputs(job)), axis)


@kept(SOME)
def annulus_in_time(job: Placement, z: Array, worst: str) -> tuple[Value, Array]:
    """Return the annulus pressure at its 'greatest' or 'least' at each depth, and when [moment]."""
    told = cement_in_time(job)
    weight, friction = told.standing_outside(z), told.friction_outside(z)
    whole = weight + friction
    if worst == "least":  # at rest it is less: the pump may stop at any minute
        friction, whole = np.zeros_like(weight), weight
    when = np.argmax(whole, axis=0) if worst == "greatest" else np.argmin(whole, axis=0)
    at = np.arange(len(z))
    none = Value("cuttings_pressure", 0.0, "Pa", FromWalk("hole circulated clean before cementing"))
    value = work(
        circulating_pressure,
        static_pressure=followed("static_pressure", weight[when, at], "Pa", job, -1),
        cuttings_pressure=none,
        friction_pressure=followed("friction_pressure", friction[when, at], "Pa", job, -1),
    )
    return value, when


@kept(SOME)
def _high(step: str, job: Placement, z: Array) -> CheckRecord:
    setting = job.setting
    demand, when = annulus_in_time(job, z, "greatest")
    margin = setting.basis.value("placement_fracture_margin")
    fracture = earth_value(setting, "fracture_pressure", z)
    capacity = Value(
        "circulating_pressure",
        np.asarray(fracture.si) - float(margin),
        "Pa",
        Solved("fracture pressure less the margin while placing", "assumed", (fracture, margin)),
        -1,
    )
    return _at_minute(step, HIGH, job, demand, capacity, z, when)


@kept(SOME)
def _low(step: str, job: Placement, z: Array) -> CheckRecord:
    capacity, when = annulus_in_time(job, z, "least")
    demand = earth_value(job.setting, "pore_pressure", z)
    return _at_minute(step, LOW, job, demand, capacity, z, when)


def _at_minute(
    step: str,
    question: Question,
    job: Placement,
    demand: Value,
    capacity: Value,
    z: Array,
    when: Array,
) -> CheckRecord:
    """Judge over depth, and say at which minute the closest depth is at its worst."""
    margins = (np.asarray(capacity.si) - np.asarray(demand.si)) / np.abs(np.asarray(capacity.si))
    node = int(np.nanargmin(margins)) if np.isfinite(margins).any() else 0
    note = cement_in_time(job).at(int(when[node])) + "."
    band, places = job.setting.basis.tight_band_window, depths_of(job.setting, z)
    return judge(step, question, demand, capacity, band, places, note=note)


# ---- at the head, on the casing ----------------------------------------------------------


@kept(SOME)
def _pump(step: str, job: Placement) -> CheckRecord:
    told = cement_in_time(job)
    worst = int(np.argmax(told.placed.pump_pressure))
    parts = {
        "friction_pressure": told.placed.friction[worst],
        "pressure_outside_at_shoe": told.placed.outside[worst],
        "pressure_inside_at_shoe": told.placed.inside[worst],
    }
    demand = work(
        placing_pump_pressure,
        **{name: followed(name, float(one), "Pa", job, None) for name, one in parts.items()},
    )
    least, limited = pump_limit(job)
    note = f"{told.at(worst)}. {limited}"
    band = job.setting.basis.tight_band
    return judge(step, PUMP, demand.named("pressure"), least, band, note=note)


@kept(SOME)
def pressures_on_casing(job: Placement) -> tuple[Array, Array]:
    """Return the pressures inside and outside a casing over time and its nodes (time, depth).

    An inner string takes the job through itself: round it stands what the casing was filled with.
    """
    told, z = cement_in_time(job), job.nodes
    outside = told.standing_outside(z) + told.friction_outside(z)
    if job.plan.cement.through_inner_string:
        still = np.asarray(inside_round_string(job).si)
        return np.broadcast_to(still, outside.shape), outside
    return told.standing_inside(z) - told.friction_inside(z), outside


def inside_round_string(job: Placement) -> Value:
    """Return the pressure round an inner string: open at the top of the casing to sea or riser."""
    start, top = job.column_top
    return pressure_under(job.setting, job.displacement.fluid, top, start, job.nodes)


def _case(job: Placement, moment: int) -> tuple[Value, Value]:
    inside, outside = pressures_on_casing(job)
    return (
        followed("internal_pressure", inside[moment], "Pa", job, -1),
        followed("external_pressure", outside[moment], "Pa", job, -1),
    )


def _body(job: Placement) -> PipeBody:
    pipe = job.casing.pipe
    return PipeBody(
        pipe.outside_diameter,
        pipe.wall,
        yield_in_heat(job.setting, pipe.yield_strength, job.nodes, None),
        pipe.yield_strength,
        joint_of(pipe),
    )


@kept(SOME)
def _collapse(step: str, job: Placement) -> CheckRecord:
    inside, outside = pressures_on_casing(job)
    moment = int(np.argmax(np.max(outside - inside, axis=-1)))
    within, around = _case(job, moment)
    force = hanging_force(job, within, around)
    demand, capacity = collapse(job.setting.basis, _body(job), within, around, force)
    return _of_casing(step, COLLAPSE, job, demand, capacity, moment)


@kept(SOME)
def _burst(step: str, job: Placement) -> CheckRecord:
    inside, outside = pressures_on_casing(job)
    moment = int(np.argmax(np.max(inside - outside, axis=-1)))
    demand, capacity = burst(job.setting.basis, _body(job), *_case(job, moment))
    return _of_casing(step, BURST, job, demand, capacity, moment)


def _of_casing(
    step: str, question: Question, job: Placement, demand: Value, capacity: Value, moment: int
) -> CheckRecord:
    note = cement_in_time(job).at(moment) + "."
    band, places = job.setting.basis.tight_band, depths_of(job.setting, job.nodes)
    return judge(step, question, demand, capacity, band, places, note=note)


@kept(SOME)
def uplift_in_time(job: Placement) -> Array:
    """Return what the columns gain along the casing more than mud: (outside, inside) by time."""
    told, ends = cement_in_time(job), _ends(job)
    outside = told.standing_outside(ends) + told.friction_outside(ends)
    mud = told.standing_outside(ends)[0]
    if job.plan.cement.through_inner_string:
        start, top = job.column_top
        column = np.asarray(
            pressure_under(job.setting, job.displacement.fluid, top, start, ends).si
        )
        inside = np.broadcast_to(column, outside.shape)
    else:
        inside = told.standing_inside(ends)
    gained = [np.diff(one, axis=-1)[:, 0] - float(mud[1] - mud[0]) for one in (outside, inside)]
    return np.array(gained)


def _ends(job: Placement) -> Array:
    casing = job.casing
    return nodes_at(float(max(casing.top, job.column_top[0])), float(casing.shoe))


@kept(SOME)
def _uplift(step: str, job: Placement) -> CheckRecord:
    casing, mud, told = job.casing, job.fluid_outside, cement_in_time(job)
    outside, inside = uplift_in_time(job)
    outer, bore = casing.pipe.outside_diameter, casing.pipe.inside_diameter
    force = uplift_while_placing(outside, inside, float(outer), float(bore))
    moment = int(np.argmax(force))
    demand = work(
        uplift_while_placing,
        external_pressure_change=followed(
            "external_pressure_change", float(outside[moment]), "Pa", job, None
        ),
        internal_pressure_change=followed(
            "internal_pressure_change", float(inside[moment]), "Pa", job, None
        ),
        outside_diameter=outer,
        inside_diameter=bore,
    )
    weight = casing_weight(casing, mud, mud).named("pump_out_force")
    note = told.at(moment) + "."
    return judge(step, UPLIFT, demand, weight, job.setting.basis.tight_band, note=note)


@kept(SOME)
def _fall(step: str, job: Placement) -> CheckRecord:
    told = cement_in_time(job)
    demand = followed("duration", float(told.time[told.filled]), "s", job, None)
    capacity = followed("duration", float(told.time[told.landed]), "s", job, None)
    note = "Nothing falls ahead of the pump."
    if told.falls:
        void, fastest = float(told.placed.void.max()), float(told.placed.rate.max())
        begins = told.time[int(np.argmax(told.placed.void > 0.0))] / 60.0
        note = (
            f"Falls from minute {begins:.0f} to {told.time[told.filled] / 60.0:.0f}, leaves "
            f"{void:.1f} m³ empty at most; returns reach {fastest / float(told.rate):.2f} times "
            "the pump's rate."
        )
    return judge(step, FALL, demand, capacity, job.setting.basis.tight_band, note=note)
