"""A hull that moves in the plane of the sea: its masses, and its way when thrust is gone or stuck.

Axes as for the loads: x forward, y to port, yaw anticlockwise from above. Places are in axes
fixed to the sea bed that lie along those of the ship when the motion begins.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.errors import NotConverged
from bathybore.base.registry import Limit, published
from bathybore.kernels.hull_loads import FROM_MEMORY, SHIP_SHAPED

# (surge, sway, yaw) for a speed and the direction that something comes from, from the bow clockwise
Loads: TypeAlias = Callable[[Array, Array], tuple[Array, ...]]


@published(
    formula='m_"ax" = 2.7 rho_w nabla^(5/3) / L_h^2',
    source="soeding-1982",
    where="added mass in surge of ships; from memory",
    validity_note=SHIP_SHAPED,
    example={
        "displaced_volume": "57500 m3",
        "hull_length": "210 m",
        "sea_water_density": "1025 kg/m3",
    },
    caution=FROM_MEMORY,
)
def surge_added_mass(displaced_volume: Real, hull_length: Real, sea_water_density: Real) -> Real:
    """Mass of water that goes along with a ship that speeds up ahead.

    Parameters
    ----------
    displaced_volume : [m3]
        Volume of water that the hull displaces.
    hull_length : [m]
        Length of the hull.
    sea_water_density : [kg/m3]
        Density of the sea at the surface.

    Returns
    -------
    surge_added_mass : [kg]
        Added mass in surge.
    """
    return 2.7 * sea_water_density * displaced_volume ** (5.0 / 3.0) / hull_length**2


@published(
    formula='m_"ay" = pi / 2 rho_w d_h^2 L_h',
    source="faltinsen-1990",
    where="strip theory with the half circle as section, long waves; from memory",
    validity_note="slender hull in deep water; section near a half circle of the draught",
    example={"draught": "9.5 m", "hull_length": "210 m", "sea_water_density": "1025 kg/m3"},
    caution="Less of it lets a ship without thrust drift sooner; full sections carry more.",
)
def sway_added_mass(draught: Real, hull_length: Real, sea_water_density: Real) -> Real:
    """Mass of water that goes along with a ship that speeds up sideways.

    Parameters
    ----------
    draught : [m]
        Draught of the hull.
    hull_length : [m]
        Length of the hull.
    sea_water_density : [kg/m3]
        Density of the sea at the surface.

    Returns
    -------
    sway_added_mass : [kg]
        Added mass in sway.
    """
    return 0.5 * np.pi * sea_water_density * draught**2 * hull_length


@published(
    formula='I_z = (0.25 L_h)^2 m_h + L_h^2 / 12 m_"ay"',
    source="faltinsen-1990",
    where="radius of gyration of a quarter length; added mass even along the hull; from memory",
    validity_note=SHIP_SHAPED,
    example={"hull_mass": "59000 t", "sway_added_mass": "30000 t", "hull_length": "210 m"},
    caution=FROM_MEMORY,
)
def yaw_inertia(hull_mass: Real, sway_added_mass: Real, hull_length: Real) -> Real:
    """Moment of inertia of a ship and its water about the vertical at midships.

    Parameters
    ----------
    hull_mass : [kg]
        Mass of the ship.
    sway_added_mass : [kg]
        Added mass in sway.
    hull_length : [m]
        Length of the hull.

    Returns
    -------
    yaw_inertia : [kg m2]
        Moment of inertia, water included.
    """
    own = (0.25 * hull_length) ** 2 * hull_mass
    return own + hull_length**2 / 12.0 * sway_added_mass


@published(
    formula="k_z = 1/2 rho_w C_c d_h L_h^4 / 32",
    source="faltinsen-1990",
    where="cross-flow principle, section by section, of a hull that turns; from memory",
    valid={"cross_flow_coefficient": Limit(0.3, 1.5)},
    validity_note="a hull that turns about midships in still water",
    example={
        "cross_flow_coefficient": "0.6",
        "draught": "9.5 m",
        "hull_length": "210 m",
        "sea_water_density": "1025 kg/m3",
    },
)
def yaw_drag_factor(
    cross_flow_coefficient: Real, draught: Real, hull_length: Real, sea_water_density: Real
) -> Real:
    """Moment that brakes a turning hull over the square of its rate of turn.

    Parameters
    ----------
    cross_flow_coefficient : [-]
        Drag coefficient of a section across the flow.
    draught : [m]
        Draught of the hull.
    hull_length : [m]
        Length of the hull.
    sea_water_density : [kg/m3]
        Density of the sea at the surface.

    Returns
    -------
    yaw_drag_factor : [kg m2]
        Braking moment over the square of the rate of turn.
    """
    pressure = 0.5 * sea_water_density * cross_flow_coefficient
    return pressure * draught * hull_length**4 / 32.0


@published(
    formula="v_d = U + sqrt(F_v / c_v)",
    source="definition",
    where="drag on the square of the speed through the water equals the force",
    valid={"hull_drag_factor": Limit(1e-3, 1e9)},
    validity_note="force and current in one line, the hull held in its direction",
    example={
        "drift_force": "0.4 MN",
        "hull_drag_factor": "600 t/m",
        "current_speed": "0.8 m/s",
    },
)
def terminal_drift_speed(drift_force: Real, hull_drag_factor: Real, current_speed: Real) -> Real:
    """Speed over the ground that a vessel without thrust comes to in the end.

    Parameters
    ----------
    drift_force : [N]
        Force of wind and waves.
    hull_drag_factor : [kg/m]
        Drag force over the square of the speed through the water.
    current_speed : [m/s]
        Speed of the current along the force.

    Returns
    -------
    drift_speed : [m/s]
        Speed over the ground.
    """
    return current_speed + np.sqrt(drift_force / hull_drag_factor)


@dataclass(frozen=True, eq=False)
class FreeHull:
    """A hull that is pushed and not held.

    Attributes
    ----------
    mass : [kg] of the ship
    surge_mass, sway_mass, yaw_inertia : with the water that goes along [kg], [kg], [kg m2]
    yaw_drag : braking moment over the square of the rate of turn [kg m2]
    air_and_waves : loads of wind and waves by the direction they come from (the first argument is
        not read: the hull moves slowly against the wind)
    water : loads of water that streams past, by its speed and the direction it comes from
    """

    mass: float
    surge_mass: float
    sway_mass: float
    yaw_inertia: float
    yaw_drag: float
    air_and_waves: Loads
    water: Loads


@dataclass(frozen=True, eq=False)
class Track:
    """Where the hull goes, from every direction of the weather.

    Attributes
    ----------
    time : [s]
    x, y : forward and to port of where it began (time, direction) [m]
    heading : turned to port by (time, direction) [rad]
    """

    time: Array
    x: Array
    y: Array
    heading: Array

    @property
    def offset(self) -> Array:
        return np.hypot(self.x, self.y)

    def time_to(self, offset: Real) -> Array:
        """Return when an offset is first reached, by direction; infinite where it never is."""
        away = np.maximum.accumulate(self.offset, axis=0)
        limit = np.broadcast_to(np.asarray(offset, dtype=float), away.shape[1:])
        after = np.argmax(away >= limit, axis=0)
        reached = away[-1] >= limit
        columns = np.arange(away.shape[1])
        before = np.maximum(after - 1, 0)
        a, b = away[before, columns], away[after, columns]
        share = np.where(b > a, (limit - a) / np.where(b > a, b - a, 1.0), 0.0)
        found = self.time[before] + share * (self.time[after] - self.time[before])
        return np.where(reached, found, np.inf)

    def offset_at(self, time: Array) -> Array:
        """Return the offset at a time of each direction."""
        return np.array(
            [np.interp(t, self.time, self.offset[:, n]) for n, t in enumerate(np.asarray(time))]
        )

    def speed_at(self, time: Array) -> Array:
        """Return the speed away from the start at a time of each direction."""
        rate = np.gradient(self.offset, self.time, axis=0)
        return np.array([np.interp(t, self.time, rate[:, n]) for n, t in enumerate(time)])


_STEP: Final = 2.0  # s
_LONGEST: Final = 3600.0  # s; a hull that has not gone by then lies in calm


def drift(
    hull: FreeHull,
    weather_from: Array,
    current_speed: float,
    away: float,
    thrust: Array | float = 0.0,
    thrust_until: float = 0.0,
    longest: float = _LONGEST,
) -> Track:
    """Follow a hull at rest that loses its thrust, or whose thrust is stuck, for many directions.

    Classical fourth-order Runge-Kutta steps of two seconds; wind and waves turn past the hull as
    it turns. Coupling of added mass between the axes is left out: the hull turns slowly.

    Parameters
    ----------
    hull : what is pushed
    weather_from : direction of all weather, clockwise from the bow at the start [rad]
    current_speed : over the ground [m/s]
    away : offset at which all have been followed far enough [m]
    thrust : that stays on, along the ship and down the weather of the start [N]
    thrust_until : when it is stopped [s]
    longest : time followed at most [s]

    Raises
    ------
    NotConverged
        The motion ran off to what is no number.
    """
    theta = np.asarray(weather_from, dtype=float)
    state = np.zeros((6, len(theta)))
    track = [state]
    steps = int(np.ceil(longest / _STEP))
    stuck = np.asarray(thrust) * np.stack([-np.cos(theta), np.sin(theta)])
    for number in range(steps):
        pushed = stuck if number * _STEP < thrust_until else np.zeros_like(stuck)
        state = _runge_kutta(hull, state, theta, current_speed, pushed)
        track.append(state)
        if np.hypot(state[0], state[1]).min() > away:
            break
    whole = np.array(track)
    if not np.isfinite(whole).all():
        raise NotConverged("drift of the vessel: the motion ran off to what is no number")
    time = _STEP * np.arange(len(whole), dtype=np.float64)
    return Track(time, whole[:, 0], whole[:, 1], whole[:, 2])


def _runge_kutta(
    hull: FreeHull, state: Array, theta: Array, current: float, thrust: Array
) -> Array:
    first = _rates(hull, state, theta, current, thrust)
    second = _rates(hull, state + 0.5 * _STEP * first, theta, current, thrust)
    third = _rates(hull, state + 0.5 * _STEP * second, theta, current, thrust)
    fourth = _rates(hull, state + _STEP * third, theta, current, thrust)
    return np.asarray(state + _STEP / 6.0 * (first + 2.0 * second + 2.0 * third + fourth))


def _rates(hull: FreeHull, state: Array, theta: Array, current: float, thrust: Array) -> Array:
    """Return the rates of place (3) and of surge, sway and turning (3)."""
    heading, surge, sway, turn = state[2], state[3], state[4], state[5]
    cosine, sine = np.cos(heading), np.sin(heading)
    seen = theta + heading  # a bow that turns to port leaves the weather further to starboard
    # water past the hull, in its own axes
    ahead = -current * np.cos(seen) - surge
    port = current * np.sin(seen) - sway
    air = hull.air_and_waves(np.zeros_like(seen), _within_a_turn(seen))
    water = hull.water(np.hypot(ahead, port), np.arctan2(port, -ahead))
    braking = hull.yaw_drag * turn * np.abs(turn)
    x = air[0] + water[0] + thrust[0] + hull.mass * sway * turn
    y = air[1] + water[1] + thrust[1] - hull.mass * surge * turn
    return np.stack(
        [
            surge * cosine - sway * sine,
            surge * sine + sway * cosine,
            turn,
            x / hull.surge_mass,
            y / hull.sway_mass,
            (air[2] + water[2] - braking) / hull.yaw_inertia,
        ]
    )


def _within_a_turn(angle: Array) -> Array:
    return np.remainder(angle + np.pi, 2.0 * np.pi) - np.pi
