"""Does moving the string swab the hole in or break the rock?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import FEW, SOME, kept
from bathybore.base.working import Solved, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.checks.window import at_rest, open_nodes
from bathybore.kernels.durations import mean_running_speed
from bathybore.kernels.segments import pressure_over_segments
from bathybore.kernels.surge import surge_gradient_closed_end
from bathybore.model.hole import Setting
from bathybore.model.plan import Casing, Fluid
from bathybore.operations.circulation import string_fits
from bathybore.operations.columns import depth_nodes, depths_of, earth_value
from bathybore.operations.flow_along import rheology
from bathybore.operations.geometry import Segments, annuli
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import HoleState
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
    change = _change(_speed(hole.setting), segments, fluid, z)
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
    if not (segments.outer_diameter > segments.inner_diameter).all():
        yield unjudged(step, CASING_SURGE, "the casing does not fit; see casing-clearance")
        return
    change = _change(casing.plan.value("running_speed"), segments, fluid, z)
    yield _surge(step, hole.setting, CASING_SURGE, rest, change, z)


@kept(SOME)
def _change(speed: Value, segments: Segments, fluid: Fluid, z: Array) -> Value:
    """Return the pressure that moving pipe adds or takes at each depth."""
    gradient = work(
        surge_gradient_closed_end,
        running_speed=speed,
        annulus_outer_diameter=segments.value("annulus_outer_diameter", segments.outer_diameter),
        annulus_inner_diameter=segments.value("annulus_inner_diameter", segments.inner_diameter),
        **rheology(fluid),
    )
    return work(
        pressure_over_segments,
        pressure_gradient=gradient,
        segment_length=segments.length_above(z),
    )


@kept(FEW)
def _speed(setting: Setting) -> Value:
    """Return the peak speed of a stand: the mean raised by the design basis' factor."""
    handling = setting.vessel.handling
    mean = work(
        mean_running_speed,
        length=handling.value("stand_length", "length"),
        duration=handling.value("time_per_stand", "duration"),
    )
    factor = setting.basis.value("trip_speed_factor")
    origin = Solved("peak over mean speed", "assumed", (factor, mean))
    return Value("running_speed", float(factor) * float(mean), "m/s", origin)
