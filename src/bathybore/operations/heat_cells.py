"""The heat of a circulating hole: the hole cut into cells, sea and ground outside.

What is pumped down which pipe and comes up between which walls is a `Warmed`; its settled
temperatures are `settled(...)`. `heat_profile` makes it of a step or of a circulation.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.keeping import MANY, SOME, kept, same
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.bit_hydraulics import bit_pressure_drop
from bathybore.kernels.circulating_heat import (
    HeatPath,
    HoleHeat,
    film_coefficient,
    ground_heat_conductance,
    mud_heat_capacity,
    nusselt_number,
    prandtl_number,
    settled_heat,
    tube_heat_conductance,
)
from bathybore.kernels.heat import fitted_transient_function
from bathybore.kernels.pipe_flow import (
    annulus_wall_shear_stress,
    friction_factor,
    generalised_reynolds_number,
    mean_velocity_in_annulus,
    mean_velocity_in_pipe,
    pipe_wall_shear_stress,
)
from bathybore.model.basis import DesignBasis
from bathybore.model.hole import Setting
from bathybore.model.plan import Fluid
from bathybore.operations.columns import temperature
from bathybore.operations.downhole_tools import ToolLoss, together
from bathybore.operations.geometry import Bore
from bathybore.operations.state import StringInHole

CELL: Final = 60.0  # m; at this length the settled temperatures are right to 0.05 K
STEEL_CONDUCTIVITY: Final = 45.0  # W/m/K, carbon steel, common practice
_SLOWEST: Final = 1e-9  # m3/s; below it films are those of mud at rest


@dataclass(frozen=True, eq=False)
class Tube:
    """A length of the pipe that the mud goes down, where it stands."""

    top: float
    bottom: float
    inside_diameter: float
    outside_diameter: float


@dataclass(frozen=True, eq=False)
class Warmed:
    """A flow whose heat is asked for: what goes down which pipe, and up between which walls.

    Attributes
    ----------
    walls : of the hole, from the top down
    tubes : of the pipe, from the top down
    flow_rate, booster_flow_rate : down the pipe, and down the booster line
    nozzle_area : of the bit; None where there is none
    tools : what tools of the string lose, close above the bit: counted as heat there
    """

    setting: Setting
    walls: tuple[Bore, ...]
    tubes: tuple[Tube, ...]
    fluid: Fluid
    flow_rate: Value
    booster_flow_rate: Value
    nozzle_area: Value | None
    tools: tuple[ToolLoss, ...] = ()


@dataclass(frozen=True, eq=False)
class HeatCells:
    """The hole cut into cells from the top down; arrays over cells.

    Attributes
    ----------
    edges : of the cells [m below mean sea level], one more than there are cells
    bore, pipe : inside and outside diameter of the pipe
    wall : diameter of the hole's wall; of the pipe where the sea is round it
    kinds : 'sea', 'riser', 'casing' or 'open hole'
    """

    edges: Array
    bore: Array
    pipe: Array
    wall: Array
    kinds: tuple[str, ...]

    @cached_property
    def length(self) -> Array:
        return np.diff(self.edges)

    @cached_property
    def middle(self) -> Array:
        return 0.5 * (self.edges[1:] + self.edges[:-1])

    def where(self, kind: str) -> np.ndarray:
        return self._where[kind]

    @cached_property
    def _where(self) -> dict[str, np.ndarray]:
        kinds = np.array(self.kinds)
        return {kind: kinds == kind for kind in ("sea", "riser", "casing", "open hole")}

    @cached_property
    def channels(self) -> tuple[np.ndarray, np.ndarray]:
        """The first cell of each kind and size of channel, and which of them each cell is like."""
        kind = self.where("sea") + 2 * self.where("riser")
        sizes = np.stack([self.bore, self.pipe, self.wall, kind])
        _, first, like = np.unique(sizes, axis=1, return_index=True, return_inverse=True)
        return first, like


@kept(SOME)
def tubes_of(string: StringInHole) -> tuple[Tube, ...]:
    """Return the parts of a string as tubes, from the top down."""
    return tuple(
        same(
            Tube(
                float(part.top),
                float(part.bottom),
                float(part.pipe.inside_diameter),
                float(part.pipe.outside_diameter),
            )
        )
        for part in reversed(string.parts)
    )


# ---- cells --------------------------------------------------------------------------------


def heat_cells(flow: Warmed, longest: float) -> HeatCells:
    """Return the hole cut into cells no longer than ``longest`` [m], from the top down."""
    return _cells(flow.walls, flow.tubes, float(flow.setting.sea_bed), longest)


@kept(SOME)
def _cells(
    walls: tuple[Bore, ...], tubes: tuple[Tube, ...], sea_bed: float, longest: float
) -> HeatCells:
    top = float(walls[0].top) if walls[0].kind == "riser" else 0.0
    bottom = tubes[-1].bottom
    places = {top, bottom, sea_bed}
    places |= {float(edge) for wall in walls for edge in (wall.top, wall.bottom)}
    places |= {edge for tube in tubes for edge in (tube.top, tube.bottom)}
    marks = np.array(sorted(place for place in places if top <= place <= bottom))
    marks = marks[np.concatenate([[True], np.diff(marks) > 1e-3])]
    counts = np.maximum(np.ceil(np.diff(marks) / longest), 1).astype(int)
    pieces = [
        np.linspace(a, b, n, endpoint=False)
        for a, b, n in zip(marks[:-1], marks[1:], counts, strict=True)
    ]
    edges = np.concatenate([*pieces, marks[-1:]])
    return _fitted_out(walls, tubes, edges)


def _fitted_out(walls: tuple[Bore, ...], tubes: tuple[Tube, ...], edges: Array) -> HeatCells:
    """Return cells with the pipe and the wall that stand at the middle of each."""
    middle = 0.5 * (edges[1:] + edges[:-1])
    feet = np.array([tube.bottom for tube in tubes])
    which = np.minimum(np.searchsorted(feet, middle), len(feet) - 1)
    bore = np.array([tube.inside_diameter for tube in tubes])[which]
    pipe = np.array([tube.outside_diameter for tube in tubes])[which]
    wall, kinds = pipe.copy(), ["sea"] * len(middle)
    for one in walls:
        for index in np.flatnonzero((one.top <= middle) & (middle <= one.bottom)):
            wall[index], kinds[index] = one.diameter, one.kind
    return HeatCells(edges, bore, pipe, wall, tuple(kinds))


@dataclass(frozen=True, eq=False)
class Films:
    """What the flow does in each cell: films and friction; arrays over cells.

    Attributes
    ----------
    pipe, annulus : film coefficients [W/m2/K]
    pipe_friction, annulus_friction : [Pa/m]
    """

    pipe: Array
    annulus: Array
    pipe_friction: Array
    annulus_friction: Array


def _annulus_rate(flow: Warmed, cells: HeatCells) -> Array:
    """Return the flow up each cell [m3/s]: none in the open sea, the booster's in the riser."""
    rate = np.full(len(cells.kinds), float(flow.flow_rate))
    rate = rate + cells.where("riser") * float(flow.booster_flow_rate)
    return np.where(cells.where("sea"), 0.0, rate)


def _films(flow: Warmed, cells: HeatCells) -> Films:
    """Return films and friction; cells of one kind and size are alike, and worked out once."""
    first, like = cells.channels
    bore, pipe, wall = cells.bore[first], cells.pipe[first], cells.wall[first]
    fluid, mud, sea = flow.fluid, mud_of(flow), cells.where("sea")[first]
    constants = (fluid.yield_stress, fluid.consistency, fluid.flow_index)
    rate = max(float(flow.flow_rate), _SLOWEST)
    up = np.maximum(_annulus_rate(flow, cells)[first], _SLOWEST)
    outer = np.where(sea, 2.0 * pipe, wall)
    down = _Stream(
        mud.density,
        np.asarray(mean_velocity_in_pipe(rate, bore)),
        np.asarray(pipe_wall_shear_stress(rate, bore, *constants)),
        bore,
        8.0,
    )
    back = _Stream(
        mud.density,
        np.asarray(mean_velocity_in_annulus(up, outer, pipe)),
        np.asarray(annulus_wall_shear_stress(up, outer, pipe, *constants)),
        outer - pipe,
        12.0,
    )
    return Films(
        _film(mud, down)[like],
        _film(mud, back)[like],
        _friction(down, fluid.flow_index)[like],
        np.where(sea, 0.0, _friction(back, fluid.flow_index))[like],
    )


@dataclass(frozen=True, eq=False)
class _Stream:
    """Flow in a channel: ``shape`` times velocity over width is its Newtonian shear rate."""

    density: float
    velocity: Array
    stress: Array
    width: Array
    shape: float

    @cached_property
    def reynolds(self) -> Real:
        return generalised_reynolds_number(self.density, self.velocity, self.stress)


def _friction(stream: _Stream, flow_index: float) -> Array:
    """Return the friction gradient of a stream whose laminar stress is known [Pa/m]."""
    factor = friction_factor(stream.reynolds, flow_index)
    return np.asarray(2.0 * factor * stream.density * stream.velocity**2 / stream.width)


def wall_films(flow: Warmed) -> Array:
    """Return the film coefficient in the annulus of each cell [W/m2/K]."""
    return _films(flow, heat_cells(flow, CELL)).annulus


def _film(mud: Mud, stream: _Stream) -> Array:
    """Return the film coefficient of a stream."""
    viscosity = stream.stress * stream.width / (stream.shape * stream.velocity)
    prandtl = prandtl_number(mud.heat_capacity, viscosity, mud.conductivity)
    nusselt = nusselt_number(stream.reynolds, prandtl)
    return np.asarray(film_coefficient(nusselt, mud.conductivity, stream.width))


@dataclass(frozen=True)
class Mud:
    """Density [kg/m3], heat capacity [J/kg/K] and conductivity [W/m/K] of a mud."""

    density: float
    heat_capacity: float
    conductivity: float

    @property
    def per_volume(self) -> float:
        return self.density * self.heat_capacity


@kept(SOME)
def heat_capacity_of(fluid: Fluid) -> Value:
    """Return the heat capacity of a fluid: as told, or of sea water and barite of its density."""
    if fluid.heat_capacity is not None:
        return fluid.value("heat_capacity", "mud_heat_capacity")
    return work(mud_heat_capacity, fluid_density=fluid.value("density", "fluid_density"))


def mud_of(flow: Warmed) -> Mud:
    """Return what the heat of a mud needs."""
    capacity = float(heat_capacity_of(flow.fluid))
    return same(Mud(flow.fluid.density, capacity, flow.setting.basis.mud_conductivity))


# ---- the balance --------------------------------------------------------------------------


@kept(SOME)
def heat_path(flow: Warmed, longest: float, elapsed: float) -> HeatPath:
    """Return what the balance of every cell needs, the ground drawn on for a time [s]."""
    cells = heat_cells(flow, longest)
    mud, films, rate = mud_of(flow), _films(flow, cells), _annulus_rate(flow, cells)
    down = float(flow.flow_rate)
    sea = cells.where("sea")
    outside = np.where(sea, flow.setting.basis.sea_film_coefficient, films.annulus)
    # in the open sea the pipe gives its heat to the water at once: no annulus between
    pipe = tube_heat_conductance(
        0.5 * cells.bore, 0.5 * cells.pipe, films.pipe, outside, STEEL_CONDUCTIVITY
    )
    bit, inlet = _bit_heat(flow), float(inlet_temperature(flow))
    cooled = _booster_temperature(flow.setting, flow.fluid, flow.booster_flow_rate, mud, inlet)
    return HeatPath(
        length=cells.length,
        pipe_flow=np.array([down * mud.per_volume]),
        annulus_flow=rate * mud.per_volume,
        pipe_conductance=np.asarray(pipe),
        wall_conductance=_wall_conductance(flow, cells, films, elapsed),
        surroundings=temperature(flow.setting, cells.middle),
        inlet=np.array([inlet]),
        booster=np.array([cooled]),
        pipe_heat=films.pipe_friction * down,
        annulus_heat=films.annulus_friction * rate,
        bit_heat=np.array([bit]),
    )


def inlet_temperature(flow: Warmed) -> Value:
    """Return the temperature of what is pumped: of the pits, or of the surface of the sea."""
    if flow.walls[0].kind == "riser":
        return flow.setting.basis.value("pumped_temperature")
    origin = FromWalk("taken from the surface of the sea: sea table")
    return Value("pumped_temperature", float(temperature(flow.setting, 0.0)), "K", origin)


def _bit_heat(flow: Warmed) -> float:
    """Return what bit and tools make of the pump's power, a motor's work on the rock included."""
    rate, lost = float(flow.flow_rate), float(together(flow.tools))
    if flow.nozzle_area is not None:
        lost += float(bit_pressure_drop(flow.fluid.density, rate, float(flow.nozzle_area)))
    return lost * rate


def _wall_conductance(flow: Warmed, cells: HeatCells, films: Films, elapsed: float) -> Array:
    """Return heat from the annulus to sea or ground per length and degree."""
    basis = flow.setting.basis
    ground = _ground_conductance(basis, cells, elapsed)
    film = np.pi * cells.wall * films.annulus
    conductance = 1.0 / (1.0 / ground + 1.0 / film)
    conductance = np.where(
        cells.where("riser"), _riser_conductance(flow, films.annulus), conductance
    )
    return np.where(cells.where("sea"), _SEA, conductance)


@kept(SOME)
def _ground_conductance(basis: DesignBasis, cells: HeatCells, elapsed: float) -> Array:
    """Return heat from the wall of each cell into the ground per length and degree."""
    drawn = fitted_transient_function(0.5 * cells.wall, basis.ground_diffusivity, elapsed)
    return np.asarray(ground_heat_conductance(basis.ground_conductivity, drawn))


_SEA: Final = 1e6  # W/m/K: the annulus of an open pipe is the sea itself


def _riser_conductance(flow: Warmed, film: Array) -> Array:
    """Return heat through the riser: bare joints, and those within buoyancy, side by side."""
    stock, basis = flow.setting.inventory.riser, flow.setting.basis
    if stock is None:
        return np.zeros_like(film)
    outside, inside = 0.5 * stock.outside_diameter, 0.5 * stock.outside_diameter - stock.wall
    sea = basis.sea_film_coefficient
    bare = tube_heat_conductance(inside, outside, film, sea, STEEL_CONDUCTIVITY)
    over = max(0.5 * stock.hydrodynamic_diameter, outside)
    foam = np.log(over / outside) / (2.0 * np.pi * basis.buoyancy_conductivity)
    wrapped = 1.0 / (1.0 / np.asarray(bare) + foam)
    share = stock.share_with_modules
    return np.asarray(share * wrapped + (1.0 - share) * bare)


@kept(SOME)
def _booster_temperature(
    setting: Setting, fluid: Fluid, booster_flow_rate: Value, mud: Mud, inlet: float
) -> float:
    """Return how warm the booster's mud is at the foot of its line, cooled by the sea.

    Along the line dT/dz = (T_sea - T)/L with L the heat carried over the heat passed.
    """
    stock, rate = setting.inventory.riser, float(booster_flow_rate)
    if rate <= 0.0 or stock is None:
        return inlet
    bore = stock.booster_line_diameter or stock.choke_line_diameter
    constants = (fluid.yield_stress, fluid.consistency, fluid.flow_index)
    stream = _Stream(
        mud.density,
        np.asarray(mean_velocity_in_pipe(rate, bore)),
        np.asarray(pipe_wall_shear_stress(rate, bore, *constants)),
        np.asarray(bore),
        8.0,
    )
    film, sea = float(_film(mud, stream)), setting.basis.sea_film_coefficient
    passed = float(tube_heat_conductance(0.5 * bore, 0.6 * bore, film, sea, STEEL_CONDUCTIVITY))
    length = mud.per_volume * rate / passed
    z = np.linspace(0.0, float(setting.sea_bed), 201)
    fading = np.exp((z - z[-1]) / length)
    around = temperature(setting, z) * fading / length
    return inlet * float(fading[0]) + float(np.sum(0.5 * (around[1:] + around[:-1]) * np.diff(z)))


# ---- settled circulation ------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class SettledHeat:
    """Settled temperatures over the cells, and the imbalance of heat left, relative."""

    cells: HeatCells
    path: HeatPath
    heat: HoleHeat
    residual: float


@kept(SOME)
def settled(flow: Warmed) -> SettledHeat:
    """Return the temperatures of a flow that has gone on for the basis' circulating time."""
    path = heat_path(flow, CELL, flow.setting.basis.circulating_time)
    heat = settled_heat(path)
    return SettledHeat(heat_cells(flow, CELL), path, heat, imbalance(path, heat))


def imbalance(path: HeatPath, heat: HoleHeat) -> float:
    """Return heat in less heat out of the whole hole, over the heat that the pipe brings."""
    up = path.flow_from_below()
    brought = float((path.pipe_flow * path.inlet)[0])
    boosted = float(np.sum((path.annulus_flow - up) * path.booster))
    below = np.append(path.annulus_flow[1:], path.pipe_flow[0])
    lost = float(np.sum(np.maximum(below - up, 0.0) * np.append(heat.annulus[1:], heat.pipe[-1])))
    out = float(path.annulus_flow[0] * heat.annulus[0]) + lost
    walls_ = path.wall_conductance * path.length * (path.surroundings - heat.annulus)
    made = float(np.sum((path.pipe_heat + path.annulus_heat) * path.length) + path.bit_heat[0])
    left = brought + boosted + made + float(np.sum(walls_)) - out
    return abs(left) / max(abs(brought), float(np.sum(np.abs(walls_))), 1.0)


@kept(SOME)
def _inputs(flow: Warmed) -> tuple[Value, ...]:
    basis = flow.setting.basis
    return (
        flow.flow_rate,
        flow.booster_flow_rate,
        flow.fluid.value("density", "fluid_density"),
        heat_capacity_of(flow.fluid),
        inlet_temperature(flow),
        basis.value("circulating_time", "elapsed_time"),
        basis.value("ground_conductivity", "thermal_conductivity"),
        basis.value("ground_diffusivity", "thermal_diffusivity"),
        basis.value("mud_conductivity"),
        basis.value("sea_film_coefficient", "outer_film_coefficient"),
        basis.value("buoyancy_conductivity", "wall_conductivity"),
    )


_PROBLEM: Final = (
    "heat balance of pipe and annulus cell by cell, settled: "
    "$rho q c_m (dif T) / (dif z) = u_p (T_a - T)$ down the pipe, "
    "$rho q c_m (dif T_a) / (dif z) = u_p (T_a - T) - u_w (T_e - T_a)$ in the annulus; sea round "
    "riser and open pipe, ground below with a resistance that grows with time; friction heats"
)


@kept(MANY)
def annulus_temperature(flow: Warmed, z: Array | float) -> Value:
    """Return the settled temperature in the annulus at places; the sea's own in the open sea."""
    found = settled(flow)
    sea = found.cells.where("sea")
    annulus = np.where(sea, found.path.surroundings, found.heat.annulus)
    return _over(flow, found, "annulus_mud_temperature", annulus, z)


@kept(MANY)
def tube_temperature(flow: Warmed, z: Array | float) -> Value:
    """Return the settled temperature of the mud going down at places."""
    found = settled(flow)
    return _over(flow, found, "pipe_mud_temperature", found.heat.pipe, z)


def _over(flow: Warmed, found: SettledHeat, name: str, numbers: Array, z: Array | float) -> Value:
    # the booster mixes at the foot of the riser: nothing is interpolated across it
    middle, bed = found.cells.middle, flow.setting.sea_bed
    split = int(np.searchsorted(middle, bed))
    number: Real
    if 0 < split < len(middle):
        number = np.where(
            np.asarray(z) < bed,
            np.interp(z, middle[:split], numbers[:split]),
            np.interp(z, middle[split:], numbers[split:]),
        )
    else:
        number = np.interp(z, middle, numbers)
    origin = Solved(_PROBLEM, "holmes-swift-1970", _inputs(flow), found.residual)
    return Value(name, number, "K", origin, -1 if np.ndim(z) else None)
