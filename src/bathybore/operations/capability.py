"""Capability by direction: how much of the weather the vessel holds from every side.

Wind, waves and current come from one direction, which goes round the vessel. Every single
failure is tried: each thruster, and each switchboard with all that it feeds.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from bathybore.base.arrays import Array
from bathybore.base.keeping import FEW, kept
from bathybore.kernels.allocation import PlaneForce, Thruster, allocate_all, capability_factors
from bathybore.kernels.environment_table import (
    GREATEST_NUMBER,
    table_current_speed,
    table_peak_period,
    table_wave_height,
    table_wind_speed,
)
from bathybore.kernels.waves import jonswap_zero_crossing_period, peak_enhancement
from bathybore.model.hole import Setting
from bathybore.operations.station import (
    Running,
    Weather,
    boards_of,
    fleet,
    fleet_in,
    mean_loads,
    planned_weather,
    running_of,
)

DIRECTIONS: Final = 72
Ints = NDArray[np.int64]


def directions_round(count: int = DIRECTIONS) -> Array:
    """Return directions from the bow clockwise [rad]."""
    return np.arange(count, dtype=np.float64) * (2.0 * np.pi / count)


@dataclass(frozen=True, eq=False)
class Rose:
    """What is held of one weather from every direction.

    Attributes
    ----------
    directions : that the weather comes from, clockwise from the bow [rad]
    loads : mean surge [N], sway [N], yaw [N m] of it (direction, 3)
    intact : largest factor on the load that is held (direction,)
    thrusters, switchboards : names of what can be lost
    after_thruster, after_switchboard : the factor left after each loss (failure, direction)
    power : drawn by the thrusters of the intact vessel, not a number where it does not hold [W]
    """

    weather: Weather
    directions: Array
    loads: Array
    intact: Array
    thrusters: tuple[str, ...]
    after_thruster: Array
    switchboards: tuple[str, ...]
    after_switchboard: Array
    power: Array

    @property
    def worst(self) -> Array:
        """The least factor after any single failure."""
        return np.asarray(
            np.minimum(self.after_thruster.min(axis=0), self.after_switchboard.min(axis=0))
        )

    def held_to(self, needed: float, factors: Array) -> float:
        """Return the greatest angle off the bow up to which a factor is held on both sides.

        Between two directions the factor is taken as a straight line.
        """
        half = len(self.directions) // 2
        angles = self.directions[: half + 1]
        sides = np.minimum(factors[: half + 1], np.roll(factors[::-1], 1)[: half + 1])
        short = np.flatnonzero(sides < needed)
        if not len(short):
            return float(np.pi)
        first = int(short[0])
        if first == 0:
            return 0.0
        within, beyond = sides[first - 1], sides[first]
        way = (within - needed) / (within - beyond)
        return float(angles[first - 1] + way * (angles[first] - angles[first - 1]))


@kept(FEW)
def rose(hole: Setting, count: int = DIRECTIONS) -> Rose:
    """Return what is held of the planned weather from every direction."""
    weather, directions = planned_weather(hole), directions_round(count)
    loads = mean_loads(hole, weather, directions)
    thrusters = fleet(hole)
    intact, *after = (_factors(state, loads) for state in failures(hole, thrusters))
    names, boards = _names(hole)
    return Rose(
        weather,
        directions,
        loads,
        intact,
        names,
        np.array(after[: len(names)]),
        boards,
        np.array(after[len(names) :]),
        _power(running_of(thrusters, boards_of(hole)), loads),
    )


def failures(hole: Setting, thrusters: tuple[Thruster, ...]) -> tuple[Running, ...]:
    """Return what runs intact, after each thruster and after each switchboard is lost."""
    names, boards = _names(hole)
    whole = boards_of(hole)
    return (
        running_of(thrusters, whole),
        *(running_of(thrusters, whole, name) for name in names),
        *(running_of(thrusters, boards_of(hole, board)) for board in boards),
    )


def _names(hole: Setting) -> tuple[tuple[str, ...], tuple[str, ...]]:
    return tuple(one.name for one in hole.vessel.thrusters), tuple(hole.vessel.switchboards)


def _factors(state: Running, loads: Array) -> Array:
    return capability_factors(state[0], loads, state[1])


def _power(state: Running, loads: Array) -> Array:
    demands = [PlaneForce(*row).times(-1.0) for row in loads.tolist()]
    return np.array(
        [
            sum(use.power for use in one.uses) if one.feasible else np.nan
            for one in allocate_all(state[0], demands, state[1])
        ]
    )


@dataclass(frozen=True, eq=False)
class Numbers:
    """The greatest Beaufort number of the table held with all lower ones, by direction.

    Attributes
    ----------
    directions : that the weather comes from, clockwise from the bow [rad]
    intact, after_thruster, after_switchboard : numbers, of the worst of each kind of failure
    """

    directions: Array
    intact: Ints
    after_thruster: Ints
    after_switchboard: Ints


def table_weather(number: int) -> Weather:
    """Return the weather of a row of the environment table, from 1."""
    height, peak = float(table_wave_height(number)), float(table_peak_period(number))
    period = jonswap_zero_crossing_period(peak, peak_enhancement(height, peak))
    return Weather(
        float(table_wind_speed(number)), height, float(period), float(table_current_speed(number))
    )


@kept(FEW)
def numbers_held(hole: Setting, count: int = DIRECTIONS // 2) -> Numbers:
    """Return the Beaufort number of the table that is held from every direction.

    Loads grow from row to row, so the last row held is found by halving.
    """
    directions = directions_round(count)
    names, boards = _names(hole)
    low = np.zeros((1 + len(names) + len(boards), count), dtype=np.int64)
    high = np.full_like(low, GREATEST_NUMBER)
    while (low < high).any():
        middle = (low + high + 1) // 2
        for number in np.unique(middle[low < high]).tolist():
            weather = table_weather(number)
            loads = mean_loads(hole, weather, directions)
            states = failures(hole, fleet_in(hole, weather.current_speed))
            for case, state in enumerate(states):
                asked = np.flatnonzero((middle[case] == number) & (low[case] < high[case]))
                if len(asked):
                    holds = _factors(state, loads[asked]) >= 1.0
                    low[case, asked[holds]] = number
                    high[case, asked[~holds]] = number - 1
    cut = 1 + len(names)
    return Numbers(directions, low[0], low[1:cut].min(axis=0), low[cut:].min(axis=0))
