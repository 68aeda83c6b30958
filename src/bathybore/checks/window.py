"""Does the column in the hole stay between what the hole needs and what it bears?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.once import once
from bathybore.base.working import FromWalk, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.kernels.segments import pressure_with_margin
from bathybore.model.plan import Conductor
from bathybore.operations.circulation import (
    of_drilling,
    plain_lifting,
    pressure_while_circulating,
    string_fits,
)
from bathybore.operations.columns import (
    column_pressure,
    depth_nodes,
    depths_of,
    earth_value,
    gravity_value,
    top_of_column,
)
from bathybore.operations.state import HoleState

LOW = Question(
    "window-low",
    Discipline.WINDOW,
    "Does the mud at rest hold the pore pressure, trip margin included, at every open depth?",
    "Raise the mud density, or set the shoe of this section higher.",
)
COLLAPSE = Question(
    "window-collapse",
    Discipline.WINDOW,
    "Does the mud at rest keep the wall from caving at every open depth?",
    "Raise the mud density, or case the interval that caves.",
)
HIGH = Question(
    "window-high",
    Discipline.WINDOW,
    "Does the rock bear the circulating pressure, cuttings and margin included, at every open "
    "depth?",
    "Lower flow, density or rate of penetration; or set the casing above deeper.",
)
PAD = Question(
    "window-high-pad",
    Discipline.WINDOW,
    "Does the rock bear the heavier mud that is left in the hole for the casing?",
    "A lighter pad mud.",
)
HIGH_STATIC = Question(
    "window-high-static",
    Discipline.WINDOW,
    "Does the rock bear the mud at rest?",
    "Lower the mud density, or set the casing above deeper.",
)


@once
def open_nodes(state: HoleState) -> Array:
    """Return depth nodes over the open hole, from the deepest shoe to the bottom."""
    return depth_nodes(state.hole, float(state.deepest_shoe), float(state.bottom))


def _margin_height(state: HoleState, z: Array) -> Value:
    """Margins as densities count to where the column begins: drill floor, or sea bed riserless."""
    hole = state.hole
    if state.riser is None:
        return Value("height", z - hole.sea_bed, "m", FromWalk("depth below the sea bed"), -1)
    return Value("height", z - hole.drill_floor, "m", FromWalk("depth below the drill floor"), -1)


@once
def bound_low(state: HoleState, z: Array) -> Value:
    """Return the pressure the hole needs: pore pressure and trip margin."""
    hole = state.hole
    return work(
        pressure_with_margin,
        pressure=earth_value(hole, "pore_pressure", z, "pressure"),
        margin_density=hole.basis.value("trip_margin", "margin_density"),
        height=_margin_height(state, z),
        gravity=gravity_value(hole),
    )


@once
def bound_high(state: HoleState, z: Array) -> Value:
    """Return the pressure the rock bears: fracture pressure less its margin."""
    hole = state.hole
    margin = hole.basis.value("fracture_margin", "margin_density")
    lowered = Value("margin_density", -float(margin), "kg/m3", margin.origin)
    return work(
        pressure_with_margin,
        pressure=earth_value(hole, "fracture_pressure", z, "pressure"),
        margin_density=lowered,
        height=_margin_height(state, z),
        gravity=gravity_value(hole),
    )


@once
def at_rest(state: HoleState, z: Array) -> Value:
    """Return the pressure at rest while the step went on."""
    _, top = top_of_column(state)
    layers = state.activity.layers or state.layers
    return column_pressure(state.hole, layers, top, z).named("static_pressure")


def window_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Ask the window's questions of a drilling or coring step, at every open depth."""
    for record in _window(state):
        yield with_equivalents(state, record)


def with_equivalents(state: HoleState, record: CheckRecord) -> CheckRecord:
    """Return the record with its two pressures told as densities to the drill floor as well."""
    if record.depth is None or record.demand is None or record.capacity is None:
        return record
    height = state.hole.frame.below_drill_floor(record.depth)
    weight = float(gravity_value(state.hole)) * height * 1000.0
    told = (
        f"To the drill floor: {float(record.demand) / weight:.3f} sg against "
        f"{float(record.capacity) / weight:.3f} sg."
    )
    return replace(record, note=told)


def _window(state: HoleState) -> Iterator[CheckRecord]:
    hole, step = state.hole, state.step.name
    band = hole.basis.tight_band_window
    z = open_nodes(state)
    places = depths_of(hole, z)
    rest = at_rest(state, z)
    if state.riser is not None:
        yield judge(step, LOW, bound_low(state, z), rest, band, places)
    else:
        pore = earth_value(hole, "pore_pressure", z)
        yield judge(step, _riserless_low(), pore, rest, band, places)
    yield _collapse(state, z, rest)
    yield judge(step, HIGH_STATIC, rest, bound_high(state, z), band, places)
    if state.activity.section is not None and state.activity.section.pad_fluid is not None:
        _, top = top_of_column(state)
        left = column_pressure(hole, state.layers, top, z)
        yield judge(step, PAD, left, bound_high(state, z), band, places)
    if not string_fits(state):
        yield unjudged(step, HIGH, "the string does not fit in the hole; see string-fits")
        return
    flow = of_drilling(state)
    if not np.all(np.asarray(plain_lifting(flow, flow.annuli).si) > 0.0):
        yield unjudged(
            step,
            HIGH,
            "cuttings do not rise in at least one annulus, so the circulating pressure is not "
            "steady; see the lifting check",
        )
        return
    circulating = pressure_while_circulating(flow, z)
    yield judge(step, HIGH, circulating, bound_high(state, z), band, places)


def _riserless_low() -> Question:
    return Question(
        "window-low",
        Discipline.WINDOW,
        "Does the sea above and the water in the hole hold the pore pressure at every open depth?",
        "Drill with weighted mud pumped and dumped, or set the first casing higher.",
        "No preventer and no riser: there is nothing but this column. No trip margin can be kept.",
    )


def _collapse(state: HoleState, z: Array, rest: Value) -> CheckRecord:
    hole, step = state.hole, state.step.name
    if not hole.earth.has("collapse_pressure"):
        return unjudged(step, COLLAPSE, f"{hole.earth.file} has no collapse_pressure column")
    needed = earth_value(hole, "collapse_pressure", z)
    return judge(step, COLLAPSE, needed, rest, hole.basis.tight_band_window, depths_of(hole, z))


SHOE_TEST = Question(
    "shoe-test",
    Discipline.WINDOW,
    "Does the planned test of the shoe prove what the next section will put on it?",
    "Plan a higher test; if the rock will not take it, re-plan the section before drilling on.",
    "The measured value replaces the prognosis: keep it with its mud and its datum.",
)


def shoe_test_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Compare the greatest pressure of the next section at the shoe with the test planned there.

    Where no test pressure is planned, a leak-off test to the prognosed fracture pressure
    is taken for granted and said so.
    """
    casing, section = state.activity.casing, state.activity.section
    if casing is None or section is None or isinstance(casing.plan, Conductor):
        return
    hole, shoe = state.hole, float(casing.shoe)
    need = work(
        pressure_with_margin,
        pressure=at_rest(state, np.array([shoe])).at_node(0).named("pressure"),
        margin_density=hole.basis.value("kick_intensity", "margin_density"),
        height=Value("height", shoe - hole.drill_floor, "m", FromWalk("below the drill floor")),
        gravity=gravity_value(hole),
    )
    fracture = earth_value(hole, "fracture_pressure", np.array(shoe), "bound_pressure")
    note = "No expected_test_at_shoe is planned: a test to the prognosed fracture is assumed."
    test = fracture
    if casing.plan.expected_test_at_shoe is not None:
        test, note = casing.plan.value("expected_test_at_shoe", "bound_pressure"), ""
    yield judge(
        state.step.name,
        SHOE_TEST,
        need,
        test,
        hole.basis.tight_band_window,
        hole.depth(shoe),
        note=note,
    )
