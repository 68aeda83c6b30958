"""Do the pumps drive the flow, and does the flow carry the cuttings?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bathybore.base.working import FromWalk, Solved, Value, summed, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.kernels.bit_hydraulics import pump_pressure_limit
from bathybore.model.hole import Hole
from bathybore.operations.circulation import (
    Circulation,
    cuttings_fraction,
    lifting,
    of_drilling,
    pump_pressure,
    string_fits,
)
from bathybore.operations.columns import temperature
from bathybore.operations.state import HoleState

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
    if not string_fits(state):
        reason = "the string does not fit in the hole; see string-fits"
        for question in (PUMP, LIFT, CONCENTRATION):
            yield unjudged(state.step.name, question, reason)
        return
    flow = of_drilling(state)
    step, basis = state.step.name, state.hole.basis
    yield from _pumps(state, flow)
    segments = flow.annuli
    ratio = lifting(flow, segments)
    worst = int(np.argmin(np.asarray(ratio.si)))
    place = state.hole.depth(float(segments.bottom[worst]))
    caution = ""
    if state.riser is None:
        caution = (
            "Sea water lifts by rate and by sweeps only; a chip that settles waits for the next "
            "sweep."
        )
    needed = "transport_ratio" if state.riser is not None else "transport_ratio_riserless"
    yield judge(
        step,
        LIFT,
        basis.value(needed, "transport_ratio"),
        _one(ratio, worst),
        basis.tight_band,
        place,
        caution,
        f"Slowest: {segments.names[worst]}.",
    )
    fraction = cuttings_fraction(flow, segments)
    full = int(np.argmax(np.asarray(fraction.si)))
    yield judge(
        step,
        CONCENTRATION,
        _one(fraction, full),
        basis.value("cuttings_concentration", "cuttings_volume_fraction"),
        basis.tight_band,
        state.hole.depth(float(segments.bottom[full])),
        note=f"Fullest: {segments.names[full]}.",
    )
    yield _heat(state)


def _one(value: Value, index: int) -> Value:
    """Return one segment of a value over segments, with all that went into it."""
    return value.at_segment(index)


def _pumps(state: HoleState, flow: Circulation) -> Iterator[CheckRecord]:
    hole, step = state.hole, state.step.name
    pumps = hole.vessel.pumps
    total = float(flow.flow_rate) + float(flow.booster_flow_rate)
    rates = [
        line.volume_per_stroke
        * pumps.greatest_stroke_rate
        * pumps.volumetric_efficiency
        * pumps.count
        for line in pumps.liners
    ]
    easy = total * (1.0 + hole.basis.tight_band)
    fits = [i for i, rate in enumerate(rates) if rate >= easy] or [int(np.argmax(rates))]
    best = max(fits, key=lambda i: pumps.liners[i].greatest_pressure)
    line = pumps.liners[best]
    yield judge(
        step,
        RATE,
        _total_flow(flow),
        _pump_rate(hole, best, rates[best]),
        hole.basis.tight_band,
    )
    share = total and float(flow.flow_rate) / total
    power = Value(
        "pump_power",
        pumps.count * pumps.power_each * share,
        "W",
        Solved(
            "power of all pumps, less the share that boosts the riser",
            "definition",
            (pumps.value("power_each"),),
        ),
    )
    limit = work(
        pump_pressure_limit,
        liner_pressure_rating=line.value("greatest_pressure", "liner_pressure_rating"),
        pump_power=power,
        flow_rate=flow.flow_rate,
        pump_mechanical_efficiency=pumps.value("mechanical_efficiency"),
    )
    usable = hole.basis.value("pump_pressure_share")
    capacity = Value(
        "standpipe_pressure",
        float(usable) * float(limit),
        "Pa",
        Solved("share of the limit for steady use", "assumed", (usable, limit)),
    )
    yield judge(
        step,
        PUMP,
        pump_pressure(flow),
        capacity,
        hole.basis.tight_band,
        note=f"{line.name} liners.",
    )


def _total_flow(flow: Circulation) -> Value:
    parts = (flow.flow_rate, flow.booster_flow_rate)
    return summed("flow_rate", "m3/s", "flow down the string and booster flow", parts)


def _pump_rate(hole: Hole, liner: int, rate: float) -> Value:
    pumps = hole.vessel.pumps
    parts = (
        pumps.liners[liner].value("volume_per_stroke"),
        pumps.value("greatest_stroke_rate"),
        pumps.value("volumetric_efficiency"),
        Value("count", float(pumps.count), "-", pumps.origin("count")),
    )
    origin = Solved("volume per stroke times stroke rate, all pumps", "definition", parts)
    return Value("flow_rate", rate, "m3/s", origin)


def _heat(state: HoleState) -> CheckRecord:
    hole, bottom = state.hole, float(state.bottom)
    value = Value(
        "temperature",
        float(temperature(hole, bottom)),
        "K",
        FromWalk(f"{hole.earth.file} at {hole.depth(bottom)}"),
    )
    limit = hole.vessel.value("tool_temperature_limit", "temperature")
    barrel = hole.inventory.core_barrel
    if state.activity.rate_of_penetration is not None and barrel and barrel.temperature_limit:
        limit = barrel.value("temperature_limit", "temperature")
    return judge(state.step.name, HEAT, value, limit, hole.basis.tight_band, hole.depth(bottom))
