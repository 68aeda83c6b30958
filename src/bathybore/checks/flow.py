"""Do the pumps drive the flow, and does the flow carry the cuttings?"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

import numpy as np

from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, summed
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.model.hole import Setting
from bathybore.operations.circulation import (
    Circulation,
    cuttings_fraction,
    lifting,
    of_drilling,
    pump_pressure,
    string_fits,
)
from bathybore.operations.circulation_pumps import best_liner, usable_pressure
from bathybore.operations.columns import temperature
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind

PUMP = Question(
    "pump-pressure",
    Discipline.FLOW,
    "Can the pumps drive the planned flow, within liner rating and power?",
    "Less flow, larger nozzles, larger pipe, thinner mud, or another liner.",
)
RATE = Question(
    "pump-rate",
    Discipline.FLOW,
    "Do the pumps give the planned flow, booster included, within their stroke rate?",
    "Larger liners, another pump, or less booster flow.",
)
LIFT = Question(
    "lifting",
    Discipline.FLOW,
    "Do the cuttings rise fast enough in the slowest annulus?",
    "More flow or booster, thicker mud, more sweeps; or drill slower.",
)
CONCENTRATION = Question(
    "cuttings",
    Discipline.FLOW,
    "Does the fullest annulus stay clear enough of cuttings?",
    "More flow or booster, or drill slower.",
)
HEAT = Question(
    "temperature",
    Discipline.FLOW,
    "Do the tools bear the undisturbed temperature at the bottom?",
    "Circulate while running in, use tools of a higher rating, or stop higher.",
    "Undisturbed temperature: circulation cools the hole, a stop lets it warm again.",
)


def flow_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Ask the questions of circulation at the deepest point of a drilling or coring step."""
    yield from _asked(state, (PUMP, LIFT, CONCENTRATION), (_rate, _pump, _lift, _concentration))


def pumping_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Ask the questions of circulation where no cuttings are in the hole."""
    yield from _asked(state, (PUMP,), (_rate, _pump))


def _asked(
    state: HoleState,
    questions: tuple[Question, ...],
    judges: tuple[Callable[[str, Circulation], CheckRecord], ...],
) -> Iterator[CheckRecord]:
    """Judge circulation, and the warmth; a string that does not fit leaves questions unjudged."""
    step = state.step.name
    if not string_fits(state):
        reason = "the string does not fit in the hole; see string-fits"
        yield from (unjudged(step, question, reason) for question in questions)
        return
    flow = of_drilling(state)
    yield from (each(step, flow) for each in judges)
    yield heat_check(state)


@kept(SOME)
def _lift(step: str, flow: Circulation) -> CheckRecord:
    basis, segments, ratio = flow.setting.basis, flow.annuli, lifting(flow, flow.annuli)
    worst = int(np.argmin(np.asarray(ratio.si)))
    caution = ""
    if not flow.on_riser:
        caution = (
            "Sea water lifts by rate and by sweeps only; a chip that settles waits for the next "
            "sweep."
        )
    needed = "transport_ratio" if flow.on_riser else "transport_ratio_riserless"
    return judge(
        step,
        LIFT,
        basis.value(needed, "transport_ratio"),
        _upright(flow.setting, _one(ratio, worst)),
        basis.tight_band,
        flow.setting.depth(float(segments.bottom[worst])),
        caution,
        f"Slowest: {segments.names[worst]}.",
    )


@kept(SOME)
def _concentration(step: str, flow: Circulation) -> CheckRecord:
    basis, segments = flow.setting.basis, flow.annuli
    fraction = cuttings_fraction(flow, segments)
    full = int(np.argmax(np.asarray(fraction.si)))
    return judge(
        step,
        CONCENTRATION,
        _upright(flow.setting, _one(fraction, full)),
        basis.value("cuttings_concentration", "cuttings_volume_fraction"),
        basis.tight_band,
        flow.setting.depth(float(segments.bottom[full])),
        note=f"Fullest: {segments.names[full]}.",
    )


def _one(value: Value, index: int) -> Value:
    """Return one segment of a value over segments, with all that went into it."""
    return value.at_segment(index)


_UPRIGHT: Final = np.deg2rad(30.0)  # common practice: steeper, and cuttings slide into beds


def _upright(setting: Setting, value: Value) -> Value:
    """Return how cuttings rise; in a hole that leans too far for it, outside validity."""
    survey = setting.survey
    if survey is None or np.max(survey.numbers["inclination"]) <= _UPRIGHT:
        return value
    beds = ("cuttings: the hole leans by more than 30 degrees, where they settle into beds",)
    origin = Solved("as in a hole near the vertical", "definition", (value,), outside=beds)
    return Value(value.name, value.si, value.unit, origin)


@kept(SOME)
def _rate(step: str, flow: Circulation) -> CheckRecord:
    best, rate = best_liner(flow)
    given = _pump_rate(flow.setting, best, rate)
    return judge(step, RATE, _total_flow(flow), given, flow.setting.basis.tight_band)


@kept(SOME)
def _pump(step: str, flow: Circulation) -> CheckRecord:
    setting = flow.setting
    name = setting.vessel.pumps.liners[best_liner(flow)[0]].name
    capacity, band = usable_pressure(flow), setting.basis.tight_band
    return judge(step, PUMP, pump_pressure(flow), capacity, band, note=f"{name} liners.")


def _total_flow(flow: Circulation) -> Value:
    parts = (flow.flow_rate, flow.booster_flow_rate)
    return summed("flow_rate", "m3/s", "flow down the string and booster flow", parts)


def _pump_rate(setting: Setting, liner: int, rate: float) -> Value:
    pumps = setting.vessel.pumps
    parts = (
        pumps.liners[liner].value("volume_per_stroke"),
        pumps.value("greatest_stroke_rate"),
        pumps.value("volumetric_efficiency"),
        Value("count", float(pumps.count), "-", pumps.origin("count")),
    )
    origin = Solved("volume per stroke times stroke rate, all pumps", "definition", parts)
    return Value("flow_rate", rate, "m3/s", origin)


def heat_check(state: HoleState) -> CheckRecord:
    """Judge the warmth at the bottom; a coring step by the rating of its barrel."""
    hole = state.hole
    limit = hole.vessel.value("tool_temperature_limit", "temperature")
    barrel = hole.inventory.core_barrel
    # behind coring the barrel is still at the bottom, until the string is out
    if state.string_left_by is StepKind.CORE and barrel and barrel.temperature_limit:
        limit = barrel.value("temperature_limit", "temperature")
    return _warmth(state.step.name, hole.setting, float(state.bottom), limit)


@kept(SOME)
def _warmth(step: str, setting: Setting, bottom: float, limit: Value) -> CheckRecord:
    place = setting.depth(bottom)
    origin = FromWalk(f"{setting.earth.file} at {place}")
    value = Value("temperature", float(temperature(setting, bottom)), "K", origin)
    return judge(step, HEAT, value, limit, setting.basis.tight_band, place)
