"""Can the vessel come on station and hold it?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from math import pi

from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.kernels.allocation import (
    Loss,
    PlaneForce,
    Sector,
    allocate,
    capability_factor,
    switchboard_losses,
    thruster_losses,
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
from bathybore.kernels.waves import jonswap_zero_crossing_period, peak_enhancement
from bathybore.model.hole import Hole
from bathybore.operations.state import HoleState

_CAUTION = (
    "Mean loads only: gusts, slow drift and a run of waves come on top, hence the reserve. "
    "A model test or a trial of the vessel replaces these formulas."
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
    origin = Solved("sum of wind, current and mean wave drift", "definition", parts)
    return Value(name, sum(float(part) for part in parts), unit, origin)


@lru_cache(maxsize=16)
def station_load(hole: Hole) -> StationLoad:
    """Return the mean load of the planned environment, all from one direction."""
    hull, sea = hole.vessel.hull, hole.site.environment
    direction = sea.value("heading_off_weather")
    water = Value("sea_water_density", 1025.0, "kg/m3", FromWalk("sea water at the surface"))
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
        "current_speed": sea.value("surface_current", "current_speed"),
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


def _waves(hole: Hole, water: Value) -> StationLoad:
    hull, sea = hole.vessel.hull, hole.site.environment
    height, peak = sea.value("significant_wave_height"), sea.value("peak_period")
    direction = sea.value("heading_off_weather")
    period = work(
        jonswap_zero_crossing_period,
        peak_period=peak,
        peak_enhancement=work(peak_enhancement, significant_wave_height=height, peak_period=peak),
    )
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
        zero_crossing_period=period,
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


def thruster_thrust(hole: Hole, index: int) -> Value:
    """Return what one thruster gives in the planned current."""
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
        inflow_speed=hole.site.environment.value("surface_current", "inflow_speed"),
        sea_water_density=Value(
            "sea_water_density", 1025.0, "kg/m3", FromWalk("sea water at the surface")
        ),
    )
    origin2 = Solved(
        "thrust at zero speed times what the current leaves", "dnv-st-0111", (nominal, left)
    )
    return Value("thrust", float(nominal) * float(left), "N", origin2)


def _thrusters(hole: Hole) -> tuple[AllocationThruster, ...]:
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


def _boards(hole: Hole) -> dict[str, float]:
    """Power left for thrusters on each switchboard; drilling and hotel take theirs evenly."""
    boards = hole.vessel.switchboards
    total = sum(boards.values())
    share = max(1.0 - hole.vessel.hotel_and_drilling_power / total, 0.0)
    return {name: power * share for name, power in boards.items()}


def _capability(hole: Hole, name: str, factor: float, what: str) -> Value:
    load = station_load(hole)
    thrusts = tuple(thruster_thrust(hole, i) for i in range(len(hole.vessel.thrusters)))
    origin = Solved(
        f"largest factor on the mean load that {what} can balance: "
        "$max lambda$ with $sum_i T_i = -lambda F$, $sum_i x_i T_(y,i) - y_i T_(x,i) = -lambda M$, "
        "$|T_i| <= T_(max,i)$, each switchboard within its power, barred sectors kept clear",
        "cone-programme",
        (load.surge, load.sway, load.yaw, *thrusts),
        1e-6,
    )
    return Value(name, factor, "-", origin)


@lru_cache(maxsize=16)
def capability(hole: Hole) -> tuple[float, Loss, Loss]:
    """Return the capability intact, after the worst thruster, after the worst switchboard."""
    thrusters, boards = _thrusters(hole), _boards(hole)
    force = station_load(hole).force
    return (
        capability_factor(thrusters, force, boards),
        thruster_losses(thrusters, force, boards)[0],
        switchboard_losses(thrusters, force, boards)[0],
    )


def _needed(hole: Hole) -> Value:
    reserve = hole.basis.value("station_reserve")
    origin = Solved(
        "one, for the mean load, and the reserve for gusts and slow drift", "assumed", (reserve,)
    )
    return Value("capability_factor", 1.0 + float(reserve), "-", origin)


def station_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Ask whether the vessel finds the place and stays there."""
    hole, step = state.hole, state.step.name
    band = hole.basis.tight_band
    yield _position(state)
    intact, thruster, board = capability(hole)
    yield judge(
        step,
        Question(
            "hold-intact",
            Discipline.STATION,
            "Can all thrusters together hold the mean load of the planned environment?",
            "Turn the bow nearer the weather, wait for less of it, or add thrust.",
            _CAUTION,
        ),
        _needed(hole),
        _capability(hole, "capability_factor", intact, "the intact vessel"),
        band,
    )
    one = Value("capability_factor", 1.0, "-", FromWalk("the mean load itself"))
    yield judge(
        step,
        Question(
            "hold-after-thruster-loss",
            Discipline.STATION,
            f"Does it still hold once the worst thruster ({thruster.lost}) is lost?",
            "Plan for less weather in this step, or turn the bow into it.",
        ),
        one,
        _capability(
            hole, "capability_factor", thruster.capability_factor, f"all but {thruster.lost}"
        ),
        band,
    )
    yield judge(
        step,
        Question(
            "hold-after-switchboard-loss",
            Discipline.STATION,
            f"Does it still hold once the worst switchboard ({board.lost}) is lost?",
            "Share the thrusters over more switchboards, or plan for less weather.",
            "The worst single failure is usually a switchboard, not a thruster.",
        ),
        one,
        _capability(
            hole, "capability_factor", board.capability_factor, f"all but switchboard {board.lost}"
        ),
        band,
    )
    yield from _power(state)


def _power(state: HoleState) -> Iterator[CheckRecord]:
    hole = state.hole
    uses = allocate(_thrusters(hole), station_load(hole).force.times(-1.0), _boards(hole))
    if not uses.feasible:
        return
    drawn = sum(use.power for use in uses.uses) + hole.vessel.hotel_and_drilling_power
    shares = ", ".join(f"{use.thruster.name} {use.share:.0%}" for use in uses.uses)
    load = station_load(hole)
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
    yield judge(
        state.step.name,
        Question(
            "power",
            Discipline.STATION,
            "Is there power for holding, drilling and living, with the reserve kept?",
            "Plan for less weather, or fewer large consumers at once.",
        ),
        Value("power", drawn, "W", origin),
        installed,
        hole.basis.tight_band,
    )


def _position(state: HoleState) -> CheckRecord:
    site = state.hole.site
    sigma = work(
        position_error,
        satellite_error=site.value("fix_tolerance", "satellite_error"),
        acoustic_error=site.value("acoustic_tolerance", "acoustic_error"),
        lever_arm_error=site.value("lever_arm_error"),
    )
    error = work(
        position_error_radius,
        position_error=sigma,
        confidence=state.hole.basis.value("position_confidence", "confidence"),
    )
    return judge(
        state.step.name,
        Question(
            "position",
            Discipline.STATION,
            "Is the place known well enough to hit the target radius?",
            "Longer fix, more beacons, or a wider target.",
        ),
        error,
        site.value("target_radius"),
        state.hole.basis.tight_band,
    )
