"""Can the vessel come on station and hold it?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi
from typing import TypeAlias

from bathybore.base.keeping import FEW, SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, summed, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.kernels.allocation import (
    Loss,
    PlaneForce,
    Sector,
    allocate,
    capability_factor,
)
from bathybore.kernels.allocation import Thruster as AllocationThruster
from bathybore.kernels.hull_loads import (
    current_surge_force,
    current_sway_force,
    current_yaw_moment,
    wind_surge_force,
    wind_sway_force,
    wind_yaw_moment,
)
from bathybore.kernels.position import position_error, position_error_radius
from bathybore.kernels.thrust import inflow_thrust_factor, nominal_bollard_thrust
from bathybore.kernels.wave_drift import (
    wave_drift_surge_bound,
    wave_drift_sway_force,
    wave_drift_yaw_moment,
)
from bathybore.model.hole import HoleOrSetting, Setting
from bathybore.operations.sea_conditions import (
    current_note,
    surface_current,
    surface_density,
    zero_crossing_period,
)
from bathybore.operations.state import HoleState

_CAUTION = (
    "Mean loads only: gusts, slow drift and a run of waves come on top, hence the reserve. "
    "A model test or a trial of the vessel replaces these formulas."
)
INTACT = Question(
    "hold-intact",
    Discipline.STATION,
    "Can all thrusters together hold the planned environment, with the reserve?",
    "Turn the bow nearer the weather, wait for less of it, or add thrust.",
    _CAUTION,
)
AFTER_THRUSTER = Question(
    "hold-after-thruster-loss",
    Discipline.STATION,
    "Does the vessel still hold, with the reserve, once the worst thruster is lost?",
    "Plan for less weather in this step, or turn the bow into it.",
    _CAUTION,
)
AFTER_SWITCHBOARD = Question(
    "hold-after-switchboard-loss",
    Discipline.STATION,
    "Does the vessel still hold, with the reserve, once the worst switchboard is lost?",
    "Share the thrusters over more switchboards, or plan for less weather.",
    "The worst single failure is usually a switchboard, not a thruster. " + _CAUTION,
)
POWER = Question(
    "power",
    Discipline.STATION,
    "Is there power for holding, drilling and living, with the reserve kept?",
    "Plan for less weather, or fewer large consumers at once.",
)

_Running: TypeAlias = tuple[tuple[AllocationThruster, ...], dict[str, float]]


@dataclass(frozen=True)
class StationLoad:
    """Mean environmental load on the hull, by axis."""

    surge: Value
    sway: Value
    yaw: Value

    @property
    def force(self) -> PlaneForce:
        return PlaneForce(float(self.surge), float(self.sway), float(self.yaw))


def _sum(name: str, unit: str, *parts: Value) -> Value:
    return summed(name, unit, "sum of wind, current and mean wave drift", parts)


def station_load(hole: HoleOrSetting) -> StationLoad:
    """Return the mean load of the planned environment, all from one direction."""
    return _station_load(hole.setting)


@kept(FEW)
def _station_load(hole: Setting) -> StationLoad:
    hull, sea = hole.vessel.hull, hole.site.environment
    direction = sea.value("heading_off_weather")
    water = surface_density(hole)
    area = Value(
        "lateral_current_area",
        hull.length * hull.draught,
        "m2",
        FromWalk("hull length times draught"),
    )
    centre = Value(
        "lateral_current_area_centre", 0.0, "m", FromWalk("taken at midships: symmetric profile")
    )
    length = hull.value("length", "length_between_perpendiculars")
    wind = sea.value("wind_speed")
    current = {
        "current_speed": surface_current(hole),
        "relative_current_direction": direction,
        "sea_water_density": water,
    }
    wave = _waves(hole, water)
    side = {**current, "lateral_current_area": area}
    return StationLoad(
        _sum(
            "surge_load",
            "N",
            work(
                wind_surge_force,
                wind_speed=wind,
                frontal_wind_area=hull.value("frontal_wind_area"),
                relative_wind_direction=direction,
            ),
            work(
                current_surge_force,
                breadth=hull.value("beam"),
                draught=hull.value("draught"),
                **current,
            ),
            wave.surge,
        ),
        _sum(
            "sway_load",
            "N",
            work(
                wind_sway_force,
                wind_speed=wind,
                lateral_wind_area=hull.value("lateral_wind_area"),
                relative_wind_direction=direction,
            ),
            work(current_sway_force, **side),
            wave.sway,
        ),
        _sum(
            "yaw_load",
            "N m",
            work(
                wind_yaw_moment,
                wind_speed=wind,
                lateral_wind_area=hull.value("lateral_wind_area"),
                lateral_wind_area_centre=centre.named("lateral_wind_area_centre"),
                length_between_perpendiculars=length,
                relative_wind_direction=direction,
            ),
            work(
                current_yaw_moment,
                lateral_current_area_centre=centre,
                length_between_perpendiculars=length,
                **side,
            ),
            wave.yaw,
        ),
    )


def _waves(hole: Setting, water: Value) -> StationLoad:
    hull, sea = hole.vessel.hull, hole.site.environment
    height, direction = sea.value("significant_wave_height"), sea.value("heading_off_weather")
    length = hull.value("length", "underwater_length")
    surge = work(
        wave_drift_surge_bound,
        significant_wave_height=height,
        breadth=hull.value("beam"),
        relative_wave_direction=direction,
        sea_water_density=water,
    )
    sway = work(
        wave_drift_sway_force,
        significant_wave_height=height,
        zero_crossing_period=zero_crossing_period(hole),
        underwater_length=length,
        breadth=hull.value("beam"),
        relative_wave_direction=direction,
        sea_water_density=water,
    )
    yaw = work(
        wave_drift_yaw_moment,
        wave_drift_sway_force=sway,
        underwater_length=length,
        underwater_length_centre=Value(
            "underwater_length_centre", 0.0, "m", FromWalk("taken at midships")
        ),
        relative_wave_direction=direction,
    )
    return StationLoad(surge, sway, yaw)


def thruster_thrust(hole: HoleOrSetting, index: int) -> Value:
    """Return what one thruster gives in the planned current."""
    return _thruster_thrust(hole.setting, index)


@kept(SOME)
def _thruster_thrust(hole: Setting, index: int) -> Value:
    one = hole.vessel.thrusters[index]
    factor = 1200.0 if one.ducted else 800.0
    origin = FromWalk(f"thruster {one.name}: {'in a nozzle' if one.ducted else 'open'}")
    nominal = work(
        nominal_bollard_thrust,
        thruster_power=one.value("power", "thruster_power"),
        propeller_diameter=one.value("propeller_diameter"),
        bollard_thrust_factor=Value("bollard_thrust_factor", factor, "-", origin),
        mechanical_efficiency=one.value("mechanical_efficiency"),
    )
    left = work(
        inflow_thrust_factor,
        thruster_power=one.value("power", "thruster_power"),
        propeller_diameter=one.value("propeller_diameter"),
        inflow_speed=surface_current(hole).named("inflow_speed"),
        sea_water_density=surface_density(hole),
    )
    origin2 = Solved(
        "thrust at zero speed times what the current leaves", "dnv-st-0111", (nominal, left)
    )
    return Value("thrust", float(nominal) * float(left), "N", origin2)


def _thrusters(hole: Setting) -> tuple[AllocationThruster, ...]:
    """Turn the vessel's thrusters to the kernel's axes: port positive, direction of push."""
    turned = []
    for index, one in enumerate(hole.vessel.thrusters):
        sectors = tuple(Sector(pi - s.end, pi - s.start) for s in one.excluded)
        turned.append(
            AllocationThruster(
                name=one.name,
                x=one.forward,
                y=-one.starboard,
                max_thrust=float(thruster_thrust(hole, index)),
                max_power=one.power,
                switchboard=one.switchboard,
                excluded_sectors=sectors,
            )
        )
    return tuple(turned)


def _boards(hole: Setting, lost: str = "") -> dict[str, float]:
    """Return the power left for thrusters on each switchboard that runs.

    The boards that run carry all of hotel and drilling, each in proportion to its power:
    that load does not go down with a lost board. A board with nothing left is left out.
    """
    boards = {name: power for name, power in hole.vessel.switchboards.items() if name != lost}
    total = sum(boards.values())
    if total <= hole.vessel.hotel_and_drilling_power:
        return {}
    share = 1.0 - hole.vessel.hotel_and_drilling_power / total
    return {name: power * share for name, power in boards.items()}


def _running(hole: Setting, boards: dict[str, float], lost: str = "") -> _Running:
    """Return the thrusters that run and the power of the boards that feed them."""
    thrusters = tuple(t for t in _thrusters(hole) if t.switchboard in boards and t.name != lost)
    fed = {t.switchboard for t in thrusters}
    return thrusters, {name: power for name, power in boards.items() if name in fed}


def _loss(hole: Setting, lost: str, stopped: tuple[str, ...], left: _Running) -> Loss:
    return Loss(lost, stopped, capability_factor(left[0], station_load(hole).force, left[1]))


def capability(hole: HoleOrSetting) -> tuple[float, Loss, Loss]:
    """Return the capability intact, after the worst thruster, after the worst switchboard."""
    return _capabilities(hole.setting)


@kept(FEW)
def _capabilities(hole: Setting) -> tuple[float, Loss, Loss]:
    vessel, boards = hole.vessel, _boards(hole)
    thrusters = (
        _loss(hole, one.name, (one.name,), _running(hole, boards, one.name))
        for one in vessel.thrusters
    )
    switchboards = (
        _loss(
            hole,
            board,
            tuple(one.name for one in vessel.thrusters if one.switchboard == board),
            _running(hole, _boards(hole, board)),
        )
        for board in vessel.switchboards
    )
    left, power = _running(hole, boards)
    intact = capability_factor(left, station_load(hole).force, power)
    return (
        intact,
        min(thrusters, key=lambda loss: loss.capability_factor),
        min(switchboards, key=lambda loss: loss.capability_factor),
    )


def _capability(hole: Setting, factor: float, what: str, lost_board: str = "") -> Value:
    load = station_load(hole)
    thrusts = tuple(thruster_thrust(hole, i) for i in range(len(hole.vessel.thrusters)))
    vessel = hole.vessel
    power = Value(
        "available_power",
        sum(_boards(hole, lost_board).values()),
        "W",
        Solved(
            "power of the switchboards that run, less hotel and drilling, which they share in "
            "proportion",
            "definition",
            (
                *(
                    Value(f"power of {name}", size, "W", vessel.origin("switchboards"))
                    for name, size in vessel.switchboards.items()
                    if name != lost_board
                ),
                vessel.value("hotel_and_drilling_power"),
            ),
        ),
    )
    origin = Solved(
        f"largest factor on the mean load that {what} can balance: "
        "$max lambda$ with $sum_i T_i = -lambda F$, $sum_i x_i T_(y,i) - y_i T_(x,i) = -lambda M$, "
        "$|T_i| <= T_(max,i)$, each switchboard within its power, barred sectors kept clear",
        "cone-programme",
        (load.surge, load.sway, load.yaw, *thrusts, power),
        1e-6,
    )
    return Value("capability_factor", factor, "-", origin)


def _needed(hole: Setting) -> Value:
    reserve = hole.basis.value("station_reserve")
    origin = Solved(
        "one, for the mean load, and the reserve for gusts and slow drift", "assumed", (reserve,)
    )
    return Value("capability_factor", 1.0 + float(reserve), "-", origin)


def station_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Ask whether the vessel finds the place and stays there."""
    step, setting = state.step.name, state.hole.setting
    yield _position(step, setting)
    yield from _holding(step, setting)
    yield _power(step, setting)


def holding_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Ask whether the vessel holds the planned environment, intact and after a single failure.

    The reserve counts after a failure as well: the rules of dynamic positioning ask that
    position be kept after the worst single failure in the weather of the plan, and its
    gusts and slow drift do not stop when a thruster or a switchboard does.
    """
    return iter(_holding(state.step.name, state.hole.setting))


@kept(FEW)
def _holding(step: str, hole: Setting) -> tuple[CheckRecord, ...]:
    intact, thruster, board = capability(hole)
    cases = (
        (INTACT, _capability(hole, intact, "the intact vessel"), ""),
        (
            AFTER_THRUSTER,
            _capability(hole, thruster.capability_factor, f"all but {thruster.lost}"),
            f"Worst thruster to lose: {thruster.lost}.",
        ),
        (
            AFTER_SWITCHBOARD,
            _capability(
                hole, board.capability_factor, f"all but switchboard {board.lost}", board.lost
            ),
            f"Worst switchboard to lose: {board.lost}, with {', '.join(board.stopped)}. The others "
            "carry all of hotel and drilling.",
        ),
    )
    return tuple(
        judge(
            step,
            question,
            _needed(hole),
            left,
            hole.basis.tight_band,
            note=" ".join(filter(None, (lost, current_note(hole)))),
        )
        for question, left, lost in cases
    )


@kept(FEW)
def _power(step: str, hole: Setting) -> CheckRecord:
    load, (thrusters, boards) = station_load(hole), _running(hole, _boards(hole))
    uses = allocate(thrusters, load.force.times(-1.0), boards)
    if not uses.feasible:
        reason = (
            "no use of the thrusters balances the mean load within the power of the switchboards; "
            f"{INTACT.name} tells how much of it they hold"
        )
        return unjudged(step, POWER, reason)
    drawn = sum(use.power for use in uses.uses) + hole.vessel.hotel_and_drilling_power
    shares = ", ".join(f"{use.thruster.name} {use.share:.0%}" for use in uses.uses)
    origin = Solved(
        "least weighted sum of squared thrusts that balances the load, with drilling and hotel "
        f"power: $min sum_i w_i T_i^2$ ({shares})",
        "cone-programme",
        (load.surge, load.sway, load.yaw, hole.vessel.value("hotel_and_drilling_power")),
        1e-6,
    )
    installed = Value(
        "power",
        (1.0 - hole.basis.power_reserve) * sum(hole.vessel.switchboards.values()),
        "W",
        Solved("installed power less the reserve", "assumed", (hole.basis.value("power_reserve"),)),
    )
    return judge(
        step,
        POWER,
        Value("power", drawn, "W", origin),
        installed,
        hole.basis.tight_band,
        note=current_note(hole),
    )


@kept(FEW)
def _position(step: str, hole: Setting) -> CheckRecord:
    site = hole.site
    sigma = work(
        position_error,
        satellite_error=site.value("fix_tolerance", "satellite_error"),
        acoustic_error=site.value("acoustic_tolerance", "acoustic_error"),
        lever_arm_error=site.value("lever_arm_error"),
    )
    error = work(
        position_error_radius,
        position_error=sigma,
        confidence=hole.basis.value("position_confidence", "confidence"),
    )
    return judge(
        step,
        Question(
            "position",
            Discipline.STATION,
            "Is the place known well enough to hit the target radius?",
            "Longer fix, more beacons, or a wider target.",
        ),
        error,
        site.value("target_radius"),
        hole.basis.tight_band,
    )
