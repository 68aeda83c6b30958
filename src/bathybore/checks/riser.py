"""Riser and preventer: can they be hung, tensioned and trusted with the pressure?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.kernels.riser import (
    empty_riser_depth,
    hang_off_load,
    minimum_slip_ring_tension,
    minimum_top_tension,
    riser_collapse_pressure,
    riser_inside_area,
    riser_mud_weight_in_water,
    riser_submerged_weight,
)
from bathybore.kernels.riser_shape import current_load, lower_flex_joint_angle
from bathybore.kernels.well_control import wellhead_pressure_full_of_gas
from bathybore.model.hole import Hole
from bathybore.model.inventory import Preventer, RiserJoint
from bathybore.operations.columns import earth_value, gravity_value, mean_temperature
from bathybore.operations.state import HoleState

LENGTH = Question(
    "riser-length",
    Discipline.RISER,
    "Are there joints enough to reach the sea bed?",
    "More joints, or a shallower site.",
)
HANG = Question(
    "riser-hang",
    Discipline.RISER,
    "Does the hoist bear riser and preventer while they are run?",
    "More buoyancy, a lighter stack, a stronger hoist.",
    "Static: heave of the hung riser adds dynamic load; run it in a quiet sea.",
)
TENSION = Question(
    "riser-tension",
    Discipline.RISER,
    "Do the tensioners keep the riser taut in the heaviest mud after one is lost?",
    "More tensioners or buoyancy, or lighter mud.",
)
ANGLE = Question(
    "flex-joint",
    Discipline.RISER,
    "At the offset where drilling stops, does the lower flex joint stay within its mean angle?",
    "More top tension, a smaller watch circle, less current.",
    "Straight-line current and a string without bending stiffness: a first estimate.",
)
RATING = Question(
    "preventer-rating",
    Discipline.RISER,
    "Is the preventer rated for the greatest pressure the hole can put under it?",
    "A stack of higher rating, or stop above the zone.",
    "Full of gas from the deepest zone: the usual bound.",
)
EMPTY = Question(
    "riser-collapse",
    Discipline.RISER,
    "Does the riser bear the sea when gas has partly emptied it?",
    "Thicker riser, a fill-up valve, or a tighter rule for gas in the riser.",
)


def riser_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the riser and preventer just landed."""
    hole, step = state.hole, state.step.name
    joint, stack = hole.inventory.riser, hole.inventory.preventer
    if joint is None or stack is None or hole.vessel.tensioners is None:
        for question in (LENGTH, HANG, TENSION, ANGLE, RATING, EMPTY):
            yield unjudged(step, question, "riser, preventer or tensioners are not described")
        return
    yield _length(state, joint)
    yield _hang(state, joint, stack)
    yield _tension(state, joint)
    yield _angle(state, joint)
    yield _rating(state, stack)
    yield _empty(state, joint)


def _metres(hole: Hole) -> Value:
    origin = FromWalk("drill floor to sea bed")
    return Value("riser_length", hole.sea_bed - hole.drill_floor, "m", origin)


def _water_density() -> Value:
    return Value("sea_water_density", 1030.0, "kg/m3", FromWalk("mean of the sea along the riser"))


def _length(state: HoleState, joint: RiserJoint) -> CheckRecord:
    total = Value(
        "riser_length",
        joint.joints * joint.joint_length,
        "m",
        Solved("joints on board times joint length", "definition", (joint.value("joint_length"),)),
    )
    return judge(state.step.name, LENGTH, _metres(state.hole), total, 0.01)


def _steel_weight(state: HoleState, joint: RiserJoint) -> Value:
    """Return the weight in water of riser steel over the whole length."""
    length = _metres(state.hole)
    mass = Value(
        "riser_mass",
        joint.mass_in_air * float(length),
        "kg",
        Solved("mass per length times length", "definition", (joint.value("mass_in_air"), length)),
    )
    return work(
        riser_submerged_weight,
        riser_mass=mass,
        steel_density=Value("steel_density", 7850.0, "kg/m3", FromWalk("steel")),
        sea_water_density=_water_density(),
        gravity=gravity_value(state.hole),
    )


def _lift(state: HoleState, joint: RiserJoint) -> Value:
    """Return the lift of all buoyancy modules in the water."""
    joints = state.hole.site.water_depth / joint.joint_length
    origin = Solved(
        "lift per joint times the share of joints that carry modules",
        "definition",
        (joint.value("buoyancy_lift"), joint.value("buoyant_share")),
    )
    return Value("buoyancy_lift", joints * joint.buoyant_share * joint.buoyancy_lift, "N", origin)


def _hang(state: HoleState, joint: RiserJoint, stack: Preventer) -> CheckRecord:
    hole = state.hole
    load = work(
        hang_off_load,
        riser_submerged_weight=_steel_weight(state, joint),
        buoyancy_lift=_lift(state, joint),
        stack_submerged_weight=stack.value("weight_in_water", "stack_submerged_weight"),
    )
    gear = hole.vessel.hoist.value("travelling_weight")
    demand = Value(
        "load",
        float(load) + float(gear),
        "N",
        Solved("riser, stack and travelling gear", "definition", (load, gear)),
    )
    share, rating = hole.basis.value("hook_load_share"), hole.vessel.hoist.value("hook_capacity")
    capacity = Value(
        "load",
        float(share) * float(rating),
        "N",
        Solved("share of the rating", "assumed", (share, rating)),
    )
    return judge(state.step.name, HANG, demand, capacity, hole.basis.tight_band)


def heaviest_mud(hole: Hole) -> Value:
    """Return the density of the heaviest mud that will stand in the riser."""
    fluids = [hole.plan.fluids[s.fluid] for s in hole.plan.sections if s.returns == "riser"]
    if hole.plan.coring is not None and fluids:
        fluids.append(hole.plan.fluids[hole.plan.coring.fluid])
    return max(fluids, key=lambda f: f.density).value("density", "mud_density")


def _mud_weight(state: HoleState, joint: RiserJoint) -> Value:
    hole = state.hole
    inside = state.riser.inside_diameter if state.riser is not None else None
    if inside is None:
        raise LookupError("no riser is on")
    area = work(
        riser_inside_area,
        inside_diameter=inside,
        line_inside_diameter=joint.value("choke_line_diameter", "line_inside_diameter"),
        number_of_lines=Value("number_of_lines", 2.0, "-", FromWalk("choke and kill line")),
    )
    return work(
        riser_mud_weight_in_water,
        riser_inside_area=area,
        mud_density=heaviest_mud(hole),
        mud_column_height=Value(
            "mud_column_height",
            hole.sea_bed - hole.flow_line,
            "m",
            FromWalk("flow line to sea bed"),
        ),
        sea_water_density=_water_density(),
        sea_water_column_height=hole.site.value("water_depth", "sea_water_column_height"),
        gravity=gravity_value(hole),
    )


def slip_ring_tension(state: HoleState, joint: RiserJoint) -> Value:
    """Return the least tension at the slip ring in the heaviest mud (API RP 16Q)."""
    return work(
        minimum_slip_ring_tension,
        riser_submerged_weight=_steel_weight(state, joint),
        buoyancy_lift=_lift(state, joint),
        riser_mud_weight_in_water=_mud_weight(state, joint),
    )


def _tension(state: HoleState, joint: RiserJoint) -> CheckRecord:
    hole = state.hole
    tensioners = hole.vessel.tensioners
    if tensioners is None:
        raise LookupError("no tensioners")
    count = Value("number_of_tensioners", float(tensioners.count), "-", tensioners.origin("count"))
    lost = Value(
        "failing_tensioners",
        float(tensioners.out_of_service),
        "-",
        tensioners.origin("out_of_service"),
    )
    demand = work(
        minimum_top_tension,
        minimum_slip_ring_tension=slip_ring_tension(state, joint),
        number_of_tensioners=count,
        failing_tensioners=lost,
        tension_reduction_factor=tensioners.value("vertical_share", "tension_reduction_factor"),
    )
    share, each = hole.basis.value("tensioner_share"), tensioners.value("capacity_each")
    capacity = Value(
        "top_tension",
        float(share) * tensioners.count * float(each),
        "N",
        Solved("share of all tensioners together", "common-practice", (share, each, count)),
    )
    return judge(state.step.name, TENSION, demand, capacity, hole.basis.tight_band)


def _angle(state: HoleState, joint: RiserJoint) -> CheckRecord:
    hole = state.hole
    tensioners = hole.vessel.tensioners
    if tensioners is None:
        raise LookupError("no tensioners")
    length = _metres(hole)
    slip_ring = slip_ring_tension(state, joint)
    pull = Value(
        "top_tension",
        hole.basis.tensioner_share
        * tensioners.count
        * tensioners.capacity_each
        * tensioners.vertical_share,
        "N",
        Solved(
            "tensioners at their working share, vertical part",
            "api-rp-16q",
            (tensioners.value("capacity_each"), tensioners.value("vertical_share")),
        ),
    )
    # what the slip ring must carry is the effective weight of riser and mud: zero tension at foot
    weight = Value(
        "effective_weight_per_length",
        float(slip_ring) / float(length),
        "N/m",
        Solved("least slip-ring tension over the length", "definition", (slip_ring, length)),
    )
    foot = Value(
        "bottom_tension",
        float(pull) - float(slip_ring),
        "N",
        Solved(
            "top tension less the weight of riser and mud in water", "definition", (pull, slip_ring)
        ),
    )
    offset = Value(
        "vessel_offset",
        hole.basis.watch_offset_share * hole.site.water_depth,
        "m",
        Solved(
            "share of water depth at which drilling stops",
            "common-practice",
            (hole.basis.value("watch_offset_share"), hole.site.value("water_depth")),
        ),
    )
    top, bottom = _current_loads(hole, joint)
    angle = work(
        lower_flex_joint_angle,
        riser_length=length,
        bottom_tension=foot,
        effective_weight_per_length=weight,
        current_load_at_top=top,
        current_load_at_bottom=bottom,
        vessel_offset=offset,
    )
    limit = hole.basis.value("flex_joint_drilling", "lower_flex_joint_angle")
    return judge(
        state.step.name, ANGLE, angle, limit, hole.basis.tight_band, hole.depth(hole.sea_bed)
    )


def _current_loads(hole: Hole, joint: RiserJoint) -> tuple[Value, Value]:
    """Return the straight line of load with the same total force as the current of the sea table.

    The real current fades near the surface; the line puts more of its force lower down,
    where it turns the lower joint more, so the angle comes out on the safe side.
    """
    z = hole.sea.depths
    loads = np.array([float(_drag(hole, joint, float(v))) for v in z])
    total = float(np.sum(0.5 * (loads[1:] + loads[:-1]) * np.diff(z)))
    bottom = _drag(hole, joint, float(z[-1])).named("current_load_at_bottom")
    at_top = max(2.0 * total / float(z[-1]) - float(bottom), 0.0)
    origin = Solved(
        "line of load with the total force of the sea table's current and its load at the foot",
        "definition",
        (bottom, _drag(hole, joint, 0.0)),
    )
    return Value("current_load_at_top", at_top, "N/m", origin), bottom


def _drag(hole: Hole, joint: RiserJoint, z: float) -> Value:
    return work(
        current_load,
        drag_coefficient=hole.basis.value("riser_drag_coefficient", "drag_coefficient"),
        hydrodynamic_diameter=joint.value("hydrodynamic_diameter"),
        current_speed=hole.sea.value("current_speed", z),
        sea_water_density=_water_density(),
    )


def greatest_wellhead_pressure(state: HoleState) -> tuple[Value, float]:
    """Return the greatest pressure at the sea bed from any section still to come, and its depth."""
    hole = state.hole
    if hole.site.greatest_wellhead_pressure is not None:
        return hole.site.value("greatest_wellhead_pressure", "wellhead_pressure"), float(
            hole.sea_bed
        )
    found: list[tuple[Value, float]] = []
    for section in hole.plan.sections:
        if section.returns != "riser":
            continue
        bottom = float(hole.z(section.bottom))
        pressure = work(
            wellhead_pressure_full_of_gas,
            formation_pressure=earth_value(hole, "pore_pressure", np.array(bottom)).named(
                "formation_pressure"
            ),
            height_below_sea_bed=Value(
                "height_below_sea_bed",
                bottom - hole.sea_bed,
                "m",
                FromWalk(f"foot of {section.name}"),
            ),
            temperature=mean_temperature(hole, float(hole.sea_bed), bottom),
            gas_gravity=hole.basis.value("gas_gravity"),
            gravity=gravity_value(hole),
        )
        found.append((pressure, bottom))
    return max(found, key=lambda pair: float(pair[0]))


def _rating(state: HoleState, stack: Preventer) -> CheckRecord:
    demand, bottom = greatest_wellhead_pressure(state)
    capacity = stack.value("pressure_rating", "wellhead_pressure")
    band = state.hole.basis.tight_band
    return judge(state.step.name, RATING, demand, capacity, band, state.hole.depth(bottom))


def _empty(state: HoleState, joint: RiserJoint) -> CheckRecord:
    hole = state.hole
    strength = work(
        riser_collapse_pressure,
        outside_diameter=joint.value("outside_diameter"),
        wall=joint.value("wall"),
        yield_strength=joint.value("yield_strength"),
        young_modulus=Value("young_modulus", 206.84e9, "Pa", FromWalk("steel")),
        poisson_ratio=Value("poisson_ratio", 0.3, "-", FromWalk("steel")),
    )
    capacity = work(
        empty_riser_depth,
        riser_collapse_pressure=strength,
        design_factor=hole.basis.value("riser_collapse_factor", "design_factor"),
        sea_water_density=_water_density(),
        gravity=gravity_value(hole),
    )
    share = hole.basis.value("riser_emptied_share")
    demand = Value(
        "empty_riser_depth",
        float(share) * hole.site.water_depth,
        "m",
        Solved(
            "share of the water depth that gas may empty",
            "assumed",
            (share, hole.site.value("water_depth")),
        ),
    )
    return judge(state.step.name, EMPTY, demand, capacity, hole.basis.tight_band)


def retrieving_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the load while riser and preventer are pulled: the same as while they were run."""
    joint, stack = state.hole.inventory.riser, state.hole.inventory.preventer
    if joint is not None and stack is not None:
        yield _hang(state, joint, stack)
