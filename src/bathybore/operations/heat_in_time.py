"""The hole as it cools while the pumps run and warms again when they stop."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value
from bathybore.kernels.circulating_heat import (
    GroundRings,
    HeatInTime,
    HeatPath,
    ground_rings,
    heat_after,
    undisturbed,
)
from bathybore.operations.heat_cells import (
    CELL,
    HeatCells,
    Warmed,
    heat_cells,
    heat_path,
    mud_of,
    wall_films,
)

# Time steps grow as the hole slows down: shares of a leg, and how many even steps each gets.
_GRADED: Final = ((0.02, 3), (0.08, 3), (0.2, 4), (0.7, 6))
_STEEL_HEAT: Final = 7850.0 * 460.0  # J/m3/K, carbon steel, common practice
_PROBLEM: Final = (
    "heat balance cell by cell in time, implicit: mud in pipe and annulus, rings of ground, sea "
    "round riser and open pipe; from undisturbed, pumps on for the circulating time, then stopped"
)


@dataclass(frozen=True, eq=False)
class HeatStory:
    """Temperatures over time; arrays over (time) or (cell).

    Attributes
    ----------
    times : [s] since the pumps started
    at_bottom : of the annulus mud at the bottom of the hole [K]
    circulated, stopped : over the cells, when the pumps stop and at the end
    """

    cells: HeatCells
    times: Array
    at_bottom: Array
    circulated: HeatInTime
    stopped: HeatInTime


def rings_of(flow: Warmed) -> GroundRings:
    """Return the ground round the cells of a flow, and the heat that mud and steel hold."""
    cells, basis, mud = heat_cells(flow, CELL), flow.setting.basis, mud_of(flow)
    radius = 0.5 * cells.wall
    inside = 0.25 * np.pi * cells.bore**2
    steel = 0.25 * np.pi * (cells.pipe**2 - cells.bore**2)
    around = 0.25 * np.pi * (cells.wall**2 - cells.pipe**2)
    return ground_rings(
        wall_radius=radius,
        wall_conductance=2.0 * np.pi * radius * wall_films(flow),
        in_sea=cells.where("sea") | cells.where("riser"),
        thermal_conductivity=basis.ground_conductivity,
        thermal_diffusivity=basis.ground_diffusivity,
        pipe_capacity=inside * mud.per_volume + steel * _STEEL_HEAT,
        annulus_capacity=around * mud.per_volume,
    )


def stopped(flow: Warmed) -> Warmed:
    """Return the same hole with the pumps off."""
    rest = FromWalk("pumps stopped")
    return replace(
        flow,
        flow_rate=Value("flow_rate", 0.0, "m3/s", rest),
        booster_flow_rate=Value("booster_flow_rate", 0.0, "m3/s", rest),
    )


@kept(SOME)
def heat_story(flow: Warmed, circulating: float, still: float) -> HeatStory:
    """Return how warm the hole is while it is circulated for a time, then left still [s]."""
    cells, off = heat_cells(flow, CELL), stopped(flow)
    moving, resting = heat_path(flow, CELL, circulating), heat_path(off, CELL, circulating)
    around, calm = rings_of(flow), rings_of(off)
    now = undisturbed(moving, around)
    times, bottom = [0.0], [float(now.mud.annulus[-1])]

    def leg(path: HeatPath, rings: GroundRings, duration: float) -> None:
        nonlocal now
        for share, steps in _GRADED:
            for _ in range(steps):
                dt = share * duration / steps
                now = heat_after(path, rings, now, dt, 1)
                times.append(times[-1] + dt)
                bottom.append(float(now.mud.annulus[-1]))

    leg(moving, around, circulating)
    circulated = now
    leg(resting, calm, still)
    return HeatStory(cells, np.array(times), np.array(bottom), circulated, now)


@kept(SOME)
def temperature_after_stop(flow: Warmed) -> Value:
    """Return how warm the bottom is once the pumps have stopped for the basis' time [K]."""
    basis = flow.setting.basis
    story = heat_story(flow, basis.circulating_time, basis.pumps_stopped)
    inputs = (
        flow.flow_rate,
        flow.fluid.value("density", "fluid_density"),
        basis.value("circulating_time", "elapsed_time"),
        basis.value("pumps_stopped", "duration"),
        basis.value("pumped_temperature"),
        basis.value("ground_conductivity", "thermal_conductivity"),
        basis.value("ground_diffusivity", "thermal_diffusivity"),
        basis.value("mud_conductivity"),
    )
    origin = Solved(_PROBLEM, "definition", inputs)
    return Value("temperature", float(story.at_bottom[-1]), "K", origin)
