"""Where must disconnection begin, and does the planned watch circle lie inside?"""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

import numpy as np

from bathybore.base.keeping import SOME, kept
from bathybore.base.units import show
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.checks.offset_limits import OffsetLimit, OffsetLimits, offset_limits
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.kernels.drift_off import drift_off_time
from bathybore.kernels.station_motion import (
    surge_added_mass,
    sway_added_mass,
    yaw_drag_factor,
    yaw_inertia,
)
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.sea_conditions import current_note, surface_density
from bathybore.operations.state import HoleState
from bathybore.operations.station import station_load, thruster_thrust
from bathybore.operations.watch_circles import (
    CROSS_FLOW,
    Circles,
    Sequence,
    drift_off,
    drive_off,
)

COUNT = 36  # directions of the weather

_CAUTION = (
    "Mean loads, a hull at rest above the well, coefficients from memory: gusts hasten it. The "
    "connector itself and the fatigue of the wellhead are not among the limits. The vessel's own "
    "drift-off analysis and its well-specific guidelines decide."
)
DRIFT_OFF = Question(
    "drift-off",
    Discipline.RISER,
    "After a blackout at the edge of the watch circle, is there time to let go of the well?",
    "A smaller watch circle, more tension, a faster disconnection, or less weather.",
    "Mean load on a vessel at rest, water that moves along left out: gusts hasten it.",
)
DISCONNECT = Question(
    "watch-circle-disconnect",
    Discipline.RISER,
    "Does the planned watch circle lie inside the offset at which disconnection must begin?",
    "A smaller watch circle, more top tension, a faster disconnection, or less weather.",
    _CAUTION,
)
PREPARE = Question(
    "watch-circle-prepare",
    Discipline.RISER,
    "At the planned heading, does drilling stop no later than the crew must prepare to disconnect?",
    "A smaller watch circle, quicker preparation or disconnection, or less weather.",
    _CAUTION,
)
DRIVE_OFF = Question(
    "drive-off",
    Discipline.RISER,
    "After thrusters are stuck at full thrust and are stopped, is there time to let go of the "
    "well?",
    "Stop stuck thrusters sooner, disconnect faster, more top tension, or less weather.",
    "Thrust is taken as pushing down the weather from above the well, and as gone once it is "
    "stopped. " + _CAUTION,
)
DRIVE_CIRCLE = Question(
    "watch-circle-drive-off",
    Discipline.RISER,
    "With thrusters stuck, does the planned watch circle lie inside the offset at which "
    "disconnection must begin?",
    "Stop stuck thrusters sooner, disconnect faster, a smaller watch circle, a stronger conductor.",
    "As of drive-off. Who disconnects at the alarm of stuck thrusters, and not at the circle, has "
    "more time: drive-off tells it.",
)


def watch_circle_studies(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the watch circle by the way of a vessel that loses its thrust or cannot stop it."""
    step, gear = state.step.name, RiserGear.of(state.hole)
    if gear is None:
        for question in (DRIFT_OFF, DISCONNECT, PREPARE, DRIVE_OFF, DRIVE_CIRCLE):
            yield unjudged(step, question, "riser, preventer or tensioners are not described")
        return
    limits = offset_limits(state, gear)
    yield _drift(step, gear, limits)
    yield _watch(step, gear, limits)
    yield _prepare(step, gear, limits)
    yield _drive(step, gear, limits)
    yield _drive_circle(step, gear, limits)


@kept(SOME)
def sequence_of(gear: RiserGear) -> Sequence:
    basis = gear.setting.basis
    return Sequence(
        gear.stack.disconnect_time,
        basis.disconnect_reaction_time,
        basis.disconnect_prepare_time,
        basis.disconnect_advise_time,
    )


def circles_of_drift(gear: RiserGear, limit: OffsetLimit) -> Circles:
    """Return the circles of a blackout above the well."""
    return drift_off(gear.setting, float(limit.offset), sequence_of(gear), COUNT)


def circles_of_drive(gear: RiserGear, limit: OffsetLimit) -> Circles:
    """Return the circles of thrusters stuck at the planned share of their thrust."""
    basis = gear.setting.basis
    return drive_off(
        gear.setting,
        float(limit.offset),
        sequence_of(gear),
        COUNT,
        basis.drive_off_thrust_share,
        basis.drive_off_duration,
    )


def _moving(gear: RiserGear) -> tuple[Value, ...]:
    """Return what the motion of the free hull follows from, each opened as far as it goes."""
    setting = gear.setting
    hull, density, load = setting.vessel.hull, surface_density(setting), station_load(setting)
    mass = hull.value("displacement", "hull_mass")
    volume = Value(
        "displaced_volume",
        hull.displacement / float(density),
        "m3",
        Solved("mass over the density of the sea", "definition", (mass, density)),
    )
    aside = work(
        sway_added_mass,
        draught=hull.value("draught"),
        hull_length=hull.value("length", "hull_length"),
        sea_water_density=density,
    )
    return (
        load.surge,
        load.sway,
        load.yaw,
        mass,
        work(
            surge_added_mass,
            displaced_volume=volume,
            hull_length=hull.value("length", "hull_length"),
            sea_water_density=density,
        ),
        work(
            yaw_inertia,
            hull_mass=mass,
            sway_added_mass=aside,
            hull_length=hull.value("length", "hull_length"),
        ),
        work(
            yaw_drag_factor,
            cross_flow_coefficient=Value(
                "cross_flow_coefficient", CROSS_FLOW, "-", FromWalk("as of a current from abeam")
            ),
            draught=hull.value("draught"),
            hull_length=hull.value("length", "hull_length"),
            sea_water_density=density,
        ),
    )


def _stuck(gear: RiserGear) -> tuple[Value, ...]:
    """Return what the way of a vessel whose thrusters are stuck follows from."""
    setting = gear.setting
    return (
        setting.basis.value("drive_off_thrust_share"),
        setting.basis.value("drive_off_duration"),
        *_moving(gear),
        *(thruster_thrust(setting, n) for n in range(len(setting.vessel.thrusters))),
    )


def _time_needed(gear: RiserGear) -> Value:
    """Return the time from the alarm to the open connector."""
    release = gear.stack.value("disconnect_time")
    reaction = gear.setting.basis.value("disconnect_reaction_time")
    origin = Solved("reaction and disconnection", "definition", (reaction, release))
    return Value("drift_time", float(release) + float(reaction), "s", origin)


@kept(SOME)
def _watch(step: str, gear: RiserGear, limits: OffsetLimits) -> CheckRecord:
    setting, limit = gear.setting, limits.least
    circles, which = circles_of_drift(gear, limit), limit.words
    worst = int(np.argmin(circles.disconnect))
    origin = Solved(
        "offset on the way of the powerless vessel, the reaction and the release before it "
        f"reaches the limit, the least of {COUNT} directions of the weather: "
        '$m_"a" dot(v) = F(theta_"rel", v)$ in surge, sway and yaw',
        "definition",
        (
            limit.offset,
            gear.stack.value("disconnect_time"),
            setting.basis.value("disconnect_reaction_time"),
            *_moving(gear),
        ),
    )
    capacity = Value("vessel_offset", float(circles.disconnect[worst]), "m", origin)
    note = " ".join(
        filter(
            None,
            (
                f"Weather from {np.degrees(circles.directions[worst]):.0f} degrees off the bow, "
                f"{which} at {show(float(limit.offset), 'm')} after {circles.time[worst]:.0f} s.",
                *limits.left_out,
                gear.setting_note,
                current_note(setting),
            ),
        )
    )
    return judge(step, DISCONNECT, gear.watch_offset, capacity, setting.basis.tight_band, note=note)


@kept(SOME)
def _prepare(step: str, gear: RiserGear, limits: OffsetLimits) -> CheckRecord:
    setting, limit = gear.setting, limits.least
    circles, which = circles_of_drift(gear, limit), limit.words
    heading = setting.site.environment.value("heading_off_weather", "relative_wind_direction")
    turn = np.append(circles.directions, 2.0 * np.pi)
    radii = np.append(circles.prepare, circles.prepare[0])
    sides = np.interp(np.remainder([float(heading), -float(heading)], 2.0 * np.pi), turn, radii)
    basis = setting.basis
    origin = Solved(
        "offset on the way of the powerless vessel, preparation, reaction and release before it "
        "reaches the limit, weather on either bow as planned; straight between two directions",
        "definition",
        (
            limit.offset,
            heading,
            gear.stack.value("disconnect_time"),
            basis.value("disconnect_reaction_time"),
            basis.value("disconnect_prepare_time"),
            *_moving(gear),
        ),
    )
    capacity = Value("vessel_offset", float(sides.min()), "m", origin)
    note = f"Limit: {which}, at an offset of {show(float(limit.offset), 'm')}."
    return judge(step, PREPARE, gear.watch_offset, capacity, basis.tight_band, note=note)


@kept(SOME)
def _drive(step: str, gear: RiserGear, limits: OffsetLimits) -> CheckRecord:
    setting, limit = gear.setting, limits.least
    circles, basis, which = circles_of_drive(gear, limit), setting.basis, limit.words
    worst = int(np.argmin(circles.time))
    origin = Solved(
        "time from above the well to the limit, thrust stuck and then gone, the least of "
        f"{COUNT} directions of the weather",
        "definition",
        (limit.offset, *_stuck(gear)),
    )
    capacity = Value("drift_time", float(circles.time[worst]), "s", origin)
    note = (
        f"Weather from {np.degrees(circles.directions[worst]):.0f} degrees off the bow, {which} "
        f"at {show(float(limit.offset), 'm')}."
    )
    return judge(step, DRIVE_OFF, _time_needed(gear), capacity, basis.tight_band, note=note)


@kept(SOME)
def _drive_circle(step: str, gear: RiserGear, limits: OffsetLimits) -> CheckRecord:
    setting, limit = gear.setting, limits.least
    circles, basis = circles_of_drive(gear, limit), setting.basis
    worst = int(np.argmin(circles.disconnect))
    origin = Solved(
        "offset on the way of the vessel, thrust stuck and then gone, the reaction and the release "
        f"before it reaches the limit, the least of {COUNT} directions of the weather",
        "definition",
        (
            limit.offset,
            gear.stack.value("disconnect_time"),
            basis.value("disconnect_reaction_time"),
            *_stuck(gear),
        ),
    )
    capacity = Value("vessel_offset", float(circles.disconnect[worst]), "m", origin)
    note = (
        f"Weather from {np.degrees(circles.directions[worst]):.0f} degrees off the bow, "
        f"{limit.words} at {show(float(limit.offset), 'm')} after {circles.time[worst]:.0f} s."
    )
    return judge(step, DRIVE_CIRCLE, gear.watch_offset, capacity, basis.tight_band, note=note)


@kept(SOME)
def _drift(step: str, gear: RiserGear, limits: OffsetLimits) -> CheckRecord:
    setting, limit, load = gear.setting, limits.least, station_load(gear.setting)
    force = Value(
        "drift_force",
        hypot(float(load.surge), float(load.sway)),
        "N",
        Solved("mean load that no thrust balances", "definition", (load.surge, load.sway)),
    )
    time = work(
        drift_off_time,
        drift_force=force,
        virtual_mass=setting.vessel.hull.value("displacement", "virtual_mass"),
        vessel_offset=limit.offset,
        starting_offset=gear.watch_offset.named("starting_offset"),
    )
    words = f"Limit: {limit.words}, at an offset of {show(float(limit.offset), 'm')}."
    note = " ".join(filter(None, (words, gear.setting_note, current_note(setting))))
    return judge(step, DRIFT_OFF, _time_needed(gear), time, setting.basis.tight_band, note=note)
