"""The low side of the window with the pumps just stopped: mud as warm as it went round."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import Solved, Value
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.checks.window import bound_low, open_nodes, with_equivalents
from bathybore.operations.circulation import Circulation, of_drilling, string_fits
from bathybore.operations.circulation_profile import CELL, circulation_profile, just_stopped
from bathybore.operations.columns import depths_of, earth_value
from bathybore.operations.state import HoleState

_CAUTION = (
    "A riser warmed by the mud that comes up lightens the whole column below it. This is the "
    "moment the pumps stop, after a long settled circulation; window-low asks after a long rest."
)
LOW = Question(
    "warm-window-low",
    Discipline.WINDOW,
    "With the pumps just stopped and the mud as warm as it went round, does it hold the pore "
    "pressure, trip margin included, at every open depth?",
    "Raise the mud density, cool the mud in the pits, or set the shoe of this section higher.",
    _CAUTION,
)
COLLAPSE = Question(
    "warm-window-collapse",
    Discipline.WINDOW,
    "With the pumps just stopped and the mud as warm as it went round, does it keep the wall from "
    "caving at every open depth?",
    "Raise the mud density, cool the mud in the pits, or case the interval that caves.",
    _CAUTION,
)


def warm_window_studies(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the mud at rest, as warm as it circulates, in a step with the riser on."""
    if state.riser is None or not string_fits(state):
        return  # without a riser the column is the sea; string-fits says the other
    flow, setting = of_drilling(state), state.hole.setting
    z = open_nodes(state)
    rest = _resting(flow, z)
    yield _judged(state.step.name, flow, LOW, bound_low(state, z), rest, z)
    if setting.earth.has("collapse_pressure"):
        needed = earth_value(setting, "collapse_pressure", z)
        yield _judged(state.step.name, flow, COLLAPSE, needed, rest, z)


@kept(SOME)
def _resting(flow: Circulation, z: Array) -> Value:
    """Return the pressure at rest at open depths, where the earth table bends among them."""
    annulus = circulation_profile(flow, CELL).annulus
    whole = just_stopped(flow, annulus)
    pressure = np.interp(z, annulus.cells.bottom, np.asarray(whole.si))
    how = Solved("the column, cell by cell, straight between the feet", "definition", (whole,))
    return Value("static_pressure", pressure, "Pa", how, -1)


@kept(SOME)
def _judged(
    step: str, flow: Circulation, question: Question, needed: Value, rest: Value, z: Array
) -> CheckRecord:
    setting = flow.setting
    band = setting.basis.tight_band_window
    return with_equivalents(
        setting, judge(step, question, needed, rest, band, depths_of(setting, z))
    )
