"""What rock and limits need and bear over the depth grid, as densities of one mud column."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np
import numpy.typing as npt

from bathybore.base.arrays import Array
from bathybore.base.working import Default, FromWalk, Solved, Value, work
from bathybore.kernels.density_window import (
    density_of_column,
    greatest_mud_density_with_kick,
    kick_breaks_weak_point,
)
from bathybore.kernels.gas import gas_density, gas_z_factor
from bathybore.kernels.segments import pressure_with_margin
from bathybore.kernels.well_control import annulus_area
from bathybore.model.hole import Hole
from bathybore.model.plan import Fluid
from bathybore.operations.barriers import GASES
from bathybore.operations.columns import (
    column_top,
    earth_value,
    gravity_value,
    mean_temperature,
    pressure_under,
    warmth_of_parts,
)
from bathybore.operations.influx import kick_is_gas
from bathybore.operations.sea_fluid import formation_water_density, sea_water
from bathybore.search.circulation import Circulation
from bathybore.search.intervals import Bound, KickBound, Nodes, Window
from bathybore.search.practice import Practice, circulating_allowance

PORE: Final = "pore pressure"
COLLAPSE: Final = "collapse pressure"
FRACTURE: Final = "fracture pressure, margin and circulation"
NOT_LIFTED: Final = "cuttings that do not rise, or a string that does not fit"
KICK: Final = "fracture pressure, kick"
SURGE: Final = "fracture pressure, surge of the casing"
PAD: Final = "fracture pressure, heavy mud left for the casing"
GAS: Final = "gas or oil without a preventer"
ONLY_SEA_WATER: Final = "nothing but sea water is pumped"
LIGHTEST: Final = "mud is built from sea water"
HEAVIEST: Final = "heaviest mud"
Flags = npt.NDArray[np.bool_]
# Pressures to which the equation of state of gas was fitted; beyond, gas counts as light as there.
_MOST_FOR_GAS: Final = 1.4e8
_PIECE: Final = 32768  # pairs of nodes at a time: what a processor's cache holds


@dataclass(frozen=True)
class Terms:
    """What a search takes as given beside the hole, and what a change of mind may alter.

    Attributes
    ----------
    trip_margin, fracture_margin : [kg/m3]
    kick_intensity : [kg/m3]
    kick_volume : [m3]
    heaviest_mud : [kg/m3]
    room : [kg/m3] between what is needed and what is borne, so that a mud can be kept there
    stronger : (node) [Pa] that the rock bears more than the prognosis says
    longer : [m] more of every casing on board
    more_mud : [m3] more on board to be dumped
    """

    trip_margin: Value
    fracture_margin: Value
    kick_intensity: Value
    kick_volume: Value
    heaviest_mud: Value
    room: Value
    stronger: Array | float = 0.0
    longer: float = 0.0
    more_mud: float = 0.0


def usual_terms(hole: Hole, heaviest_mud: float | None = None, room: float | None = None) -> Terms:
    """Return the terms of a hole's design basis, with what a search was asked for."""

    def term(name: str, asked: float | None, default: float, why: str) -> Value:
        origin = FromWalk("as the search was asked")
        if asked is None:
            return Value("density", default, "kg/m3", Default(name, "assumed", why))
        return Value("density", asked, "kg/m3", origin)

    basis = hole.basis
    return Terms(
        basis.value("trip_margin"),
        basis.value("fracture_margin"),
        basis.value("kick_intensity"),
        basis.value("kick_volume"),
        term("heaviest_mud", heaviest_mud, 2200.0, "what still flows"),
        term("room", room, 10.0, "a mud is kept within 0.01 sg"),
    )


@dataclass(frozen=True, eq=False)
class Grid:
    """The nodes of the search below the sea bed, and what the earth is there.

    Here the earth is that of the hole's table. What asks for the same bounds under other
    earths, many at a time, puts curves (member, node) in its place; all that follows from
    them then runs over members as well.

    Attributes
    ----------
    depth : (node) [m] below the sea bed
    """

    hole: Hole
    depth: Array

    @cached_property
    def z(self) -> Array:
        """Nodes in metres below mean sea level."""
        return self.depth + float(self.hole.sea_bed)

    @cached_property
    def gas(self) -> Flags:
        """Whether gas or oil stands in the rock at each node."""
        return np.array(
            [self.hole.earth.word_at("formation_fluid", d) in GASES for d in self.depth]
        )

    def earth(self, column: str, name: str | None = None) -> Value:
        """Return a column of the earth table at the nodes."""
        return earth_value(self.hole, column, self.z, name)

    def mean_temperature(self, top: float) -> Value:
        """Return the mean undisturbed temperature from a place above the nodes to each."""
        return mean_temperature(self.hole, top, self.z)

    @cached_property
    def fracture(self) -> Array:
        return np.asarray(self.earth("fracture_pressure").si)

    @cached_property
    def greatest_rate(self) -> Array:
        """Rate of penetration [m/s], the greatest from each node down."""
        return greatest_below(np.asarray(self.earth("rate_of_penetration").si))

    @cached_property
    def pairs(self) -> tuple[Nodes, Nodes]:
        """Every weak point with every bottom at it or below."""
        weak, bottom = np.triu_indices(len(self.depth))
        return weak, bottom

    @cached_property
    def influx_density(self) -> Array:
        """Density of what kicks [kg/m3] at each node's fracture pressure, as warm as at the target.

        Lighter than it is: warmer than there, and no denser than the equation of state knows.
        """
        warmest = np.max(np.asarray(self.earth("temperature").si), axis=-1, keepdims=True)
        return influx_density(self.hole, self.fracture, warmest)


def greatest_below(rate: Array) -> Array:
    """Return the greatest of a curve from each node down."""
    return np.asarray(np.maximum.accumulate(rate[..., ::-1], axis=-1)[..., ::-1])


def influx_density(hole: Hole, fracture: Array, warmest: Array) -> Array:
    """Return the density of what kicks [kg/m3] at fracture pressures and a temperature.

    Gas, unless all rock from the conductor's shoe to the target is told to hold water: which
    part of it a hole leaves open is what is searched for.
    """
    if not kick_is_gas(hole.setting, hole.z(hole.plan.conductor.shoe), hole.z(hole.plan.target)):
        return formation_water_density(hole, fracture, warmest)
    pressure = np.minimum(fracture, _MOST_FOR_GAS)
    z = gas_z_factor(pressure, warmest)
    return np.asarray(gas_density(pressure, warmest, z, hole.basis.gas_gravity))


def grid(hole: Hole, spacing: float) -> Grid:
    """Return nodes from the conductor's shoe to the target: an even grid, and the table's rows."""
    frame = hole.frame
    top = frame.below_sea_bed(hole.plan.conductor.shoe)
    target = frame.below_sea_bed(hole.plan.target)
    even = np.arange(0.0, target, spacing)
    nodes = np.unique(np.round(np.concatenate([even, hole.earth.depths, [top, target]]), 3))
    return Grid(hole, nodes[(nodes >= round(top, 3)) & (nodes <= round(target, 3))])


@dataclass(frozen=True, eq=False)
class KickLoad:
    """What a kick brings in an open hole, for any weak point and any bottom at it or below.

    Attributes
    ----------
    top : [Pa] at the top of the mud column
    height : (node) [m] from the top of the column
    fracture : (node) [Pa]
    gradient : [Pa/m] of a kick above that of the mud, per depth of the bottom it comes from
    depth : (node) [m] to which that is counted
    volume : [m3] of the influx
    area : [m2] of the annulus that it stands in
    gas : (node) [kg/m3] density of the influx under a weak point
    ratio : (node) [-] density weighed over mean density in place, of a column that just breaks
        a weak point
    """

    top: float
    height: Array
    fracture: Array
    gradient: Array | float
    depth: Array
    volume: Array | float
    area: float
    gas: Array
    ratio: Array
    gravity: float

    def borne(self, weak: Nodes, bottom: Nodes) -> Array:
        """Return the greatest density, as weighed [kg/m3], for weak points and bottoms."""
        mean = greatest_mud_density_with_kick(
            self.fracture[..., weak],
            self.top,
            self.height[weak],
            self.height[bottom],
            self.gradient * self.depth[bottom],
            self.volume,
            self.area,
            self.gas[..., weak],
            self.gravity,
        )
        return np.asarray(mean * self.ratio[..., weak])

    def breaks(self, weak: Nodes, bottom: Nodes, density: Array) -> Flags:
        """Return whether a mud, as weighed [kg/m3], is heavier than is borne there."""
        return kick_breaks_weak_point(
            density / self.ratio[..., weak],
            self.fracture[..., weak],
            self.top,
            self.height[weak],
            self.height[bottom],
            self.gradient * self.depth[bottom],
            self.volume,
            self.area,
            self.gas[..., weak],
            self.gravity,
        )

    def of_members(self, members: Nodes) -> KickLoad:
        """Return the same of some members alone, where members have their own."""

        def some(numbers: Array) -> Array:
            return numbers[members] if numbers.ndim > 1 and len(numbers) > 1 else numbers

        return replace(
            self,
            fracture=some(self.fracture),
            gradient=some(np.asarray(self.gradient)),
            volume=some(np.asarray(self.volume)),
            gas=some(self.gas),
            ratio=some(self.ratio),
        )


@dataclass(frozen=True, eq=False)
class Bounds:
    """The bounds of one bit under one circulation.

    Attributes
    ----------
    allowance : (node) [Pa] that friction and cuttings add
    """

    grid: Grid
    circulation: Circulation
    practice: Practice
    allowance: Array

    @property
    def _fluid(self) -> Fluid:
        return self.practice.fluid

    @cached_property
    def _top(self) -> tuple[float, Value]:
        z, pressure = column_top(self.grid.hole, not self.circulation.from_sea_bed)
        return float(z), pressure.named("pressure_at_top")

    @cached_property
    def _height(self) -> Value:
        z = self.grid.z - self._top[0]
        return Value("height", z, "m", FromWalk("from the top of the mud column"), -1)

    @cached_property
    def _warmth(self) -> Value:
        (z_top, top), grid = self._top, self.grid
        mean = grid.mean_temperature(z_top)
        return warmth_of_parts(grid.hole, self._fluid, top, z_top, grid.z, mean)

    @cached_property
    def _margin_height(self) -> Value:
        """Margins count to where the column begins: drill floor, or sea bed."""
        hole, what = self.grid.hole, "sea bed" if self.circulation.from_sea_bed else "drill floor"
        datum = hole.sea_bed if self.circulation.from_sea_bed else hole.drill_floor
        return Value("height", self.grid.z - datum, "m", FromWalk(f"depth below the {what}"), -1)

    def _density(self, pressure: Value) -> Value:
        """Return the density of the mud, as weighed, whose column gives a pressure at each node."""
        hole, fluid = self.grid.hole, self._fluid
        return work(
            density_of_column,
            pressure_at_bottom=pressure,
            pressure_at_top=self._top[1],
            compressibility=fluid.value("compressibility"),
            fluid_thermal_expansion=fluid.value("thermal_expansion"),
            temperature=self._warmth,
            height=self._height,
            reference_temperature=fluid.value("reference_temperature"),
            gravity=gravity_value(hole),
        )

    def _bound(self, name: str, pressure: Value) -> Bound:
        density = self._density(pressure)
        return Bound(name, np.asarray(density.si), density.at_node)

    def _everywhere(self, name: str, density: Value) -> Bound:
        whole = np.full(self.grid.depth.shape, float(density))
        return Bound(name, whole, lambda node: density.named("density_at_surface_conditions"))

    def _flagged(self, name: str, closed: Flags, density: float) -> Bound:
        """A bound that closes the hole where a flag stands and asks for nothing elsewhere."""
        told = Value("density", density, "kg/m3", FromWalk(name))
        return Bound(name, np.where(closed, density, -density), lambda node: told)

    def _with_margin(self, column: str, margin: Value, sign: float) -> Value:
        signed = Value("margin_density", sign * margin.si, "kg/m3", margin.origin)
        return work(
            pressure_with_margin,
            pressure=self.grid.earth(column, "pressure"),
            margin_density=signed,
            height=self._margin_height,
            gravity=gravity_value(self.grid.hole),
        )

    def window(self, terms: Terms, with_kick: bool = True) -> Window:
        """Return all that the open hole needs and bears, a kick left out where it is told so."""
        kick = self._kick(terms) if self.circulation.on_riser and with_kick else None
        room = 0.0 if self.circulation.sea_water else float(terms.room)
        return Window(tuple(self._needed(terms)), tuple(self._borne(terms)), kick, room)

    def _needed(self, terms: Terms) -> Iterator[Bound]:
        hole, one = self.grid.hole, self.circulation
        if one.closed:
            needed = self._with_margin("pore_pressure", terms.trip_margin, 1.0)
            yield self._bound(f"{PORE} and trip margin", needed)
        else:  # nothing can be kept above it: pumps off, the column is the sea's
            yield self._bound(PORE, self.grid.earth("pore_pressure"))
        if hole.earth.has("collapse_pressure"):
            yield self._collapse()
        if not one.on_riser:
            yield self._flagged(GAS, self.grid.gas, np.inf)
        if one.sea_water:
            yield self._everywhere(ONLY_SEA_WATER, self._fluid.value("density"))
        elif one.from_sea_bed:
            yield self._everywhere(LIGHTEST, hole_water(hole))

    def _collapse(self) -> Bound:
        density = self._density(self.grid.earth("collapse_pressure"))
        known = np.asarray(density.si)
        return Bound(COLLAPSE, np.where(np.isfinite(known), known, -np.inf), density.at_node)

    def _borne(self, terms: Terms) -> Iterator[Bound]:
        less = self._with_margin("fracture_pressure", terms.fracture_margin, -1.0)
        allowance = Value(
            "pressure",
            self.allowance - terms.stronger,
            "Pa",
            FromWalk(
                "friction and cuttings: flow, string and rheology of the plan's section "
                f"{self.practice.section.name}" + _told_stronger(terms)
            ),
            -1,
        )
        pressure = Value(
            "pressure",
            np.asarray(less.si) - np.asarray(allowance.si),
            "Pa",
            Solved(
                "fracture pressure less its margin and circulation", "definition", (less, allowance)
            ),
            -1,
        )
        lifted = bool(np.isfinite(self.allowance).all())
        yield self._bound(FRACTURE if lifted else NOT_LIFTED, pressure)
        if self.circulation.sea_water:
            yield self._everywhere(ONLY_SEA_WATER, self._fluid.value("density"))
        else:
            yield self._everywhere(HEAVIEST, terms.heaviest_mud)
        pad = self.practice.section.pad_fluid
        if pad is not None and not self.circulation.closed:
            yield self._pad(self.grid.hole.plan.fluids[pad], less, terms)

    def _pad(self, pad: Fluid, less: Value, terms: Terms) -> Bound:
        hole = self.grid.hole
        left = pressure_under(hole, pad, self._top[1], hole.sea_bed, self.grid.z)
        broken = np.asarray(left.si) > np.asarray(less.si) + terms.stronger
        return self._flagged(PAD, broken, -np.inf)

    def surge(self, added: Array, terms: Terms) -> Bound:
        """Return what the rock bears while a casing is run: fracture pressure without margin.

        Parameters
        ----------
        added : (node) [Pa] by the casing on its way to each node
        """
        borne = self.grid.earth("fracture_pressure")
        change = Value(
            "pressure",
            added,
            "Pa",
            FromWalk("surge of the casing, closed end, from the sea bed to the node"),
            -1,
        )
        left = np.asarray(borne.si) - np.asarray(change.si) + terms.stronger
        origin = Solved("fracture pressure less the surge", "definition", (borne, change))
        return self._bound(SURGE, Value("pressure", left, "Pa", origin, -1))

    def _kick(self, terms: Terms) -> KickBound:
        grid, load = self.grid, self.kick_load(terms)
        borne = np.full((len(grid.depth), len(grid.depth)), np.inf)
        for start in range(0, len(grid.pairs[0]), _PIECE):
            weak, bottom = (nodes[start : start + _PIECE] for nodes in grid.pairs)
            borne[weak, bottom] = load.borne(weak, bottom)

        def opened(weak: int, bottom: int) -> Value:
            return self._opened_kick(terms, weak, bottom, load.area, float(load.ratio[weak]))

        return KickBound(KICK, borne, opened)

    def kick_load(self, terms: Terms) -> KickLoad:
        """Return what a kick brings in the open hole, weak points and bottoms left open."""
        grid, top = self.grid, float(self._top[1])
        height = np.asarray(self._height.si)
        fracture = grid.fracture + terms.stronger
        gravity = float(gravity_value(grid.hole))
        collar = min(self.practice.collars[0], 0.95 * self.practice.hole_diameter)
        # from the mean density in place to that weighed, at the pressure the rock gives way at:
        # mud in a column that is pressed less is a little lighter in place than this
        weighed = self._density(Value("pressure", fracture, "Pa", FromWalk("fracture"), -1))
        return KickLoad(
            top=top,
            height=height,
            fracture=fracture,
            gradient=terms.kick_intensity.si * gravity,
            depth=np.asarray(self._margin_height.si),
            volume=terms.kick_volume.si,
            area=float(annulus_area(self.practice.hole_diameter, collar)),
            gas=grid.influx_density,
            ratio=np.asarray(weighed.si) * gravity * height / (fracture - top),
            gravity=gravity,
        )

    def _opened_kick(
        self, terms: Terms, weak: int, bottom: int, area: float, ratio: float
    ) -> Value:
        grid, height = self.grid, np.asarray(self._height.si)
        gravity = gravity_value(grid.hole)
        fracture = grid.earth("fracture_pressure").at_node(weak)
        if _told_stronger(terms):
            more = float(np.broadcast_to(terms.stronger, grid.depth.shape)[weak])
            stronger = Solved(f"with {more:.0f} Pa stronger rock", "assumed", (fracture,))
            fracture = Value("pressure", float(fracture) + more, "Pa", stronger)
        lever = self._margin_height.at_node(bottom)
        kick = Solved(
            "kick intensity, as a density to where the column begins",
            "definition",
            (terms.kick_intensity, lever, gravity),
        )
        above_mud = float(terms.kick_intensity) * float(gravity) * float(lever)

        def told(name: str, number: float, unit: str, how: str) -> Value:
            return Value(name, number, unit, FromWalk(how))

        light = "of gas, or of formation water where the rock holds nothing else, at the fracture "
        light += "pressure, as warm as the hottest open rock"
        mean = work(
            greatest_mud_density_with_kick,
            weak_point_fracture_pressure=fracture.named("weak_point_fracture_pressure"),
            pressure_at_top=self._top[1],
            height_to_weak_point=told(
                "height_to_weak_point", float(height[weak]), "m", "top of the mud to the weak point"
            ),
            height_to_bottom=told(
                "height_to_bottom", float(height[bottom]), "m", "top of the mud to the bottom"
            ),
            kick_pressure=Value("kick_pressure", above_mud, "Pa", kick),
            influx_volume=terms.kick_volume.named("influx_volume"),
            annulus_area=told("annulus_area", area, "m2", "hole and collars"),
            gas_density=told("gas_density", float(grid.influx_density[weak]), "kg/m3", light),
            gravity=gravity,
        )
        shares = told("ratio", ratio, "-", "density weighed over mean density in place")
        origin = Solved(
            "mean density in place, as weighed at the surface", "definition", (mean, shares)
        )
        return Value("density_at_surface_conditions", float(mean) * ratio, "kg/m3", origin)


def _told_stronger(terms: Terms) -> str:
    more = float(np.max(terms.stronger))
    return f", less up to {more / 1e6:.2f} MPa by which the rock is stronger" if more > 0.0 else ""


def hole_water(hole: Hole) -> Value:
    """Return the density of the sea water that mud is built from."""
    return sea_water(hole).value("density")


def bounds_for(
    grid: Grid, circulation: Circulation, practice: Practice, friction: Array | float = 1.0
) -> Bounds:
    """Return the bounds of a bit under a circulation.

    Parameters
    ----------
    friction : share of the friction as the kernels give it
    """
    hole = grid.hole
    gravity = float(gravity_value(hole))
    riser = None
    joint = hole.inventory.riser
    if circulation.on_riser and not circulation.from_sea_bed and joint is not None:
        bore = joint.outside_diameter - 2.0 * joint.wall
        riser = bore, float(hole.sea_bed - hole.flow_line)
    if practice.fits:
        allowance = circulating_allowance(
            practice, grid.depth, grid.greatest_rate, riser, gravity, friction
        )
    else:
        allowance = np.full(grid.depth.shape, np.inf)
    return Bounds(grid, circulation, practice, allowance)
