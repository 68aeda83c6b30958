"""Does moving the string swab the hole in or break the rock?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bathybore.base.working import Solved, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.checks.window import at_rest, open_nodes
from bathybore.kernels.durations import mean_running_speed
from bathybore.kernels.segments import pressure_over_segments
from bathybore.kernels.surge import surge_gradient_closed_end
from bathybore.model.plan import Casing, Fluid
from bathybore.operations.circulation import rheology, string_fits
from bathybore.operations.columns import depth_nodes, depths_of, earth_value
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
    hole, step = state.hole, state.step.name
    z = open_nodes(state)
    rest, change = at_rest(state, z), _change(_speed(state), annuli(state, string), fluid, z)
    band, places = hole.basis.tight_band_window, depths_of(hole, z)
    yield judge(
        step,
        SWAB,
        earth_value(hole, "pore_pressure", z),
        _moved(rest, change, -1.0, "less the swab"),
        band,
        places,
    )
    yield judge(
        step,
        SURGE,
        _moved(rest, change, 1.0, "with the surge"),
        earth_value(hole, "fracture_pressure", z),
        band,
        places,
    )


def _moved(rest: Value, change: Value, sign: float, how: str) -> Value:
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
    if not np.all(segments.outer_diameter > segments.inner_diameter):
        yield unjudged(step, CASING_SURGE, "the casing does not fit; see casing-clearance")
        return
    change = _change(casing.plan.value("running_speed"), segments, fluid, z)
    yield judge(
        step,
        CASING_SURGE,
        _moved(rest, change, 1.0, "with the surge"),
        earth_value(hole, "fracture_pressure", z),
        hole.basis.tight_band_window,
        depths_of(hole, z),
    )


def _change(speed: Value, segments: Segments, fluid: Fluid, z: np.ndarray) -> Value:
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


def _speed(state: HoleState) -> Value:
    """Return the peak speed of a stand: the mean raised by the design basis' factor."""
    handling = state.hole.vessel.handling
    mean = work(
        mean_running_speed,
        length=handling.value("stand_length", "length"),
        duration=handling.value("time_per_stand", "duration"),
    )
    factor = state.hole.basis.value("trip_speed_factor")
    origin = Solved("peak over mean speed", "assumed", (factor, mean))
    return Value("running_speed", float(factor) * float(mean), "m/s", origin)
