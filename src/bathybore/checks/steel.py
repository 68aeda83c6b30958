"""Does the steel bear what is inside, outside and below it?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, summed, work
from bathybore.checks.pipe_body import PipeBody, axial, burst, collapse, joint_of, triaxial
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.kernels.segments import weight_over_segments
from bathybore.kernels.string_mechanics import (
    effective_tension,
    slip_crush_stress_ratio,
    slip_lateral_load_factor,
    slip_tension_limit,
)
from bathybore.kernels.tubular_strength import required_capacity
from bathybore.model.hole import Setting
from bathybore.model.plan import Casing, Fluid
from bathybore.operations.casing_loads import (
    LoadCase,
    Placement,
    bending,
    placement,
    service_cases,
    sudden_load,
    wall_left,
    yield_in_heat,
)
from bathybore.operations.catalogue_pipes import CasingPipe, StringPipe
from bathybore.operations.columns import depths_of
from bathybore.operations.exposures import exposures
from bathybore.operations.loads import (
    casing_weight,
    part_weights,
    string_weight,
    tension_at_part_ends,
)
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import CasingInPlace, HoleState, StringInHole

BURST_CASES = ("bumping", "pressure-test", "kick")
HEAT_CASES = ("warmed", "cooled")  # the pressures of other cases, the force of heat or cold
AXIAL_CASES = ("bumping", *HEAT_CASES)


def casing_strength_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the casing just cemented against all load cases of its service, node by node."""
    casing = state.activity.casing
    if casing is None or casing.cement_top is None:
        return
    job, exposed = placement(state, casing), exposures(state.hole, casing)
    step, cases = state.step.name, service_cases(job, exposed)
    if exposed:
        by_name = {case.name: case for case in cases}
        yield _test_covers_kick(step, job, by_name.get("pressure-test"), by_name.get("kick"))
    for case in cases:
        yield from case_checks(step, job, case)


def case_checks(step: str, job: Placement, case: LoadCase) -> Iterator[CheckRecord]:
    """Judge a casing against one load case, node by node."""
    if case.name not in HEAT_CASES:
        pressed = _burst if case.name in BURST_CASES else _collapse
        yield pressed(step, job, case)
    if case.name in AXIAL_CASES:
        yield _axial(step, job, case)
    yield _triaxial(step, job, case)


TEST_COVERS = Question(
    "test-covers-kick",
    Discipline.STEEL,
    "Is the casing tested to at least what a kick could put on it?",
    "Raise the test pressure, and the casing's strength with it if need be.",
    "Common practice: a barrier is tested to the greatest load it may meet.",
)


@kept(SOME)
def _test_covers_kick(
    step: str, job: Placement, test: LoadCase | None, kick: LoadCase | None
) -> CheckRecord:
    """Compare inside less outside under test with that of the worst kick, node by node."""
    if test is None or kick is None:
        return unjudged(step, TEST_COVERS, "the casing has no test_pressure")
    band, places = job.setting.basis.tight_band, depths_of(job.setting, test.z)
    return judge(step, TEST_COVERS, _net(kick), _net(test), band, places)


def _net(case: LoadCase) -> Value:
    inside, outside = case.internal_pressure, case.external_pressure
    origin = Solved("pressure inside less that outside", "definition", (inside, outside))
    net = np.asarray(inside.si) - np.asarray(outside.si)
    return Value("differential_pressure", net, "Pa", origin, -1)


@kept(SOME)
def _burst(step: str, job: Placement, case: LoadCase) -> CheckRecord:
    casing, basis = job.casing, job.setting.basis
    question = Question(
        f"burst-{case.name}",
        Discipline.STEEL,
        f"Does {casing.name} bear the pressure inside: {case.moment}?",
        "Heavier wall or higher grade, or a smaller test pressure.",
    )
    inside, outside = case.internal_pressure, case.external_pressure
    demand, capacity = burst(basis, _body(job, case), inside, outside)
    places = depths_of(job.setting, case.z)
    return judge(step, question, demand, capacity, basis.tight_band, places)


@kept(SOME)
def _collapse(step: str, job: Placement, case: LoadCase) -> CheckRecord:
    casing, basis = job.casing, job.setting.basis
    question = Question(
        f"collapse-{case.name}",
        Discipline.STEEL,
        f"Does {casing.name} bear the pressure outside: {case.moment}?",
        "Heavier wall or higher grade; keep it filled; lighter slurry.",
    )
    inside, outside = case.internal_pressure, case.external_pressure
    demand, capacity = collapse(basis, _body(job, case), inside, outside, case.axial_force)
    places = depths_of(job.setting, case.z)
    return judge(step, question, demand, capacity, basis.tight_band, places)


def _body(job: Placement, case: LoadCase) -> PipeBody:
    return _body_of(job.setting, job.casing.pipe, job.nodes, case.held, case.temperature_change)


@kept(SOME)
def _body_of(
    setting: Setting, pipe: CasingPipe, z: Array, held: bool, change: Value | None
) -> PipeBody:
    """Return the pipe that bears a load; cases without heat of their own share one."""
    wall = wall_left(setting, pipe.wall, held)
    strength = yield_in_heat(setting, pipe.yield_strength, z, change)
    return PipeBody(pipe.outside_diameter, wall, strength, pipe.yield_strength, joint_of(pipe))


@kept(SOME)
def _triaxial(step: str, job: Placement, case: LoadCase) -> CheckRecord:
    casing, basis = job.casing, job.setting.basis
    question = Question(
        f"triaxial-{case.name}",
        Discipline.STEEL,
        f"Does the body of {casing.name} stay below yield, all stresses together: {case.moment}?",
        "Heavier wall or higher grade.",
        "Body only: connections have their own limits.",
    )
    demand, capacity = triaxial(
        basis,
        _body(job, case),
        case.internal_pressure,
        case.external_pressure,
        case.axial_force,
        bending(job.setting, casing.pipe.outside_diameter),
    )
    places = depths_of(job.setting, case.z)
    return judge(step, question, demand, capacity, basis.tight_band, places)


@kept(SOME)
def _axial(step: str, job: Placement, case: LoadCase) -> CheckRecord:
    casing, basis = job.casing, job.setting.basis
    question = Question(
        f"axial-{case.name}",
        Discipline.STEEL,
        f"Do the connections of {casing.name} bear the axial force: {case.moment}?",
        "Tell annulus_warming and casing_cooling; a stronger connection; cement higher up.",
        HEAT_CAUTION if case.name in HEAT_CASES else "",
    )
    demand, capacity = axial(basis, _body(job, case), case.axial_force)
    places, caution = depths_of(job.setting, case.z), _buckling_told(job, case)
    return judge(step, question, demand, capacity, basis.tight_band, places, caution)


HEAT_CAUTION = (
    "Counted from the undisturbed ground, in which the ends are taken to be fixed: a casing that "
    "was cemented colder warms by more. Where design_basis tells no annulus_warming or "
    "casing_cooling, a bound stands for it, which may be far too much in hot ground."
)


def _buckling_told(job: Placement, case: LoadCase) -> str:
    """Return how much of the free length is pressed on the whole; empty where none is.

    Where the effective tension is below zero a pipe tends to buckle (Lubinski 1962); how far
    it does, and whether that harms, is not judged.
    """
    pipe = job.casing.pipe
    effective = np.asarray(
        effective_tension(
            case.axial_force.si,
            case.internal_pressure.si,
            case.external_pressure.si,
            pipe.outside_diameter.si,
            pipe.inside_diameter.si,
        )
    )
    top = job.casing.cement_top
    free = case.z < (-np.inf if top is None else float(top))
    pressed = case.z[free & (effective < 0.0)]
    if not case.held or not pressed.size:
        return ""
    upper, lower = (job.setting.depth(float(z)) for z in (pressed[0], pressed[-1]))
    return (
        f"Effective tension is below zero from {upper} to {lower}, where no cement holds it: the "
        "casing tends to buckle there, which is not judged."
    )


def running_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge casing, landing string, slips and hook while a casing is run to its depth."""
    casing, string = state.activity.casing, state.activity.string
    if casing is None or string is None:
        return
    fluid = casing.outside_fluid or sea_water(state.hole)
    water = fluid if state.riser is not None else sea_water(state.hole)
    weight = casing_weight(casing, fluid, fluid)
    landing = string_weight(string, water, water)
    step, setting = state.step.name, state.hole.setting
    yield _hook(step, setting, (weight, landing), "casing and landing string")
    yield _casing_tension(step, setting, casing, weight)
    yield _string_tension(step, setting, string, water, weight)
    yield _slips(step, setting, string, (weight, landing))


def string_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the string and the hook of a drilling, coring or plugging step at its deepest."""
    string = state.activity.string
    if string is None:
        return
    fluid = state.activity.fluid or sea_water(state.hole)
    weights: tuple[Value, ...] = (string_weight(string, fluid, fluid),)
    step, setting, hung = state.step.name, state.hole.setting, None
    if state.hanging_casing is not None:
        hung = _conductor_weight(setting, state.hanging_casing, fluid)
        weights = (*weights, hung)
    yield _hook(step, setting, weights, "string")
    yield _string_tension(step, setting, string, fluid, hung)
    yield _slips(step, setting, string, weights)


@kept(SOME)
def _conductor_weight(setting: Setting, conductor: CasingInPlace, fluid: Fluid) -> Value:
    wellhead = setting.inventory.wellhead
    return _sum(
        "buoyed_weight",
        "conductor, guide base and wellhead",
        (
            casing_weight(conductor, fluid, fluid),
            wellhead.value("guide_base_weight"),
            wellhead.value("weight"),
        ),
    )


def _sum(name: str, what: str, parts: tuple[Value, ...]) -> Value:
    return summed(name, "N", f"sum of {what}", parts)


@kept(SOME)
def _hook(step: str, setting: Setting, weights: tuple[Value, ...], what: str) -> CheckRecord:
    hoist, basis = setting.vessel.hoist, setting.basis
    question = Question(
        "hook-load",
        Discipline.STEEL,
        f"Does the hoist bear {what}, travelling gear and overpull?",
        "Lighter or shorter string, a tapered one, or a stronger hoist.",
    )
    overpull = basis.value("string_overpull" if what == "string" else "casing_overpull")
    static = _sum(
        "load", f"{what} and travelling gear", (*weights, hoist.value("travelling_weight"))
    )
    heave = hoist.value("heave_residual_load")
    demand = Value(
        "load",
        float(static) * (1.0 + float(heave)) + float(overpull),
        "N",
        Solved(
            "weight, raised by the heave that compensation leaves, and the overpull",
            "assumed",
            (static, heave, overpull),
        ),
    )
    share = basis.value("hook_load_share")
    rating = hoist.value("hook_capacity")
    capacity = Value(
        "load",
        float(share) * float(rating),
        "N",
        Solved("share of the rating", "assumed", (share, rating)),
    )
    return judge(step, question, demand, capacity, basis.tight_band)


@kept(SOME)
def _string_tension(
    step: str, setting: Setting, string: StringInHole, fluid: Fluid, hung: Value | None
) -> CheckRecord:
    """Judge both ends of every part: a taper fails where a strong pipe meets a weak one."""
    basis = setting.basis
    question = Question(
        "string-tension",
        Discipline.STEEL,
        "Does every part of the string bear what hangs below it, overpull and heave included?",
        "Stronger pipe on top, a lighter or tapered string, less overpull.",
        "Body of the pipe in pure tension: torque and bending lower it, tool joints differ.",
    )
    static = tension_at_part_ends(string, fluid, fluid)
    field = "string_overpull" if hung is None else "casing_overpull"
    overpull, heave = basis.value(field), setting.vessel.hoist.value("heave_residual_load")
    below = np.asarray(static.si) + (float(hung) if hung is not None else 0.0)
    parts = (static, overpull, heave) if hung is None else (static, hung, overpull, heave)
    demand = Value(
        "tension",
        below * (1.0 + float(heave)) + float(overpull),
        "N",
        Solved(
            "weight below, raised by the heave that compensation leaves, and the overpull",
            "assumed",
            parts,
        ),
        -1,
    )
    share = basis.value("string_tension_share")
    capacities = [part.pipe.tensile_capacity for part in string.parts]
    capacity = Value(
        "tension",
        float(share) * np.repeat([float(c) for c in capacities], 2),
        "N",
        Solved(
            "share of the tensile capacity of each part, lowest first",
            "api-rp-7g",
            (share, *capacities),
        ),
        -1,
    )
    ends = [z for part in string.parts for z in (part.bottom, part.top)]
    places = tuple(setting.depth(float(z)) for z in ends)
    return judge(step, question, demand, capacity, basis.tight_band, places)


@kept(SOME)
def _slips_bear(setting: Setting, pipe: StringPipe) -> Value:
    """Return the tension at which the squeeze of the slips brings a pipe to yield."""
    hoist = setting.vessel.hoist
    ratio = work(
        slip_crush_stress_ratio,
        outside_diameter=pipe.worn_outside_diameter.named("outside_diameter"),
        slip_length=hoist.value("slip_length"),
        slip_lateral_load_factor=work(
            slip_lateral_load_factor,
            friction_coefficient=hoist.value("slip_friction", "friction_coefficient"),
            slip_taper_angle=hoist.value("slip_taper_angle"),
        ),
    )
    return work(
        slip_tension_limit,
        tensile_capacity=pipe.tensile_capacity.named("tensile_capacity"),
        slip_crush_stress_ratio=ratio,
    )


@kept(SOME)
def _slips(
    step: str, setting: Setting, string: StringInHole, weights: tuple[Value, ...]
) -> CheckRecord:
    hoist, limit = setting.vessel.hoist, _slips_bear(setting, string.parts[-1].pipe)
    question = Question(
        "slips",
        Discipline.STEEL,
        "Does the top pipe bear the squeeze of the slips that hold the string?",
        "Longer slips, thicker pipe at the top, or an elevator landing instead of slips.",
    )
    static = _sum("load", "what hangs in the slips", weights)
    heave = hoist.value("heave_in_slips")
    demand = Value(
        "slip_tension_limit",
        float(static) * (1.0 + float(heave)),
        "N",
        Solved("weight, raised by heave: slips are not compensated", "assumed", (static, heave)),
    )
    share = setting.basis.value("string_tension_share")
    capacity = Value(
        "slip_tension_limit",
        float(share) * float(limit),
        "N",
        Solved("share of the limit that may be used", "api-rp-7g", (share, limit)),
    )
    return judge(step, question, demand, capacity, setting.basis.tight_band)


@kept(SOME)
def _casing_tension(
    step: str, setting: Setting, casing: CasingInPlace, weight: Value
) -> CheckRecord:
    basis = setting.basis
    question = Question(
        "casing-tension",
        Discipline.STEEL,
        f"Does the top joint of {casing.name} bear its weight with shock or overpull?",
        "Higher grade or stronger connection, lower running speed, less overpull.",
    )
    assert isinstance(casing.plan, Casing)  # only casings with a plan of their own are run
    greater = sudden_load(setting, casing.plan, casing.pipe)
    load = _sum("load", "weight in mud and the greater of shock and overpull", (weight, greater))
    demand = work(
        required_capacity,
        load=load,
        design_factor=basis.value("tension_factor", "design_factor"),
    )
    capacity = casing.pipe.joint_strength.named("required_capacity")
    return judge(step, question, demand, capacity, basis.tight_band)


WEIGHT_ON_BIT = Question(
    "weight-on-bit",
    Discipline.STEEL,
    "Do collars and heavy pipe give the weight on bit, so that no drill pipe is pushed?",
    "More collars, or less weight on bit.",
)


def bit_weight_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the planned weight on bit against the buoyed weight of the heavy parts."""
    string, section = state.activity.string, state.activity.section
    if string is None or section is None:
        return
    fluid = state.activity.fluid or sea_water(state.hole)
    demand = section.value("weight_on_bit", "load")
    yield _bit_weight(state.step.name, state.hole.setting, string, fluid, demand)


@kept(SOME)
def _bit_weight(
    step: str, setting: Setting, string: StringInHole, fluid: Fluid, demand: Value
) -> CheckRecord:
    per_length = part_weights(string, fluid, fluid)
    heavy = [
        (index, part) for index, part in enumerate(string.parts) if part.pipe.stock.kind != "pipe"
    ]
    lengths = np.zeros(len(string.parts))
    for index, part in heavy:
        lengths[index] = part.length
    how = FromWalk("collars and heavy-wall pipe only: lengths of the parts, lowest first")
    weight = work(
        weight_over_segments,
        effective_weight_per_length=per_length,
        segment_length=Value("segment_length", lengths, "m", how),
    )
    share = setting.basis.value("bit_weight_share")
    usable = Value(
        "load",
        float(share) * float(weight),
        "N",
        Solved(
            "share of the heavy parts' weight that may stand on the bit",
            "common-practice",
            (share, weight),
        ),
    )
    return judge(step, WEIGHT_ON_BIT, demand, usable, setting.basis.tight_band)
