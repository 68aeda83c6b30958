"""Pressure, velocity, density and temperature at every depth while the pumps run.

Down the surface lines, the string and the bit, up open hole, casing and riser to the flow
line, or to the sea floor. The temperatures are those of settled circulation; density and, where
readings at several temperatures were given, the flow law follow them. Friction and cuttings come
from the functions of `circulation`, which the checks of the walk use too; those take the
undisturbed temperature for density.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.flow_corrections import (
    equivalent_circulating_density,
    pressure_down_to,
    turbulent_reynolds_number,
)
from bathybore.kernels.pipe_flow import (
    annulus_wall_shear_stress,
    critical_reynolds_number,
    generalised_reynolds_number,
    mean_velocity_in_pipe,
    pipe_wall_shear_stress,
)
from bathybore.kernels.segments import circulating_pressure
from bathybore.model.hole import Setting
from bathybore.model.plan import Fluid
from bathybore.operations.circulation import (
    Circulation,
    annulus_friction,
    annulus_rheology,
    annulus_velocity,
    bit_loss,
    bore_friction,
    bore_rheology,
    cuttings_fraction,
    cuttings_gradient,
    laden_density,
    lifting,
    line_loss,
)
from bathybore.operations.columns import column_top, gravity_value
from bathybore.operations.downhole_tools import lost_above, together
from bathybore.operations.flow_along import cut_fine
from bathybore.operations.fluid_column import column_of_parts, even_column, told_by_parts
from bathybore.operations.geometry import Segments
from bathybore.operations.heat_cells import annulus_temperature, tube_temperature

CELL: Final = 25.0  # m; longest cell of a profile
REGIMES: Final = ("laminar", "transition", "turbulent")


@dataclass(frozen=True, eq=False)
class Channel:
    """One way of the mud, cut into cells from the top down; values over cells.

    Attributes
    ----------
    cells : where they are
    velocity, friction : mean velocity, friction gradient
    law : flow law in each cell
    temperature : in the middle of each cell
    density : of the fluid in place, without cuttings
    pressure : at the foot of each cell
    """

    cells: Segments
    velocity: Value
    friction: Value
    law: dict[str, Value]
    temperature: Value
    density: Value
    pressure: Value

    @cached_property
    def reynolds(self) -> Value:
        """Generalised Reynolds number in each cell."""
        cells = self.cells
        area = 0.25 * np.pi * (cells.outer_diameter**2 - cells.inner_diameter**2)
        rate = np.asarray(self.velocity.si) * area
        constants = tuple(
            self.law[name].si for name in ("yield_stress", "consistency_index", "flow_index")
        )
        if cells.kinds[0] == "pipe":
            stress = pipe_wall_shear_stress(rate, cells.outer_diameter, *constants)
        else:
            stress = annulus_wall_shear_stress(
                rate, cells.outer_diameter, cells.inner_diameter, *constants
            )
        return work(
            generalised_reynolds_number,
            fluid_density=self.law["fluid_density"],
            mean_velocity=self.velocity.named("mean_velocity"),
            wall_shear_stress=Value(
                "wall_shear_stress",
                np.maximum(stress, 1e-12),
                "Pa",
                Solved("exact laminar stress at the wall", "definition", tuple(self.law.values())),
            ),
        )

    @property
    def regime(self) -> Array:
        """Index in `REGIMES` of each cell: below, between and above the critical numbers."""
        n, reynolds = self.law["flow_index"].si, np.asarray(self.reynolds.si)
        beyond = (reynolds > critical_reynolds_number(n)).astype(int)
        return np.asarray(beyond + (reynolds > turbulent_reynolds_number(n)).astype(int))


@dataclass(frozen=True, eq=False)
class CirculationProfile:
    """A whole circulation, depth by depth.

    Attributes
    ----------
    pipe, annulus : the ways down and up
    fraction, laden, ratio : in the annulus: share of cuttings, density with them, transport ratio
    equivalent : circulating density to where the column begins: drill floor, or sea bed riserless
    standpipe : pump pressure that all of it adds up to
    lines, bit, tools : lost in surface lines, nozzles and tools of the string
    """

    flow: Circulation
    pipe: Channel
    annulus: Channel
    fraction: Value
    laden: Value
    ratio: Value
    equivalent: Value
    standpipe: Value
    lines: Value
    bit: Value
    tools: Value

    @property
    def bottom_pressure(self) -> float:
        return float(np.asarray(self.annulus.pressure.si)[-1])


@kept(SOME)
def circulation_profile(flow: Circulation, longest: float) -> CirculationProfile:
    """Return the profile of a circulation, in cells no longer than ``longest`` [m]."""
    annulus = _annulus(flow, cut_fine(flow.annuli, longest))
    cells = annulus.cells
    bit, lines = bit_loss(flow), line_loss(flow)
    pipe, standpipe = _pipe(flow, cut_fine(flow.inside, longest), annulus, bit, lines)
    return CirculationProfile(
        flow=flow,
        pipe=pipe,
        annulus=annulus,
        fraction=_carried(flow, cells, cuttings_fraction),
        laden=_carried(flow, cells, laden_density),
        ratio=_carried(flow, cells, lifting),
        equivalent=_equivalent(flow, cells, annulus.pressure),
        standpipe=standpipe,
        lines=lines,
        bit=bit,
        tools=together(flow.tools),
    )


# ---- up -----------------------------------------------------------------------------------


def _annulus(flow: Circulation, cells: Segments) -> Channel:
    warmth = _over(annulus_temperature(flow.warmed, cells.middle))
    law, friction = annulus_rheology(flow, cells), annulus_friction(flow, cells)
    velocity, length = annulus_velocity(flow, cells), _lengths(cells)
    begin, top = column_top(flow.setting, flow.on_riser)
    rest = _column(flow.setting, flow.fluid, top, warmth, cells, float(begin))
    pressure = work(
        circulating_pressure,
        static_pressure=rest.named("static_pressure"),
        cuttings_pressure=work(
            pressure_down_to,
            pressure_gradient=_carried(flow, cells, cuttings_gradient),
            segment_length=length,
        ),
        friction_pressure=work(pressure_down_to, pressure_gradient=friction, segment_length=length),
    )
    density = flow.fluid.density_in_place(pressure, warmth)
    return Channel(cells, velocity, friction, law, warmth, density, pressure)


def just_stopped(flow: Circulation, annulus: Channel) -> Value:
    """Return the pressure at the foot of each cell once the pumps stop, as warm as it flowed."""
    begin, top = column_top(flow.setting, flow.on_riser)
    warmth, cells = annulus.temperature, annulus.cells
    return _column(flow.setting, flow.fluid, top, warmth, cells, float(begin))


def _carried(
    flow: Circulation, cells: Segments, asked: Callable[[Circulation, Segments], Value]
) -> Value:
    """Return what is asked of cuttings in each cell: it is the same all along one annulus."""
    whole = flow.annuli
    value = asked(flow, whole)
    which = _cell_in(whole, cells)
    numbers = (np.asarray(value.si) + np.zeros(len(whole)))[which]  # one for all, or one for each
    origin = Solved("of the annulus that the cell lies in", "definition", (value,))
    return Value(value.name, numbers, value.unit, origin)


@kept(SOME)
def _cell_in(whole: Segments, cells: Segments) -> np.ndarray:
    """Return in which annulus each cell lies."""
    return np.minimum(np.searchsorted(whole.bottom, cells.middle), len(whole) - 1)


def _column(
    setting: Setting, fluid: Fluid, top: Value, warmth: Value, cells: Segments, begin: float
) -> Value:
    """Return the pressure of the fluid at rest at the foot of each cell, as warm as it flows."""
    depth = cells.bottom - begin
    mean = np.cumsum(np.asarray(warmth.si) * cells.length) / np.cumsum(cells.length)
    origin = Solved(
        "mean of the circulating temperature from the top of the column down",
        "definition",
        (warmth,),
    )
    height = Value("height", depth, "m", FromWalk("from the top of the column to the foot"))
    gravity = gravity_value(setting)
    if fluid.made_of is None:
        return even_column(fluid, top, Value("temperature", mean, "K", origin), height, gravity)
    edges, warm = np.append(begin, cells.bottom), np.asarray(warmth.si)
    found, residual = column_of_parts(fluid, float(top), edges, 0, warm, float(gravity))
    pressure = Value("pressure_at_bottom", found[1:], "Pa", FromWalk("column"))
    how = told_by_parts(fluid, top, pressure, warmth, height, gravity, residual)
    return Value(pressure.name, pressure.si, "Pa", how)


def _equivalent(flow: Circulation, cells: Segments, pressure: Value) -> Value:
    setting = flow.setting
    begin, top = column_top(setting, flow.on_riser)
    datum = setting.drill_floor if flow.on_riser else begin
    height = FromWalk("below the drill floor" if flow.on_riser else "below the sea bed")
    return work(
        equivalent_circulating_density,
        circulating_pressure=pressure,
        height=Value("height", cells.bottom - float(datum), "m", height),
        gravity=gravity_value(setting),
        pressure_at_datum=top.named("pressure_at_datum"),
    )


# ---- down ---------------------------------------------------------------------------------


def _pipe(
    flow: Circulation, cells: Segments, annulus: Channel, bit: Value, lines: Value
) -> tuple[Channel, Value]:
    """Return the way down, and the standpipe pressure: what the bottom asks, worked back up."""
    warmth = _over(tube_temperature(flow.warmed, cells.middle))
    law, friction = bore_rheology(flow, cells), bore_friction(flow, cells)
    velocity = work(
        mean_velocity_in_pipe,
        flow_rate=flow.flow_rate,
        inside_diameter=cells.value("inside_diameter", cells.outer_diameter),
    )
    lost = work(pressure_down_to, pressure_gradient=friction, segment_length=_lengths(cells))
    start = float(cells.top[0])
    open_top = Value("pressure_at_top", 0.0, "Pa", FromWalk("column open at the drill floor"))
    rest = _column(flow.setting, flow.fluid, open_top, warmth, cells, start)
    loss, weight = np.asarray(lost.si) + lost_above(flow.tools, cells.bottom), np.asarray(rest.si)
    bottom = float(np.asarray(annulus.pressure.si)[-1])
    at_drill_floor = bottom + float(bit) + float(loss[-1]) - float(weight[-1])
    behind = (annulus.pressure, bit, together(flow.tools), lost, rest)
    pressure = Value(
        "pressure",
        at_drill_floor + weight - loss,
        "Pa",
        Solved(
            "annulus pressure at the bottom, losses of bit, tools and string, less the column in "
            "the string",
            "definition",
            behind,
        ),
    )
    standpipe = Value(
        "standpipe_pressure",
        at_drill_floor + float(lines),
        "Pa",
        Solved(
            "all losses and the difference of the columns in annulus and string, each as warm as "
            "it flows; less than nothing where the string runs empty by itself",
            "definition",
            (*behind, lines),
        ),
    )
    density = flow.fluid.density_in_place(pressure, warmth)
    channel = Channel(cells, velocity, friction, law, warmth, density, pressure)
    return channel, standpipe


def _lengths(cells: Segments) -> Value:
    return cells.value("segment_length", cells.length)


def _over(value: Value) -> Value:
    """Return a value over cells: their axis is none of a check's depths."""
    return Value(value.name, value.si, value.unit, value.origin)
