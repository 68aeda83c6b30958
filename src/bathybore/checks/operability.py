"""Is there time to get out of the way of a storm, and is the planned downtime that of the place?"""

from __future__ import annotations

from collections.abc import Iterator

from bathybore.base.keeping import FEW, SOME, kept
from bathybore.base.units import show
from bathybore.base.working import FromTable, FromWalk, Solved, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.kernels.durations import joint_count, riser_running_time
from bathybore.model.hole import Setting
from bathybore.model.tables import ProfileTable
from bathybore.operations.operability import WeatherLimits, windows
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.state import HoleState

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
    "One series of weather: other years differ. Weather that comes from the side counts as "
    "weather from ahead.",
)


def storm_studies(state: HoleState) -> Iterator[CheckRecord]:
    """Ask whether the riser can be on board before a storm."""
    gear = RiserGear.of(state.hole)
    if gear is not None:  # a step that runs a riser without one is told of elsewhere
        yield _storm(state.step.name, gear)


def weather_studies(state: HoleState) -> Iterator[CheckRecord]:
    """Ask whether the series of weather bears out the planned downtime."""
    if state.hole.weather is not None:
        yield _downtime(state.step.name, state.hole.setting, state.hole.weather)


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
    note = f"The crew must begin {show(float(needed), 's')} before the storm."
    return judge(step, STORM, needed, warned, basis.tight_band, note=note)


def planned_limits(setting: Setting) -> WeatherLimits:
    """Return the weather of the plan as the limits in which the operation goes on."""
    sea = setting.site.environment
    return WeatherLimits(sea.significant_wave_height, sea.wind_speed)


@kept(FEW)
def _downtime(step: str, setting: Setting, table: ProfileTable) -> CheckRecord:
    sea = setting.site.environment
    judged = windows(table, planned_limits(setting))
    rows = FromTable(table.file, "wave height and wind of every row", "given")
    height = float(table.numbers["significant_wave_height"].max())
    greatest = Value("significant_wave_height", height, "m", rows)
    origin = Solved(
        "share of the time in which waves or wind of the series are more than those of the plan",
        "definition",
        (greatest, sea.value("significant_wave_height"), sea.value("wind_speed")),
    )
    beyond = Value("downtime_share", 1.0 - judged.share, "-", origin)
    planned = sea.value("share_of_time_exceeded", "downtime_share")
    return judge(step, DOWNTIME, beyond, planned, setting.basis.tight_band)
