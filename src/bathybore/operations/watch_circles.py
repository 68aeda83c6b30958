"""Circles on the sea round the well, worked backwards from what the riser bears.

A vessel that loses its thrust above the well, or whose thrust is stuck, is followed until it
reaches the offset at which the riser must be off. What it goes while the crew presses the button
and the stack lets go is taken off that: there disconnection must begin. Still earlier the crew
prepares, and still earlier it is warned.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.kernels.station_motion import (
    FreeHull,
    Track,
    drift,
    surge_added_mass,
    sway_added_mass,
    yaw_drag_factor,
    yaw_inertia,
)
from bathybore.model.hole import Setting
from bathybore.operations.capability import directions_round
from bathybore.operations.sea_conditions import surface_density
from bathybore.operations.station import (
    Weather,
    air_and_waves,
    boards_of,
    current_load,
    planned_weather,
    running,
)

CROSS_FLOW: Final = 0.6  # as of the current across the hull, DNV-ST-0111, from memory
RULE_STOP: Final = (0.02, 0.03)  # of water depth: rules of thumb, common practice
RULE_DISCONNECT: Final = (0.05, 0.06)


@dataclass(frozen=True)
class Sequence:
    """Times of letting go [s].

    Attributes
    ----------
    release : from the button to the connector open
    reaction : from the circle crossed to the button pressed
    prepare : to stop, space out and close in before that
    advise : to warn before that
    """

    release: float
    reaction: float
    prepare: float
    advise: float


@dataclass(frozen=True, eq=False)
class Circles:
    """Offsets at which something must begin, by direction of the weather.

    Attributes
    ----------
    directions : that the weather comes from, clockwise from the bow of the start [rad]
    limit : offset at which the riser must be off [m]
    time : from the loss to that offset [s]; infinite where it is never reached
    disconnect, prepare, advise : offsets at which each begins [m]; zero where there is no time
    speed : at the limit [m/s]
    track : of the vessel
    """

    directions: Array
    limit: float
    time: Array
    disconnect: Array
    prepare: Array
    advise: Array
    speed: Array
    track: Track


def free_hull(hole: Setting, weather: Weather) -> FreeHull:
    """Return the hull of the vessel with what pushes it in a weather."""
    hull, density = hole.vessel.hull, float(surface_density(hole))
    ahead = surge_added_mass(hull.displacement / density, hull.length, density)
    aside = sway_added_mass(hull.draught, hull.length, density)
    return FreeHull(
        mass=hull.displacement,
        surge_mass=hull.displacement + float(ahead),
        sway_mass=hull.displacement + float(aside),
        yaw_inertia=float(yaw_inertia(hull.displacement, aside, hull.length)),
        yaw_drag=float(yaw_drag_factor(CROSS_FLOW, hull.draught, hull.length, density)),
        air_and_waves=lambda _, direction: air_and_waves(hole, weather, direction),
        water=lambda speed, direction: current_load(hole, speed, direction),
    )


@kept(SOME)
def drift_off(hole: Setting, limit: float, sequence: Sequence, count: int) -> Circles:
    """Return the circles of a blackout in the planned weather."""
    return _circles(hole, limit, sequence, count, 0.0, 0.0)


@kept(SOME)
def drive_off(
    hole: Setting, limit: float, sequence: Sequence, count: int, share: float, until: float
) -> Circles:
    """Return the circles of a drive-off: a share of all thrust down the weather, then none."""
    thrusters, _ = running(hole, boards_of(hole))
    thrust = share * sum(one.max_thrust for one in thrusters)
    return _circles(hole, limit, sequence, count, thrust, until)


def _circles(
    hole: Setting, limit: float, sequence: Sequence, count: int, thrust: float, until: float
) -> Circles:
    weather, directions = planned_weather(hole), directions_round(count)
    hull = free_hull(hole, weather)
    track = drift(hull, directions, weather.current_speed, limit, thrust, until)
    return circles_of(track, directions, limit, sequence)


def circles_of(track: Track, directions: Array, limit: float, sequence: Sequence) -> Circles:
    """Return the circles that belong to a track: what is left of it by each time before the limit.

    Where the limit is never reached nothing ever must begin: the limit itself is the circle.
    """
    time = track.time_to(limit)
    before = np.cumsum(
        [sequence.release + sequence.reaction, sequence.prepare, sequence.advise], dtype=float
    )
    reached = np.isfinite(time)
    ends = np.where(reached, time, 0.0)
    radii = [
        np.where(reached, track.offset_at(np.maximum(ends - lead, 0.0)), limit) for lead in before
    ]
    speed = np.where(reached, track.speed_at(ends), 0.0)
    return Circles(directions, limit, time, radii[0], radii[1], radii[2], speed, track)
