"""What pushes the vessel off station and what can push back: mean loads, thrust, power."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import TypeAlias

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.keeping import FEW, SOME, kept
from bathybore.base.working import Default, FromWalk, Solved, Value, summed, work
from bathybore.kernels.allocation import PlaneForce, Sector
from bathybore.kernels.allocation import Thruster as AllocationThruster
from bathybore.kernels.hull_loads import (
    STANDARD_AIR_DENSITY,
    current_surge_force,
    current_sway_force,
    current_yaw_moment,
    wind_surge_force,
    wind_sway_force,
    wind_yaw_moment,
)
from bathybore.kernels.thrust import inflow_thrust_factor, nominal_bollard_thrust
from bathybore.kernels.wave_drift import (
    wave_drift_surge_bound,
    wave_drift_sway_force,
    wave_drift_yaw_moment,
)
from bathybore.model.hole import HoleOrSetting, Setting
from bathybore.operations.load_coefficients import load_values, loads_at
from bathybore.operations.sea_conditions import (
    surface_current,
    surface_density,
    zero_crossing_period,
)
from bathybore.operations.wash import barred_wash

Running: TypeAlias = tuple[tuple[AllocationThruster, ...], dict[str, float]]
_AIR = Value(
    "air_density",
    STANDARD_AIR_DENSITY,
    "kg/m3",
    Default("air_density", "dnv-st-0111", "of wind loads; from memory"),
)
_MIDSHIPS = Value(
    "lateral_current_area_centre", 0.0, "m", FromWalk("taken at midships: symmetric profile")
)


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
    water = surface_density(hole)
    parts = (_wind(hole), _current(hole, water), _waves(hole, water))
    return StationLoad(
        _sum("surge_load", "N", *(one.surge for one in parts)),
        _sum("sway_load", "N", *(one.sway for one in parts)),
        _sum("yaw_load", "N m", *(one.yaw for one in parts)),
    )


def _wind(hole: Setting) -> StationLoad:
    hull, sea = hole.vessel.hull, hole.site.environment
    speed, direction = sea.value("wind_speed"), sea.value("heading_off_weather")
    frontal, lateral = hull.value("frontal_wind_area"), hull.value("lateral_wind_area")
    length = hull.value("length", "length_between_perpendiculars")
    if hole.wind_coefficients is not None:
        return StationLoad(
            *load_values(hole.wind_coefficients, direction, speed, _AIR, (frontal, lateral), length)
        )
    wind = {"wind_speed": speed, "relative_wind_direction": direction}
    return StationLoad(
        work(wind_surge_force, frontal_wind_area=frontal, **wind),
        work(wind_sway_force, lateral_wind_area=lateral, **wind),
        work(
            wind_yaw_moment,
            lateral_wind_area=lateral,
            lateral_wind_area_centre=_MIDSHIPS.named("lateral_wind_area_centre"),
            length_between_perpendiculars=length,
            **wind,
        ),
    )


def _current(hole: Setting, water: Value) -> StationLoad:
    hull, direction = hole.vessel.hull, hole.site.environment.value("heading_off_weather")
    speed = surface_current(hole)
    area = Value(
        "lateral_current_area",
        hull.length * hull.draught,
        "m2",
        FromWalk("hull length times draught"),
    )
    length = hull.value("length", "length_between_perpendiculars")
    if hole.current_coefficients is not None:
        table = hole.current_coefficients
        return StationLoad(*load_values(table, direction, speed, water, (area, area), length))
    current = {
        "current_speed": speed,
        "relative_current_direction": direction,
        "sea_water_density": water,
    }
    side = {**current, "lateral_current_area": area}
    return StationLoad(
        work(
            current_surge_force,
            breadth=hull.value("beam"),
            draught=hull.value("draught"),
            **current,
        ),
        work(current_sway_force, **side),
        work(
            current_yaw_moment,
            lateral_current_area_centre=_MIDSHIPS,
            length_between_perpendiculars=length,
            **side,
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


def fleet(hole: Setting) -> tuple[AllocationThruster, ...]:
    """Return the vessel's thrusters with what they give in the planned current."""
    count = len(hole.vessel.thrusters)
    return _in_kernel_axes(hole, [float(thruster_thrust(hole, n)) for n in range(count)])


def fleet_in(hole: Setting, current_speed: float) -> tuple[AllocationThruster, ...]:
    """Return the thrusters with what they give in another current than the planned one."""
    density = float(surface_density(hole))
    left = [
        float(np.asarray(inflow_thrust_factor(t.power, t.propeller_diameter, speed, density)))
        for t in hole.vessel.thrusters
        for speed in (current_speed, float(surface_current(hole)))
    ]
    ratios = [there / here for there, here in zip(left[::2], left[1::2], strict=True)]
    return _in_kernel_axes(
        hole, [float(thruster_thrust(hole, n)) * ratio for n, ratio in enumerate(ratios)]
    )


def _in_kernel_axes(hole: Setting, thrusts: list[float]) -> tuple[AllocationThruster, ...]:
    """Turn the vessel's thrusters to the kernel's axes: port positive, direction of push."""
    turned = []
    for one, thrust in zip(hole.vessel.thrusters, thrusts, strict=True):
        sectors = tuple(Sector(pi - end, pi - start) for start, end in barred_wash(hole, one))
        turned.append(
            AllocationThruster(
                name=one.name,
                x=one.forward,
                y=-one.starboard,
                max_thrust=thrust,
                max_power=one.power,
                switchboard=one.switchboard,
                excluded_sectors=sectors,
            )
        )
    return tuple(turned)


def boards_of(hole: Setting, lost: str = "") -> dict[str, float]:
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


def running(hole: Setting, boards: dict[str, float], lost: str = "") -> Running:
    """Return the thrusters that run in the planned current and the boards that feed them."""
    return running_of(fleet(hole), boards, lost)


def running_of(
    thrusters: tuple[AllocationThruster, ...], boards: dict[str, float], lost: str = ""
) -> Running:
    """Return those of some thrusters that run, and the power of the boards that feed them."""
    left = tuple(t for t in thrusters if t.switchboard in boards and t.name != lost)
    fed = {t.switchboard for t in left}
    return left, {name: power for name, power in boards.items() if name in fed}


@dataclass(frozen=True)
class Weather:
    """One state of wind, waves and current, all from one direction.

    Attributes
    ----------
    wind_speed : [m/s] mean at 10 m above the sea
    significant_wave_height : [m]
    zero_crossing_period : [s]
    current_speed : [m/s] at the surface
    """

    wind_speed: float
    significant_wave_height: float
    zero_crossing_period: float
    current_speed: float


def planned_weather(hole: HoleOrSetting) -> Weather:
    """Return the weather of the plan."""
    sea = hole.site.environment
    return Weather(
        sea.wind_speed,
        sea.significant_wave_height,
        float(zero_crossing_period(hole)),
        float(surface_current(hole)),
    )


def mean_loads(hole: HoleOrSetting, weather: Weather, directions: Array) -> Array:
    """Return surge, sway and yaw of a weather from each direction, clockwise from the bow.

    The same equations as `station_load`, for many directions at once.
    """
    return np.stack(air_and_waves(hole, weather, directions), axis=-1) + np.stack(
        current_load(hole, np.full_like(directions, weather.current_speed), directions), axis=-1
    )


def air_and_waves(hole: HoleOrSetting, weather: Weather, direction: Array) -> tuple[Array, ...]:
    """Return surge, sway and yaw of wind and mean wave drift."""
    hull, density = hole.vessel.hull, float(surface_density(hole))
    height = weather.significant_wave_height
    across = wave_drift_sway_force(
        height, weather.zero_crossing_period, hull.length, hull.beam, direction, density
    )
    ahead = wave_drift_surge_bound(height, hull.beam, direction, density)
    turning = wave_drift_yaw_moment(across, hull.length, 0.0, direction)
    along, aside, round_ = _wind_load(hole.setting, weather.wind_speed, direction)
    return (
        np.asarray(along + ahead),
        np.asarray(aside + across),
        np.asarray(round_ + turning),
    )


def _wind_load(hole: Setting, wind: float, direction: Array) -> tuple[Real, Real, Real]:
    hull = hole.vessel.hull
    frontal, lateral, length = hull.frontal_wind_area, hull.lateral_wind_area, hull.length
    if hole.wind_coefficients is not None:
        air = STANDARD_AIR_DENSITY
        return loads_at(hole.wind_coefficients, direction, wind, air, (frontal, lateral), length)
    return (
        wind_surge_force(wind, frontal, direction),
        wind_sway_force(wind, lateral, direction),
        wind_yaw_moment(wind, lateral, 0.0, length, direction),
    )


def current_load(hole: HoleOrSetting, speed: Array, direction: Array) -> tuple[Array, ...]:
    """Return surge, sway and yaw of a current, or of water that streams past a moving hull."""
    hull, density = hole.vessel.hull, float(surface_density(hole))
    area, table = hull.length * hull.draught, hole.setting.current_coefficients
    if table is not None:
        return loads_at(table, direction, speed, density, (area, area), hull.length)
    return (
        np.asarray(current_surge_force(speed, hull.beam, hull.draught, direction, density)),
        np.asarray(current_sway_force(speed, area, direction, density)),
        np.asarray(current_yaw_moment(speed, area, 0.0, hull.length, direction, density)),
    )
