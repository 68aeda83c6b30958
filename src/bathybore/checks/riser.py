"""Riser and preventer: can they be hung, tensioned and trusted with the pressure?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.checks.pressure_rating import least_rating
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.checks.riser_reach import REACH_QUESTIONS, reach_checks
from bathybore.kernels.riser import (
    BUOYANCY_TOLERANCE,
    WEIGHT_TOLERANCE,
    empty_riser_depth,
    hang_off_load,
    minimum_top_tension,
    riser_collapse_pressure,
)
from bathybore.kernels.segments import pressure_with_margin
from bathybore.kernels.string_mechanics import wall_tension
from bathybore.kernels.tubular_stress import triaxial_equivalent_stress
from bathybore.kernels.well_control import wellhead_pressure_full_of_gas
from bathybore.model.hole import Hole, Setting
from bathybore.operations.columns import (
    depths_of,
    earth_value,
    gravity_value,
    mean_temperature,
    pressure_under,
    sea_pressure,
)
from bathybore.operations.influx import kick_intensity
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.sea_conditions import mean_density
from bathybore.operations.state import HoleState

LENGTH = Question(
    "riser-length",
    Discipline.RISER,
    "Are there joints enough to reach from the drill floor to the preventer?",
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
    "Does the planned tension keep the riser taut in the heaviest mud after a tensioner is lost?",
    "More tension or buoyancy, or lighter mud.",
    "Formula and tolerances of API RP 16Q (1993) are from memory.",
)
SETTING = Question(
    "tensioner-capacity",
    Discipline.RISER,
    "Can the tensioners be set to the planned tension?",
    "Less tension, or more or stronger tensioners.",
)
STRESS = Question(
    "riser-stress",
    Discipline.RISER,
    "Does the steel of the riser bear the planned tension and the mud?",
    "Less tension, thicker or stronger riser.",
    "Static, the main pipe bearing all; with bending by current and waves it is asked as "
    "riser-stress-in-waves. The share of API RP 16Q (1993), from memory, supposes that ranges of "
    "stress are analysed apart.",
)
LIFT_OFF = Question(
    "lift-off",
    Discipline.RISER,
    "Does the planned tension lift the lower riser package off when it is disconnected?",
    "More tension, or a lighter package.",
    "With the mud still inside. Too much pull lets the riser recoil: see riser-recoil.",
)
RATING = Question(
    "preventer-rating",
    Discipline.RISER,
    "Are preventer and wellhead rated for the greatest pressure the hole can put on them?",
    "Equipment of higher rating, or stop above the zone.",
    "Full of gas from the deepest zone: the usual bound.",
)
EMPTY = Question(
    "riser-collapse",
    Discipline.RISER,
    "Does the riser bear the sea when gas has partly emptied it?",
    "Thicker riser, a fill-up valve, or a tighter rule for gas in the riser.",
)
_QUESTIONS = (LENGTH, HANG, TENSION, SETTING, STRESS, LIFT_OFF, *REACH_QUESTIONS, RATING, EMPTY)


def riser_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the riser and preventer just landed."""
    gear = RiserGear.of(state.hole)
    if gear is None:
        for question in _QUESTIONS:
            reason = "riser, preventer or tensioners are not described"
            yield unjudged(state.step.name, question, reason)
        return
    step = state.step.name
    yield _length(step, gear)
    yield _hang(step, gear)
    yield _tension(step, gear)
    yield _setting(step, gear)
    yield _stress(step, gear)
    yield _lift_off(step, gear)
    yield from reach_checks(step, gear)
    yield _rating(step, gear, *greatest_wellhead_pressure(state.hole))
    yield _empty(step, gear)


def retrieving_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the load while riser and preventer are pulled: the same as while they were run."""
    gear = RiserGear.of(state.hole)
    if gear is not None:
        yield _hang(state.step.name, gear)


@kept(SOME)
def _length(step: str, gear: RiserGear) -> CheckRecord:
    joint = gear.joint
    total = Value(
        "riser_length",
        joint.joints * joint.joint_length,
        "m",
        Solved("joints on board times joint length", "definition", (joint.value("joint_length"),)),
    )
    return judge(step, LENGTH, gear.length, total, 0.01)


def _tolerated(value: Value, factor: float, what: str) -> Value:
    """Return a weight or lift on the safe side, as the least top tension takes it."""
    tolerance = Value(what, factor, "-", FromWalk("API RP 16Q (1993), from memory"))
    origin = Solved("with the tolerance of what was not weighed", "api-rp-16q", (value, tolerance))
    return Value(value.name, float(value) * factor, value.unit, origin)


@kept(SOME)
def _hang(step: str, gear: RiserGear) -> CheckRecord:
    """Hung at full length in the water, or the preventer in the air with no riser yet."""
    hole = gear.setting
    hung = work(
        hang_off_load,
        riser_submerged_weight=_tolerated(gear.steel_weight, WEIGHT_TOLERANCE, "weight_tolerance"),
        buoyancy_lift=_tolerated(gear.lift, BUOYANCY_TOLERANCE, "buoyancy_tolerance"),
        stack_submerged_weight=gear.stack.value("weight_in_water", "stack_submerged_weight"),
    )
    dry = gear.stack.value("weight_in_air")
    heaviest, moment = max(
        (hung, "the whole riser in the water"),
        (dry, "the preventer in the air"),
        key=lambda pair: float(pair[0]),
    )
    travelling = hole.vessel.hoist.value("travelling_weight")
    demand = Value(
        "load",
        float(heaviest) + float(travelling),
        "N",
        Solved(f"{moment}, and travelling gear", "definition", (heaviest, travelling)),
    )
    share, rating = hole.basis.value("hook_load_share"), hole.vessel.hoist.value("hook_capacity")
    capacity = Value(
        "load",
        float(share) * float(rating),
        "N",
        Solved("share of the rating", "assumed", (share, rating)),
    )
    band, note = hole.basis.tight_band, f"Heaviest moment: {moment}."
    return judge(step, HANG, demand, capacity, band, note=note)


@kept(SOME)
def _tension(step: str, gear: RiserGear) -> CheckRecord:
    demand = work(
        minimum_top_tension,
        minimum_slip_ring_tension=gear.slip_ring_tension,
        number_of_tensioners=gear.count,
        failing_tensioners=gear.lost,
        tension_reduction_factor=gear.tensioners.value(
            "vertical_share", "tension_reduction_factor"
        ),
    ).named("top_tension")
    band = gear.setting.basis.tight_band
    return judge(step, TENSION, demand, gear.planned_setting, band, note=gear.setting_note)


@kept(SOME)
def _setting(step: str, gear: RiserGear) -> CheckRecord:
    planned, greatest = gear.planned_setting, gear.greatest_setting
    band = gear.setting.basis.tight_band
    return judge(step, SETTING, planned, greatest, band, note=gear.setting_note)


@kept(SOME)
def _stress(step: str, gear: RiserGear) -> CheckRecord:
    """Top and foot of the main pipe: between them, or between kinds of joints, all goes straight.

    The whole setting pulls at the top, nothing taken off for angle and friction, and the
    weights are nominal: where tension is the danger, that is the safe side.
    """
    hole, joint = gear.setting, gear.joint
    z, weight = np.array([0.0, float(gear.foot)]), [0.0, float(gear.nominal_weight)]
    if gear.stack_up is not None:
        edges = gear.stack_up.edges
        z = np.append(0.0, edges[edges > 0.0])
        weight = [0.0, *gear.weight_above(z[1:], nominal=True).tolist()]
    weights = Value(
        "load",
        np.array(weight),
        "N",
        Solved("of riser and mud in water, above the place", "definition", (gear.nominal_weight,)),
        -1,
    )
    effective = Value(
        "effective_tension",
        float(gear.planned_setting) - np.asarray(weights.si),
        "N",
        Solved(
            "planned setting less the weight in water above", "definition",
            (gear.planned_setting, weights),
        ),
        -1,
    )  # fmt: skip
    zero = Value("pressure_at_top", 0.0, "Pa", FromWalk("open to the air at the flow line"))
    inside = pressure_under(hole, gear.heaviest_mud, zero, hole.flow_line, z)
    inside, outside = inside.named("internal_pressure"), sea_pressure(hole, z)
    pipe = {
        "outside_diameter": joint.value("outside_diameter"),
        "internal_pressure": inside,
        "external_pressure": outside.named("external_pressure"),
    }
    force = work(wall_tension, effective_tension=effective, inside_diameter=gear.bore, **pipe)
    stress = work(triaxial_equivalent_stress, wall=joint.value("wall"), axial_force=force, **pipe)
    share, strength = hole.basis.value("riser_stress_share"), joint.value("yield_strength")
    capacity = Value(
        "equivalent_stress",
        float(share) * float(strength),
        "Pa",
        Solved("share of the yield strength", "api-rp-16q", (share, strength)),
    )
    depths = depths_of(hole, z)
    band = hole.basis.tight_band
    return judge(step, STRESS, stress, capacity, band, depths, note=gear.setting_note)


@kept(SOME)
def _lift_off(step: str, gear: RiserGear) -> CheckRecord:
    package = gear.stack.value("lower_package_weight_in_water")
    demand = Value(
        "top_tension",
        float(gear.slip_ring_tension) + float(package),
        "N",
        Solved(
            "weight of riser and mud in water, and of the lower riser package",
            "definition",
            (gear.slip_ring_tension, package),
        ),
    )
    band = gear.setting.basis.tight_band
    return judge(step, LIFT_OFF, demand, gear.vertical_pull(), band, note=gear.setting_note)


def greatest_wellhead_pressure(hole: Hole) -> tuple[Value, float, str]:
    """Return the greatest pressure at the sea bed from any section to come, its depth, and whence.

    The zone at the foot of each section is taken stronger than the prognosis by the kick
    intensity, as for the casings.
    """
    if hole.site.greatest_wellhead_pressure is not None:
        given = hole.site.value("greatest_wellhead_pressure", "wellhead_pressure")
        return given, float(hole.sea_bed), "as given for the site"
    found = []
    for section in hole.plan.sections:
        if section.returns == "riser":
            bottom, intensity = float(hole.z(section.bottom)), kick_intensity(hole, section)
            pressure = _full_of_gas(hole.setting, section.name, bottom, intensity)
            found.append((pressure, bottom, f"gas from {section.name}"))
    return max(found, key=lambda one: float(one[0]))


@kept(SOME)
def _full_of_gas(setting: Setting, section: str, bottom: float, intensity: Value) -> Value:
    source = work(
        pressure_with_margin,
        pressure=earth_value(setting, "pore_pressure", bottom, "pressure"),
        margin_density=intensity.named("margin_density"),
        height=Value(
            "height", bottom - setting.drill_floor, "m", FromWalk("depth below drill floor")
        ),
        gravity=gravity_value(setting),
    )
    return work(
        wellhead_pressure_full_of_gas,
        formation_pressure=source.named("formation_pressure"),
        height_below_sea_bed=Value(
            "height_below_sea_bed", bottom - setting.sea_bed, "m", FromWalk(f"foot of {section}")
        ),
        temperature=mean_temperature(setting, float(setting.sea_bed), bottom),
        gas_gravity=setting.basis.value("gas_gravity"),
        gravity=gravity_value(setting),
    )


@kept(SOME)
def _rating(step: str, gear: RiserGear, demand: Value, bottom: float, whence: str) -> CheckRecord:
    setting = gear.setting
    rated = gear.stack.value("pressure_rating", "wellhead_pressure")
    capacity, note = least_rating(setting, rated)
    place, band = setting.depth(bottom), setting.basis.tight_band
    note = f"{note}; pressure: {whence}."
    return judge(step, RATING, demand, capacity, band, place, note=note)


@kept(SOME)
def _empty(step: str, gear: RiserGear) -> CheckRecord:
    hole, joint = gear.setting, gear.joint
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
        sea_water_density=mean_density(hole),
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
    return judge(step, EMPTY, demand, capacity, hole.basis.tight_band)
