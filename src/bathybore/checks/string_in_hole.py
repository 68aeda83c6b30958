"""Does the string turn, slide and come out of the hole as it is, and bear what that takes?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from bathybore.base.depth import BelowSeaLevel
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.kernels.drill_pipe_strength import (
    fatigue_bending_stress_grade_e,
    fatigue_bending_stress_grade_s,
    tension_under_torque,
    torsional_yield,
)
from bathybore.kernels.segments import factored_pressure_difference
from bathybore.kernels.soft_string import (
    critical_buckling_load,
    permissible_dogleg,
    vertical_critical_buckling_load,
)
from bathybore.kernels.string_mechanics import margin_of_overpull
from bathybore.kernels.tubular_collapse import collapse_pressure_under_tension
from bathybore.kernels.tubular_stress import axial_stress_of_force
from bathybore.model.hole import Setting
from bathybore.model.plan import Fluid
from bathybore.operations.catalogue_pipes import StringPipe
from bathybore.operations.columns import depths_of, pressure_under, sea_pressure, top_of_column
from bathybore.operations.geometry import Bore, bores
from bathybore.operations.loads import part_weights
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import HoleState
from bathybore.operations.torque_and_drag import DRILLING, IN, OUT, TURNING, StringRun, string_run

_UPRIGHT = 0.05  # rad; below it pipe does not lie on the wall
_LEAST_ROOM = 1e-3  # m; tool joints that fill the bore are judged elsewhere
_OPEN_WATER = 10.0  # m; only upright pipe is in it, whose limit asks for no bore
_S_135 = 135e3 * 6894.757293168361  # Pa
_SOFT = "Soft string: bending stiffness, tool joints between stations and buckling are left out."
OVERPULL = Question(
    "margin-of-overpull",
    Discipline.STEEL,
    "With the drag of the real hole, is the pull to free the string left at every joint?",
    "Stronger pipe on top, a lighter or tapered string, a straighter hole, lubricant.",
    _SOFT,
)
HOOK = Question(
    "hook-load-pulling",
    Discipline.STEEL,
    "Does the hoist pull the string out against the drag of the real hole, with overpull?",
    "A lighter string, a straighter hole, lubricant, or a stronger hoist.",
    _SOFT,
)
GOES_DOWN = Question(
    "string-goes-down",
    Discipline.STEEL,
    "Does the string go down the real hole by its own weight?",
    "Heavier pipe in the upright part, a straighter hole, lubricant.",
    _SOFT,
)
TORQUE = Question(
    "string-torque",
    Discipline.STEEL,
    "Does every part of the string bear the torque of bit and friction?",
    "Less weight on bit, a less aggressive bit, stronger connections, lubricant.",
    "Body of the pipe: tool joints have their own limits. Stick-slip goes far beyond the mean.",
)
TOGETHER = Question(
    "tension-with-torque",
    Discipline.STEEL,
    "Does every part bear its tension and the torque together?",
    "Stronger pipe on top, less torque, a lighter or tapered string.",
    "Body of the pipe, API RP 7G: overpull is not to be put on while torque is held.",
)
BUCKLING = Question(
    "pipe-buckling",
    Discipline.STEEL,
    "Does no drill pipe buckle where it is pushed, run in or drilling?",
    "More collars, heavier pipe in the upright part, a straighter hole, less weight on bit.",
    "Onset of the first bends: pipe that turns tires in them, pipe that slides may still go.",
)
FATIGUE = Question(
    "dogleg-fatigue",
    Discipline.STEEL,
    "Do the bends of the hole spare the turning pipe from fatigue?",
    "Ream the bend, less tension in it, fewer hours there, thicker or softer pipe.",
    "No corrosion; softer grades are taken as E-75. Count of turns not worked out.",
)
EMPTIED = Question(
    "emptied-pipe",
    Discipline.STEEL,
    "Does the pipe bear the pressure outside while it is run unfilled?",
    "Fill it more often, no float, thicker pipe.",
)


def string_in_hole_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge torque and unfilled pipe of every string, drag and fatigue in a surveyed hole."""
    run = run_of(state)
    if run is None:
        return
    step = state.step.name
    yield _torque(step, run)
    yield _together(step, run)
    yield _emptied(step, run, _pressure_where_filled(state, run))
    if run.rubbing:
        yield _overpull(step, run)
        yield _hook(step, run)
        yield _goes_down(step, run)
        yield _buckling(step, run, bores(state))
        yield from _fatigue(step, run)


def run_of(state: HoleState) -> StringRun | None:
    """Return the string of a drilling or coring step at the bottom of its hole."""
    activity = state.activity
    if activity.string is None or activity.section is None:
        return None
    fluid = activity.fluid or sea_water(state.hole)
    section = activity.section
    return string_run(
        state.hole.setting,
        activity.string,
        state.deepest_shoe,
        fluid,
        section.value("weight_on_bit"),
        section.value("hole_diameter", "bit_diameter"),
    )


@kept(SOME)
def _torque(step: str, run: StringRun) -> CheckRecord:
    basis = run.setting.basis
    share = basis.value("string_torque_share")
    limits = [_torsional_yield(part.pipe) for part in run.string.parts]
    limit = run.of_parts("torsional_yield", "N m", limits)
    capacity = Value(
        "torque",
        float(share) * np.asarray(limit.si),
        "N m",
        Solved("share of torsional yield that may be used", "common-practice", (share, limit)),
        -1,
    )
    places = depths_of(run.setting, run.z)
    return judge(step, TORQUE, run.torque, capacity, basis.tight_band, places)


@kept(SOME)
def _torsional_yield(pipe: StringPipe) -> Value:
    return work(torsional_yield, **_worn(pipe))


@kept(SOME)
def _worn(pipe: StringPipe) -> Mapping[str, Value]:
    """Return the worn body of a pipe: worn from outside, the bore as new."""
    left = float(pipe.wall) * pipe.stock.remaining_wall
    how = FromWalk("nominal wall times the remaining share of the pipe's class")
    return {
        "outside_diameter": pipe.worn_outside_diameter.named("outside_diameter"),
        "wall": Value("wall", left, "m", how),
        "yield_strength": pipe.yield_strength,
    }


def _worn_nodes(run: StringRun) -> dict[str, Value]:
    bodies = [_worn(part.pipe) for part in run.string.parts]
    units = {"outside_diameter": "m", "wall": "m", "yield_strength": "Pa"}
    return {
        name: run.of_parts(name, unit, [body[name] for body in bodies])
        for name, unit in units.items()
    }


@kept(SOME)
def _together(step: str, run: StringRun) -> CheckRecord:
    basis, heave = run.setting.basis, run.setting.vessel.hoist.value("heave_residual_load")
    turning = run.tension(TURNING)
    demand = Value(
        "tension_under_torque",
        np.asarray(turning.si) * (1.0 + float(heave)),
        "N",
        Solved(
            "tension off the bottom, raised by the heave that compensation leaves",
            "assumed",
            (turning, heave),
        ),
        -1,
    )
    limit = work(tension_under_torque, torque=run.torque, **_worn_nodes(run))
    share = basis.value("string_tension_share")
    capacity = Value(
        "tension_under_torque",
        float(share) * np.asarray(limit.si),
        "N",
        Solved("share of the tensile capacity under torque", "api-rp-7g", (share, limit)),
        -1,
    )
    places = depths_of(run.setting, run.z)
    return judge(step, TOGETHER, demand, capacity, basis.tight_band, places)


# ---- run unfilled ------------------------------------------------------------------------


def _pressure_where_filled(state: HoleState, run: StringRun) -> Value:
    """Return the pressure outside at the level to which the pipe stands empty.

    Below that level the difference grows no more: both columns do.
    """
    setting = run.setting
    deep = setting.drill_floor + setting.basis.string_unfilled_length
    top, pressure = top_of_column(state)
    return _outside(setting, run.fluid, pressure, top, float(min(deep, run.string.bottom)))


@kept(SOME)
def _outside(
    setting: Setting, fluid: Fluid, pressure: Value, top: BelowSeaLevel, z: float
) -> Value:
    if z <= top:
        return sea_pressure(setting, max(z, 0.0)).named("external_pressure")
    return pressure_under(setting, fluid, pressure, top, z).named("external_pressure")


@kept(SOME)
def _emptied(step: str, run: StringRun, outside: Value) -> CheckRecord:
    """Judge every drill pipe at its top, where tension leaves it the least."""
    basis = run.setting.basis
    tension, tops = (
        np.asarray(run.tension(TURNING).si),
        np.searchsorted(run.above_bit, run.ends[1:]),
    )
    chosen = [i for i, part in enumerate(run.string.parts) if part.pipe.stock.kind == "pipe"]
    if not chosen:
        return unjudged(step, EMPTIED, "the string has no drill pipe")
    names = "; ".join(run.string.parts[i].pipe.name for i in chosen)
    how = FromWalk(f"of each drill pipe, lowest first: {names}")
    bodies = [_worn(run.string.parts[i].pipe) for i in chosen]

    def over_pipes(name: str, unit: str) -> Value:
        return Value(name, np.array([float(b[name]) for b in bodies]), unit, how, -1)

    body = {n: over_pipes(n, u) for n, u in (("outside_diameter", "m"), ("wall", "m"))}
    pull = Value("axial_force", tension[np.minimum(tops, len(tension) - 1)][chosen], "N", how, -1)
    capacity = work(
        collapse_pressure_under_tension,
        **body,
        yield_strength=over_pipes("yield_strength", "Pa"),
        axial_stress=work(axial_stress_of_force, axial_force=pull, **body),
        internal_pressure=Value("internal_pressure", 0.0, "Pa", FromWalk("air in the pipe")),
    )
    demand = work(
        factored_pressure_difference,
        higher_pressure=outside.named("higher_pressure"),
        lower_pressure=Value("lower_pressure", 0.0, "Pa", FromWalk("air in the pipe")),
        design_factor=basis.value("collapse_factor", "design_factor"),
    )
    places = tuple(run.setting.depth(float(run.string.parts[i].top)) for i in chosen)
    unfilled = basis.string_unfilled_length
    note = f"Unfilled down to {unfilled:.0f} m below the drill floor."
    return judge(step, EMPTIED, demand, capacity, basis.tight_band, places, note=note)


# ---- in the crooked hole -----------------------------------------------------------------


@kept(SOME)
def _overpull(step: str, run: StringRun) -> CheckRecord:
    basis = run.setting.basis
    share = basis.value("string_tension_share")
    limit = run.of_parts(
        "tensile_capacity", "N", [part.pipe.tensile_capacity for part in run.string.parts]
    )
    allowed = Value(
        "tensile_capacity",
        float(share) * np.asarray(limit.si),
        "N",
        Solved("share of the tensile capacity", "api-rp-7g", (share, limit)),
        -1,
    )
    left = work(
        margin_of_overpull,
        tensile_capacity=allowed,
        top_tension=run.tension(OUT).named("top_tension"),
    )
    needed = basis.value("string_overpull", "margin_of_overpull")
    places = depths_of(run.setting, run.z)
    return judge(step, OVERPULL, needed, left, basis.tight_band, places)


@kept(SOME)
def _hook(step: str, run: StringRun) -> CheckRecord:
    basis, hoist = run.setting.basis, run.setting.vessel.hoist
    pull, gear = run.top_tension(OUT), hoist.value("travelling_weight")
    heave, overpull = hoist.value("heave_residual_load"), basis.value("string_overpull")
    demand = Value(
        "load",
        (float(pull) + float(gear)) * (1.0 + float(heave)) + float(overpull),
        "N",
        Solved(
            "pull with drag and travelling gear, raised by the heave that compensation leaves, "
            "and the overpull",
            "assumed",
            (pull, gear, heave, overpull),
        ),
    )
    share, rating = basis.value("hook_load_share"), hoist.value("hook_capacity")
    origin = Solved("share of the rating", "assumed", (share, rating))
    capacity = Value("load", float(share) * float(rating), "N", origin)
    return judge(step, HOOK, demand, capacity, basis.tight_band)


@kept(SOME)
def _goes_down(step: str, run: StringRun) -> CheckRecord:
    """Compare the drag on the way in with the weight that pushes."""
    weight, down = run.top_tension(TURNING), run.top_tension(IN)
    demand = Value(
        "string_drag",
        float(weight) - float(down),
        "N",
        Solved("weight less the tension left while run in", "definition", (weight, down)),
    )
    band = run.setting.basis.tight_band
    return judge(step, GOES_DOWN, demand, weight.named("string_drag"), band)


@kept(SOME)
def _buckling(step: str, run: StringRun, walls: tuple[Bore, ...]) -> CheckRecord:
    """Judge drill pipe only: collars are there to be pushed."""
    pipes = [part.pipe for part in run.string.parts]
    drill = np.array([pipe.stock.kind == "pipe" for pipe in pipes])[run.parts]
    nodes = np.flatnonzero(drill)
    if not nodes.size:
        return unjudged(step, BUCKLING, "the string has no drill pipe")
    ways = (run.tension(IN), run.tension(DRILLING))
    pushed = np.maximum(-np.minimum(*(np.asarray(one.si)[nodes] for one in ways)), 0.0)
    demand = Value(
        "critical_buckling_load",
        pushed,
        "N",
        Solved(
            "compression run in or drilling, the greater; zero where the string is pulled",
            "johancsik-1984",
            tuple(Value(one.name, np.asarray(one.si)[nodes], "N", one.origin, -1) for one in ways),
        ),
        -1,
    )
    band, places = run.setting.basis.tight_band, depths_of(run.setting, run.z[nodes])
    return judge(step, BUCKLING, demand, _critical(run, walls, nodes), band, places)


def _critical(run: StringRun, walls: tuple[Bore, ...], nodes: np.ndarray) -> Value:
    """Return the compression at which pipe first bends: lying in a slant, or hanging upright."""
    weights = np.atleast_1d(np.asarray(part_weights(run.string, run.fluid, run.fluid).si))
    pipes = [part.pipe for part in run.string.parts]
    how = FromWalk("of the pipe and the bore at the place, stand by stand")
    tilt = run.inclination[nodes]

    def over_nodes(name: str, unit: str, numbers: np.ndarray) -> Value:
        return Value(name, numbers, unit, how, -1)

    def of_pipes(name: str) -> Value:
        numbers = np.array([float(getattr(pipe, name)) for pipe in pipes])
        return over_nodes(name, "m", numbers[run.parts[nodes]])

    body = {
        "outside_diameter": of_pipes("outside_diameter"),
        "inside_diameter": of_pipes("inside_diameter"),
        "effective_weight_per_length": over_nodes(
            "effective_weight_per_length", "N/m", weights[run.parts[nodes]]
        ),
    }
    room = _bore_at(walls, run.z[nodes]) - np.asarray(of_pipes("tool_joint_outside_diameter").si)
    lying = work(
        critical_buckling_load,
        **body,
        radial_clearance=over_nodes("radial_clearance", "m", np.maximum(0.5 * room, _LEAST_ROOM)),
        inclination=over_nodes("inclination", "rad", np.maximum(tilt, _UPRIGHT)),
    )
    hanging = work(vertical_critical_buckling_load, **body)
    numbers = np.where(tilt > _UPRIGHT, np.asarray(lying.si), np.asarray(hanging.si))
    origin = Solved(
        "lying on the low side above 3 degrees, hanging upright below", "definition",
        (lying, hanging),
    )  # fmt: skip
    return Value("critical_buckling_load", numbers, "N", origin, -1)


def _bore_at(walls: tuple[Bore, ...], z: np.ndarray) -> np.ndarray:
    """Return the bore at depths; in open water, where nothing holds the pipe, a wide one."""
    bore = np.full(len(z), _OPEN_WATER)
    for wall in walls:
        bore[(z >= wall.top) & (z <= wall.bottom)] = wall.diameter
    return bore


def _fatigue(step: str, run: StringRun) -> Iterator[CheckRecord]:
    """Judge drill pipe in the bends, by the two grades whose limits are published."""
    pipes = [part.pipe for part in run.string.parts]
    hard = np.array([float(pipe.yield_strength) >= _S_135 * 0.999 for pipe in pipes])
    drill = np.array([pipe.stock.kind == "pipe" for pipe in pipes])
    alloy = np.array([pipe.stock.material != "steel" for pipe in pipes])
    bent = np.asarray(run.bend.si) > 0.0
    for name, group in (("", hard & ~alloy), ("-softer-grades", ~hard & ~alloy)):
        nodes = np.flatnonzero((group & drill)[run.parts] & bent)
        if nodes.size:
            yield _fatigue_of(step, run, name, tuple(int(n) for n in nodes))
    if (alloy & drill)[run.parts][bent].any():
        reason = "no fatigue limit of light alloys is at hand"
        yield unjudged(step, _named("-light-alloy"), reason)


def _named(suffix: str) -> Question:
    name = f"{FATIGUE.name}{suffix}"
    return Question(name, FATIGUE.discipline, FATIGUE.text, FATIGUE.remedy, FATIGUE.caution)


@kept(SOME)
def _fatigue_of(step: str, run: StringRun, name: str, nodes: tuple[int, ...]) -> CheckRecord:
    at = np.array(nodes)
    pipes = [part.pipe for part in run.string.parts]
    how = FromWalk("of the pipe in the bend, stand by stand")

    def over_nodes(wanted: str, unit: str, numbers: list[float]) -> Value:
        return Value(wanted, np.array(numbers)[run.parts[at]], unit, how, -1)

    turning = run.tension(TURNING)
    pull = Value("axial_force", np.asarray(turning.si)[at], "N", turning.origin, -1)
    sizes = {
        "outside_diameter": over_nodes(
            "outside_diameter", "m", [float(p.outside_diameter) for p in pipes]
        ),
        "wall": over_nodes("wall", "m", [float(p.wall) for p in pipes]),
    }
    kernel = fatigue_bending_stress_grade_e if name else fatigue_bending_stress_grade_s
    capacity = work(
        permissible_dogleg,
        outside_diameter=sizes["outside_diameter"],
        inside_diameter=over_nodes(
            "inside_diameter", "m", [float(p.inside_diameter) for p in pipes]
        ),
        axial_force=pull,
        fatigue_bending_stress=work(
            kernel, axial_stress=work(axial_stress_of_force, axial_force=pull, **sizes)
        ),
    ).named("dogleg_severity")
    bend = run.bend
    demand = Value("dogleg_severity", np.asarray(bend.si)[at], "rad/m", bend.origin, -1)
    band, places = run.setting.basis.tight_band, depths_of(run.setting, run.z[at])
    return judge(step, _named(name), demand, capacity, band, places)
