"""Does the column in the hole stay between what the hole needs and what it bears?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from bathybore.base.arrays import Array
from bathybore.base.keeping import MANY, SOME, kept
from bathybore.base.working import FromWalk, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.kernels.segments import pressure_with_margin
from bathybore.model.hole import HoleOrSetting, Setting
from bathybore.model.plan import Conductor
from bathybore.operations.circulation import (
    cuttings_rise,
    of_drilling,
    pressure_while_circulating,
    string_fits,
)
from bathybore.operations.columns import (
    column_pressure,
    depth_nodes,
    depths_of,
    earth_value,
    gravity_value,
    nodes_at,
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


RISERLESS_LOW = Question(
    "window-low",
    Discipline.WINDOW,
    "Does the sea above and the water in the hole hold the pore pressure at every open depth?",
    "Drill with weighted mud pumped and dumped, or set the first casing higher.",
    "No preventer and no riser: there is nothing but this column. No trip margin can be kept.",
)


def open_nodes(state: HoleState) -> Array:
    """Return depth nodes over the open hole, from the deepest shoe to the bottom."""
    return depth_nodes(state.hole, float(state.deepest_shoe), float(state.bottom))


def _margin_height(setting: Setting, on_riser: bool, z: Array) -> Value:
    """Margins as densities count to where the column begins: drill floor, or sea bed riserless."""
    if not on_riser:
        return Value("height", z - setting.sea_bed, "m", FromWalk("depth below the sea bed"), -1)
    how = FromWalk("depth below the drill floor")
    return Value("height", z - setting.drill_floor, "m", how, -1)


def bound_low(state: HoleState, z: Array) -> Value:
    """Return the pressure the hole needs: pore pressure and trip margin."""
    return _bound_low(state.hole.setting, state.riser is not None, z)


@kept(SOME)
def _bound_low(setting: Setting, on_riser: bool, z: Array) -> Value:
    return work(
        pressure_with_margin,
        pressure=earth_value(setting, "pore_pressure", z, "pressure"),
        margin_density=setting.basis.value("trip_margin", "margin_density"),
        height=_margin_height(setting, on_riser, z),
        gravity=gravity_value(setting),
    )


def bound_high(state: HoleState, z: Array) -> Value:
    """Return the pressure the rock bears: fracture pressure less its margin."""
    return _bound_high(state.hole.setting, state.riser is not None, z)


@kept(SOME)
def _bound_high(setting: Setting, on_riser: bool, z: Array) -> Value:
    margin = setting.basis.value("fracture_margin", "margin_density")
    lowered = Value("margin_density", -float(margin), "kg/m3", margin.origin)
    return work(
        pressure_with_margin,
        pressure=earth_value(setting, "fracture_pressure", z, "pressure"),
        margin_density=lowered,
        height=_margin_height(setting, on_riser, z),
        gravity=gravity_value(setting),
    )


def at_rest(state: HoleState, z: Array) -> Value:
    """Return the pressure at rest while the step went on."""
    _, top = top_of_column(state)
    layers = state.activity.layers or state.layers
    return _at_rest(column_pressure(state.hole, layers, top, z))


@kept(SOME)
def _at_rest(pressure: Value) -> Value:
    return pressure.named("static_pressure")


def window_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Ask the window's questions of a drilling or coring step, at every open depth."""
    hole, step, z = state.hole, state.step.name, open_nodes(state)
    rest, high = at_rest(state, z), bound_high(state, z)
    if state.riser is not None:
        yield _within(step, hole.setting, LOW, bound_low(state, z), rest, z)
    else:
        pore = earth_value(hole, "pore_pressure", z)
        yield _within(step, hole.setting, RISERLESS_LOW, pore, rest, z)
    if hole.earth.has("collapse_pressure"):
        needed = earth_value(hole, "collapse_pressure", z)
        yield _within(step, hole.setting, COLLAPSE, needed, rest, z)
    else:
        yield unjudged(step, COLLAPSE, f"{hole.earth.file} has no collapse_pressure column")
    yield _within(step, hole.setting, HIGH_STATIC, rest, high, z)
    if state.activity.section is not None and state.activity.section.pad_fluid is not None:
        _, top = top_of_column(state)
        left = column_pressure(hole, state.layers, top, z)
        yield _within(step, hole.setting, PAD, left, high, z)
    if not string_fits(state):
        yield unjudged(step, HIGH, "the string does not fit in the hole; see string-fits")
        return
    flow = of_drilling(state)
    if not cuttings_rise(flow):
        yield unjudged(
            step,
            HIGH,
            "cuttings do not rise in at least one annulus, so the circulating pressure is not "
            "steady; see the lifting check",
        )
        return
    yield _within(step, hole.setting, HIGH, pressure_while_circulating(flow, z), high, z)


@kept(MANY)
def _within(
    step: str, setting: Setting, question: Question, demand: Value, capacity: Value, z: Array
) -> CheckRecord:
    band, places = setting.basis.tight_band_window, depths_of(setting, z)
    return with_equivalents(setting, judge(step, question, demand, capacity, band, places))


def with_equivalents(hole: HoleOrSetting, record: CheckRecord) -> CheckRecord:
    """Return the record with its two pressures told as densities to the drill floor as well."""
    if record.depth is None or record.demand is None or record.capacity is None:
        return record
    height = hole.frame.below_drill_floor(record.depth)
    weight = float(gravity_value(hole)) * height * 1000.0
    told = (
        f"To the drill floor: {float(record.demand) / weight:.3f} sg against "
        f"{float(record.capacity) / weight:.3f} sg."
    )
    return replace(record, note=told)


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
    test = earth_value(hole, "fracture_pressure", shoe, "bound_pressure")
    note = "No expected_test_at_shoe is planned: a test to the prognosed fracture is assumed."
    if casing.plan.expected_test_at_shoe is not None:
        test, note = casing.plan.value("expected_test_at_shoe", "bound_pressure"), ""
    rest = at_rest(state, nodes_at(shoe))
    yield _shoe_test(state.step.name, hole.setting, rest, test, shoe, note)


@kept(SOME)
def _shoe_test(
    step: str, setting: Setting, rest: Value, test: Value, shoe: float, note: str
) -> CheckRecord:
    height = shoe - setting.drill_floor
    need = work(
        pressure_with_margin,
        pressure=rest.at_node(0).named("pressure"),
        margin_density=setting.basis.value("kick_intensity", "margin_density"),
        height=Value("height", height, "m", FromWalk("below the drill floor")),
        gravity=gravity_value(setting),
    )
    band = setting.basis.tight_band_window
    return judge(step, SHOE_TEST, need, test, band, setting.depth(shoe), note=note)
