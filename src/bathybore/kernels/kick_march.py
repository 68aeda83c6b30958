"""A gas influx followed in time from the bottom of the hole to the choke.

The channel from the bit up to the choke is always full. It is cut into parcels that
move with the whole volume flowing past them, so that without slip nothing is smeared;
gas that rises faster than the mixture passes from parcel to parcel, and the mud it displaces
goes down. Gas and mud are booked by mass and are neither made nor lost.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.errors import NotConverged
from bathybore.base.registry import Limit, published
from bathybore.kernels.gas import (
    METHANE_CRITICAL_PRESSURE,
    METHANE_CRITICAL_TEMPERATURE,
    METHANE_GRAVITY,
    density_near,
    gas_density,
    gas_z_factor,
)
from bathybore.kernels.mud import STANDARD_GRAVITY

ATMOSPHERE: Final = 101_325.0
# Share of gas at which bubbles run together into slugs: Taitel and others; common practice.
_SLUGS: Final = 0.25
# Share of gas up to which a drift velocity is believed; above it slip fades to none in pure gas,
# because there is no mud left to slip past.
_FADES: Final = 0.7
# Friction goes with this power of the velocity: turbulent, as in the choke line.
_TURBULENT: Final = 1.8
_CLOSE: Final = 1e-6  # of the bottom pressure, between two rounds of the column
_ROUNDS: Final = 60
_LONGER: Final = 4.0  # times the time step once no gas is left
_PARTS: Final = 2  # parcels pumped in a time step: finer ones smear the gas less
_FIRST: Final = 150  # parcels of the mud in the hole, and of that in the choke line
_REST: Final = 1e6  # s; so slow that nothing rubs
_TRACE: Final = 1e-9  # share of the influx below which gas in a parcel no longer rises by itself


@published(
    formula="v_oo = 1.53 ((g sigma (rho_m - rho_g)) / rho_m^2)^(1/4)",
    source="harmathy-1960",
    where="large drops and bubbles in a medium without end; from memory",
    valid={"surface_tension": Limit(0.005, 0.1, "water and its surfactant solutions")},
    validity_note="Clean, hardly viscous liquids; a yield stress can hold small bubbles still.",
    caution="Bubbles hung up in gelled mud do not rise; gas that runs together rises faster.",
    example={"mud_density": "1.4 sg", "gas_density": "250 kg/m3", "surface_tension": "0.06 N/m"},
)
def bubble_rise_velocity(
    mud_density: Real,
    gas_density: Real,
    surface_tension: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Speed at which gas bubbles rise in a liquid that stands still.

    Parameters
    ----------
    mud_density : [kg/m3]
        Density of the mud.
    gas_density : [kg/m3]
        Density of the gas in place.
    surface_tension : [N/m]
        Tension of the surface between gas and mud.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    bubble_rise_velocity : [m/s]
        Terminal speed upwards.
    """
    driven = gravity * surface_tension * (mud_density - gas_density) / np.square(mud_density)
    return 1.53 * np.maximum(driven, 0.0) ** 0.25


@published(
    formula="v_oo = (0.345 + 0.1 d_i/d_o) sqrt(g d_o (rho_m - rho_g) / rho_m)",
    source="hasan-kabir-1992",
    where="slug flow in vertical annuli; a pipe with d_i = 0; from memory",
    validity_note="Hardly viscous liquids, vertical channel.",
    example={
        "annulus_outer_diameter": "8.5 in",
        "annulus_inner_diameter": "5 in",
        "mud_density": "1.4 sg",
        "gas_density": "250 kg/m3",
    },
)
def slug_rise_velocity(
    annulus_outer_diameter: Real,
    annulus_inner_diameter: Real,
    mud_density: Real,
    gas_density: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Speed at which large slugs of gas rise in an annulus or pipe that stands still.

    Parameters
    ----------
    annulus_outer_diameter : [m]
        Diameter of the hole or bore.
    annulus_inner_diameter : [m]
        Outside diameter of the string; zero in a pipe.
    mud_density : [kg/m3]
        Density of the mud.
    gas_density : [kg/m3]
        Density of the gas in place.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    slug_rise_velocity : [m/s]
        Terminal speed upwards.
    """
    lift = np.maximum(mud_density - gas_density, 0.0) / mud_density
    shape = 0.345 + 0.1 * annulus_inner_diameter / annulus_outer_diameter
    return shape * np.sqrt(gravity * annulus_outer_diameter * lift)


@published(
    formula="v_g = C_0 j + v_oo",
    source="zuber-findlay-1965",
    where="mean gas velocity weighted with its share; 1.2 for round profiles; from memory",
    valid={"profile_coefficient": Limit(1.0, 1.5, "1.2 in bubble and slug flow")},
    example={
        "mixture_velocity": "0.5 m/s",
        "profile_coefficient": "1.2",
        "rise_velocity": "0.25 m/s",
    },
)
def gas_velocity_by_drift(
    mixture_velocity: Real, profile_coefficient: Real, rise_velocity: Real
) -> Real:
    """Speed of gas that is carried by a mixture and drifts upwards in it.

    Parameters
    ----------
    mixture_velocity : [m/s]
        Volume of gas and mud per time and area.
    profile_coefficient : [-]
        How much faster than the mean the middle moves, where the gas gathers.
    rise_velocity : [m/s]
        Speed of the gas in mud that stands still.

    Returns
    -------
    gas_velocity : [m/s]
        Mean speed of the gas upwards.
    """
    return profile_coefficient * mixture_velocity + rise_velocity


@dataclass(frozen=True, eq=False)
class Channel:
    """The way from the bottom up to the choke: nodes from the bottom up, segments between them.

    Attributes
    ----------
    depth : true vertical, of the nodes [m]
    temperature : at the nodes [K]
    area, length : of the segments [m2], [m]; length along the hole
    friction : gradient in each segment at ``flow_rate`` in the old mud [Pa/m]
    flow_rate : at which friction was worked out [m3/s]
    bubbles, slugs : rise velocity of the gas in each segment [m/s]
    profile_coefficient : of the drift, where gas moves with mud
    """

    depth: Array
    temperature: Array
    area: Array
    length: Array
    friction: Array
    flow_rate: float
    bubbles: Array
    slugs: Array
    profile_coefficient: float = 1.2

    @property
    def volumes(self) -> Array:
        """Volume below each node [m3]."""
        return np.concatenate([[0.0], np.cumsum(self.area * self.length)])

    def losses_of(self, gradient: Array) -> Array:
        """Friction below each node, of a gradient in the segments [Pa]."""
        return np.concatenate([[0.0], np.cumsum(gradient * self.length)])


@dataclass(frozen=True)
class Influx:
    """What comes in. Numbers or arrays over realisations.

    Attributes
    ----------
    mass : [kg] that comes in until the well is closed; the formation may feed a little after
    duration : [s] of its coming in at an even rate, the pumps running at ``flow_rate`` [m3/s]
    density : [kg/m3] of a liquid influx; None for gas
    friction : gradient in each segment of the channel meanwhile [Pa/m]; none where left out
    """

    mass: Real
    duration: float
    flow_rate: float
    density: float | None = None
    friction: Array | None = None
    gas_gravity: float = METHANE_GRAVITY
    pseudo_critical_temperature: float = METHANE_CRITICAL_TEMPERATURE
    pseudo_critical_pressure: float = METHANE_CRITICAL_PRESSURE


@dataclass(frozen=True)
class Phase:
    """A while in which the bottom pressure is held from the choke.

    Attributes
    ----------
    duration : [s]; flow_rate : at the bit [m3/s]; mud_density : of what leaves the bit [kg/m3]
    ends_without_gas : it is over once no gas is left in the hole
    over : held above the bottom pressure of the closed well [Pa]
    """

    name: str
    duration: float
    flow_rate: float
    mud_density: float
    ends_without_gas: bool = False
    over: float = 0.0


@dataclass(frozen=True, eq=False)
class Followed:
    """A kick followed to its end; arrays *(realisation, time)*, gauge pressures.

    Attributes
    ----------
    time, phase : [s] from the first influx; number of the phase, 0 while it comes in
    bottom, stack, choke : pressures at the bottom, below the preventer and at the choke [Pa]
    at_places : *(realisation, time, place)*
    pit_gain : mud returned beyond what was pumped [m3]
    gas_rate : that leaves at the choke [kg/s]
    gas_top : true vertical depth [m] above which no more than a hundredth of the gas is; not a
        number once none is left
    gas_in, gas_out, gas_left, mud_in, mud_out, mud_left : masses at the end [kg]
    into_riser : gas that passed the preventer before it was closed [kg]
    """

    time: Array
    phase: Array
    bottom: Array
    stack: Array
    choke: Array
    at_places: Array
    pit_gain: Array
    gas_rate: Array
    gas_top: Array
    gas_in: Array
    gas_out: Array
    gas_left: Array
    mud_in: Array
    mud_out: Array
    mud_left: Array
    into_riser: Array


@dataclass
class _Column:
    """The parcels in the channel, from the bottom up; arrays *(realisation, parcel)*."""

    mud: Array  # m3
    mud_mass: Array
    gas: Array  # kg
    dense: Array  # kg/m3, of the gas
    pressure: Array  # absolute, in the middle of each
    flux: Array  # m3/s past the top of each
    edges: Array = field(default_factory=lambda: np.zeros((1, 1)))  # volume below, one more
    at_edges: Array = field(default_factory=lambda: np.zeros((1, 1)))  # gauge pressure there

    @property
    def volume(self) -> Array:
        return self.mud + self.gas / self.dense


def follow(
    channel: Channel,
    influx: Influx,
    phases: tuple[Phase, ...],
    *,
    mud_density: float,
    held: Real,
    stack: int,
    riser_pressure: float,
    places: Array,
    step: float,
    gravity: float = STANDARD_GRAVITY,
) -> Followed:
    """Return what a kick does from its first bubble to the last phase of its killing.

    While it comes in, the preventer is open and the riser stands full above node ``stack``; from
    then on the well is closed and the choke holds the bottom pressure. A choke cannot pull: where
    friction in the choke line is more than there is to give up, the bottom pressure rises.

    Parameters
    ----------
    mud_density : of the mud in the hole when it kicks
    held : bottom pressure that the choke holds; a number, or one for each realisation
    stack : number of the node at the preventer; above it is the choke line
    riser_pressure : at that node while the riser is open
    places : true vertical depths at which pressures are told, from the bottom to the preventer
    step : longest time step

    Raises
    ------
    ValueError
        The influx has a mass and no time to come in.
    NotConverged
        The pressures of a column did not settle.
    """
    if influx.duration <= 0.0 and np.any(np.asarray(influx.mass) > 0.0):
        raise ValueError("an influx takes time to come in")
    march = _March(channel, influx, mud_density, np.atleast_1d(held), stack, places, gravity)
    if influx.duration > 0.0:
        count = max(int(np.ceil(influx.duration / step)), 4)
        for _ in range(count):
            march.come_in(influx.duration / count, riser_pressure)
    march.close()
    for number, phase in enumerate(phases, start=1):
        left = phase.duration
        while left > 1e-9 and (march.gas_left or not phase.ends_without_gas):
            # mud alone moves without anything to follow closely
            dt = min(left, step if march.gas_left else _LONGER * step)
            march.circulate(phase, dt, number)
            left -= dt
    return march.told()


_PARCELS: Final = ("mud", "mud_mass", "gas", "dense", "pressure", "flux")


class _March:
    def __init__(
        self,
        channel: Channel,
        influx: Influx,
        mud_density: float,
        held: Array,
        stack: int,
        places: Array,
        gravity: float,
    ) -> None:
        self.channel, self.influx, self.stack, self.gravity = channel, influx, stack, gravity
        self.mass, self.held = np.broadcast_arrays(np.atleast_1d(influx.mass).astype(float), held)
        self.volumes, self.old = channel.volumes, mud_density
        rubbing = np.zeros(len(channel.area)) if influx.friction is None else influx.friction
        self.losses, self.at_rate = channel.losses_of(rubbing), max(influx.flow_rate, 1e-12)
        self.places = np.interp(-places, -channel.depth, self.volumes)
        self.room = float(self.volumes[stack])  # of the channel that is open now
        self.time, self.rows = 0.0, list[tuple[Array, ...]]()
        none = np.zeros(self.mass.shape)
        self.gas_in, self.gas_out, self.mud_out, self.into_riser = none, none, none, none
        self.pumped, self.returned, self.mud_in, self.entered = none, none, none, none
        self.column = self._full(0.0, self.room)

    def _full(self, bottom: float, top: float) -> _Column:
        """Return the channel between two volumes full of the mud in the hole, in some parcels."""
        mud = np.repeat((top - bottom) / _FIRST, _FIRST)
        mud = np.broadcast_to(mud, (len(self.mass), _FIRST)).copy()
        self.mud_in = self.mud_in + mud.sum(axis=1) * self.old
        height = float(self.channel.depth[0]) - self.channel.depth
        middle = np.interp(bottom + np.cumsum(mud[0]) - 0.5 * mud[0], self.volumes, height)
        pressure = self.held[:, None] - self.old * self.gravity * middle + ATMOSPHERE
        pressure = np.maximum(pressure, ATMOSPHERE)
        empty = np.zeros_like(mud)
        return _Column(mud, mud * self.old, empty, self._dense(pressure), pressure, empty.copy())

    def _dense(self, pressure: Array) -> Array:
        """Return a density of the influx to begin a search with, at the bottom temperature."""
        if self.influx.density is not None:
            return np.full_like(pressure, self.influx.density)
        one, warm = self.influx, float(self.channel.temperature[0])
        z = gas_z_factor(
            pressure, warm, one.pseudo_critical_temperature, one.pseudo_critical_pressure
        )
        return np.asarray(gas_density(pressure, warm, z, one.gas_gravity))

    # -- the three things that happen ------------------------------------------------------

    def come_in(self, dt: float, riser_pressure: float) -> None:
        """Take in influx at the bit for a while, the preventer open."""
        gas = self.mass * (dt / self.influx.duration)
        self._take(self.influx.flow_rate * dt, self.old, gas)
        self._drift(dt)
        self._settle(dt, np.full(self.mass.shape, riser_pressure), None)
        gone = self._spill()
        self.into_riser = self.into_riser + gone
        self._book(0, dt, np.zeros_like(gone), np.full(gone.shape, np.nan))

    def close(self) -> None:
        """Close the preventer: the choke line, full of mud, takes the place of the riser."""
        line, column = self._full(self.room, float(self.volumes[-1])), self.column
        for name in _PARCELS:
            joined = np.concatenate([getattr(column, name), getattr(line, name)], axis=1)
            setattr(column, name, joined)
        column.flux = np.zeros_like(column.mud)  # the pumps stand
        self.losses = self.channel.losses_of(self.channel.friction)
        self.at_rate = self.channel.flow_rate
        self.room = float(self.volumes[-1])
        self._feed()

    def _feed(self) -> None:
        """Let the formation fill what its pressure presses together, until it is held."""
        column = self.column
        for _ in range(_ROUNDS):
            self.entered = np.zeros_like(self.mass)
            self._settle(_REST, None, self.held)
            void = np.maximum(self.room - column.volume.sum(axis=1), 0.0)
            more = np.where(column.gas[:, 0] > 0.0, void * column.dense[:, 0], 0.0)
            if (more <= _CLOSE * np.maximum(self.mass, 1e-30)).all():
                column.flux = np.zeros_like(column.mud)
                return
            column.gas[:, 0] += more
            self.gas_in = self.gas_in + more
        raise NotConverged("kick: the well closed in on it did not come to rest")

    def circulate(self, phase: Phase, dt: float, number: int) -> None:
        """Pump for a while, the choke holding the bottom pressure."""
        self.entered = np.zeros_like(self.mass)
        if phase.flow_rate > 0.0:
            self._take(phase.flow_rate * dt, phase.mud_density, np.zeros_like(self.mass))
        self._drift(dt)
        choke = self._settle(dt, None, self.held + phase.over)
        self._top_up()
        gone = self._spill()
        self.gas_out = self.gas_out + gone
        self._book(number, dt, gone / dt, choke)

    @property
    def gas_left(self) -> bool:
        left = self.column.gas.sum(axis=1)
        return bool((left > 1e-6 * np.maximum(self.mass, 1e-30)).any())

    # -- how ------------------------------------------------------------------------------------

    def _take(self, volume: float, density: float, gas: Array) -> None:
        """Put some parcels in at the bottom."""
        column, shape = self.column, (len(self.mass), _PARTS)
        first = {
            "mud": np.full(shape, volume / _PARTS),
            "mud_mass": np.full(shape, volume * density / _PARTS),
            "gas": np.repeat(gas[:, None] / _PARTS, _PARTS, axis=1),
            "dense": np.repeat(column.dense[:, :1], _PARTS, axis=1),
            "pressure": np.repeat(column.pressure[:, :1], _PARTS, axis=1),
            "flux": np.repeat(column.flux[:, :1], _PARTS, axis=1),
        }
        for name in _PARCELS:
            joined = np.concatenate([first[name], getattr(column, name)], axis=1)
            setattr(column, name, joined)
        self.entered = volume + gas / column.dense[:, 0]
        self.pumped = self.pumped + volume
        self.mud_in = self.mud_in + volume * density
        self.gas_in = self.gas_in + gas

    def _gassy(self) -> slice:
        """Return the parcels between which there is gas; none where there is none."""
        there = np.flatnonzero((self.column.gas > _TRACE * self.mass[:, None]).any(axis=0))
        return slice(int(there[0]), int(there[-1]) + 1) if there.size else slice(0, 0)

    def _drift(self, dt: float) -> None:
        """Let gas rise through the mud, from each parcel into the next, volume for volume."""
        where = self._gassy()
        if where.stop == 0:
            return
        column, channel = self.column, self.channel
        edges = np.cumsum(column.volume, axis=1)
        middle = np.minimum(edges - 0.5 * column.volume, self.volumes[-1] * (1.0 - 1e-12))
        which = np.searchsorted(self.volumes, middle, side="right") - 1
        area, bubbles, slugs = channel.area[which], channel.bubbles[which], channel.slugs[which]
        carried = (channel.profile_coefficient - 1.0) * np.maximum(column.flux, 0.0)
        volume = np.maximum(column.volume, 1e-12)
        share = column.gas / (column.dense * volume)
        fastest = (carried + np.where(share < _SLUGS, bubbles, slugs) * area) * dt / volume
        fastest = np.where(column.volume > 1e-9, fastest, 0.0)
        rounds = int(np.ceil(float(fastest[:, where].max()) / 0.8)) if fastest.size else 0
        short = dt / max(rounds, 1)
        last = column.mud.shape[1] - 1
        for number in range(rounds):
            part = slice(where.start, min(where.stop + number, last))
            if part.start >= part.stop:
                return
            self._pass_up(part, short, area, bubbles, slugs, carried)

    def _pass_up(
        self, part: slice, dt: float, area: Array, bubbles: Array, slugs: Array, carried: Array
    ) -> None:
        column, above = self.column, slice(part.start + 1, part.stop + 1)
        gas, mud = column.gas[:, part], column.mud[:, above]
        dense, over = column.dense[:, part], column.dense[:, above]
        bubble = gas / dense
        share = bubble / np.maximum(column.mud[:, part] + bubble, 1e-30)
        rise = np.where(share < _SLUGS, bubbles[:, part], slugs[:, part])
        fade = np.minimum(1.0, (1.0 - share) / (1.0 - _FADES))
        wanted = share * (carried[:, part] + rise * area[:, part]) * fade * dt
        volume = np.minimum(np.minimum(wanted, bubble), mud)
        up = volume * dense
        down = volume * (column.mud_mass[:, above] / np.maximum(mud, 1e-30))
        np.copyto(over, dense, where=column.gas[:, above] == 0.0)
        column.gas[:, part] -= up
        column.gas[:, above] += up
        column.mud[:, part] += volume
        column.mud[:, above] -= volume
        column.mud_mass[:, part] += down
        column.mud_mass[:, above] -= down

    def _settle(self, dt: float, top: Array | None, held: Array | None) -> Array:
        """Find the pressures of the column and the volumes of its gas; return that at the top.

        Either the pressure at the ``top`` of the channel is known, or the one ``held`` at the
        bottom, which rises where the choke would have to pull.
        """
        column, channel, where = self.column, self.channel, self._gassy()
        before = np.cumsum(column.volume, axis=1) - self.entered[:, None]
        mass = column.mud_mass + column.gas
        for _ in range(_ROUNDS):
            self._compress(where)
            volume = column.volume
            tops = np.cumsum(volume, axis=1)
            edges = np.concatenate([np.zeros((len(tops), 1)), np.minimum(tops, self.room)], axis=1)
            depth = np.interp(edges, self.volumes, channel.depth)
            density = mass / np.maximum(volume, 1e-12)
            column.flux = (tops - before) / dt
            speed = np.maximum(column.flux, 0.0) / self.at_rate
            loss = np.diff(np.interp(edges, self.volumes, self.losses), axis=1)
            drop = -np.diff(depth, axis=1) * density * self.gravity
            drop += loss * (density / self.old) * speed**_TURBULENT
            fallen = np.concatenate([np.zeros((len(tops), 1)), np.cumsum(drop, axis=1)], axis=1)
            bottom = top + fallen[:, -1] if held is None else np.maximum(held, fallen[:, -1])
            column.edges, column.at_edges = edges, bottom[:, None] - fallen
            pressure = 0.5 * (column.at_edges[:, 1:] + column.at_edges[:, :-1]) + ATMOSPHERE
            change = np.abs(pressure - column.pressure)[:, where]
            column.pressure = pressure
            if change.size == 0 or float(change.max()) <= _CLOSE * float(np.max(bottom)):
                return column.at_edges[:, -1]
        raise NotConverged(f"kick at {self.time / 60.0:.0f} min: the pressures did not settle")

    def _compress(self, where: slice) -> None:
        """Give the gas the density that its pressure and place ask for."""
        if where.stop == 0 or self.influx.density is not None:
            return
        column, one = self.column, self.influx
        tops = np.cumsum(column.volume[:, : where.stop], axis=1)
        middle = (tops - 0.5 * column.volume[:, : where.stop])[:, where]
        warm = np.interp(middle, self.volumes, self.channel.temperature)
        column.dense[:, where] = density_near(
            np.maximum(column.pressure[:, where], ATMOSPHERE),
            warm,
            one.gas_gravity,
            one.pseudo_critical_temperature,
            one.pseudo_critical_pressure,
            column.dense[:, where],
        )

    def _top_up(self) -> None:
        """Fill up from the pits what gas leaves empty when more pressure is held on it."""
        column = self.column
        void = np.maximum(self.room - column.volume.sum(axis=1), 0.0)
        column.mud[:, -1] += void
        column.mud_mass[:, -1] += void * self.old
        self.pumped, self.mud_in = self.pumped + void, self.mud_in + void * self.old

    def _spill(self) -> Array:
        """Let go what stands above the top of the channel; return the mass of gas in it."""
        column = self.column
        volume = column.volume
        tops = np.cumsum(volume, axis=1)
        share = np.clip((tops - self.room) / np.maximum(volume, 1e-30), 0.0, 1.0)
        gas, mud, mass = column.gas * share, column.mud * share, column.mud_mass * share
        column.gas, column.mud = column.gas - gas, column.mud - mud
        column.mud_mass = column.mud_mass - mass
        self.mud_out = self.mud_out + mass.sum(axis=1)
        self.returned = self.returned + mud.sum(axis=1)
        keep = int(np.max(np.count_nonzero(share < 1.0, axis=1)))
        if keep < column.mud.shape[1]:
            for name in _PARCELS:
                setattr(column, name, getattr(column, name)[:, :keep])
        return np.asarray(gas.sum(axis=1))

    def _book(self, number: int, dt: float, gas_rate: Array, choke: Array) -> None:
        self.time += dt
        column = self.column
        below = np.cumsum(column.gas, axis=1)
        there = below[:, -1] > _TRACE * self.mass
        which = np.argmax(below >= 0.99 * below[:, -1:], axis=1)
        top = column.edges[np.arange(len(which)), which + 1]
        depth = np.interp(top, self.volumes, self.channel.depth)
        wanted = np.concatenate([self.places, self.volumes[[self.stack]]])
        told = np.stack(
            [np.interp(wanted, e, p) for e, p in zip(column.edges, column.at_edges, strict=True)]
        )
        clock, which = np.full(choke.shape, self.time), np.full(choke.shape, float(number))
        self.rows.append(
            (
                clock, which, column.at_edges[:, 0], told[:, -1], choke, told[:, :-1],
                self.returned - self.pumped, gas_rate, np.where(there, depth, np.nan),
            )
        )  # fmt: skip

    def told(self) -> Followed:
        column = self.column
        rows = [np.stack(one, axis=1) for one in zip(*self.rows, strict=True)]
        time, phase, bottom, stack, choke, places, gain, rate, top = rows
        return Followed(
            time=time[0], phase=phase[0].astype(int), bottom=bottom, stack=stack, choke=choke,
            at_places=places, pit_gain=gain, gas_rate=rate, gas_top=top,
            gas_in=self.gas_in, gas_out=self.gas_out, gas_left=column.gas.sum(axis=1),
            mud_in=self.mud_in, mud_out=self.mud_out, mud_left=column.mud_mass.sum(axis=1),
            into_riser=self.into_riser,
        )  # fmt: skip


def greatest_mean_rate(time: Array, rate: Array, over: float) -> Array:
    """Return the greatest mean of a rate over a while, realisation by realisation.

    Rates of single steps jump, because gas leaves parcel by parcel; a mean over some
    minutes does not depend on the step.

    Parameters
    ----------
    time : at the ends of the steps [s]
    rate : *(realisation, time)*, in the steps
    over : [s]
    """
    steps = np.diff(time, prepend=0.0)
    gone = np.concatenate([np.zeros((len(rate), 1)), np.cumsum(rate * steps, axis=1)], axis=1)
    clock = np.concatenate([[0.0], time])
    starts = clock[clock <= max(clock[-1] - over, 0.0)]
    means = [
        (np.interp(starts + over, clock, g) - np.interp(starts, clock, g)) / over for g in gone
    ]
    return np.array([one.max() for one in means])
