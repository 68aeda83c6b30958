"""Pressures of fluids that stand still: the sea outside, the column inside, the earth's bounds.

All gauge, atmosphere at sea level zero. Profiles run over depth nodes on the shared
axis, metres below mean sea level.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, overload

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.depth import BelowSeaLevel, Depth
from bathybore.base.frozen import quickly_made
from bathybore.base.keeping import FEW, MANY, SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, from_walk, work
from bathybore.kernels.seawater import (
    absolute_salinity,
    conservative_temperature,
    gravity_at_latitude,
    sea_column_pressure,
    sea_pressure_at_depth,
)
from bathybore.model.hole import HoleOrSetting, Setting
from bathybore.model.plan import Fluid
from bathybore.operations.fluid_column import column_of_parts, even_column, told_by_parts
from bathybore.operations.position import chart_point
from bathybore.operations.state import FluidLayer, HoleState

NODE_SPACING = 25.0
_LAYER: Final = 50.0  # m; layers of a mud that is known by its parts
OPEN_TO_AIR: Final = Value(
    "pressure_at_top", 0.0, "Pa", FromWalk("open to the air at the flow line")
)


def depth_nodes(hole: HoleOrSetting, top: float, bottom: float, *more: float) -> Array:
    """Return depth nodes from ``top`` to ``bottom``: an even grid, table rows, extra places."""
    return _nodes(hole.setting, top, bottom, more)


@kept(MANY)
def _nodes(setting: Setting, top: float, bottom: float, more: tuple[float, ...]) -> Array:
    rows = setting.earth.depths + setting.sea_bed
    even = np.arange(top, bottom, NODE_SPACING)
    inside = [v for v in (*rows, *more) if top < v < bottom]
    nodes = np.unique(np.round(np.concatenate([even, inside, [top, bottom]]), 3))
    nodes.setflags(write=False)  # many profiles share it
    return nodes


@kept(SOME)
def nodes_at(*z: float) -> Array:
    """Return a few places as depth nodes."""
    nodes = np.array(z)
    nodes.setflags(write=False)
    return nodes


@quickly_made
@dataclass(frozen=True, eq=False)
class DepthNodes(Sequence[Depth]):
    """Depth nodes as depths with a datum, each made when it is asked for.

    Attributes
    ----------
    z : [m] of the nodes, below mean sea level
    """

    setting: Setting
    z: Array

    def __len__(self) -> int:
        return len(self.z)

    @overload
    def __getitem__(self, index: int) -> Depth: ...
    @overload
    def __getitem__(self, index: slice) -> tuple[Depth, ...]: ...
    def __getitem__(self, index: int | slice) -> Depth | tuple[Depth, ...]:
        if isinstance(index, slice):
            return tuple(self.setting.depth(float(v)) for v in self.z[index])
        return self.setting.depth(float(self.z[index]))


def depths_of(hole: HoleOrSetting, z: Array) -> DepthNodes:
    """Return depth nodes as depths with a datum, for records."""
    return DepthNodes(hole.setting, z)


@dataclass(frozen=True)
class SeaColumn:
    """The sea at its table's nodes: depth and pressure."""

    z: Array
    pressure: Array


@kept(FEW)
def _sea_column(setting: Setting) -> SeaColumn:
    point = chart_point(setting)
    z = setting.sea.depths
    latitude, longitude = point.latitude, point.longitude
    rough = sea_pressure_at_depth(z, latitude)
    practical = setting.sea.numbers["practical_salinity"]
    salinity = np.asarray(absolute_salinity(practical, rough, longitude, latitude))
    warmth = np.asarray(
        conservative_temperature(salinity, setting.sea.numbers["temperature"], rough)
    )
    return SeaColumn(z, np.asarray(sea_column_pressure(z, salinity, warmth, latitude)))


def sea_pressure(hole: HoleOrSetting, z: Array | float) -> Value:
    """Return the pressure of the sea at places between surface and sea bed."""
    return _sea_pressure(hole.setting, z)


@kept(SOME)
def _sea_pressure(setting: Setting, z: Array | float) -> Value:
    column = _sea_column(setting)
    pressure = np.interp(z, column.z, column.pressure)
    origin = Solved(
        "sea-water density after TEOS-10 from the sea table, integrated layer by layer: "
        "$p = integral_0^z rho(S, Theta, p) g dif z$",
        "teos-10",
        (
            Value(
                "depth_below_sea_level",
                column.z,
                "m",
                FromWalk(f"{setting.sea.file}: nodes of the sea table"),
            ),
        ),
    )
    return Value("sea_pressure", pressure, "Pa", origin, -1 if np.ndim(z) else None)


def sea_bed_pressure(hole: HoleOrSetting) -> Value:
    return _at_sea_bed(hole.setting, "sea_bed_pressure")


@kept(FEW)
def _at_sea_bed(setting: Setting, name: str) -> Value:
    return _sea_pressure(setting, float(setting.sea_bed)).named(name)


def gravity_value(hole: HoleOrSetting) -> Value:
    """Return the acceleration of gravity at the site, at sea level, with its working."""
    return _gravity(hole.setting)


@kept(FEW)
def _gravity(setting: Setting) -> Value:
    latitude = Value(
        "latitude", chart_point(setting).latitude, "rad", FromWalk("position of the site")
    )
    return work(gravity_at_latitude, latitude=latitude).named("gravity")


def gravity(hole: HoleOrSetting) -> float:
    """Return the acceleration of gravity at the site, at sea level."""
    return float(gravity_value(hole))


def temperature(hole: HoleOrSetting, z: Array | float) -> Array:
    """Return the undisturbed temperature [K]: sea table above the sea bed, earth table below."""
    return _temperature(hole.setting, z)


@kept(MANY)
def _temperature(setting: Setting, z: Array | float) -> Array:
    depth, bed = np.asarray(z, dtype=float), setting.sea_bed
    in_sea = setting.sea.at("temperature", np.minimum(np.maximum(depth, 0.0), bed))
    below = setting.earth.at("temperature", np.maximum(depth - bed, 0.0))
    return np.where(depth <= bed, in_sea, below)


@kept(FEW)
def _heat_integral(setting: Setting) -> tuple[Array, Array]:
    sea, earth = setting.sea.depths, setting.earth.depths + setting.sea_bed
    z = np.unique(np.concatenate([[setting.drill_floor], sea, earth]))
    t = temperature(setting, z)
    return z, np.concatenate([[0.0], np.cumsum(0.5 * (t[1:] + t[:-1]) * np.diff(z))])


def mean_temperature(hole: HoleOrSetting, top: Array | float, bottom: Array | float) -> Value:
    """Return the mean undisturbed temperature between two places."""
    nodes, integral = _heat_integral(hole.setting)
    height = np.asarray(bottom, dtype=float) - np.asarray(top, dtype=float)
    heat = np.interp(bottom, nodes, integral) - np.interp(top, nodes, integral)
    mean = np.where(height > 1e-9, heat / np.maximum(height, 1e-9), temperature(hole, bottom))
    origin = FromWalk("mean of the undisturbed temperature over the column, sea and earth tables")
    return Value("temperature", mean, "K", origin, -1 if np.ndim(mean) else None)


def pressure_under(
    hole: HoleOrSetting, fluid: Fluid, top: Value, z_top: BelowSeaLevel, z: Array | float
) -> Value:
    """Return the pressure that a column of one fluid gives at ``z`` under ``top`` at its top."""
    return _pressure_under(hole.setting, fluid, top, z_top, z)


@kept(MANY)
def _pressure_under(
    setting: Setting, fluid: Fluid, top: Value, z_top: BelowSeaLevel, z: Array | float
) -> Value:
    told = f"from the top of this fluid, {setting.depth(z_top)}, to the depth"
    force = gravity_value(setting)
    height = from_walk("height", np.asarray(z, dtype=float) - z_top, "m", told)
    if fluid.made_of is None:
        return even_column(fluid, top, _mean_above(setting, z_top, z), height, force)
    places, layers = np.asarray(z, dtype=float), np.append(z, z_top)
    even = np.arange(float(np.min(layers)), float(np.max(layers)), _LAYER)
    edges = np.unique(np.concatenate([np.ravel(layers), even]))
    start, which = int(np.searchsorted(edges, z_top)), np.searchsorted(edges, places)
    warm = temperature(setting, 0.5 * (edges[1:] + edges[:-1]))
    pressure, residual = column_of_parts(fluid, float(top), edges, start, warm, float(force))
    axis = -1 if places.ndim else None
    found = Value("pressure_at_bottom", pressure[which], "Pa", FromWalk("column"), axis)
    here = FromWalk("undisturbed, where the column ends")
    there = Value("temperature", temperature(setting, z), "K", here, axis)
    origin = told_by_parts(fluid, top, found, there, height, force, residual)
    return Value(found.name, found.si, "Pa", origin, axis)


def warmth_of_parts(
    hole: HoleOrSetting, fluid: Fluid, top: Value, z_top: float, z: Array, mean: Value
) -> Value:
    """Return a mean temperature so shifted that constant coefficients give the column of parts.

    What turns columns over to densities, or asks many earths at once, needs the closed form of
    constant coefficients. Of a fluid that has them the mean is handed back; of one known by its
    parts it is shifted by what makes the closed column at undisturbed temperatures weigh what
    theirs does.
    """
    if fluid.made_of is None:
        return mean
    even, undisturbed = _even_warmth(hole.setting, fluid, top, z_top, z)
    origin = Solved(
        "shifted so that the closed column of mean coefficients weighs what the column of the "
        "mud's parts does",
        "definition",
        (mean, fluid.value("compressibility"), fluid.value("thermal_expansion")),
    )
    number = np.asarray(mean.si) + even - undisturbed
    return Value("temperature", number, "K", origin, mean.depth_axis)


@kept(MANY)
def _even_warmth(
    setting: Setting, fluid: Fluid, top: Value, z_top: float, z: Array
) -> tuple[Array, Array]:
    """Return the even temperature of a closed column as heavy as that of parts, and the mean."""
    mean = np.asarray(_mean_above(setting, z_top, z).si)
    height = np.asarray(z, dtype=float) - z_top
    safe, c, force = np.where(height > 1e-9, height, 1.0), fluid.compressibility, gravity(setting)
    foot = np.asarray(pressure_under(setting, fluid, top, BelowSeaLevel(z_top), z).si)
    begin = np.exp(-c * float(top))
    density = (begin - np.exp(-c * foot)) / (c * force * safe)
    warm = fluid.reference_temperature - np.log(density / fluid.density) / fluid.thermal_expansion
    return np.where(height > 1e-9, warm, mean), mean


@kept(MANY)
def _mean_above(setting: Setting, z_top: float, z: Array | float) -> Value:
    """Mean temperature from the top of a fluid down to each place in it."""
    return mean_temperature(setting, np.minimum(z_top, z), z)


def column_pressure(
    hole: HoleOrSetting, layers: tuple[FluidLayer, ...], top: Value, z: Array
) -> Value:
    """Return the pressure at depth nodes under fluids stacked from the top down.

    The lowest fluid is carried on below its foot: nodes there are still judged.

    Raises
    ------
    ValueError
        A node lies above the top of the uppermost fluid.
    """
    return _column_pressure(hole.setting, layers, top, z)


@kept(MANY)
def _column_pressure(
    setting: Setting, layers: tuple[FluidLayer, ...], top: Value, z: Array
) -> Value:
    if (z < layers[0].top - 1e-6).any():
        raise ValueError("a node lies above the top of the column")
    if len(layers) == 1:
        return pressure_under(setting, layers[0].fluid, top, layers[0].top, z)
    tops = [top]
    for layer in layers[:-1]:
        tops.append(pressure_under(setting, layer.fluid, tops[-1], layer.top, float(layer.bottom)))
    edges = np.array([layer.top for layer in layers[1:]])
    which = np.searchsorted(edges, z, side="right")
    pressures = np.empty(z.shape)
    starts = np.array([float(t) for t in tops])[which]
    for index, layer in enumerate(layers):
        here = which == index
        if here.any():
            pressures[here] = np.asarray(
                pressure_under(setting, layer.fluid, tops[index], layer.top, z[here]).si
            )
    return _stacked(setting, layers, tops, which, z, starts, pressures)


def _stacked(
    setting: Setting,
    layers: tuple[FluidLayer, ...],
    tops: list[Value],
    which: np.ndarray,
    z: Array,
    starts: Array,
    pressures: Array,
) -> Value:
    """Dress the pressures under a stack so that each node shows the fluid it stands in."""
    names = "; ".join(f"{layer.name} from {setting.depth(layer.top)}" for layer in layers)

    def picked(name: str, numbers: list[float], unit: str) -> Value:
        origin = FromWalk(f"of the fluid standing at the depth ({names})")
        return Value(name, np.array(numbers)[which], unit, origin, -1)

    density = picked("fluid_density", [layer.fluid.density for layer in layers], "kg/m3")
    height = np.array([float(layer.top) for layer in layers])[which]
    origin = Solved(
        "fluids stacked from the top down, each compressed by its own weight and at its mean "
        f"temperature: $p = p_t + integral rho g dif z$ ({names})",
        "definition",
        (
            Value("pressure_at_top", starts, "Pa", FromWalk("foot of the fluids above"), -1),
            density,
            from_walk(
                "height", z - height, "m", "from the top of the fluid that stands at the depth"
            ),
            gravity_value(setting),
            *tops[1:],
        ),
    )
    return Value("pressure_at_bottom", pressures, "Pa", origin, -1)


def top_of_column(state: HoleState) -> tuple[BelowSeaLevel, Value]:
    """Return where the column in the hole begins and the pressure there.

    With the riser on it is the flow line, open to the air; without it the sea bed,
    under the sea.
    """
    return column_top(state.hole, state.riser is not None)


def column_top(hole: HoleOrSetting, on_riser: bool) -> tuple[BelowSeaLevel, Value]:
    """Return where a column begins, with the riser or without, and the pressure there."""
    if on_riser:
        return hole.flow_line, OPEN_TO_AIR
    return hole.sea_bed, _at_sea_bed(hole.setting, "pressure_at_top")


def static_pressure(state: HoleState, z: Array) -> Value:
    """Return the pressure in the hole at depth nodes, all pumps stopped."""
    _, top = top_of_column(state)
    return column_pressure(state.hole, state.layers, top, z)


def earth_value(
    hole: HoleOrSetting, column: str, z: Array | float, name: str | None = None
) -> Value:
    """Return a column of the earth table at nodes of the shared axis."""
    return _earth_value(hole.setting, column, z, name)


@kept(MANY)
def _earth_value(setting: Setting, column: str, z: Array | float, name: str | None) -> Value:
    return setting.earth.value(column, np.asarray(z) - setting.sea_bed, name)
