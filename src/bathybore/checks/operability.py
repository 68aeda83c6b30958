"""Is there time to get out of the way of a storm, and does the weather let every step go on?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from bathybore.base.keeping import FEW, SOME, kept
from bathybore.base.units import show
from bathybore.base.working import FromTable, FromWalk, Solved, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.kernels.durations import joint_count, riser_running_time
from bathybore.model.hole import Setting
from bathybore.model.site import MONTHS
from bathybore.model.tables import ProfileTable
from bathybore.operations.operability import Windows, given_scatter, windows
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.state import HoleState
from bathybore.operations.steps import derive_steps
from bathybore.operations.weather_limits import (
    AT_ONE_GO,
    OPERATION_OF,
    Operation,
    OperationLimits,
    limits_of,
)

STORM = Question(
    "storm-warning",
    Discipline.TIME,
    "When a storm is forecast, is there time to secure the hole and pull the riser?",
    "Secure sooner, pull faster, keep away from the season of storms, or plan to ride it out with "
    "the riser hung off.",
    "Times are assumed unless the design basis gives them. A riser that hangs in a storm is a "
    "danger of its own: its motion is to be analysed.",
)
DOWNTIME = Question(
    "weather-downtime",
    Discipline.TIME,
    "Is the planned share of downtime at least that of the weather of the place?",
    "Plan for more downtime, another season, or a vessel that works in more weather.",
    "One record of weather: other years differ. Weather that comes from the side counts as "
    "weather from ahead. Limits of the operation are assumed unless the design basis gives them.",
)
WINDOW = Question(
    "weather-window",
    Discipline.TIME,
    "Does the weather of the place ever last as long as this step takes at one go?",
    "Another season, a way to break the step off half done, or gear that works in more weather.",
    "One series of weather: other years differ. That a window comes is not that it was forecast.",
)
WAITING = Question(
    "weather-waiting",
    Discipline.TIME,
    "Is the planned downtime of all steps together at least what they wait for their weather?",
    "Plan for more downtime, another season, or gear that works in more weather.",
    "Mean waits over one series, each step begun at any time of it: a bad year waits longer.",
)
CURRENT = Question(
    "operation-current",
    Discipline.TIME,
    "Does the operation go on in the current of the place?",
    "Another season, gear that bears more current, or a site out of the stream.",
    "The planned current, taken as always there. Limits are assumed unless the design basis "
    "gives them.",
)
WEATHER_QUESTIONS = (DOWNTIME, WINDOW, WAITING, CURRENT)


def storm_studies(state: HoleState) -> Iterator[CheckRecord]:
    """Ask whether the riser can be on board before a storm."""
    gear = RiserGear.of(state.hole)
    if gear is not None:  # a step that runs a riser without one is told of elsewhere
        yield _storm(state.step.name, gear)


def weather_studies(state: HoleState) -> Iterator[CheckRecord]:
    """Ask whether the weather of the place lets the step go on as planned."""
    hole, step = state.hole, state.step
    if hole.weather is not None and not covers(hole.setting, hole.weather):
        for question in (WINDOW if step.kind in AT_ONE_GO else DOWNTIME, CURRENT):
            yield unjudged(step.name, question, _uncovered(hole.setting, hole.weather))
        return
    limits = limits_of(hole.setting, OPERATION_OF[step.kind])
    if hole.weather is None or "current_speed" not in hole.weather.numbers:
        yield _current(step.name, hole.setting, limits)
    if hole.weather is not None:
        if step.kind in AT_ONE_GO:
            net = time_at_one_go(state)
            yield _window(step.name, hole.setting, hole.weather, limits, net)
        else:
            yield _downtime(step.name, hole.setting, hole.weather, limits)
    elif hole.scatter is not None:
        yield _downtime_by_scatter(step.name, hole.setting, hole.scatter, limits)


def waiting_studies(state: HoleState) -> Iterator[CheckRecord]:
    """Ask whether all steps together wait no longer than planned."""
    weather = state.hole.weather
    if weather is not None and not covers(state.hole.setting, weather):
        yield unjudged(state.step.name, WAITING, _uncovered(state.hole.setting, weather))
    elif weather is not None and state.durations:
        yield _waiting(state.step.name, state.hole.setting, weather, waiting_steps(state))


@kept(FEW)
def lacking(setting: Setting, table: ProfileTable) -> tuple[int, ...]:
    """Return in which of the planned months, from 0, a series has no row."""
    return windows(table, limits_of(setting, Operation.STATION).numbers).lacks(setting.site.months)


def covers(setting: Setting, table: ProfileTable) -> bool:
    """Return whether a series has rows in all of the planned months."""
    return not lacking(setting, table)


def _uncovered(setting: Setting, table: ProfileTable) -> str:
    return _lacks(table, lacking(setting, table))


def _lacks(table: ProfileTable, months: tuple[int, ...]) -> str:
    names = ", ".join(MONTHS[month] for month in months)
    return (
        f"{table.file} has no row in {names}, which the plan may meet: site.first_month and "
        "site.last_month say when it is"
    )


@kept(SOME)
def time_to_leave(gear: RiserGear) -> Value:
    """Return how long it takes to secure the hole and to pull riser and preventer."""
    setting = gear.setting
    way = Value(
        "length",
        float(setting.sea_bed) - float(setting.drill_floor),
        "m",
        FromWalk("riser from the drill floor to the sea bed"),
    )
    pulling = work(
        riser_running_time,
        joints=work(joint_count, length=way, joint_length=gear.joint.value("joint_length")),
        joint_running_rate=setting.vessel.handling.value("riser_joints_per_hour"),
    )
    securing = setting.basis.value("securing_time")
    origin = Solved("securing and pulling the riser", "definition", (securing, pulling))
    return Value("duration", float(securing) + float(pulling), "s", origin)


@kept(SOME)
def _storm(step: str, gear: RiserGear) -> CheckRecord:
    basis, needed = gear.setting.basis, time_to_leave(gear)
    warned = basis.value("storm_warning_time", "duration")
    note = f"The crew must begin {show(float(needed), 's', significant=3)} before the storm."
    return judge(step, STORM, needed, warned, basis.tight_band, note=note)


def time_at_one_go(state: HoleState) -> Value:
    """Return the time of a step without trouble and downtime."""
    parts = state.times
    total = sum(float(part) for part in parts)
    return Value("duration", total, "s", Solved("sum of its parts", "definition", parts))


def planned_rows(
    setting: Setting, table: ProfileTable, limits: OperationLimits
) -> tuple[Windows, NDArray[np.bool_]]:
    """Return the series judged for an operation, and which rows lie in the planned months."""
    judged = windows(table, limits.numbers)
    return judged, judged.rows_in(setting.site.months)


def _told(limits: OperationLimits) -> str:
    height, wind, _ = limits.values
    words = limits.operation.words
    return (
        f"{words[0].upper()}{words[1:]} goes on up to waves of {show(float(height), 'm')} and "
        f"wind of {show(float(wind), 'm/s')}."
    )


def _beyond(what: str, share: float, table: ProfileTable, limits: OperationLimits) -> Value:
    height = float(table.numbers["significant_wave_height"].max())
    rows = FromTable(table.file, "wave height of every row", "given")
    greatest = Value("significant_wave_height", height, "m", rows)
    origin = Solved(what, "definition", (greatest, *limits.values))
    return Value("downtime_share", share, "-", origin)


@kept(SOME)
def _downtime(
    step: str, setting: Setting, table: ProfileTable, limits: OperationLimits
) -> CheckRecord:
    judged, rows = planned_rows(setting, table, limits)
    beyond = _beyond(
        "share of the time in which the series has more than the operation goes on in",
        1.0 - judged.within(rows), table, limits,
    )  # fmt: skip
    planned = setting.site.environment.value("share_of_time_exceeded", "downtime_share")
    return judge(step, DOWNTIME, beyond, planned, setting.basis.tight_band, note=_told(limits))


@kept(SOME)
def _downtime_by_scatter(
    step: str, setting: Setting, table: ProfileTable, limits: OperationLimits
) -> CheckRecord:
    told, months = given_scatter(table), setting.site.months
    if told.lacks(months):
        return unjudged(step, DOWNTIME, _lacks(table, told.lacks(months)))
    within = told.within(float(limits.wave_height), months)
    beyond = _beyond(
        "share of the time in which waves are higher than the operation goes on in, even inside "
        "each class of the scatter",
        1.0 - within, table, limits,
    )  # fmt: skip
    planned = setting.site.environment.value("share_of_time_exceeded", "downtime_share")
    note = (
        f"{_told(limits)} A scatter of sea states tells neither wind nor how long a window "
        "lasts: only a series does."
    )
    return judge(step, DOWNTIME, beyond, planned, setting.basis.tight_band, note=note)


@kept(SOME)
def _window(
    step: str, setting: Setting, table: ProfileTable, limits: OperationLimits, net: Value
) -> CheckRecord:
    judged, rows = planned_rows(setting, table, limits)
    origin = Solved(
        f"longest stretch of {table.file} within the limits of the operation",
        "definition",
        limits.values,
    )
    most = min(float(judged.left[rows].max()), judged.known)
    longest = Value("duration", most, "s", origin)
    waits = judged.any_time(float(net)).of(rows)
    note = _told(limits)
    if np.isfinite(waits.mean):
        note += (
            f" Begun at any time it waits {show(waits.mean, 's', significant=2)} on the mean, and "
            f"{show(waits.within(0.9), 's', significant=2)} or less in 9 of 10."
        )
    return judge(step, WINDOW, net, longest, setting.basis.tight_band, note=note)


@kept(SOME)
def _current(step: str, setting: Setting, limits: OperationLimits) -> CheckRecord:
    planned = setting.site.environment.value("surface_current", "current_speed")
    return judge(step, CURRENT, planned, limits.own_current, setting.basis.tight_band)


# ---- all steps together -------------------------------------------------------------------

# What a step is to the weather: its name, its operation, whether it is done at one go, how long
# it takes as planned.
WaitingStep = tuple[str, Operation, bool, Value]


def waiting_steps(state: HoleState) -> tuple[WaitingStep, ...]:
    """Return the steps up to a state whose planned time holds a share of downtime.

    Of a duration that the plan fixes nobody knows what is in it.
    """
    steps = {one.name: one for one in derive_steps(state.hole.plan)}
    known = (
        (steps[duration.name], duration) for duration in state.durations if duration.name in steps
    )
    return tuple(
        (step.name, OPERATION_OF[step.kind], step.kind in AT_ONE_GO, duration)
        for step, duration in known
        if step.fixed_duration is None
    )


def wait_of(setting: Setting, table: ProfileTable, step: WaitingStep) -> float:
    """Return the mean wait of a step [s]; infinite where its weather never comes."""
    _, operation, at_one_go, duration = step
    judged, rows = planned_rows(setting, table, limits_of(setting, operation))
    working = float(duration) * (1.0 - setting.site.environment.share_of_time_exceeded)
    if at_one_go:
        return judged.any_time(working / setting.basis.trouble_factor).of(rows).mean
    share = judged.within(rows)
    return working * (1.0 / share - 1.0) if share > 0.0 else np.inf


@kept(FEW)
def _waiting(
    step: str, setting: Setting, table: ProfileTable, steps: tuple[WaitingStep, ...]
) -> CheckRecord:
    waits = [wait_of(setting, table, one) for one in steps]
    never = [one[0] for one, wait in zip(steps, waits, strict=True) if not np.isfinite(wait)]
    if never:
        return unjudged(step, WAITING, f"the weather of {never[0]} never comes in {table.file}")
    durations = tuple(one[3] for one in steps)
    share = setting.site.environment.value("share_of_time_exceeded", "downtime_share")
    limits = tuple(value for one in Operation for value in limits_of(setting, one).values)
    needed = Value("duration", sum(waits), "s", Solved(
        f"mean wait of every step over the planned months of {table.file}: for a window long "
        "enough where it is done at one go, for the share of the time within its limits where "
        "it can be broken off",
        "definition", (*durations, *limits),
    ))  # fmt: skip
    planned = Value("duration", float(share) * sum(float(one) for one in durations), "s", Solved(
        "planned share of downtime in the time of all steps", "definition", (share, *durations)
    ))  # fmt: skip
    longest = int(np.argmax(waits))
    wait = show(waits[longest], "s", significant=2)
    note = f"{steps[longest][0]} waits longest, {wait} on the mean."
    return judge(step, WAITING, needed, planned, setting.basis.tight_band, note=note)
