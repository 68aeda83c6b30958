"""Where the vessel is while it is held: slow motion in gusts and in the run of the waves.

The planned weather comes from the planned heading; all thrusters run. Every realisation has
its own gusts and waves, drawn from one fixed seed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import FEW, kept
from bathybore.kernels.slow_motion import Held, Keeping, gust_record, keep_station, wave_record
from bathybore.kernels.waves import deep_water_wave_length, peak_enhancement
from bathybore.model.hole import Setting
from bathybore.operations.station import (
    Weather,
    air_and_waves,
    boards_of,
    current_load,
    planned_weather,
    running,
)
from bathybore.operations.watch_circles import free_hull

STEP: Final = 1.0  # s
DURATION: Final = 1800.0  # s of each realisation, after what is left out: three hours of six
REALISATIONS: Final = 6
_SETTLING: Final = 600.0  # s left out at the start, while the wave filter finds its waves
_SEED: Final = 20_000_101
_LEAST_DAMPING: Final = 0.02  # of critical on the control: what a hull has without a current


@dataclass(frozen=True, eq=False)
class Footprint:
    """Places about the well in the planned weather (step, realisation).

    Attributes
    ----------
    forward, port : off the place to be held [m]
    heading : off the heading to be held [rad]
    share : of greatest thrust, of the thruster most loaded
    short : share of the time in which thrust fell short of what was asked for
    """

    time: Array
    forward: Array
    port: Array
    heading: Array
    share: Array
    short: float

    @property
    def offset(self) -> Array:
        return np.hypot(self.forward, self.port)

    def offset_within(self, share: float) -> float:
        """Return the offset that is kept for a share of the time [m]."""
        return float(np.quantile(self.offset, share))

    @property
    def greatest(self) -> float:
        return float(self.offset.max())


@kept(FEW)
def footprint(hole: Setting, realisations: int = REALISATIONS) -> Footprint:
    """Return the footprint of the planned weather at the planned heading.

    Raises
    ------
    InputErrors
        The thrusters that run cannot push along, across and turn.
    NotConverged
        The control is not stable.
    """
    weather = planned_weather(hole)
    held = held_vessel(hole, weather)
    count = int((DURATION + _SETTLING) / STEP)
    load, waves = environment(hole, weather, count, realisations)
    found = keep_station(held, load, waves, STEP)
    return _after_settling(found)


def _after_settling(found: Keeping) -> Footprint:
    first = int(_SETTLING / found.step)
    place = found.place[first:]
    return Footprint(
        time=found.step * np.arange(len(place), dtype=np.float64),
        forward=place[:, 0],
        port=place[:, 1],
        heading=place[:, 2],
        share=found.share[first:],
        short=found.short,
    )


def held_vessel(hole: Setting, weather: Weather) -> Held:
    """Return the vessel under control at the planned heading."""
    hull, environment = free_hull(hole, weather), hole.site.environment
    direction = np.array([environment.heading_off_weather])
    mass = np.array([hull.surge_mass, hull.sway_mass, hull.yaw_inertia])
    slow = 2.0 * np.pi / hole.basis.station_control_period
    own = _damping(hole, weather, float(direction[0]), hull.yaw_drag)
    thrusters, _ = running(hole, boards_of(hole))
    air = np.array(air_and_waves(hole, weather, direction))
    water = np.array(current_load(hole, np.array([weather.current_speed]), direction))
    return Held(
        mass=mass,
        damping=np.maximum(own, 2.0 * _LEAST_DAMPING * slow * mass),
        load=(air + water)[:, 0],
        x=np.array([one.x for one in thrusters]),
        y=np.array([one.y for one in thrusters]),
        thrust=np.array([one.max_thrust for one in thrusters]),
        response=hole.basis.thruster_response_time,
        period=hole.basis.station_control_period,
        wave_period=environment.peak_period,
    )


def _damping(hole: Setting, weather: Weather, direction: float, yaw_drag: float) -> Array:
    """Return how the load of the water grows with slow motion, about the planned current.

    Central differences in surge and sway; in yaw the cross-flow drag of a stern that goes
    sideways as fast as the current sets across.
    """
    small, current = 0.02, weather.current_speed
    ahead, port = -current * np.cos(direction), current * np.sin(direction)
    damping = np.zeros(3)
    for axis in (0, 1):
        loads = []
        for speed in (small, -small):
            x, y = ahead - speed * (axis == 0), port - speed * (axis == 1)
            from_ = np.array([np.arctan2(y, -x)])
            loads.append(float(current_load(hole, np.array([np.hypot(x, y)]), from_)[axis][0]))
        damping[axis] = (loads[1] - loads[0]) / (2.0 * small)
    damping[2] = yaw_drag * abs(port) / (0.5 * hole.vessel.hull.length)
    return damping


def environment(
    hole: Setting, weather: Weather, count: int, realisations: int
) -> tuple[Array, Array]:
    """Return loads less their mean, and motion with the waves (step, axis, realisation)."""
    sea = hole.site.environment
    direction = np.array([sea.heading_off_weather])
    calm = Weather(weather.wind_speed, 0.0, weather.zero_crossing_period, 0.0)
    still = Weather(0.0, weather.significant_wave_height, weather.zero_crossing_period, 0.0)
    wind = np.array(air_and_waves(hole, calm, direction))[:, 0]
    drift = np.array(air_and_waves(hole, still, direction))[:, 0]
    peakedness = peak_enhancement(sea.significant_wave_height, sea.peak_period)
    state = (sea.significant_wave_height, sea.peak_period, float(peakedness))
    rng = np.random.default_rng(_SEED)
    loads, motions = [], []
    for _ in range(realisations):
        gust = np.zeros(count)  # of a calm
        if weather.wind_speed > 0.0:
            gust = gust_record(rng, weather.wind_speed, 10.0, count, STEP) / weather.wind_speed
        signal = wave_record(rng, state, count, STEP)
        run = np.abs(signal) ** 2
        loads.append(
            np.outer(2.0 * gust + gust**2 - np.mean(gust**2), wind)
            + np.outer(run / run.mean() - 1.0, drift)
        )
        motions.append(_with_the_waves(hole, signal))
    return np.stack(loads, axis=-1), np.stack(motions, axis=-1)


def _with_the_waves(hole: Setting, signal: Array) -> Array:
    """Return surge and sway of the hull with the waves (step, axis); yaw is left out.

    Water moves sideways a quarter turn behind the surface, less with depth, and the hull takes
    the mean over its length, breadth and half its draught.
    """
    hull, direction = hole.vessel.hull, hole.site.environment.heading_off_weather
    count = len(signal)
    frequency = np.fft.fftfreq(count, STEP)
    period = 1.0 / np.maximum(np.abs(frequency), 1e-6)
    number = 2.0 * np.pi / np.asarray(deep_water_wave_length(period))
    response = (
        np.exp(-0.5 * number * hull.draught)
        * np.sinc(0.5 * number * hull.length * np.cos(direction) / np.pi)
        * np.sinc(0.5 * number * hull.beam * np.sin(direction) / np.pi)
    )
    moved = np.fft.ifft(np.fft.fft(signal) * response).imag
    ways = np.array([-np.cos(direction), np.sin(direction), 0.0])
    return np.outer(moved, ways)
