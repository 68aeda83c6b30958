"""Does moving the string swab the hole in or break the rock?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import FEW, SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.checks.window import at_rest, open_nodes
from bathybore.kernels.durations import mean_running_speed
from bathybore.kernels.segments import pressure_over_segments
from bathybore.kernels.surge import surge_gradient_closed_end
from bathybore.kernels.trip_volumes import (
    level_fall_when_not_filled,
    pipe_displacement,
    pressure_lost_with_level,
)
from bathybore.model.hole import Setting
from bathybore.model.plan import Casing, Fluid
from bathybore.operations.circulation import string_fits
from bathybore.operations.columns import depth_nodes, depths_of, earth_value, gravity_value
from bathybore.operations.flow_along import FINE, cut_fine
from bathybore.operations.flow_law import changes_in_place, resting_rheology
from bathybore.operations.geometry import Bore, Segments, annuli, bores
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import HoleState, StringInHole
from bathybore.operations.trips import TripSpeeds, trip_speeds
from bathybore.operations.volumes import annulus_of

SWAB = Question(
    "swab",
    Discipline.WINDOW,
    "Pulling the string at its usual speed, does the column still hold the pore pressure?",
    "Pull slower, pump while pulling, thin the mud before the trip, or raise its density.",
)
SURGE = Question(
    "surge",
    Discipline.WINDOW,
    "Running the string at its usual speed, does the rock bear the surge?",
    "Run slower in the last stands, or break circulation on the way down.",
)


CASING_SURGE = Question(
    "casing-surge",
    Discipline.WINDOW,
    "Running the casing at its planned speed, does the rock bear the surge?",
    "Run slower, use a float that fills by itself, thin the mud first.",
    "Closed end at the shoe, casing at its depth: the worst moment.",
)


def trip_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge swab and surge of the string over the open hole, bit at bottom, closed end."""
    string, fluid = state.activity.string, state.activity.fluid
    if string is None or fluid is None or state.riser is None:
        return
    if not string_fits(state):
        for question in (SWAB, SURGE):
            yield unjudged(state.step.name, question, "the string does not fit; see string-fits")
        return
    hole, step, z = state.hole, state.step.name, open_nodes(state)
    segments, rest = annuli(state, string), at_rest(state, z)
    change = _change(hole.setting, usual_speed(hole.setting), segments, fluid, z)
    yield _swab(step, hole.setting, rest, change, z)
    yield _surge(step, hole.setting, SURGE, rest, change, z)


@kept(SOME)
def _swab(step: str, setting: Setting, rest: Value, change: Value, z: Array) -> CheckRecord:
    needed, left = earth_value(setting, "pore_pressure", z), _moved(rest, change, -1.0)
    band, places = setting.basis.tight_band_window, depths_of(setting, z)
    return judge(step, SWAB, needed, left, band, places)


@kept(SOME)
def _surge(
    step: str, setting: Setting, question: Question, rest: Value, change: Value, z: Array
) -> CheckRecord:
    pressed, borne = _moved(rest, change, 1.0), earth_value(setting, "fracture_pressure", z)
    band, places = setting.basis.tight_band_window, depths_of(setting, z)
    return judge(step, question, pressed, borne, band, places)


def _moved(rest: Value, change: Value, sign: float) -> Value:
    """Return the pressure at rest with the surge (1) or less the swab (-1)."""
    how = "with the surge" if sign > 0.0 else "less the swab"
    pressure = np.asarray(rest.si) + sign * np.asarray(change.si)
    origin = Solved(f"pressure at rest {how}", "definition", (rest, change))
    return Value("pressure", pressure, "Pa", origin, -1)


def casing_surge_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the surge of a casing run to its depth with closed end, the largest of a section."""
    casing, step = state.hanging_casing, state.step.name
    if casing is None or not isinstance(casing.plan, Casing):
        return
    hole, fluid = state.hole, casing.outside_fluid or sea_water(state.hole)
    z = depth_nodes(hole, float(state.deepest_shoe), float(casing.shoe))
    rest = at_rest(state, z)
    segments = annulus_of(state, casing)
    if not segments.open_throughout:
        yield unjudged(step, CASING_SURGE, "the casing does not fit; see casing-clearance")
        return
    change = _change(hole.setting, casing.plan.value("running_speed"), segments, fluid, z)
    yield _surge(step, hole.setting, CASING_SURGE, rest, change, z)


@kept(SOME)
def _change(setting: Setting, speed: Value, whole: Segments, fluid: Fluid, z: Array) -> Value:
    """Return the pressure that moving pipe adds or takes at each depth."""
    segments = cut_fine(whole, FINE) if changes_in_place(fluid) else whole
    middle, on_riser = segments.middle, segments.kinds[0] == "riser"
    gradient = work(
        surge_gradient_closed_end,
        running_speed=speed,
        annulus_outer_diameter=segments.value("annulus_outer_diameter", segments.outer_diameter),
        annulus_inner_diameter=segments.value("annulus_inner_diameter", segments.inner_diameter),
        **resting_rheology(setting, on_riser, fluid, middle),
    )
    return work(
        pressure_over_segments,
        pressure_gradient=gradient,
        segment_length=segments.length_above(z),
    )


@kept(FEW)
def usual_speed(setting: Setting) -> Value:
    """Return the peak speed of a stand in open hole.

    What the design basis limits it to; without a limit the mean while the stand moves, the
    connection left out, raised by the design basis' factor.
    """
    if setting.basis.open_hole_trip_speed is not None:
        return setting.basis.value("open_hole_trip_speed", "running_speed")
    handling = setting.vessel.handling
    whole, still = handling.value("time_per_stand"), handling.value("time_in_slips")
    moving = Solved("time per stand, less that in slips", "definition", (whole, still))
    mean = work(
        mean_running_speed,
        length=handling.value("stand_length", "length"),
        duration=Value("duration", float(whole) - float(still), "s", moving),
    )
    factor = setting.basis.value("trip_speed_factor")
    origin = Solved("peak over mean speed", "assumed", (factor, mean))
    return Value("running_speed", float(factor) * float(mean), "m/s", origin)


# ---- longer questions --------------------------------------------------------------------

TRIP_SPEED = Question(
    "trip-speed",
    Discipline.WINDOW,
    "Is the usual speed of the string safe at every depth of the bit in open hole, both ways?",
    "Slower over the depths told, thinner mud before the trip, pump out of the hole.",
    "Closed pipe moved steadily; below the bit the pressure changes as at the bit.",
)
FILL_UP = Question(
    "fill-up",
    Discipline.WINDOW,
    "Does the hole stay full enough between two fillings while dry pipe is pulled?",
    "Fill more often, or all the time from the trip tank.",
    "Collars take several times as much: fill the hole after each of their stands.",
)


def trip_studies(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the speed of the string at every depth of the bit, and the filling of the hole."""
    string, fluid = state.activity.string, state.activity.fluid
    if string is None or fluid is None or state.riser is None or not string_fits(state):
        return
    speeds = speeds_of(state)
    z, rest = open_nodes(state), at_rest(state, open_nodes(state))
    setting, step = state.hole.setting, state.step.name
    yield _trip_speed(step, setting, speeds, fluid, rest, z)
    yield _fill_up(step, setting, string, fluid, bores(state), rest, z)


def speeds_of(state: HoleState) -> TripSpeeds:
    """Return the greatest safe speeds of a drilling step's string over its open hole."""
    string, fluid, z = state.activity.string, state.activity.fluid, open_nodes(state)
    if string is None or fluid is None:
        raise LookupError(f"{state.step.name} has no string")
    overbalance, room = _room(state.hole.setting, at_rest(state, z), z)
    return trip_speeds(state.hole.setting, bores(state), string, fluid, z, overbalance, room)


@kept(SOME)
def _room(setting: Setting, rest: Value, z: Array) -> tuple[Array, Array]:
    pore, fracture = (
        earth_value(setting, name, z) for name in ("pore_pressure", "fracture_pressure")
    )
    return np.asarray(rest.si) - np.asarray(pore.si), np.asarray(fracture.si) - np.asarray(rest.si)


@kept(SOME)
def safe_speed(setting: Setting, speeds: TripSpeeds, fluid: Fluid, rest: Value, z: Array) -> Value:
    """Return the lesser of both speeds over the depths of the bit, with what ends it."""
    swabs = speeds.pulling <= speeds.running
    nodes = np.where(swabs, speeds.weakest_pulling, speeds.weakest_running)
    limits = np.where(
        swabs,
        np.asarray(earth_value(setting, "pore_pressure", z).si)[nodes],
        np.asarray(earth_value(setting, "fracture_pressure", z).si)[nodes],
    )
    how = FromWalk("at the depth that gives in first: pore pressure pulled, fracture run")
    origin = Solved(
        "speed of closed pipe at which the first open depth has no room left, the lesser of "
        "pulling and running: $p_0 plus.minus sum g_s (v) L = p$",
        "burkhardt-1961",
        (
            Value("bound_pressure", limits, "Pa", how, -1),
            Value("static_pressure", np.asarray(rest.si)[nodes], "Pa", how, -1),
            *resting_rheology(setting, True, fluid, z[nodes]).values(),
        ),
        1e-6,
    )
    return Value("running_speed", speeds.either, "m/s", origin, -1)


@kept(SOME)
def _trip_speed(
    step: str, setting: Setting, speeds: TripSpeeds, fluid: Fluid, rest: Value, z: Array
) -> CheckRecord:
    worst = int(np.argmin(speeds.either))
    pulled = speeds.pulling[worst] <= speeds.running[worst]
    node = int((speeds.weakest_pulling if pulled else speeds.weakest_running)[worst])
    place = setting.depth(float(z[node]))
    does = "pulled any faster it swabs in" if pulled else "run any faster it breaks the rock"
    return judge(
        step,
        TRIP_SPEED,
        usual_speed(setting),
        safe_speed(setting, speeds, fluid, rest, z),
        setting.basis.tight_band,
        depths_of(setting, speeds.bit),
        note=f"Depth is that of the bit; {does} {place}.",
    )


@kept(SOME)
def _fill_up(
    step: str,
    setting: Setting,
    string: StringInHole,
    fluid: Fluid,
    walls: tuple[Bore, ...],
    rest: Value,
    z: Array,
) -> CheckRecord:
    basis, top = setting.basis, string.parts[-1].pipe
    count = float(basis.stands_between_fills)
    stands = Value("length", count * setting.vessel.handling.stand_length, "m",
                   FromWalk(f"{count:.0f} stands of {top.name}"))  # fmt: skip
    bore = FromWalk(f"{walls[0].name}, where the level stands")
    volume = work(pipe_displacement, linear_mass=top.linear_mass, length=stands)
    per_metre = float(volume) / float(stands)
    fall = work(
        level_fall_when_not_filled,
        volume=volume.named("volume"),
        annulus_area=Value("annulus_area", 0.25 * np.pi * walls[0].diameter ** 2, "m2", bore),
        pipe_body_area=Value("pipe_body_area", per_metre, "m2", FromWalk("steel left in it")),
    )
    lost = work(
        pressure_lost_with_level,
        fluid_density=fluid.value("density"),
        height=fall,
        gravity=gravity_value(setting),
    ).named("pressure")
    overbalance = np.asarray(rest.si) - np.asarray(earth_value(setting, "pore_pressure", z).si)
    origin = Solved(
        "pressure at rest less pore pressure",
        "definition",
        (rest, earth_value(setting, "pore_pressure", z)),
    )
    room = Value("pressure", overbalance, "Pa", origin, -1)
    return judge(step, FILL_UP, lost, room, basis.tight_band, depths_of(setting, z))
