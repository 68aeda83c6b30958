"""Longer questions of flow: the window of flows, and of pressures with mud as cold as it flows."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.checks.window import bound_high, open_nodes, with_equivalents
from bathybore.operations.circulation import Circulation, cuttings_rise, of_drilling, string_fits
from bathybore.operations.circulation_profile import CELL, circulation_profile
from bathybore.operations.circulation_sweep import FlowWindow, flow_window, greatest_flow
from bathybore.operations.columns import depths_of
from bathybore.operations.state import HoleState

LEAST = Question(
    "flow-window-low",
    Discipline.FLOW,
    "Is the planned flow more than the smallest that cleans the hole at the planned rate of "
    "penetration?",
    "More flow or booster, thicker mud or more sweeps; or drill slower.",
)
MOST = Question(
    "flow-window-high",
    Discipline.FLOW,
    "Is the planned flow less than the greatest that the rock bears, cuttings and margin included?",
    "Less flow, thinner or lighter mud; or set the casing above deeper.",
)
WARM = Question(
    "circulating-window",
    Discipline.WINDOW,
    "Does the rock bear the circulating pressure with the mud as cold as it flows, cuttings and "
    "margin included, at every open depth?",
    "Lower flow, density or rate of penetration; or set the casing above deeper.",
    "Circulating mud is colder and so heavier than mud that has long been at rest.",
)


def flow_window_studies(state: HoleState) -> Iterator[CheckRecord]:
    """Ask whether the planned flow lies in its window, and the pressure of it in the rock's."""
    if not string_fits(state):
        return  # string-fits says so
    flow, z, step = of_drilling(state), open_nodes(state), state.step.name
    bears = bound_high(state, z)
    window = window_of(flow, z, bears)
    yield _least(step, flow, window)
    yield _most(step, flow, window)
    if cuttings_rise(flow):
        yield _warm(step, flow, state, z)


@kept(SOME)
def window_of(flow: Circulation, z: Array, bears: Value) -> FlowWindow:
    """Return the window of flows of a circulation at the planned rate of penetration."""
    return flow_window(flow, z, np.asarray(bears.si))


def _edge(flow: Circulation, number: float, what: str) -> Value:
    basis = flow.setting.basis
    ratio = "transport_ratio" if flow.on_riser else "transport_ratio_riserless"
    inputs = (
        flow.rate_of_penetration,
        flow.fluid.value("density"),
        flow.booster_flow_rate,
        basis.value(ratio, "transport_ratio"),
        basis.value("cuttings_concentration"),
        basis.value("fracture_margin"),
    )
    how = f"{what}: flows tried all together, then finely about the edge"
    return Value("flow_rate", number, "m3/s", Solved(how, "definition", inputs, 1e-3))


@kept(SOME)
def _least(step: str, flow: Circulation, window: FlowWindow) -> CheckRecord:
    band = flow.setting.basis.tight_band
    if window.smallest is None:
        most = max(greatest_flow(flow), 1.2 * float(flow.flow_rate))
        beyond = Value("flow_rate", most, "m3/s", FromWalk("the greatest flow tried"))
        note = "No flow tried cleans the hole; even the greatest does not."
        return judge(step, LEAST, beyond, flow.flow_rate, band, note=note)
    least = _edge(flow, window.smallest, "smallest flow that cleans every annulus")
    return judge(step, LEAST, least, flow.flow_rate, band)


@kept(SOME)
def _most(step: str, flow: Circulation, window: FlowWindow) -> CheckRecord:
    setting, band = flow.setting, flow.setting.basis.tight_band
    place = setting.depth(window.weakest)
    if window.greatest is None:
        none = Value("flow_rate", 0.0, "m3/s", FromWalk("no flow tried is borne by the rock"))
        note = "No flow tried is borne by the rock, the cuttings it carries counted."
        return judge(step, MOST, flow.flow_rate, none, band, place, note=note)
    greatest = _edge(flow, window.greatest, "greatest flow that the rock bears")
    note = "The rock bears every flow that the pumps have." if window.beyond else ""
    return judge(step, MOST, flow.flow_rate, greatest, band, place, note=note)


def _warm(step: str, flow: Circulation, state: HoleState, z: Array) -> CheckRecord:
    return _judged(step, flow, _while_open(flow, z), bound_high(state, z), z)


@kept(SOME)
def _while_open(flow: Circulation, z: Array) -> Value:
    """Return the circulating pressure at open depths, where the earth table bends among them."""
    annulus = circulation_profile(flow, CELL).annulus
    whole = annulus.pressure
    numbers = np.interp(z, annulus.cells.bottom, np.asarray(whole.si))
    how = Solved("the profile, cell by cell, straight between the feet", "definition", (whole,))
    return Value(whole.name, numbers, whole.unit, how, -1)


@kept(SOME)
def _judged(step: str, flow: Circulation, pressure: Value, bears: Value, z: Array) -> CheckRecord:
    setting = flow.setting
    band = setting.basis.tight_band_window
    record = judge(step, WARM, pressure, bears, band, depths_of(setting, z))
    return with_equivalents(setting, record)
