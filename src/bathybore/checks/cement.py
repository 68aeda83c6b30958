"""Does the cement get where it must without breaking the rock, the pump or the casing's hold?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

import numpy as np

from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.kernels.cement import pump_out_force
from bathybore.kernels.pipe_flow import annulus_friction_gradient
from bathybore.kernels.segments import circulating_pressure, pressure_over_segments
from bathybore.model.plan import Casing, Fluid
from bathybore.operations.casing_loads import inside_after_placement, outside_mud, placed_layers
from bathybore.operations.columns import depth_nodes, depths_of, earth_value
from bathybore.operations.geometry import Segments, bores
from bathybore.operations.loads import casing_weight
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import CasingInPlace, HoleState, OpenHole

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
    "Is casing and landing string heavy enough not to be pumped out of the hole?",
    "Keep it latched to the landing string or wellhead; lighter slurry; heavier displacement.",
)
WAIT = Question(
    "waiting",
    Discipline.CEMENT,
    "Is the planned wait at least the usual time to strength before drilling out?",
    "Wait longer, or an accelerated slurry with a strength test at the hole's temperature.",
    "Cold sea beds slow the cement: a test at temperature and pressure decides.",
)


def cement_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the cement job of the casing just placed."""
    casing = state.activity.casing
    if casing is None or not isinstance(casing.plan, Casing):
        return
    yield _placing_high(state, casing)
    yield _pump(state, casing)
    yield _pump_out(state, casing)
    basis = state.hole.basis
    yield judge(
        state.step.name,
        WAIT,
        basis.value("least_wait_on_cement", "duration"),
        casing.plan.cement.value("wait", "duration"),
        basis.tight_band,
    )


def _annulus(state: HoleState, casing: CasingInPlace) -> Segments:
    """Return the annulus outside the casing, cut where walls and fluids change."""
    start = max(float(casing.top), float(state.hole.sea_bed))
    layers = placed_layers(state, casing)
    walls = [b for b in bores(_before(state, casing)) if b.bottom > start]
    edges = {start, float(casing.shoe)}
    edges |= {float(b.bottom) for b in walls} | {float(layer.top) for layer in layers}
    ordered = [e for e in sorted(edges) if start <= e <= casing.shoe]
    rows = []
    for top, bottom in pairwise(ordered):
        middle = 0.5 * (top + bottom)
        wall = next((b for b in walls if b.top <= middle <= b.bottom), None)
        if wall is not None and bottom > top:
            rows.append((f"{casing.name} in {wall.name}", wall.kind, top, bottom, wall.diameter))
    names, kinds, tops, bottoms, outer = zip(*rows, strict=True)
    inner = np.full(len(rows), float(casing.pipe.outside_diameter))
    return Segments(names, kinds, np.array(tops), np.array(bottoms), np.array(outer), inner)


def _before(state: HoleState, casing: CasingInPlace) -> HoleState:
    """Return the hole as it was while the casing hung in it: its own wall is not there yet."""
    others = tuple(c for c in state.casings if c.name != casing.name)
    shoe = max((c.shoe for c in others), default=state.hole.sea_bed)
    open_hole = OpenHole(shoe, state.bottom, casing.hole_diameter, casing.name)
    return replace(state, casings=others, open_hole=(open_hole,))


def _friction(state: HoleState, casing: CasingInPlace, z: np.ndarray) -> Value:
    """Return the friction above each depth at the placing rate, each length in its own fluid."""
    plan = casing.plan
    assert isinstance(plan, Casing)
    segments = _annulus(state, casing)
    layers = placed_layers(state, casing)
    fluids: list[Fluid] = []
    for top, bottom in zip(segments.top, segments.bottom, strict=True):
        middle = 0.5 * (top + bottom)
        fluids.append(next(la.fluid for la in layers if la.top - 1e-6 <= middle <= la.bottom))

    def over(name: str, unit: str, numbers: list[float]) -> Value:
        return segments.value(name, np.array(numbers), unit)

    gradient = work(
        annulus_friction_gradient,
        flow_rate=plan.cement.value("rate", "flow_rate"),
        annulus_outer_diameter=segments.value("annulus_outer_diameter", segments.outer_diameter),
        annulus_inner_diameter=segments.value("annulus_inner_diameter", segments.inner_diameter),
        fluid_density=over("fluid_density", "kg/m3", [f.density for f in fluids]),
        yield_stress=over("yield_stress", "Pa", [f.yield_stress for f in fluids]),
        consistency_index=over("consistency_index", "Pa s^n", [f.consistency for f in fluids]),
        flow_index=over("flow_index", "-", [f.flow_index for f in fluids]),
    )
    return work(
        pressure_over_segments,
        pressure_gradient=gradient,
        segment_length=segments.length_above(np.asarray(z)),
    ).named("friction_pressure")


def _placing_high(state: HoleState, casing: CasingInPlace) -> CheckRecord:
    hole = state.hole
    others = [c.shoe for c in state.casings if c.name != casing.name]
    z = depth_nodes(hole, float(max(others, default=hole.sea_bed)), float(casing.shoe))
    none = Value("cuttings_pressure", 0.0, "Pa", FromWalk("hole circulated clean before cementing"))
    demand = work(
        circulating_pressure,
        static_pressure=outside_mud(state, casing, z).named("static_pressure"),
        cuttings_pressure=none,
        friction_pressure=_friction(state, casing, z),
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
    return judge(state.step.name, PLACING_HIGH, demand, capacity, band, depths_of(hole, z))


def _balance(state: HoleState, casing: CasingInPlace) -> Value:
    """Return how much the annulus outweighs the inside at the shoe at the end of placement."""
    shoe = np.array([float(casing.shoe)])
    outside = outside_mud(state, casing, shoe).at_node(0)
    inside = inside_after_placement(state, casing, shoe).at_node(0)
    origin = Solved(
        "annulus column less inside column at the shoe", "definition", (outside, inside)
    )
    return Value("differential_pressure", max(float(outside) - float(inside), 0.0), "Pa", origin)


def _pump(state: HoleState, casing: CasingInPlace) -> CheckRecord:
    shoe = np.array([float(casing.shoe)])
    balance, friction = _balance(state, casing), _friction(state, casing, shoe).at_node(0)
    origin = Solved(
        "annulus outweighing the inside, and friction up the annulus",
        "definition",
        (balance, friction),
    )
    demand = Value("pressure", float(balance) + float(friction), "Pa", origin)
    capacity = state.hole.vessel.cement_unit.value("greatest_pressure", "pressure")
    return judge(state.step.name, PUMP, demand, capacity, state.hole.basis.tight_band)


def _pump_out(state: HoleState, casing: CasingInPlace) -> CheckRecord:
    force = work(
        pump_out_force,
        differential_pressure=_balance(state, casing),
        outside_diameter=casing.pipe.outside_diameter,
    )
    mud = casing.outside_fluid or sea_water(state.hole)
    weight = casing_weight(casing, mud, mud).named("pump_out_force")
    caution = (
        "Weight of the casing alone; while it is latched to the landing string or to the wellhead "
        "these carry the rest."
    )
    return judge(
        state.step.name, LIFT_OFF, force, weight, state.hole.basis.tight_band, caution=caution
    )
