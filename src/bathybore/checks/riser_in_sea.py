"""Does the riser bear current, waves and vortices, and being let go of the well?

The quick questions on the riser take it for a string; these take it for a beam in the planned
sea. Each asks what the quick ones leave out, so that no question has two verdicts.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bathybore.base.keeping import SOME, kept
from bathybore.base.units import show
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.kernels.hang_off import recoil_rise, recoil_speed
from bathybore.kernels.riser_waves import greatest_joint_angle
from bathybore.kernels.soft_string import bending_stress_from_dogleg
from bathybore.kernels.string_mechanics import wall_tension
from bathybore.kernels.tubular_stress import triaxial_equivalent_stress
from bathybore.kernels.vortex_vibration import cycles_to_failure
from bathybore.kernels.wave_fatigue import dirlik_fatigue_rate, wave_fatigue_rate
from bathybore.operations.columns import depths_of, pressure_under, sea_pressure
from bathybore.operations.hung_riser import HungRiser, hung_on_tensioners, hung_riser
from bathybore.operations.riser_fatigue import weld_stress
from bathybore.operations.riser_in_waves import (
    SWAY_PROBLEM,
    Swaying,
    Swinging,
    swaying,
    swinging,
)
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.riser_shape import SeaRiser, sea_riser
from bathybore.operations.sea_conditions import current_note
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind

_CAUTION = (
    "Waves along the current: across it the foot swings more, but square to its mean angle, which "
    "is less in all where that mean is not small. Sway about the vertical, weight even along it "
    "where no stack-up is told, hull taken for a box where no motions are given: a riser analysis "
    "replaces it. Limit of API RP 16Q, from memory."
)
UPPER = Question(
    "upper-flex-joint",
    Discipline.RISER,
    "At the offset where drilling stops, does the upper flex joint stay within its mean angle?",
    "More top tension, a smaller watch circle, less current.",
    _CAUTION,
)
LOWER_IN_WAVES = Question(
    "lower-flex-joint-in-waves",
    Discipline.RISER,
    "In the planned sea at that offset, does the lower flex joint stay within its greatest angle?",
    "More top tension, a smaller watch circle, a calmer sea.",
    _CAUTION,
)
UPPER_IN_WAVES = Question(
    "upper-flex-joint-in-waves",
    Discipline.RISER,
    "In the planned sea at that offset, does the upper flex joint stay within its greatest angle?",
    "A heading into the sea, a calmer sea, more top tension, a smaller watch circle.",
    _CAUTION + " Pitch and roll count, both as if they leaned with the waves.",
)
STRESS_IN_WAVES = Question(
    "riser-stress-in-waves",
    Discipline.RISER,
    "Does the main pipe of the riser bear tension, mud and the bending by current and waves?",
    "A stronger riser, another tension, a smaller watch circle, a calmer sea.",
    _CAUTION + " Couplings and lines are not judged.",
)
VORTEX = Question(
    "riser-vortex-fatigue",
    Discipline.RISER,
    "Do the girth welds of the riser bear the vibration by vortices while it is connected?",
    "More top tension, strakes or fairings where the current is strong, less current.",
    "Screening: the planned current all the time, each mode as if it alone locked in, the worst "
    "taken; amplitude, damping and weld curve are published fits, from memory. Fatigue by waves "
    "comes on top.",
)
COMPRESSION = Question(
    "hang-off-compression",
    Discipline.RISER,
    "Hung off in the planned sea, does the riser stay in tension all along?",
    "Hang it off on the tensioners, fewer modules, a heavier package, retrieve it sooner.",
    "Held as hard as the vessel moves, modules evenly spread. Bending by current, waves and the "
    "vessel under way is not judged.",
)
PEAK = Question(
    "hang-off-peak",
    Discipline.RISER,
    "Hung off in the planned sea, does the hoist bear riser and lower package with their swing?",
    "Hang it off on the tensioners, more buoyancy, retrieve it before the sea rises.",
    "Held as hard as the vessel moves. The spider or hang-off joint must bear it as well.",
)
_SOFT = (
    "Pull linear in the stroke, modules evenly spread, one motion up and down. Bending by current, "
    "waves and the vessel under way is not judged; ring and tensioners are locked by the vessel's "
    "own procedure."
)
SOFT_COMPRESSION = Question(
    "soft-hang-off-compression",
    Discipline.RISER,
    "Hung on the tensioners in the planned sea, does the riser stay in tension all along?",
    "Fewer modules, a heavier package, softer tensioners, retrieve it sooner.",
    _SOFT,
)
SOFT_PEAK = Question(
    "soft-hang-off-peak",
    Discipline.RISER,
    "Hung on the tensioners in the planned sea, do those left after a loss bear riser and lower "
    "package with their swing?",
    "More tensioners, more buoyancy, hang it off hard, retrieve it before the sea rises.",
    _SOFT,
)
SOFT_STROKE = Question(
    "soft-hang-off-stroke",
    Discipline.RISER,
    "Hung on the tensioners in the planned sea, does their stroke span heave, swing and tide?",
    "More stroke, stiffer tensioners, a calmer sea, hang it off hard.",
    _SOFT + " The pull is set for the middle of the stroke.",
)
RECOIL = Question(
    "riser-recoil",
    Discipline.RISER,
    "Let go at the planned tension, does the riser come to rest before it hits the vessel?",
    "Less tension, a faster anti-recoil, more stroke.",
    "Screening: a rigid riser, the mud run out at once, no friction. A recoil analysis with the "
    "tensioners' valves replaces it.",
)
WAVE_FATIGUE = Question(
    "riser-wave-fatigue",
    Discipline.RISER,
    "Do the girth welds of the riser bear the bending by waves while it is connected?",
    "More top tension, a calmer season, stiffer joints beside the flex joints.",
    "The planned sea all the time, as a rule more than the place has; ranges by Rayleigh's law, "
    "the main pipe alone. Fatigue by vortices adds to it: riser-vortex-fatigue.",
)
_AT_LANDING = (UPPER, LOWER_IN_WAVES, UPPER_IN_WAVES, STRESS_IN_WAVES, RECOIL)
_HANGS = {"hard": (COMPRESSION, PEAK), "soft": (SOFT_COMPRESSION, SOFT_PEAK, SOFT_STROKE)}


def riser_studies(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the riser just landed in the planned sea, and let go of the well."""
    gear, step = RiserGear.of(state.hole), state.step.name
    if gear is None or gear.heaviest is None:
        for question in (*_AT_LANDING, *_HANGS[state.hole.basis.riser_hang_off]):
            yield unjudged(step, question, "riser, preventer, tensioners or mud are not described")
        return
    riser = sea_riser(gear)
    yield from _hung(step, hung_riser(riser))
    sway = swaying(riser)  # raises where the riser buckles: what was found before is kept
    yield _upper(step, sway)
    yield _lower_in_waves(step, sway)
    yield _upper_in_waves(step, sway)
    yield _stress(step, sway)


def vortex_studies(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the vibration by vortices when the riser is let go, or stays behind."""
    if state.step.kind is StepKind.DEPART and state.riser is None:
        return
    gear = RiserGear.of(state.hole)
    if gear is not None and gear.heaviest is not None:
        time = connected_since_landing(state)
        yield _vortex(state.step.name, swinging(sea_riser(gear)), time)
        yield _wave_fatigue(state.step.name, swaying(sea_riser(gear)), time)


def connected_since_landing(state: HoleState) -> float:
    """Return how long the riser has been connected [s]."""
    return sum(float(one) for one in _since_landing(state))


def _since_landing(state: HoleState) -> tuple[Value, ...]:
    """Return the durations of the steps since the riser was landed."""
    names = [one.name for one in state.durations]
    landed = names.index("run-riser") + 1 if "run-riser" in names else len(names)
    return state.durations[landed:]


def _note(gear: RiserGear) -> str:
    return " ".join(filter(None, (gear.setting_note, current_note(gear.setting))))


@kept(SOME)
def _upper(step: str, sway: Swaying) -> CheckRecord:
    setting = sway.riser.gear.setting
    capacity = setting.basis.value("flex_joint_drilling", "upper_flex_joint_angle")
    demand, place = sway.mean.upper_angle, setting.depth(float(setting.drill_floor))
    band, note = setting.basis.tight_band, _note(sway.riser.gear)
    return judge(step, UPPER, demand, capacity, band, place, note=note)


@kept(SOME)
def _lower_in_waves(step: str, sway: Swaying) -> CheckRecord:
    gear = sway.riser.gear
    return _in_waves(step, LOWER_IN_WAVES, sway, sway.mean.lower_angle, sway.lower_swing, gear.foot)


@kept(SOME)
def _upper_in_waves(step: str, sway: Swaying) -> CheckRecord:
    floor = float(sway.riser.gear.setting.drill_floor)
    return _in_waves(step, UPPER_IN_WAVES, sway, sway.mean.upper_angle, sway.upper_swing, floor)


def _in_waves(
    step: str, question: Question, sway: Swaying, mean: Value, swing: Value, z: float
) -> CheckRecord:
    setting = sway.riser.gear.setting
    demand = work(
        greatest_joint_angle,
        mean_joint_angle=mean.named("mean_joint_angle"),
        joint_angle_swing=swing.named("joint_angle_swing"),
    )
    capacity = setting.basis.value("flex_joint_greatest", "greatest_joint_angle")
    note = (
        f"Mean {show(float(mean), 'rad', significant=3)}, swing "
        f"{show(float(swing), 'rad', significant=3)} in three hours."
    )
    return judge(
        step, question, demand, capacity, setting.basis.tight_band, setting.depth(z), note=note
    )


def greatest_bending(sway: Swaying) -> Value:
    """Return the greatest bending stress at the nodes: on the mean, and by the waves on top."""
    mean, swing = sway.mean.curvature, sway.curvature_swing
    origin = Solved("mean and greatest swing", "definition", (mean, swing))
    total = np.asarray(mean.si) + np.asarray(swing.si)
    return work(
        bending_stress_from_dogleg,
        outside_diameter=sway.riser.gear.joint.value("outside_diameter"),
        dogleg_severity=Value("dogleg_severity", total, "rad/m", origin, -1),
        young_modulus=sway.riser.young,
    )


@kept(SOME)
def equivalent_stress(sway: Swaying) -> Value:
    """Return the stress at the offset where drilling stops."""
    return stress_of(sway)


def stress_of(sway: Swaying) -> Value:
    """Return von Mises' stress of the main pipe at the nodes: tension, mud, sea and bending.

    The whole setting pulls at the top, as for the stress without bending.
    """
    riser, gear = sway.riser, sway.riser.gear
    setting, joint = gear.setting, gear.joint
    z = np.maximum(riser.nodes, float(setting.flow_line))
    zero = Value("pressure_at_top", 0.0, "Pa", FromWalk("open to the air at the flow line"))
    inside = pressure_under(setting, gear.heaviest_mud, zero, setting.flow_line, z)
    pipe = {
        "outside_diameter": joint.value("outside_diameter"),
        "internal_pressure": inside.named("internal_pressure"),
        "external_pressure": sea_pressure(setting, np.maximum(z, 0.0)).named("external_pressure"),
    }
    force = work(
        wall_tension,
        effective_tension=riser.tension_at_nodes(gear.planned_setting),
        inside_diameter=gear.bore,
        **pipe,
    )
    return work(
        triaxial_equivalent_stress,
        wall=joint.value("wall"),
        axial_force=force,
        bending_stress=greatest_bending(sway),
        **pipe,
    )


def allowed_riser_stress(gear: RiserGear) -> Value:
    """Return what the main pipe may be stressed to."""
    share, strength = gear.setting.basis.value("riser_stress_share"), gear.joint.value(
        "yield_strength"
    )  # fmt: skip
    origin = Solved("share of the yield strength", "api-rp-16q", (share, strength))
    return Value("equivalent_stress", float(share) * float(strength), "Pa", origin)


@kept(SOME)
def _stress(step: str, sway: Swaying) -> CheckRecord:
    gear = sway.riser.gear
    setting, capacity = gear.setting, allowed_riser_stress(gear)
    depths = depths_of(setting, sway.riser.nodes)
    band, note = setting.basis.tight_band, gear.setting_note
    return judge(step, STRESS_IN_WAVES, equivalent_stress(sway), capacity, band, depths, note=note)


# ---- vortices ---------------------------------------------------------------------------------


def stress_ranges(swing: Swinging) -> np.ndarray:
    """Return the greatest stress range of every mode at a weld [Pa]."""
    basis, joint = swing.riser.gear.setting.basis, swing.riser.gear.joint
    bending = swing.vibration.bending.max(axis=-1)
    stress = bending_stress_from_dogleg(joint.outside_diameter, bending, float(swing.riser.young))
    return 2.0 * basis.riser_stress_concentration * np.asarray(stress)


def lives(swing: Swinging) -> np.ndarray:
    """Return the time for which the worst weld bears each mode [s]."""
    cycles = np.asarray(cycles_to_failure(stress_ranges(swing)))
    return cycles * 2.0 * np.pi / swing.vibration.frequency


@kept(SOME)
def _vortex(step: str, swing: Swinging, connected: float) -> CheckRecord:
    riser, setting = swing.riser, swing.riser.gear.setting
    mode = int(np.argmin(lives(swing)))
    node = int(np.argmax(swing.vibration.bending[mode]))
    number = mode + 1
    bending = work(
        bending_stress_from_dogleg,
        outside_diameter=riser.gear.joint.value("outside_diameter"),
        dogleg_severity=swing.value(
            "dogleg_severity",
            float(swing.vibration.bending[mode, node]),
            "rad/m",
            f"curvature of mode {number} at the amplitude of Griffin's fit, damped by the water "
            "that does not drive it",
        ),
        young_modulus=riser.young,
    )
    raised = setting.basis.value("riser_stress_concentration")
    reach = Value(
        "stress_range",
        2.0 * float(raised) * float(bending),
        "Pa",
        Solved("from trough to crest, raised at the weld", "definition", (raised, bending)),
    )
    cycles = work(cycles_to_failure, stress_range=reach)
    period = swing.value(
        "lateral_period", 2.0 * np.pi / float(swing.vibration.frequency[mode]), "s",
        f"period of mode {number}",
    )  # fmt: skip
    life = Value(
        "duration",
        float(cycles) * float(period),
        "s",
        Solved("cycles times period", "definition", (cycles, period)),
    )
    factor = setting.basis.value("riser_fatigue_factor")
    time = Value("duration", connected, "s", FromWalk("from landing to letting go"))
    origin = Solved("time connected times the factor on it", "definition", (time, factor))
    demand = Value("duration", float(factor) * connected, "s", origin)
    place = setting.depth(float(riser.nodes[node]))
    note = _vortex_note(swing, mode, connected / float(life))
    return judge(step, VORTEX, demand, life, setting.basis.tight_band, place, note=note)


def _vortex_note(swing: Swinging, mode: int, used: float) -> str:
    vibration = swing.vibration
    if not vibration.share[mode] > 0.0:
        return "The planned current locks in with no mode that is looked at."
    first, last = (np.flatnonzero(vibration.share > 0.0) + 1)[[0, -1]]
    return (
        f"Modes {first} to {last} can lock in; worst is {mode + 1}: "
        f"{2.0 * np.pi / vibration.frequency[mode]:.1f} s, amplitude "
        f"{vibration.amplitude[mode]:.2f} diameters, {100.0 * used:.2g} % of the life used."
    )


@kept(SOME)
def _wave_fatigue(step: str, sway: Swaying, connected: float) -> CheckRecord:
    riser, swayed, setting = sway.riser, sway.swayed, sway.riser.gear.setting
    rates = wave_fatigue_rate(weld_stress(riser, swayed.curvature), swayed.curvature_period)
    node = int(np.argmax(np.asarray(rates)))
    origin = Solved(SWAY_PROBLEM, "borgman-1969", sway.inputs, swayed.residual)
    bent = Value("dogleg_severity", float(swayed.curvature[node]), "rad/m", origin)
    bending = work(
        bending_stress_from_dogleg,
        outside_diameter=riser.gear.joint.value("outside_diameter"),
        dogleg_severity=bent,
        young_modulus=riser.young,
    )
    raised = setting.basis.value("riser_stress_concentration")
    stress = Value(
        "stress_deviation",
        float(raised) * float(bending),
        "Pa",
        Solved("raised at the weld", "definition", (raised, bending)),
    )
    period = Value("crossing_period", float(swayed.curvature_period[node]), "s", origin)
    rate = work(wave_fatigue_rate, stress_deviation=stress, crossing_period=period)
    once = Solved("time in which the sum of Miner's rule is one", "definition", (rate,))
    life = Value("duration", 1.0 / float(rate), "s", once)
    factor = setting.basis.value("riser_fatigue_factor")
    time = Value("duration", connected, "s", FromWalk("from landing to letting go"))
    asked = Solved("time connected times the factor on it", "definition", (time, factor))
    demand = Value("duration", float(factor) * connected, "s", asked)
    place = setting.depth(float(riser.nodes[node]))
    wide = float(
        dirlik_fatigue_rate(
            float(stress),
            float(period),
            float(swayed.curvature_mean_period[node]),
            float(swayed.curvature_peak_period[node]),
        )
    )
    note = (
        f"Stress at the weld {show(float(stress), 'Pa', significant=2)} (standard deviation) every "
        f"{float(period):.1f} s: {100.0 * connected / float(life):.2g} % of the life used; by "
        f"Dirlik's law for a wide band {100.0 * connected * wide:.2g} %."
    )
    return judge(step, WAVE_FATIGUE, demand, life, setting.basis.tight_band, place, note=note)


# ---- let go of the well -----------------------------------------------------------------------


@kept(SOME)
def _hung_records(step: str, hung: HungRiser) -> tuple[CheckRecord, ...]:
    if hung.riser.gear.setting.basis.riser_hang_off == "soft":
        hangs = tuple(_soft(step, hung_on_tensioners(hung.riser)))
    else:
        hangs = (_compression(step, hung), _peak(step, hung))
    return (*hangs, _recoil(step, hung))


def _hung(step: str, hung: HungRiser) -> Iterator[CheckRecord]:
    yield from _hung_records(step, hung)


def _compression(step: str, hung: HungRiser) -> CheckRecord:
    setting = hung.riser.gear.setting
    note = f"Axial period {float(hung.axial_period):.1f} s."
    return judge(
        step,
        COMPRESSION,
        hung.swing_value,
        hung.tension,
        setting.basis.tight_band,
        depths_of(setting, hung.places),
        note=note,
    )


def _soft(step: str, hung: HungRiser) -> Iterator[CheckRecord]:
    """Judge the riser on its tensioners."""
    if not float(hung.load) > 0.0:
        reason = "its modules lift more than riser and package weigh: it does not hang"
        for question in (SOFT_COMPRESSION, SOFT_PEAK, SOFT_STROKE):
            yield unjudged(step, question, reason)
        return
    setting = hung.riser.gear.setting
    band, depths = setting.basis.tight_band, depths_of(setting, hung.places)
    stiff = show(float(hung.tensioner_stiffness), "N/m", significant=3)
    yield judge(step, SOFT_COMPRESSION, hung.swing_value, hung.tension, band, depths)
    swing = float(hung.peak) - float(hung.load)
    note = f"Static {show(float(hung.load), 'N')}, swing {show(swing, 'N')}."
    yield judge(step, SOFT_PEAK, hung.peak, hung.tensioner_capacity, band, note=note)
    stroke = hung.riser.gear.tensioners.value("stroke", "tensioner_stroke")
    note = f"Tensioners of {stiff}."
    yield judge(step, SOFT_STROKE, hung.stroke_needed, stroke, band, note=note)


def _peak(step: str, hung: HungRiser) -> CheckRecord:
    setting = hung.riser.gear.setting
    hoist, share = setting.vessel.hoist, setting.basis.value("hook_load_share")
    rating, gear = hoist.value("hook_capacity"), hoist.value("travelling_weight")
    origin = Solved("share of the rating less the travelling gear", "assumed",
                    (share, rating, gear))  # fmt: skip
    capacity = Value("load", float(share) * float(rating) - float(gear), "N", origin)
    swing = float(hung.peak) - float(hung.load)
    note = f"Static {show(float(hung.load), 'N')}, swing {show(swing, 'N')}."
    return judge(step, PEAK, hung.peak, capacity, setting.basis.tight_band, note=note)


def _recoil(step: str, hung: HungRiser) -> CheckRecord:
    riser = hung.riser
    if not float(hung.load) > 0.0:
        reason = "its modules lift more than riser and package weigh: nothing brings it to rest"
        return unjudged(step, RECOIL, reason)
    demand = work(
        recoil_rise,
        released_force=hung.released,
        reaction_time=hung.reaction,
        hung_mass=hung.hung_mass,
        hang_off_load=hung.load,
    )
    speed = work(
        recoil_speed,
        released_force=hung.released,
        riser_linear_mass=hung.linear_mass,
        axial_stiffness=riser.axial_stiffness,
    )
    setting = riser.gear.setting
    note = f"The foot springs off at {float(speed):.2f} m/s. {riser.gear.setting_note}".strip()
    return judge(step, RECOIL, demand, hung.up_stroke, setting.basis.tight_band, note=note)


def riser_of(state: HoleState) -> SeaRiser | None:
    """Return the riser of a hole as a beam, or None where it has none that holds mud."""
    gear = RiserGear.of(state.hole)
    return None if gear is None or gear.heaviest is None else sea_riser(gear)
