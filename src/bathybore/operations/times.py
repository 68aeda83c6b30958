"""How long each step takes: its parts in the clear, then trouble and weather."""

from __future__ import annotations

from collections.abc import Callable
from math import ceil
from typing import Final

import numpy as np

from bathybore.base.errors import OrderError
from bathybore.base.frozen import changed
from bathybore.base.keeping import MANY, SOME, kept, same
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.coring import runs_needed, wireline_round_trip_time
from bathybore.kernels.durations import (
    circulation_time,
    connection_time,
    drilling_time,
    joint_count,
    operation_time,
    riser_running_time,
    tests_within,
    trip_time,
)
from bathybore.model.hole import Setting
from bathybore.model.inventory import CoreBarrel
from bathybore.model.plan import Casing, Cement
from bathybore.model.vessel import Handling
from bathybore.operations.by_hand import is_open, told_of
from bathybore.operations.circulation import of_drilling, string_fits
from bathybore.operations.columns import depth_nodes
from bathybore.operations.cuttings_carried import bottoms_up, cleaned_by
from bathybore.operations.state import CasingInPlace, HoleState
from bathybore.operations.steps import StepKind
from bathybore.operations.volumes import cement_volumes, plug_volume

Parts = list[Value]


def with_times(before: HoleState, state: HoleState) -> HoleState:
    """Return the state with its duration, the parts of it, and the time elapsed.

    Where the plan fixes the duration the parts are still worked out: what is pumped
    follows from them.
    """
    parts = _PARTS[state.step.kind](before, state)
    duration = _duration(state, parts)
    tests, tested_at = _preventer_tests(before, state, duration)
    if tests:
        parts += tests
        duration = _duration(state, parts)
    elapsed = before.elapsed + float(duration)
    if state.step.kind in TESTS_PREVENTER:
        tested_at = elapsed
    return changed(
        state,
        duration=duration,
        times=tuple(parts),
        elapsed=elapsed,
        durations=(*before.durations, duration.named(state.step.name)),
        conductor_set_at=_set_up_begins(before, state, elapsed),
        last_preventer_test=tested_at,
        string_left_by=_string_left_by(before, state.step.kind),
    )


TESTS_PREVENTER: Final = (StepKind.RUN_RISER, StepKind.TEST_PREVENTER)
_LEAVE_STRING: Final = (StepKind.TEST_SHOE, StepKind.DRILL, StepKind.CORE)
_KEEP_STRING: Final = (
    StepKind.WAIT,
    StepKind.CIRCULATE,
    StepKind.WIPER_TRIP,
    StepKind.TEST_PREVENTER,
)


def _string_left_by(before: HoleState, kind: StepKind) -> StepKind | None:
    if kind in _LEAVE_STRING:
        return kind
    return before.string_left_by if kind in _KEEP_STRING else None


def _duration(state: HoleState, parts: Parts) -> Value:
    fixed = state.step.fixed_duration
    if fixed is not None:
        return same(fixed.named("duration"))
    return _with_trouble(state.hole.setting, tuple(parts))


def _set_up_begins(before: HoleState, state: HoleState, elapsed: float) -> float:
    """Set-up begins when jetting ends: the soak, at most the whole step, before the step's end."""
    if state.step.kind is not StepKind.SET_CONDUCTOR:
        return before.conductor_set_at
    return max(before.elapsed, elapsed - state.hole.plan.conductor.set_up_wait)


def _preventer_tests(
    before: HoleState, state: HoleState, duration: Value
) -> tuple[tuple[Value, ...], float | None]:
    """Return the tests that fall due in the step, and when the preventer was tested last.

    The interval runs from test to test, whatever steps lie between.
    """
    last = before.last_preventer_test
    if before.riser is None or state.riser is None or last is None:
        return (), None
    if state.step.kind in TESTS_PREVENTER:
        return (), last
    tests, due = _tests_due(state.hole.vessel.handling, before.elapsed, duration, last)
    return tests, last + due


@kept(MANY)
def _tests_due(
    handling: Handling, elapsed: float, duration: Value, last: float
) -> tuple[tuple[Value, ...], float]:
    """Return the tests that fall due in a step, and by how much they move the last one on."""
    tested = Value("elapsed_time", last, "s", FromWalk("arrival to the last preventer test"))
    begun = Value("elapsed_time", elapsed, "s", FromWalk("arrival to the step's beginning"))
    since = Value(
        "duration",
        elapsed + float(duration) - last,
        "s",
        Solved("end of the step less the last test", "definition", (begun, duration, tested)),
    )
    interval = handling.value("preventer_test_interval", "test_interval")
    count = work(tests_within, duration=since, test_interval=interval)
    due = int(float(count))
    if due == 0:
        return (), 0.0
    one = handling.value("preventer_test_time")
    origin = Solved("number of tests times the time of one", "definition", (count, one))
    time = Value("test the preventer", due * float(one), "s", origin)
    return (time,), due * float(interval)


@kept(MANY)
def _with_trouble(setting: Setting, parts: tuple[Value, ...]) -> Value:
    net = Value(
        "net_time",
        sum(float(part) for part in parts),
        "s",
        Solved("sum of the parts: $T_0 = sum_i T_i$", "definition", parts),
    )
    return work(
        operation_time,
        net_time=net,
        trouble_factor=setting.basis.value("trouble_factor"),
        downtime_share=setting.site.environment.value("share_of_time_exceeded"),
    )


def _length(metres: float, how: str) -> Value:
    return Value("length", metres, "m", FromWalk(how))


@kept(MANY)
def _trip(handling: Handling, metres: float, label: str, open_water: bool) -> Value:
    pace = "time_per_stand_open_water" if open_water else "time_per_stand"
    return work(
        trip_time,
        length=_length(metres, "string from the drill floor to its end"),
        stand_length=handling.value("stand_length"),
        time_per_stand=handling.value(pace),
    ).named(label)


def _fixed(state: HoleState, field: str, label: str) -> Value:
    return state.hole.vessel.handling.value(field, label)


def _string_trip(state: HoleState, label: str) -> Value:
    string = state.activity.string
    if string is None:
        raise LookupError(f"{state.step.name} has no string")
    metres, handling = string.bottom - state.hole.drill_floor, state.hole.vessel.handling
    return _trip(handling, metres, label, state.riser is None)


def _survey(before: HoleState, state: HoleState) -> Parts:
    return [_fixed(state, "surveying_time", "survey the sea bed, set beacons")]


def _run_conductor(before: HoleState, state: HoleState) -> Parts:
    return [
        _fixed(state, "rig_up_casing_time", "make up conductor and guide"),
        _string_trip(state, "run to the sea bed"),
    ]


def _set_conductor(before: HoleState, state: HoleState) -> Parts:
    plan = state.hole.plan.conductor
    metres, how = state.bottom - before.bottom, "penetration below the sea bed"
    jetting = _on_bottom(metres, how, plan.value("jetting_rate"), "jet in")
    return [jetting, plan.value("set_up_wait", "soak")]


@kept(SOME)
def _on_bottom(metres: float, how: str, rate: Value, label: str) -> Value:
    length = _length(metres, how)
    return work(drilling_time, length=length, rate_of_penetration=rate).named(label)


def _release(before: HoleState, state: HoleState) -> Parts:
    return [_string_trip(state, "pull the string")]


@kept(SOME)
def _running(metres: float, how: str, joint: Value, rate: Value, label: str) -> Value:
    """Return the time to run a length of pipe joint by joint."""
    joints = work(joint_count, length=_length(metres, how), joint_length=joint)
    return work(riser_running_time, joints=joints, joint_running_rate=rate).named(label)


def _riser_time(state: HoleState, label: str) -> Value:
    hole, stock = state.hole, state.hole.inventory.riser
    if stock is None:
        raise LookupError("no riser on board")
    return _running(
        hole.sea_bed - hole.drill_floor,
        "riser from the drill floor to the sea bed",
        stock.value("joint_length"),
        hole.vessel.handling.value("riser_joints_per_hour"),
        label,
    )


def _run_riser(before: HoleState, state: HoleState) -> Parts:
    return [
        _riser_time(state, "run riser and preventer"),
        _fixed(state, "riser_test_and_landing_time", "land, connect, test lines"),
        _fixed(state, "preventer_test_time", "test the preventer"),
    ]


def _retrieve_riser(before: HoleState, state: HoleState) -> Parts:
    return [_riser_time(state, "pull riser and preventer")]


def _test_shoe(before: HoleState, state: HoleState) -> Parts:
    return [
        _fixed(state, "bottom_assembly_time", "make up the assembly"),
        _string_trip(state, "run in"),
        _fixed(state, "leak_off_time", "drill out, test the shoe"),
    ]


def _cutting_time(state: HoleState, top: float, bottom: float) -> Value:
    """Time with the bit cutting: depth over rate, integrated down the earth table."""
    section, rate = state.activity.section, state.activity.rate_of_penetration
    if rate is not None:
        return _on_bottom(bottom - top, "interval cored", rate, "cut")
    factor = section.rate_of_penetration_factor if section is not None else 1.0
    return time_to_drill(state.hole.setting, top, bottom, factor)


@kept(SOME)
def time_to_drill(setting: Setting, top: float, bottom: float, factor: float) -> Value:
    """Return the time that the earth table gives an interval with the bit cutting."""
    z = depth_nodes(setting, top, bottom)
    slowness = 1.0 / (factor * setting.earth.at("rate_of_penetration", z - setting.sea_bed))
    seconds = float(np.sum(0.5 * (slowness[1:] + slowness[:-1]) * np.diff(z)))
    rate = Value(
        "rate_of_penetration",
        (bottom - top) / seconds if seconds > 0 else 1.0,
        "m/s",
        FromWalk("mean of the earth table over the interval, by time"),
    )
    return _on_bottom(bottom - top, "interval drilled", rate, "drill")


def bit_life_of(state: HoleState) -> Value:
    """Return how long a bit of the step's size cuts; infinite where none is on board."""
    section = state.activity.section
    hole = state.hole
    barrel = hole.inventory.core_barrel
    if state.step.kind is StepKind.CORE and barrel is not None:
        return barrel.value("bit_life")
    bits = hole.inventory.bits
    wanted = (section.pilot_bit or section.hole_diameter) if section is not None else 0.0
    for bit in bits:
        if abs(bit.diameter - wanted) < 1e-4:
            return bit.value("life", "bit_life")
    return Value("bit_life", np.inf, "s", FromWalk("no such bit on board"))


def _bit_changes(state: HoleState, cutting: Value) -> int:
    life = float(bit_life_of(state))
    return max(ceil(float(cutting) / life - 1e-9) - 1, 0) if np.isfinite(life) else 0


@kept(SOME)
def _times(count: int, one: Value, label: str) -> Value:
    origin = Solved(f"{count} times one of them", "definition", (one,))
    return Value(label, count * float(one), one.unit, origin)


def _drill(before: HoleState, state: HoleState) -> Parts:
    cutting = _cutting_time(state, before.bottom, state.bottom)
    making = _connections(state.hole.vessel.handling, state.bottom - before.bottom)
    # the string is already in after the shoe was tested; else it is run
    left_by = before.string_left_by
    run_in = [] if left_by is StepKind.TEST_SHOE else [_string_trip(state, "run in")]
    return [
        *run_in,
        cutting,
        making,
        *_bit_trips(state, cutting),
        _string_trip(state, "pull out"),
        _fixed(state, "bottom_assembly_time", "lay down the assembly"),
    ]


@kept(SOME)
def _connections(handling: Handling, metres: float) -> Value:
    return work(
        connection_time,
        length=_length(metres, "interval drilled"),
        stand_length=handling.value("stand_length"),
        time_per_connection=handling.value("connection_time", "time_per_connection"),
    ).named("connections")


def _bit_trips(state: HoleState, cutting: Value) -> Parts:
    changes = _bit_changes(state, cutting)
    if changes == 0:
        return []
    return [_times(2 * changes, _string_trip(state, "trip"), f"{changes} bit changes")]


def _core(before: HoleState, state: HoleState) -> Parts:
    hole = state.hole
    barrel, coring = hole.inventory.core_barrel, hole.plan.coring
    if barrel is None or coring is None:
        raise LookupError("coring without a barrel")
    runs = _runs(barrel, state.bottom - before.bottom)
    one = _string_trip(state, "round trip")
    if barrel.wireline:
        one = _by_wire(barrel, state.bottom - hole.drill_floor)
    cutting = _cutting_time(state, before.bottom, state.bottom)
    count = int(float(runs)) + coring.contingency_runs
    return [
        _fixed(state, "bottom_assembly_time", "make up the core barrel"),
        _string_trip(state, "run in"),
        cutting,
        _times(count if barrel.wireline else 2 * count, one, f"{count} barrels up and down"),
        *_bit_trips(state, cutting),
        _string_trip(state, "pull out"),
    ]


@kept(SOME)
def _runs(barrel: CoreBarrel, metres: float) -> Value:
    return work(
        runs_needed,
        cored_length=Value("cored_length", metres, "m", FromWalk("interval cored")),
        core_barrel_length=barrel.value("barrel_length", "core_barrel_length"),
    )


@kept(SOME)
def _by_wire(barrel: CoreBarrel, depth: float) -> Value:
    origin = FromWalk("drill floor to the bottom of the hole")
    return work(
        wireline_round_trip_time,
        depth_below_drill_floor=Value("depth_below_drill_floor", depth, "m", origin),
        wireline_speed=barrel.value("wireline_speed"),
        handling_time=barrel.value("handling_time"),
    )


def _run_casing(before: HoleState, state: HoleState) -> Parts:
    casing = state.activity.casing
    if casing is None:
        raise LookupError("no casing to run")
    handling = state.hole.vessel.handling
    run = _running(
        casing.shoe - casing.top,
        f"length of {casing.name}",
        handling.value("casing_joint_length", "joint_length"),
        handling.value("casing_joints_per_hour"),
        "make up and run the casing",
    )
    return [
        _fixed(state, "rig_up_casing_time", "rig up"),
        run,
        _string_trip(state, "run in on the landing string"),
        state.hole.inventory.wellhead.value("running_tool_time", "land"),
    ]


def _pumping(state: HoleState, casing: CasingInPlace, plan: Cement) -> Parts:
    volumes, rate = cement_volumes(state, casing), plan.value("rate", "flow_rate")
    return [
        _pumped(volumes.slurry, rate, "pump slurry"),
        _pumped(volumes.displacement, rate, "displace"),
    ]


@kept(SOME)
def _pumped(volume: Value, rate: Value, label: str) -> Value:
    return work(circulation_time, volume=volume.named("volume"), flow_rate=rate).named(label)


def _cement(before: HoleState, state: HoleState) -> Parts:
    placed = state.activity.casing
    if placed is None or not isinstance(placed.plan, Casing):
        raise LookupError("no casing to cement")
    plan = placed.plan.cement
    return [*_pumping(state, placed, plan), plan.value("wait", "wait on cement")]


def _plug(before: HoleState, state: HoleState) -> Parts:
    leaving = state.hole.plan.leaving
    rate = state.hole.vessel.cement_unit.value("greatest_rate", "flow_rate")
    pumping = [_pumped(plug_volume(state, plug), rate, "pump plug") for plug in state.plugs]
    waits = [leaving.value("wait", "wait on cement, tag") for _ in state.plugs]
    return [
        _string_trip(state, "run in"),
        *pumping,
        *waits,
        _string_trip(state, "pull out"),
    ]


def _depart(before: HoleState, state: HoleState) -> Parts:
    return [_fixed(state, "surveying_time", "recover beacons, look at the wellhead")]


def _wait(before: HoleState, state: HoleState) -> Parts:
    return []


def _with_string(before: HoleState, state: HoleState, work: Parts) -> Parts:
    """Return work done at the bottom, with the way there and back where no string is there."""
    if before.string_left_by is not None:
        return work
    return [_string_trip(state, "run in"), *work, _string_trip(state, "pull out")]


def _circulate(before: HoleState, state: HoleState) -> Parts:
    return _with_string(before, state, [same(_circulating_time(state).named("circulate"))])


def _circulating_time(state: HoleState) -> Value:
    """Return how long is pumped: as told, or until the hole is clean by the slowest law.

    In a cased hole no cuttings are waited for: the mud comes up once.

    Raises
    ------
    OrderError
        What is to be pumped out of the hole never comes out of it.
    """
    told, here = told_of(state.step), f"the step '{state.step.name}' cannot be done here"
    if told.duration is not None:
        return told.value("duration")
    if not string_fits(state):
        raise OrderError(f"{here}: the string does not fit in the hole, so nothing tells how long")
    flow = of_drilling(state)
    if told.bottoms_up is not None:
        return _bottoms_up(told.value("bottoms_up"), bottoms_up(flow))
    if not is_open(state):
        return bottoms_up(flow)
    clean = cleaned_by(flow).time
    if not np.isfinite(float(clean)):
        raise OrderError(f"{here}: cuttings do not rise everywhere; more flow, or tell a duration")
    return clean


@kept(SOME)
def _bottoms_up(count: Value, once: Value) -> Value:
    origin = Solved("bottoms-up times pumped", "definition", (count, once))
    return Value("duration", float(count) * float(once), "s", origin)


def _wiper_trip(before: HoleState, state: HoleState) -> Parts:
    open_hole = state.bottom - state.deepest_shoe
    return _with_string(before, state, [_wiped(state.hole.vessel.handling, open_hole)])


@kept(SOME)
def _wiped(handling: Handling, metres: float) -> Value:
    return work(
        trip_time,
        length=_length(2.0 * metres, "open hole, up to its shoe and down again"),
        stand_length=handling.value("stand_length"),
        time_per_stand=handling.value("time_per_stand"),
    ).named("to the shoe and back")


def _log(before: HoleState, state: HoleState) -> Parts:
    logging = told_of(state.step).value("duration", "log the hole")
    if before.string_left_by is not StepKind.TEST_SHOE:
        return [logging]
    metres, handling = state.bottom - state.hole.drill_floor, state.hole.vessel.handling
    return [_trip(handling, metres, "pull out", state.riser is None), logging]


def _test_preventer(before: HoleState, state: HoleState) -> Parts:
    return [_fixed(state, "preventer_test_time", "test the preventer")]


def _test_casing(before: HoleState, state: HoleState) -> Parts:
    return [told_of(state.step).value("duration", "test the casing")]


_PARTS: dict[StepKind, Callable[[HoleState, HoleState], Parts]] = {
    StepKind.HOLD_STATION: _survey,
    StepKind.RUN_CONDUCTOR: _run_conductor,
    StepKind.SET_CONDUCTOR: _set_conductor,
    StepKind.RELEASE: _release,
    StepKind.RUN_RISER: _run_riser,
    StepKind.TEST_SHOE: _test_shoe,
    StepKind.DRILL: _drill,
    StepKind.RUN_CASING: _run_casing,
    StepKind.CEMENT: _cement,
    StepKind.CORE: _core,
    StepKind.PLUG: _plug,
    StepKind.RETRIEVE_RISER: _retrieve_riser,
    StepKind.DEPART: _depart,
    StepKind.WAIT: _wait,
    StepKind.CIRCULATE: _circulate,
    StepKind.WIPER_TRIP: _wiper_trip,
    StepKind.LOG: _log,
    StepKind.TEST_PREVENTER: _test_preventer,
    StepKind.TEST_CASING: _test_casing,
}
